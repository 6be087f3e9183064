"""Paints one layer's bar: full tone in the middle, soft ends, marks, the full flower."""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QLinearGradient, QPen, QPolygonF

from bloomline.draw.ink import Ink
from bloomline.draw.layout import DayScale, bar_chance, fade_tones
from bloomline.draw.marks import marks_in_bar
from bloomline.draw.petals import Petal, Theme, mix
from bloomline.plan.report import LayerForecast, SeasonReport

MOST_STOPS = 16


@lru_cache(maxsize=8192)
def _blend(ground_hex: str, colour_hex: str, share_64: int) -> QColor:
    return QColor(mix(ground_hex, colour_hex, share_64 / 64))


def soft_brush(
    gradient: QLinearGradient, tones: NDArray[np.float64], colour_hex: str, ground_hex: str
) -> QBrush:
    """A brush that runs between ground and colour; opaque, since PDF loses clear gradients.

    gradient : from where to where; its stops are set here.
    """
    count = len(tones)
    places = (np.arange(count) + 0.5) / count
    if count > MOST_STOPS:
        chosen = np.linspace(places[0], places[-1], MOST_STOPS)
        places, tones = chosen, np.interp(chosen, places, tones)
    for place, tone in zip(places.tolist(), tones.tolist(), strict=True):
        gradient.setColorAt(place, _blend(ground_hex, colour_hex, round(tone * 64)))
    return QBrush(gradient)


def _soft(
    left: float, right: float, tones: NDArray[np.float64], colour_hex: str, ground_hex: str
) -> QBrush:
    return soft_brush(QLinearGradient(left, 0.0, right, 0.0), tones, colour_hex, ground_hex)


def paint_fade(
    ink: Ink,
    rect: QRectF,
    tones: NDArray[np.float64],
    petal: Petal,
    theme: Theme,
    *,
    edge: float = 1.0,
) -> None:
    """Paint a soft end: the fill and thin edges, so that a white one is seen as well."""
    if rect.width() <= 0 or not len(tones):
        return
    painter, left, right = ink.painter, rect.left(), rect.right()
    lines = _soft(left, right, tones, petal.outline, theme.ground)
    painter.fillRect(rect, lines)
    inner = rect.adjusted(0, edge, 0, -edge)
    painter.fillRect(inner, _soft(left, right, tones, petal.fade, theme.ground))


def paint_core(ink: Ink, rect: QRectF, petal: Petal) -> None:
    """Paint the middle dates: full tone, outlined."""
    painter = ink.painter
    pen = QPen(QColor(petal.outline), 1.2)
    painter.setPen(pen)
    painter.setBrush(QColor(petal.fill))
    radius = min(rect.height() * 0.28, rect.width() / 2)
    painter.drawRoundedRect(rect.adjusted(0.6, 0.6, -0.6, -0.6), radius, radius)


def paint_full(ink: Ink, x: float, middle: float, height: float, theme: Theme) -> None:
    """Paint the sign of full flower: a lozenge with a rim of the ground's colour."""
    painter = ink.painter
    for half_width, half_height, colour in (
        (height * 0.30 + 1.8, height * 0.50 + 2.4, theme.ground),
        (height * 0.30, height * 0.50, theme.ink),
    ):
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colour))
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(x, middle - half_height),
                    QPointF(x + half_width, middle),
                    QPointF(x, middle + half_height),
                    QPointF(x - half_width, middle),
                ]
            )
        )


def paint_bar(
    ink: Ink,
    report: SeasonReport,
    layer: LayerForecast,
    petal: Petal,
    *,
    scale: DayScale,
    middle: float,
    bar_height: float,
    theme: Theme,
) -> tuple[float, float] | None:
    """Paint a layer's bar round `middle`; return its outer left and right, None if unseen."""
    if layer.start is None or layer.end is None:
        return None
    top = middle - bar_height / 2
    core_first, core_last = layer.start.p50, max(layer.end.p50, layer.start.p50)
    rise_first = min(layer.start.p10, core_first)
    fall_last = max(layer.end.p90, core_last)
    outer = scale.span(rise_first, fall_last)
    if outer is None:
        return None
    # The ground under the bar is cleared, or the hatching would shine through its soft ends.
    ink.painter.fillRect(
        QRectF(outer[0], top, outer[1] - outer[0], bar_height), QColor(theme.ground)
    )
    one = timedelta(days=1)
    for first, last, is_rising in (
        (rise_first, core_first - one, True),
        (core_last + one, fall_last, False),
    ):
        if last < first:
            continue
        left, right = scale.x(first), scale.x_end(last)
        tones = fade_tones(bar_chance(report, layer, first, last), is_rising=is_rising)
        # The soft end runs a little under the core, whose corners are rounded.
        if is_rising:
            right += bar_height * 0.3
        else:
            left -= bar_height * 0.3
        rect = QRectF(left, top + 1, right - left, bar_height - 2)
        paint_fade(ink, rect, tones, petal, theme)
    core = QRectF(
        scale.x(core_first), top, scale.x_end(core_last) - scale.x(core_first), bar_height
    )
    paint_core(ink, core, petal)
    radius = bar_height * 0.22
    full_x = None if layer.full is None else _middle_of(scale, layer.full.p50)
    keep_off = bar_height * 0.34
    stretches = [(core.left(), core.right())]
    if full_x is not None:
        stretches = [(core.left(), full_x - keep_off), (full_x + keep_off, core.right())]
    centres = [
        centre
        for left, right in stretches
        for centre in marks_in_bar(left, right, middle, radius=radius, pitch=bar_height * 0.92)
    ]
    if not centres:
        # Too narrow for both: the mark tells the colour, so it comes before the full flower.
        centres = list(
            marks_in_bar(core.left(), core.right(), middle, radius=radius, pitch=core.width())
        )
        full_x = None if centres else full_x
    ink.marks(centres, petal, radius=radius)
    if full_x is not None:
        paint_full(ink, full_x, middle, bar_height * 0.74, theme)
    return outer


def _middle_of(scale: DayScale, day: date) -> float:
    return scale.x(day) + scale.day_width / 2
