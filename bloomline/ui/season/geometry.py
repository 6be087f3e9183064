"""Geometry of the timeline: days to pixels, rows, zoom and pan. Knows no Qt."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from bloomline.draw.layout import DayScale, shown_days
from bloomline.draw.page import ordered_pots
from bloomline.plan.report import CompanionForecast, LayerForecast, PotForecast, SeasonReport

LEAST_DAYS = 14.0
"""The closest zoom: two weeks over the whole width."""

Range = tuple[float, float]
"""Day numbers (`date.toordinal()`) at the left and at the right edge."""


@dataclass(frozen=True, slots=True)
class DayView:
    """Which day lies where: day numbers from `first` to `last` over a width of pixels.

    A day fills the stretch from x(day) to x(day + 1).
    """

    first: float
    last: float
    left: float
    width: float

    @property
    def per_day(self) -> float:
        """Width of a day. [px]"""
        return self.width / (self.last - self.first)

    @property
    def right(self) -> float:
        """The right edge. [px]"""
        return self.left + self.width

    def x(self, number: float) -> float:
        """The x of a day number."""
        return self.left + (number - self.first) * self.per_day

    def x_of(self, day: date) -> float:
        """The x at the start of a day."""
        return self.x(day.toordinal())

    def middle_of(self, day: date) -> float:
        """The x at noon of a day."""
        return self.x(day.toordinal() + 0.5)

    def number_at(self, x: float) -> float:
        """The day number at an x."""
        return self.first + (x - self.left) / self.per_day

    def day_at(self, x: float) -> date:
        """The day at an x, kept to the days that a calendar has."""
        number = floor(self.number_at(x))
        return date.fromordinal(min(max(number, 1), date.max.toordinal()))

    def scale(self) -> DayScale:
        """The scale of the chart painters for the whole days that this view touches."""
        first, last = floor(self.first), ceil(self.last)
        return DayScale(
            date.fromordinal(first), last - first, self.x(first), (last - first) * self.per_day
        )


# Zoom and pan


def kept_within(window: Range, limits: Range) -> Range:
    """A window moved, and if it must be narrowed, so that it lies within the limits."""
    span = min(window[1] - window[0], limits[1] - limits[0])
    first = min(max(window[0], limits[0]), limits[1] - span)
    return first, first + span


def zoomed(window: Range, factor: float, *, around: float, limits: Range) -> Range:
    """A window `factor` times as narrow; the day number `around` stays where it is."""
    old = window[1] - window[0]
    most = limits[1] - limits[0]
    span = min(max(old / factor, min(LEAST_DAYS, most)), most)
    share = (around - window[0]) / old
    first = around - share * span
    return kept_within((first, first + span), limits)


def panned(window: Range, days: float, *, limits: Range) -> Range:
    """A window moved by a number of days."""
    return kept_within((window[0] + days, window[1] + days), limits)


def brought_into(window: Range, day: date, *, limits: Range, margin: float = 0.06) -> Range:
    """The window, moved as little as needed for a day to lie within it."""
    edge = (window[1] - window[0]) * margin
    number = day.toordinal() + 0.5
    if number < window[0] + edge:
        return panned(window, number - edge - window[0], limits=limits)
    if number > window[1] - edge:
        return panned(window, number + edge - window[1], limits=limits)
    return window


def limits_of(report: SeasonReport) -> Range:
    """The days that can be shown: those of the report."""
    return float(report.first_day.toordinal()), float(report.last_day.toordinal() + 1)


def whole_season(report: SeasonReport) -> Range:
    """The window that shows every planting and every flower of the season."""
    first, last = shown_days(report, report.layers, companions=report.companions, show_planted=True)
    return kept_within((float(first.toordinal()), float(last.toordinal() + 1)), limits_of(report))


def growing_days(report: SeasonReport) -> tuple[date, date]:
    """First and last day on which there is something to see: from the noses to the last flower."""
    first, last = shown_days(report, report.layers)
    for layer in report.layers:
        if layer.nose is not None:
            first = min(first, layer.nose.p10 - timedelta(days=7))
    return max(first, report.first_day), min(last, report.last_day)


# Rows


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """A row of the timeline: a pot's heading, one of its layers or what stands on top."""

    pot: PotForecast
    layer: LayerForecast | None = None
    companion: CompanionForecast | None = None

    @property
    def is_heading(self) -> bool:
        """Whether it is a pot's heading."""
        return self.layer is None and self.companion is None


class RowTable:
    """All rows from top to bottom, and where each of them lies. [px]"""

    def __init__(
        self, rows: Sequence[SeasonRow] = (), *, row_height: float = 24, pot_height: float = 30
    ) -> None:
        self.rows = tuple(rows)
        heights = [pot_height if row.is_heading else row_height for row in self.rows]
        self._tops: NDArray[np.float64] = np.concatenate(([0.0], np.cumsum(heights, dtype=float)))
        self._of_layer = {
            row.layer.layer_id: index for index, row in enumerate(self.rows) if row.layer
        }
        self._of_pot = {
            row.pot.pot_id: index for index, row in enumerate(self.rows) if row.is_heading
        }
        self._of_companion = {
            row.companion.planting_id: index for index, row in enumerate(self.rows) if row.companion
        }

    @property
    def height(self) -> float:
        """Height of all the rows."""
        return float(self._tops[-1])

    def span(self, index: int) -> tuple[float, float]:
        """Top and bottom of a row."""
        return float(self._tops[index]), float(self._tops[index + 1])

    def middle(self, index: int) -> float:
        """The middle of a row."""
        return float(self._tops[index] + self._tops[index + 1]) / 2

    def visible(self, top: float, bottom: float) -> range:
        """The rows that are seen, at least in part, between two heights."""
        first = int(np.searchsorted(self._tops, top, side="right")) - 1
        last = int(np.searchsorted(self._tops, bottom, side="left"))
        return range(max(first, 0), min(max(last, 0), len(self.rows)))

    def at(self, y: float) -> int | None:
        """The row at a height."""
        if not 0 <= y < self.height:
            return None
        return int(np.searchsorted(self._tops, y, side="right")) - 1

    def of_layer(self, layer_id: str | None) -> int | None:
        """The row of a layer."""
        return None if layer_id is None else self._of_layer.get(layer_id)

    def of_companion(self, planting_id: str | None) -> int | None:
        """The row of companions."""
        return None if planting_id is None else self._of_companion.get(planting_id)

    def of_pot(self, pot_id: str | None) -> int | None:
        """The row of a pot's heading."""
        return None if pot_id is None else self._of_pot.get(pot_id)

    @property
    def places(self) -> dict[str, int]:
        """The row of every pot, layer and planting of companions, by id."""
        return {**self._of_pot, **self._of_layer, **self._of_companion}

    def next_part(self, index: int | None, step: int) -> SeasonRow | None:
        """The layer or companions after (or before) a row; the first ones without a row."""
        if index is None:
            index = -1 if step > 0 else len(self.rows)
        index += step
        while 0 <= index < len(self.rows):
            if not self.rows[index].is_heading:
                return self.rows[index]
            index += step
        return None


def plan_rows(
    report: SeasonReport,
    *,
    by_first_flower: bool = False,
    held: Mapping[str, int] | None = None,
) -> list[SeasonRow]:
    """The rows of a report: pots in the yard's order or by first flower, then their parts.

    held : places of pots and layers that must keep their order, so that a row does not jump
    away under the hand that moves it; new ones come last.
    """
    pots = list(ordered_pots(report, None, in_yard_order=not by_first_flower))
    if held is not None:
        pots.sort(key=lambda pot: held.get(pot.pot_id, len(held)))
    rows = []
    for pot in pots:
        rows.append(SeasonRow(pot, None))
        layers = list(pot.layers)
        if held is not None:
            layers.sort(key=lambda layer: held.get(layer.layer_id, len(held)))
        rows += [SeasonRow(pot, layer) for layer in layers]
        companions = list(pot.companions)
        if held is not None:
            companions.sort(key=lambda each: held.get(each.planting_id, len(held)))
        rows += [SeasonRow(pot, companion=each) for each in companions]
    return rows


# Bars


@dataclass(frozen=True, slots=True)
class BarDays:
    """The days of a layer's bar: soft from `rise`, in full tone from `open` to `close`."""

    rise: date
    open: date
    close: date
    fall: date

    def across(self, days: DayView) -> tuple[float, float]:
        """Outer left and right of the bar. [px]"""
        return days.x_of(self.rise), days.x(self.fall.toordinal() + 1)

    def core(self, days: DayView) -> tuple[float, float]:
        """Left and right of the part in full tone. [px]"""
        return days.x_of(self.open), days.x(self.close.toordinal() + 1)


def bar_days(layer: LayerForecast) -> BarDays | None:
    """The days of a layer's bar; None without a flower."""
    if layer.start is None or layer.end is None:
        return None
    opens = layer.start.p50
    closes = max(layer.end.p50, opens)
    return BarDays(min(layer.start.p10, opens), opens, closes, max(layer.end.p90, closes))


def marks_along(
    left: float, right: float, *, radius: float, pitch: float, seen: Range
) -> list[float]:
    """The x of the marks along a bar, as `marks_in_bar` sets them, but only those seen."""
    room = right - left
    if room < 2 * radius + 2:
        return []
    count = max(1, floor((room - 2 * radius - 2) / pitch) + 1)
    start = (left + right) / 2 - (count - 1) * pitch / 2
    first = max(0, ceil((seen[0] - radius - start) / pitch))
    last = min(count - 1, floor((seen[1] + radius - start) / pitch))
    return [start + index * pitch for index in range(first, last + 1)]


def marks_over(
    xs: NDArray[np.float64],
    tops: NDArray[np.float64],
    bottoms: NDArray[np.float64],
    *,
    radius: float,
    pitch: float,
    seen: Range,
) -> NDArray[np.float64]:
    """Centres (n, 2) of staggered marks wholly inside an area, as `marks_in_area` sets them.

    xs, tops, bottoms : shape (n_points,), xs rising, y growing downward. Only the marks whose
    x is seen; all columns at once, since this is done anew for each step of a slider.
    """
    if len(xs) < 2:
        return np.empty((0, 2))
    margin = radius * 1.25
    row_height = pitch * 0.72
    origin = float(np.max(bottoms))
    begin = max(ceil(float(xs[0]) / pitch * 2), ceil(seen[0] / pitch * 2))
    stop = min(floor(float(xs[-1]) / pitch * 2), floor(seen[1] / pitch * 2))
    columns = np.arange(begin, stop + 1)
    x = columns * pitch / 2
    around = np.stack((x - margin, x, x + margin))
    top = np.interp(around, xs, tops).max(axis=0) + margin
    bottom = np.interp(around, xs, bottoms).min(axis=0) - margin
    is_open, is_thin = top <= bottom, bottom - top < 1.5 * row_height
    ribbon = is_open & is_thin & (columns % 2 == 0)
    centres = [np.column_stack((x[ribbon], (top + bottom)[ribbon] / 2))]
    thick = np.flatnonzero(is_open & ~is_thin)
    if len(thick):
        most = floor((origin - float(top[thick].min())) / row_height)
        rows = np.arange(0, most + 1)[:, np.newaxis]
        y = origin - rows * row_height
        inside = (y >= top[thick]) & (y <= bottom[thick]) & ((rows + columns[thick]) % 2 == 0)
        row, column = np.nonzero(inside)
        centres.append(np.column_stack((x[thick][column], y[row, 0])))
    return np.concatenate(centres)


def hatch_lines(
    left: float, right: float, top: float, bottom: float, *, pitch: float
) -> list[tuple[float, float, float, float]]:
    """Rising lines over a rectangle, each cut to it: x0, y0, x1, y1."""
    lines = []
    height = bottom - top
    # Counted from 0, not from the left edge: the lines stand still while a stretch grows.
    for index in range(ceil((left - height) / pitch), floor(right / pitch) + 1):
        foot = index * pitch
        x0, x1 = max(foot, left), min(foot + height, right)
        if x1 > x0:
            lines.append((x0, bottom - (x0 - foot), x1, bottom - (x1 - foot)))
    return lines


# The axis


@dataclass(frozen=True, slots=True)
class MonthTick:
    """A month on the axis; `label_x` is where its words start, `is_whole` if its 1st is seen."""

    first: date
    left: float
    right: float
    label_x: float
    label: str
    is_whole: bool


def month_marks(
    days: DayView,
    *,
    names: Sequence[str],
    measure: Callable[[str], float],
    inset: float = 6.0,
) -> tuple[MonthTick, ...]:
    """The months in view, named where the name fits; the year at the first name and in January.

    names : the twelve months, as the locale writes them.
    """
    ticks = []
    month = date.fromordinal(floor(days.first)).replace(day=1)
    is_year_due = True
    while month.toordinal() < days.last:
        following = (month + timedelta(days=32)).replace(day=1)
        left, right = max(days.x_of(month), days.left), min(days.x_of(following), days.right)
        room = right - left - 2 * inset
        name = names[month.month - 1]
        choices = [name, name[:1]]
        if is_year_due or month.month == 1:
            choices = [f"{name} {month.year}", f"{name} ’{month.year % 100:02}", *choices]
        least = name[:1] if measure(name[:1]) <= right - left - 2 else ""
        label = next((one for one in choices if measure(one) <= room), least)
        is_year_due = is_year_due and label in choices[-2:]
        is_whole = month.toordinal() >= days.first
        ticks.append(MonthTick(month, left, right, left + inset, label, is_whole))
        month = following
    # One style for all: single letters as soon as one whole month needs them, and only then.
    if not any(len(tick.label) == 1 for tick in ticks[1:-1]):
        return tuple(replace(t, label="" if len(t.label) == 1 else t.label) for t in ticks)
    middles = [(tick.left + tick.right - measure(tick.label[:1])) / 2 for tick in ticks]
    return tuple(
        replace(tick, label=tick.label[:1], label_x=min(tick.label_x, middle))
        for tick, middle in zip(ticks, middles, strict=True)
    )
