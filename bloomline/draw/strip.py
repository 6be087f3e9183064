"""The coverage strip: how many layers are in flower each day; bare and crowded stretches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import groupby
from math import ceil

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF

from bloomline.draw.chart_plan import ChartPlan
from bloomline.draw.ink import Ink
from bloomline.draw.layout import band_outline, bar_chance, stack_bands
from bloomline.draw.legend import paint_bracket
from bloomline.draw.marks import marks_in_area
from bloomline.draw.page import BRACKET_LINE, LANE_LINE, PAD
from bloomline.draw.petals import Family, standing_out
from bloomline.plan.report import LayerForecast


def _strip_layers(plan: ChartPlan) -> list[LayerForecast]:
    """Layers with a flower, one colour family after the other, the earliest at the bottom."""
    layers = [layer for layer in plan.page.layers if layer.start is not None]
    order: dict[Family, date] = {}
    for layer in layers:
        assert layer.start is not None
        family = plan.petals[layer.layer_id].family
        order[family] = min(order.get(family, date.max), layer.start.p50)
    return sorted(
        layers,
        key=lambda layer: (
            order[plan.petals[layer.layer_id].family],
            plan.petals[layer.layer_id].family,
            layer.start.p50 if layer.start else date.max,
        ),
    )


def paint_strip(ink: Ink, plan: ChartPlan) -> None:
    """Paint the stacked petal colours, their scale and the line above which it is crowded."""
    page, theme, scale, painter = plan.page, plan.theme, plan.page.scale, ink.painter
    layers = _strip_layers(plan)
    base = page.strip_top + page.strip_height
    if layers:
        chances = np.array(
            [bar_chance(plan.report, one, scale.first, scale.last) for one in layers]
        )
        lower, upper = stack_bands(chances)
        peak = max(1.0, float(ceil(upper[-1].max())))
        unit = (page.strip_height - 4) / peak
        xs: NDArray[np.float64] = scale.left + (np.arange(scale.days) + 0.5) * scale.day_width
        for level in sorted({0, round(peak / 2), round(peak)}):
            y = base - level * unit
            painter.setPen(QPen(QColor(theme.month_line), 0.8))
            painter.drawLine(QLineF(scale.left, y, scale.right, y))
            ink.text(page.label_right, y + 4, str(level), 12, theme.muted, align="right")
        # Outlines of very many thin bands would turn into a grey of their own.
        hairline = 0.6 if len(layers) <= 40 else 0.2
        for index, layer in enumerate(layers):
            look = plan.petals[layer.layer_id]
            painter.setPen(QPen(QColor(look.outline), hairline))
            painter.setBrush(QColor(look.fill))
            for outline in band_outline(xs, lower[index], upper[index]):
                points = [QPointF(x, base - level * unit) for x, level in outline]
                painter.drawPolygon(QPolygonF(points))
        _paint_marks(ink, plan, layers, xs, base - upper * unit, base - lower * unit)
        if plan.crowded:
            _paint_limit(ink, plan, base - plan.report.crowd_limit * unit)
    room = page.label_right - PAD - 30
    ink.text(PAD, base - 34, "layers in flower", 14, theme.ink, bold=True)
    words = ink.fitted("expected number on each day", 13, room)
    ink.text(PAD, base - 16, words, 13, theme.muted)


def _paint_limit(ink: Ink, plan: ChartPlan, y: float) -> None:
    colour = QColor(plan.theme.crowd)
    colour.setAlphaF(0.55)
    ink.painter.setPen(QPen(colour, 0.9, Qt.PenStyle.DotLine))
    ink.painter.drawLine(QLineF(plan.page.scale.left, y, plan.page.scale.right, y))


def _paint_marks(
    ink: Ink,
    plan: ChartPlan,
    layers: Sequence[LayerForecast],
    xs: NDArray[np.float64],
    tops: NDArray[np.float64],
    bottoms: NDArray[np.float64],
) -> None:
    """Paint one pattern over all the layers of a colour family: single ones are too thin."""
    numbers = range(len(layers))
    for _, group in groupby(numbers, key=lambda i: plan.petals[layers[i].layer_id].family):
        members = list(group)
        looks = [plan.petals[layers[index].layer_id] for index in members]
        fills = tuple(dict.fromkeys(look.fill for look in looks))
        look = replace(looks[0], mark_ink=standing_out(fills[0], against=fills))
        centres = marks_in_area(xs, tops[members[-1]], bottoms[members[0]], radius=2.3, pitch=13)
        ink.marks(centres, look, radius=2.3)


def paint_stretches(ink: Ink, plan: ChartPlan) -> None:
    """Hatch the bare stretches and bracket the crowded ones, with their days in words."""
    page, theme, painter = plan.page, plan.theme, ink.painter
    for label in plan.bare:
        width = label.right - label.left
        lane = QRectF(label.left, page.lane_top, width, page.rows_top - page.lane_top)
        field = QRectF(label.left, page.rows_top, width, page.rows_bottom - page.rows_top)
        wash, faint = QColor(theme.bare), QColor(theme.bare)
        wash.setAlphaF(0.09)
        faint.setAlphaF(0.34)
        painter.fillRect(lane.united(field), wash)
        ink.hatch(lane, QColor(theme.bare), pitch=9, width=1.0)
        ink.hatch(field, faint, pitch=9, width=0.8)
    for label in plan.bare:
        y = page.lane_top + 3 + label.line * LANE_LINE
        width = ink.width(label.words, 13, bold=True)
        painter.setPen(QPen(QColor(theme.bare), 1))
        painter.setBrush(QColor(theme.ground))
        painter.drawRoundedRect(QRectF(label.x - 5, y, width + 10, LANE_LINE - 3), 5, 5)
        ink.text(label.x, y + 13, label.words, 13, theme.bare_text, bold=True)
    for label in plan.crowded:
        y = page.strip_top - 7 - label.line * BRACKET_LINE
        paint_bracket(ink, label.left, label.right, y, theme.crowd)
        ink.text(label.x, y - 4, label.words, 13, theme.crowd, bold=True)
