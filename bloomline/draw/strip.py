"""The coverage strip: how many layers are in flower each day; bare and crowded stretches."""

from __future__ import annotations

from collections.abc import Sequence
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
from bloomline.draw.page import BRACKET_LINE, LANE_LINE, PAD, POT_GAP
from bloomline.draw.petals import Family, Petal
from bloomline.plan.report import LayerForecast

MARK_RADIUS = 2.3
MOST_OUTLINED = 40


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
        middles = np.arange(scale.days, dtype=np.float64) + 0.5
        xs = np.asarray(scale.left + middles * scale.day_width, dtype=np.float64)
        for level in sorted({0, round(peak / 2), round(peak)}):
            y = base - level * unit
            painter.setPen(QPen(QColor(theme.month_line), 0.8))
            painter.drawLine(QLineF(scale.left, y, scale.right, y))
            ink.text(page.label_right, y + 4, str(level), 12, theme.muted, align="right")
        # Outlines of very many thin bands would turn into a grey of their own.
        has_outlines = len(layers) <= MOST_OUTLINED
        for index, layer in enumerate(layers):
            look = plan.petals[layer.layer_id]
            pen = QPen(QColor(look.outline), 0.6) if has_outlines else QPen(QColor(look.fill), 0.4)
            painter.setPen(pen)
            painter.setBrush(QColor(look.fill))
            for outline in band_outline(xs, lower[index], upper[index]):
                points = [QPointF(x, base - level * unit) for x, level in outline]
                painter.drawPolygon(QPolygonF(points))
        _paint_marks(ink, plan, layers, xs, base - upper * unit, base - lower * unit)
        if plan.crowded:
            _paint_limit(ink, plan, base - plan.report.crowd_limit * unit)
    else:
        words = "nothing is expected to flower this season"
        ink.plate(scale.left + 6, base - 40, ink.width(words, 14), 14, theme.ground)
        ink.text(scale.left + 6, base - 40, words, 14, theme.muted)
    room = page.label_right - PAD - 30
    ink.text(PAD, base - 34, "layers in flower", 14, theme.ink, bold=True)
    words = ink.fitted("expected each day", 13, room)
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
    looks = [plan.petals[layer.layer_id] for layer in layers]
    for _, group in groupby(range(len(layers)), key=lambda index: looks[index].family):
        members = list(group)
        if len(layers) > MOST_OUTLINED:
            _paint_crest(ink, looks[members[-1]], xs, tops[members[-1]], bottoms[members[0]])
        centres = marks_in_area(
            xs, tops[members[-1]], bottoms[members[0]], radius=MARK_RADIUS, pitch=13
        )
        by_layer: dict[int, list[tuple[float, float]]] = {}
        for x, y in centres:
            day = min(int((x - xs[0]) / (xs[1] - xs[0]) + 0.5), len(xs) - 1)
            owner = next((index for index in members if tops[index][day] <= y), members[-1])
            by_layer.setdefault(owner, []).append((x, y))
        for index, some in by_layer.items():
            ink.marks(some, looks[index], radius=MARK_RADIUS)


def _paint_crest(
    ink: Ink,
    look: Petal,
    xs: NDArray[np.float64],
    tops: NDArray[np.float64],
    bottoms: NDArray[np.float64],
) -> None:
    ink.painter.setBrush(Qt.BrushStyle.NoBrush)
    ink.painter.setPen(QPen(QColor(look.outline), 0.7))
    # Only where the family is thick enough to be seen, or its line would fall on another's.
    for outline in band_outline(xs, tops, np.where(bottoms - tops > 0.6, bottoms, tops)):
        crest = [QPointF(x, y) for x, y in outline[len(outline) // 2 :]]
        ink.painter.drawPolyline(QPolygonF(crest))


def paint_hatching(ink: Ink, plan: ChartPlan) -> None:
    """Hatch the bare stretches over the whole height of the rows."""
    page, theme, painter = plan.page, plan.theme, ink.painter
    first_row = page.rows_top + page.sizes.pot * POT_GAP
    for label in plan.bare:
        width = label.right - label.left
        lane = QRectF(label.left, page.lane_top, width, first_row - page.lane_top)
        field = QRectF(label.left, first_row, width, page.rows_bottom - first_row)
        wash, faint = QColor(theme.bare), QColor(theme.bare)
        wash.setAlphaF(0.09)
        faint.setAlphaF(0.34)
        painter.fillRect(lane.united(field), wash)
        ink.hatch(lane, QColor(theme.bare), pitch=9, width=1.0)
        ink.hatch(field, faint, pitch=9, width=0.8)


def paint_stretch_words(ink: Ink, plan: ChartPlan) -> None:
    """Write the days of the bare stretches; bracket the crowded ones and write theirs."""
    page, theme, painter = plan.page, plan.theme, ink.painter
    for label in plan.bare:
        y = page.lane_top + 3 + label.line * LANE_LINE
        width = ink.width(label.words, 13, bold=True)
        painter.setPen(QPen(QColor(theme.bare), 1))
        painter.setBrush(QColor(theme.ground))
        painter.drawRoundedRect(QRectF(label.x - 5, y, width + 10, LANE_LINE - 3), 5, 5)
        ink.text(label.x, y + 13, label.words, 13, theme.bare_text, bold=True)
    for label in plan.crowded:
        y = page.strip_top - 7 - label.line * BRACKET_LINE
        width = ink.width(label.words, 13, bold=True)
        ink.plate(label.x, y - 4, width, 13, theme.ground)
        paint_bracket(ink, label.left, label.right, y, theme.crowd)
        ink.text(label.x, y - 4, label.words, 13, theme.crowd, bold=True)
