"""Paints the bars of the rows that are seen, in one pass for each colour.

The parts are those of the printed chart: full tone between the middle dates, soft ends that
follow the daily chance, the petal's marks, the lozenge of full flower.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QLinearGradient, QPainterPath, QPen, QPolygonF

from bloomline.draw.bars import soft_brush
from bloomline.draw.ink import Ink
from bloomline.draw.layout import bar_chance, fade_tones
from bloomline.draw.petals import Petal
from bloomline.plan.report import LayerForecast, SeasonReport
from bloomline.ui.season.geometry import BarDays, DayView, bar_days, marks_along
from bloomline.ui.season.shown import Shown

_ONE = timedelta(days=1)
_LEAST_CORE = 3.0  # a flower of a day is still seen on a whole year


@dataclass(frozen=True, slots=True)
class BarPlace:
    """A bar to paint: its layer, and the middle of its row. [px]"""

    layer: LayerForecast
    middle: float


@dataclass(frozen=True, slots=True)
class _Soft:
    """Brushes of a soft end over its own width: the thin edges, and the fill between them."""

    edge: QBrush
    fill: QBrush


class BarPainter:
    """Paints bars; keeps what does not change while the view scrolls and zooms."""

    def __init__(self, shown: Shown) -> None:
        self._shown = shown
        self._softs: dict[tuple[str, bool], _Soft] = {}
        self._version = -1

    def paint(self, ink: Ink, places: Sequence[BarPlace], *, days: DayView, seen: QRectF) -> int:
        """Paint the bars that are seen and return their number."""
        report = self._shown.report
        if report is None:
            return 0
        if self._version != self._shown.version:
            self._softs.clear()
            self._version = self._shown.version
        bars = [
            (place, spans, self._shown.petals[place.layer.layer_id])
            for place in places
            if (spans := bar_days(place.layer)) is not None
            and spans.across(days)[1] >= seen.left()
            and spans.across(days)[0] <= seen.right()
        ]
        self._clear_ground(ink, bars, days)
        ink.painter.setPen(Qt.PenStyle.NoPen)
        for place, spans, petal in bars:
            self._paint_softs(ink, report, place, spans, petal, days)
        self._paint_cores(ink, bars, days, seen)
        self._paint_marks(ink, bars, days, seen)
        return len(bars)

    def _clear_ground(
        self, ink: Ink, bars: list[tuple[BarPlace, BarDays, Petal]], days: DayView
    ) -> None:
        height = self._shown.look.bar_height
        rects = []
        for place, spans, _ in bars:
            left, right = spans.across(days)
            rects.append(QRectF(left, place.middle - height / 2, right - left, height))
        ink.painter.setPen(Qt.PenStyle.NoPen)
        ink.painter.setBrush(QColor(self._shown.look.theme.ground))
        ink.painter.drawRects(rects)

    def _paint_softs(
        self,
        ink: Ink,
        report: SeasonReport,
        place: BarPlace,
        spans: BarDays,
        petal: Petal,
        days: DayView,
    ) -> None:
        height = self._shown.look.bar_height
        under = height * 0.3  # a little under the core, whose corners are rounded
        top = place.middle - height / 2 + 1
        for is_rising, first, last in (
            (True, spans.rise, spans.open - _ONE),
            (False, spans.close + _ONE, spans.fall),
        ):
            if last < first:
                continue
            soft = self._soft(report, place.layer, petal, first, last, is_rising=is_rising)
            left = days.x_of(first) - (0.0 if is_rising else under)
            right = days.x(last.toordinal() + 1) + (under if is_rising else 0.0)
            rect = QRectF(left, top, right - left, height - 2)
            ink.painter.fillRect(rect, soft.edge)
            ink.painter.fillRect(rect.adjusted(0, 1, 0, -1), soft.fill)

    def _soft(
        self,
        report: SeasonReport,
        layer: LayerForecast,
        petal: Petal,
        first: date,
        last: date,
        *,
        is_rising: bool,
    ) -> _Soft:
        key = (layer.layer_id, is_rising)
        if key not in self._softs:
            tones = fade_tones(bar_chance(report, layer, first, last), is_rising=is_rising)
            ground = self._shown.look.theme.ground
            self._softs[key] = _Soft(
                edge=_brush(tones, petal.outline, ground), fill=_brush(tones, petal.fade, ground)
            )
        return self._softs[key]

    def _core(self, spans: BarDays, place: BarPlace, days: DayView) -> QRectF:
        height = self._shown.look.bar_height
        left, right = spans.core(days)
        if right - left < _LEAST_CORE:
            middle = (left + right) / 2
            left, right = middle - _LEAST_CORE / 2, middle + _LEAST_CORE / 2
        return QRectF(left, place.middle - height / 2, right - left, height)

    def _paint_cores(
        self,
        ink: Ink,
        bars: list[tuple[BarPlace, BarDays, Petal]],
        days: DayView,
        seen: QRectF,
    ) -> None:
        paths: dict[tuple[str, str], QPainterPath] = defaultdict(QPainterPath)
        margin = 40.0
        for place, spans, petal in bars:
            rect = self._core(spans, place, days)
            if rect.right() < seen.left() or rect.left() > seen.right():
                continue
            rect.setLeft(max(rect.left(), seen.left() - margin))
            rect.setRight(min(rect.right(), seen.right() + margin))
            radius = min(rect.height() * 0.28, rect.width() / 2)
            path = paths[petal.fill, petal.outline]
            path.addRoundedRect(rect.adjusted(0.6, 0.6, -0.6, -0.6), radius, radius)
        for (fill, outline), path in paths.items():
            ink.painter.setPen(QPen(QColor(outline), 1.2))
            ink.painter.setBrush(QColor(fill))
            ink.painter.drawPath(path)

    def _paint_marks(
        self,
        ink: Ink,
        bars: list[tuple[BarPlace, BarDays, Petal]],
        days: DayView,
        seen: QRectF,
    ) -> None:
        look = self._shown.look
        height = look.bar_height
        radius, pitch, keep_off = height * 0.22, height * 0.92, height * 0.34
        span = (seen.left(), seen.right())
        centres: dict[Petal, list[tuple[float, float]]] = defaultdict(list)
        fulls: list[QPointF] = []
        for place, spans, petal in bars:
            core = self._core(spans, place, days)
            if core.right() < seen.left() or core.left() > seen.right():
                continue
            left, right = core.left(), core.right()
            full = place.layer.full
            full_x = None if full is None else days.middle_of(full.p50)
            stretches = [(left, right)]
            if full_x is not None:
                stretches = [(left, full_x - keep_off), (full_x + keep_off, right)]
            # Too narrow for both: the mark tells the colour, so it comes before the full flower.
            has_room = any(b - a >= 2 * radius + 2 for a, b in stretches)
            if not has_room:
                stretches = [(left, right)]
                full_x = None if right - left >= 2 * radius + 2 else full_x
            centres[petal] += [
                (x, place.middle)
                for a, b in stretches
                for x in marks_along(a, b, radius=radius, pitch=pitch, seen=span)
            ]
            if full_x is not None:
                fulls.append(QPointF(full_x, place.middle))
        for petal, some in centres.items():
            ink.marks(some, petal, radius=radius)
        self._paint_fulls(ink, fulls, height * 0.74)

    def _paint_fulls(self, ink: Ink, fulls: list[QPointF], size: float) -> None:
        theme = self._shown.look.theme
        for half_width, half_height, colour in (
            (size * 0.30 + 1.8, size * 0.50 + 2.4, theme.ground),
            (size * 0.30, size * 0.50, theme.ink),
        ):
            path = QPainterPath()
            for at in fulls:
                x, y = at.x(), at.y()
                path.addPolygon(
                    QPolygonF(
                        [
                            QPointF(x, y - half_height),
                            QPointF(x + half_width, y),
                            QPointF(x, y + half_height),
                            QPointF(x - half_width, y),
                        ]
                    )
                )
                path.closeSubpath()
            ink.painter.setPen(Qt.PenStyle.NoPen)
            ink.painter.setBrush(QColor(colour))
            ink.painter.drawPath(path)


def _brush(tones: NDArray[np.float64], colour_hex: str, ground_hex: str) -> QBrush:
    """A brush over the width of what it fills, so that it lasts through zoom and pan."""
    gradient = QLinearGradient(0.0, 0.0, 1.0, 0.0)
    gradient.setCoordinateMode(QLinearGradient.CoordinateMode.ObjectMode)
    return soft_brush(gradient, tones, colour_hex, ground_hex)
