"""Paints bars in one pass for each colour: full tone, soft ends, marks, the full flower."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QLinearGradient, QPaintEngine, QPainterPath, QPen

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.marks import marks_along
from bloomline.draw.base.petals import Petal, Theme, mix
from bloomline.draw.season.days import BarDays, DayScale, bar_chance, bar_days
from bloomline.draw.season.signs import lozenge
from bloomline.plan.forecast.report import LayerForecast, PartForecast, SeasonReport

FAINTEST = 0.08  # tone of a bar at the outer edge of its band
FADE_TONE = 0.72  # tone of a bar just outside its middle dates
_MOST_STOPS = 16
_LEAST_MARKED = 4.0  # a lane of less height has no room for a mark [px]
_LEAST_CORE = 3.0  # a flower of a day is still seen on a whole year
_BEYOND = 40.0  # how far past what is seen a bar is still painted
_ONE = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar to paint round a height: its days, its petal and how its ends fade.

    key : tells bars apart whose ends fade differently. source : whose daily chances the soft
    ends follow; without it they fade evenly. begin, end : which part of a row's height it
    fills, for the kinds of a mixture below each other.
    """

    key: Hashable
    days: BarDays
    look: Petal
    middle: float
    full: date | None = None
    source: tuple[SeasonReport, LayerForecast | PartForecast] | None = None
    begin: float = 0.0
    end: float = 1.0

    def lane(self, height: float) -> tuple[float, float]:
        """Its top and height in a row so high. [px]"""
        return self.middle + (self.begin - 0.5) * height, (self.end - self.begin) * height

    def tones(self, *, is_rising: bool) -> NDArray[np.float64]:
        """Tone of each day of a soft end [0..1]; empty where there is none."""
        first, last = (
            (self.days.rise, self.days.open - _ONE)
            if is_rising
            else (self.days.close + _ONE, self.days.fall)
        )
        if self.source is not None:
            return fade_tones(bar_chance(*self.source, first, last), is_rising=is_rising)
        even = np.linspace(0.0, 1.0, max((last - first).days + 1, 0))
        return fade_tones(even if is_rising else even[::-1], is_rising=is_rising)


def bars_of(report: SeasonReport, layer: LayerForecast, look: Petal, middle: float) -> list[Bar]:
    """A layer's bar, of a mixture one of each kind below the other; empty without a flower."""
    days = bar_days(layer.start, layer.end)
    if days is None:
        return []
    full = None if layer.full is None else layer.full.p50
    if not look.parts:
        return [Bar(layer.layer_id, days, look, middle, full, (report, layer))]
    bars = []
    for at, (part, (petal, begin, end)) in enumerate(zip(layer.parts, look.shares, strict=True)):
        own = bar_days(part.start, part.end)
        if own is not None:
            key = (layer.layer_id, at)
            bars.append(Bar(key, own, petal, middle, None, (report, part), begin, end))
    return bars


def fade_tones(chance: NDArray[np.float64], *, is_rising: bool) -> NDArray[np.float64]:
    """Tone [0..1] of each day of a bar's soft end, from its daily chance.

    The tone follows the chance, scaled so that the day next to the middle dates has
    FADE_TONE and the outer edge is only just seen; it never turns back on its way.
    """
    if not len(chance):
        return chance
    ordered = chance if is_rising else chance[::-1]
    climbing = np.maximum.accumulate(np.clip(ordered, 0.0, 1.0))
    foot, top = float(climbing[0]), float(climbing[-1])
    share = (climbing - foot) / (top - foot) if top - foot > 1e-9 else np.ones(len(climbing))
    tones = FAINTEST + (FADE_TONE - FAINTEST) * share
    return tones if is_rising else tones[::-1]


@dataclass(frozen=True, slots=True)
class Soft:
    """Brushes of a soft end over its own width: thin edges, so that white is seen, and fill."""

    edge: QBrush
    fill: QBrush

    @classmethod
    def of(cls, tones: NDArray[np.float64], look: Petal, ground: str) -> Soft:
        """The brushes for daily tones."""
        return cls(_brush(tones, look.outline, ground), _brush(tones, look.fade, ground))


@lru_cache(maxsize=8192)
def _blend(ground_hex: str, colour_hex: str, share_64: int) -> QColor:
    return QColor(mix(ground_hex, colour_hex, share_64 / 64))


def _brush(tones: NDArray[np.float64], colour_hex: str, ground_hex: str) -> QBrush:
    """A brush between ground and colour; opaque, since PDF loses clear gradients."""
    count = len(tones)
    places = (np.arange(count) + 0.5) / count
    if count > _MOST_STOPS:
        chosen = np.linspace(places[0], places[-1], _MOST_STOPS)
        places, tones = chosen, np.interp(chosen, places, tones)
    gradient = QLinearGradient(0.0, 0.0, 1.0, 0.0)
    gradient.setCoordinateMode(QLinearGradient.CoordinateMode.ObjectMode)
    for place, tone in zip(places.tolist(), tones.tolist(), strict=True):
        gradient.setColorAt(place, _blend(ground_hex, colour_hex, round(tone * 64)))
    return QBrush(gradient)


def paint_soft(ink: Ink, rect: QRectF, soft: Soft) -> None:
    """Paint a soft end."""
    for brush, part in ((soft.edge, rect), (soft.fill, rect.adjusted(0, 1, 0, -1))):
        if ink.painter.paintEngine().type() != QPaintEngine.Type.Raster:
            # Paper has no brushes that stretch with what they fill.
            own = QLinearGradient(part.topLeft(), part.topRight())
            own.setStops(brush.gradient().stops())
            brush = QBrush(own)
        ink.painter.fillRect(part, brush)


def paint_cores(ink: Ink, cores: Iterable[tuple[Petal, QRectF]]) -> None:
    """Paint middle dates: full tone, outlined."""
    paths: dict[tuple[str, str], QPainterPath] = defaultdict(QPainterPath)
    for look, rect in cores:
        radius = min(rect.height() * 0.28, rect.width() / 2)
        inner = rect.adjusted(0.6, 0.6, -0.6, -0.6)
        paths[look.fill, look.outline].addRoundedRect(inner, radius, radius)
    for (fill, outline), path in paths.items():
        ink.painter.setPen(QPen(QColor(outline), 1.2))
        ink.painter.setBrush(QColor(fill))
        ink.painter.drawPath(path)


def paint_fulls(ink: Ink, places: Sequence[QPointF], size: float, theme: Theme) -> None:
    """Paint signs of full flower: lozenges with a rim of the ground's colour."""
    ink.painter.setPen(Qt.PenStyle.NoPen)
    for rim, colour in ((1.0, theme.ground), (0.0, theme.ink)):
        path = QPainterPath()
        for at in places:
            path.addPolygon(
                lozenge(at.x(), at.y(), size * 0.30 + 1.8 * rim, size * 0.50 + 2.4 * rim)
            )
            path.closeSubpath()
        ink.painter.setBrush(QColor(colour))
        ink.painter.drawPath(path)


class BarPainter:
    """Paints bars; keeps what does not change while a view scrolls and zooms."""

    def __init__(self) -> None:
        self._softs: dict[Hashable, tuple[Soft | None, Soft | None]] = {}
        self._version: object = None

    def paint(
        self,
        ink: Ink,
        bars: Iterable[Bar],
        *,
        scale: DayScale,
        height: float,
        seen: QRectF,
        theme: Theme,
        ground: str = "",
        has_marks: bool = True,
        version: object = None,
    ) -> None:
        """Paint the bars that are seen.

        ground : what the soft ends fade into, if not the theme's. version : what is kept counts
        while it is the same.
        """
        ground = ground or theme.ground
        if (version, ground) != self._version:
            self._softs.clear()
            self._version = (version, ground)
        shown = [
            (bar, left, right)
            for bar in bars
            for left, right in [bar.days.across(scale)]
            if right >= seen.left() and left <= seen.right()
        ]
        # The ground under a bar is cleared, or hatching would shine through its soft ends.
        ink.painter.setPen(Qt.PenStyle.NoPen)
        ink.painter.setBrush(QColor(ground))
        ink.painter.drawRects(
            [QRectF(a, top, b - a, high) for bar, a, b in shown for top, high in [bar.lane(height)]]
        )
        for bar, left, right in shown:
            self._paint_softs(ink, bar, left, right, scale, height, ground)
        cores = [(bar, self._core(bar, scale, height)) for bar, *_ in shown]
        edges = seen.left() - _BEYOND, seen.right() + _BEYOND
        cut = ((bar.look, _cut(core, *edges)) for bar, core in cores)
        paint_cores(ink, [each for each in cut if each[1].width() > 0.0])
        if has_marks:
            self._paint_marks(ink, cores, scale, height, seen, theme)

    def _paint_softs(
        self,
        ink: Ink,
        bar: Bar,
        left: float,
        right: float,
        scale: DayScale,
        height: float,
        ground: str,
    ) -> None:
        if bar.key not in self._softs:
            tones = [bar.tones(is_rising=is_rising) for is_rising in (True, False)]
            rise, fall = (Soft.of(t, bar.look, ground) if len(t) else None for t in tones)
            self._softs[bar.key] = (rise, fall)
        rise, fall = self._softs[bar.key]
        opens, closes = bar.days.core(scale)
        top, high = bar.lane(height)
        under = high * 0.3  # a little under the core, whose corners are rounded
        top, inner = top + 1, high - 2
        if rise is not None:
            paint_soft(ink, QRectF(left, top, opens + under - left, inner), rise)
        if fall is not None:
            begin = closes - under
            paint_soft(ink, QRectF(begin, top, right - begin, inner), fall)

    @staticmethod
    def _core(bar: Bar, scale: DayScale, height: float) -> QRectF:
        left, right = bar.days.core(scale)
        spare = max(_LEAST_CORE - (right - left), 0.0) / 2
        top, high = bar.lane(height)
        return QRectF(left - spare, top, right - left + 2 * spare, high)

    @staticmethod
    def _paint_marks(
        ink: Ink,
        cores: Sequence[tuple[Bar, QRectF]],
        scale: DayScale,
        height: float,
        seen: QRectF,
        theme: Theme,
    ) -> None:
        keep_off = height * 0.34
        span = (seen.left(), seen.right())
        centres: Mapping[tuple[Petal, float], list[tuple[float, float]]] = defaultdict(list)
        fulls: list[QPointF] = []
        for bar, core in cores:
            left, right = core.left(), core.right()
            radius, pitch = max(core.height() * 0.22, 1.4), core.height() * 0.92
            if core.height() < _LEAST_MARKED or right < span[0] or left > span[1]:
                continue
            full = None if bar.full is None else scale.middle_of(bar.full)
            stretches = [(left, right)]
            if full is not None:
                stretches = [(left, full - keep_off), (full + keep_off, right)]
                # Too narrow for both: the mark tells the colour, so it comes before the full
                # flower.
                if all(b - a < 2 * radius + 2 for a, b in stretches):
                    stretches = [(left, right)]
                    full = None if right - left >= 2 * radius + 2 else full
            centres[bar.look, radius].extend(
                (x, core.center().y())
                for a, b in stretches
                for x in marks_along(a, b, radius=radius, pitch=pitch, seen=span)
            )
            if full is not None:
                fulls.append(QPointF(full, bar.middle))
        for (look, radius), some in centres.items():
            ink.marks(some, look, radius=radius)
        paint_fulls(ink, fulls, height * 0.74, theme)


def _cut(rect: QRectF, left: float, right: float) -> QRectF:
    """A rectangle cut at two edges."""
    begin, end = max(rect.left(), left), min(rect.right(), right)
    return QRectF(begin, rect.top(), end - begin, rect.height())
