"""The coverage strip: stacked petal colours, as high as layers are expected in flower."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import ceil
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF, QTransform
from shiboken6 import VoidPtr

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.marks import marks_over
from bloomline.draw.base.petals import Family, Petal, Theme
from bloomline.draw.season.axis import crisp
from bloomline.draw.season.days import DayScale
from bloomline.plan.forecast.report import Alike, LayerForecast, SeasonReport

MOST_SINGLE = 40
"""With more layers than this, those of one petal colour share a band."""
_MARK_RADIUS, _MARK_PITCH = 2.3, 13.0
_LOW = 50.0  # a strip of less height has only two numbers beside it

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class _Share:
    """Petals of one colour with their daily chance, and how many layers they are in all."""

    look: Petal
    opens: date
    chance: Floats
    times: float


@dataclass(frozen=True, slots=True)
class _Family:
    """All the bands of one colour family, for the pattern printed over them. [layers]"""

    looks: tuple[Petal, ...]
    lower: Floats
    upper: Floats
    edges: Floats
    """Upper edge of each of its bands, (n_bands, n_days)."""


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """Bands as outlines in (days from `first`, layers), each open where its layers flower."""

    first: date = date(2000, 1, 1)
    bands: tuple[tuple[Petal, tuple[QPolygonF, ...]], ...] = ()
    families: tuple[_Family, ...] = ()
    middles: Floats = field(default_factory=lambda: np.empty(0))
    """Noon of each day. [days]"""
    peak: float = 1.0
    is_single: bool = True
    """Whether each layer has a band of its own."""

    def levels(self, top: float, base: float) -> list[tuple[int, float]]:
        """Numbers of the scale beside the strip, and their heights. [px]"""
        levels = {0, round(self.peak)} | ({round(self.peak / 2)} if base - top >= _LOW else set())
        return [(each, base - each * (base - top) / self.peak) for each in sorted(levels)]


def plan_strip(
    report: SeasonReport,
    layers: Sequence[Alike],
    looks: Mapping[str, Petal],
    *,
    first: date,
    last: date,
) -> Strip:
    """Stack the daily chances: one colour family over the other, the earliest at the bottom.

    layers : those alike may be given as one; each has a band of its own where they are few and
    given one by one. Of a bench of equal pots every one counts.
    """
    flowering = [each for each in layers if each.layer.start is not None]
    if not flowering:
        return Strip(first)
    is_single = len(flowering) <= MOST_SINGLE and all(each.n_layers == 1 for each in flowering)
    groups: dict[object, list[_Share]] = defaultdict(list)
    first_of: dict[Family, date] = {}
    for layer, _, times in flowering:
        shares = _shares_of(layer, looks[layer.layer_id], times=times)
        for at, one in enumerate(shares):
            groups[(layer.layer_id, at) if is_single else one.look].append(one)
            family = one.look.family
            first_of[family] = min(first_of.get(family, date.max), one.opens)

    def order(group: list[_Share]) -> tuple[date, str, date]:
        family = group[0].look.family
        return first_of[family], family.value, min(one.opens for one in group)

    ordered = sorted(groups.values(), key=order)
    before, days = (first - report.first_day).days, (last - first).days + 1
    chances = np.zeros((len(ordered), days))
    for row, group in enumerate(ordered):
        # Layers of one planting share their chances.
        times_of: dict[int, float] = defaultdict(float)
        for one in group:
            times_of[id(one.chance)] += one.times
        for chance in {id(one.chance): one.chance for one in group}.values():
            part = chance[max(before, 0) : max(before + days, 0)]
            begin = max(-before, 0)
            chances[row, begin : begin + len(part)] += times_of[id(chance)] * part
    lower, upper = stack_bands(chances)
    middles = np.arange(chances.shape[1], dtype=np.float64) + 0.5
    of_band = [group[0].look for group in ordered]
    bands = tuple(
        (
            look,
            tuple(_polygon(outline) for outline in band_outlines(middles, lower[row], upper[row])),
        )
        for row, look in enumerate(of_band)
    )
    families = []
    for family in dict.fromkeys(look.family for look in of_band):
        rows = [row for row, look in enumerate(of_band) if look.family is family]
        some = tuple(of_band[row] for row in rows)
        families.append(_Family(some, lower[rows[0]], upper[rows[-1]], upper[rows]))
    peak = max(1.0, float(ceil(upper[-1].max())))
    return Strip(first, bands, tuple(families), middles, peak, is_single)


def _shares_of(layer: LayerForecast, look: Petal, *, times: int) -> list[_Share]:
    """What of the strip's height a layer's petals take: of a mixture those of each kind.

    times : how many such layers there are.
    """
    opens = layer.start.p50 if layer.start is not None else date.max
    if not look.parts:
        return [_Share(look, opens, layer.chance, times)]
    return [
        _Share(
            petal,
            opens if part.start is None else part.start.p50,
            part.chance,
            part.share * times,
        )
        for part, (petal, _, _) in zip(layer.parts, look.shares, strict=True)
    ]


def stack_bands(chances: Floats) -> tuple[Floats, Floats]:
    """Lower and upper edge of each band when daily chances are stacked.

    chances : shape (n_layers, n_days). [0..1]
    Returns two arrays of the same shape. [layers]
    """
    upper = np.cumsum(chances, axis=0, dtype=np.float64)
    return upper - chances, upper


def band_outlines(xs: Floats, lower: Floats, upper: Floats) -> list[Floats]:
    """Closed outlines (n_corners, 2) of one band, one for each stretch where it is open."""
    is_open = (upper - lower) > 1e-4
    steps = np.diff(np.concatenate(([0], is_open.view(np.int8), [0])))
    outlines = []
    for start, end in zip(np.flatnonzero(steps == 1), np.flatnonzero(steps == -1), strict=True):
        part = slice(max(0, start - 1), min(len(xs), end + 1))
        there = np.column_stack((xs[part], upper[part]))
        outlines.append(np.concatenate((there, np.column_stack((xs[part], lower[part]))[::-1])))
    return outlines


def _polygon(corners: Floats) -> QPolygonF:
    """Corners (n, 2) as a polygon; copied whole, since points one by one take milliseconds."""
    polygon = QPolygonF()
    polygon.resize(len(corners))
    # The stubs don't know that a polygon's data is a pointer.
    memory: Any = VoidPtr(polygon.data(), corners.nbytes, True)  # type: ignore[call-arg, arg-type]
    np.frombuffer(memory, dtype=np.float64)[:] = corners.ravel()
    return polygon


class StripPainter:
    """Paints a strip; keeps where the marks stand until days or heights change."""

    def __init__(self) -> None:
        self._key: object = None
        self._marks: dict[Petal, list[tuple[float, float]]] = {}

    def paint(
        self,
        ink: Ink,
        strip: Strip,
        *,
        scale: DayScale,
        top: float,
        base: float,
        theme: Theme,
        crowd_limit: int | None,
    ) -> None:
        """Paint the lines of its numbers, the bands with their marks, and the crowd's limit."""
        painter, unit = ink.painter, (base - top) / strip.peak
        painter.setPen(QPen(QColor(theme.month_line), 1.0))
        for _, y in strip.levels(top, base):
            painter.drawLine(QLineF(scale.left, crisp(y), scale.right, crisp(y)))
        place = QTransform(scale.per_day, 0, 0, -unit, scale.x_of(strip.first), base)
        for look, outlines in strip.bands:
            # Outlines of very many thin bands would turn into a grey of their own.
            painter.setPen(QPen(QColor(look.outline), 0.7 if strip.is_single else 0.5))
            painter.setBrush(QColor(look.fill))
            for outline in outlines:
                painter.drawPolygon(place.map(outline))
        key = (strip, scale, top, base)
        if key != self._key:
            self._key, self._marks = key, _mark_centres(strip, scale, base=base, unit=unit)
        for look, centres in self._marks.items():
            ink.marks(centres, look, radius=_MARK_RADIUS)
        if crowd_limit is not None and strip.bands:
            limit = QColor(theme.crowd)
            limit.setAlphaF(0.6)
            painter.setPen(QPen(limit, 1.0, Qt.PenStyle.DotLine))
            y = crisp(base - crowd_limit * unit)
            painter.drawLine(QLineF(scale.left, y, scale.right, y))


def _mark_centres(
    strip: Strip, scale: DayScale, *, base: float, unit: float
) -> dict[Petal, list[tuple[float, float]]]:
    """Where marks stand: one pattern over a whole family, since single bands are too thin."""
    xs = scale.x_of(strip.first) + strip.middles * scale.per_day
    found: dict[Petal, list[tuple[float, float]]] = defaultdict(list)
    for family in strip.families:
        centres = marks_over(
            xs,
            base - family.upper * unit,
            base - family.lower * unit,
            radius=_MARK_RADIUS,
            pitch=_MARK_PITCH,
            seen=(scale.left, scale.right),
        )
        index = np.clip(np.round((centres[:, 0] - xs[0]) / scale.per_day), 0, len(xs) - 1)
        # The owner is the lowest band whose upper edge lies above the mark.
        edges = base - family.edges[:, index.astype(np.int64)] * unit
        is_under = edges <= centres[:, 1]
        owners = np.where(is_under.any(axis=0), is_under.argmax(axis=0), len(edges) - 1)
        for owner, (x, y) in zip(owners.tolist(), centres.tolist(), strict=True):
            found[family.looks[owner]].append((x, y))
    return found


def paint_strip_side(
    ink: Ink,
    theme: Theme,
    levels: Sequence[tuple[int, float]],
    words: tuple[str, str],
    *,
    left: float,
    right: float,
    base: float,
    px: int,
    small_px: int,
    number: Callable[[int], str] = str,
) -> None:
    """Write what a strip shows and the numbers of its scale, left of it."""
    room = right - left - 20
    title, second = (
        ink.fitted(one, size, room, bold=size == px)
        for one, size in zip(words, (px, small_px), strict=True)
    )
    ink.text(left, base - px * 1.5, title, px, theme.ink, bold=True)
    ink.text(left, base - small_px * 0.2, second, small_px, theme.muted)
    for level, y in levels:
        ink.text(right, y + small_px * 0.35, number(level), small_px, theme.muted, align="right")
