"""Geometry of the season chart: days, ticks, bands, fades, label places. Knows no Qt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

import numpy as np
from numpy.typing import NDArray

from bloomline.plan.report import CompanionForecast, LayerForecast, SeasonReport

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
FAINTEST = 0.08  # tone of a bar at the outer edge of its band
FADE_TONE = 0.72  # tone of a bar just outside its middle dates
LEAST_CHANCE = 0.05  # a layer counts as showing from this chance on
MARGIN_DAYS = 7
LABEL_INSET = 10.0  # room left free round the name of a month


def short_date(day: date) -> str:
    """Day and month as printed, e.g. 4 Apr."""
    return f"{day.day} {MONTHS[day.month - 1]}"


@dataclass(frozen=True, slots=True)
class DayScale:
    """Maps days to x. A day fills the stretch from x(day) to x(day + 1)."""

    first: date
    days: int
    left: float
    width: float

    @property
    def last(self) -> date:
        """The last day shown."""
        return self.first + timedelta(days=self.days - 1)

    @property
    def right(self) -> float:
        """The x at the end of the last day."""
        return self.left + self.width

    @property
    def day_width(self) -> float:
        """Width of one day."""
        return self.width / self.days

    def x(self, day: date) -> float:
        """The x at the start of a day, also outside the days shown."""
        return self.left + (day - self.first).days * self.day_width

    def x_end(self, day: date) -> float:
        """The x at the end of a day."""
        return self.x(day) + self.day_width

    def span(self, first: date, last: date) -> tuple[float, float] | None:
        """Left and right of a stretch, cut to the days shown; None if all of it is outside."""
        left = max(self.x(first), self.left)
        right = min(self.x_end(last), self.right)
        return (left, right) if right > left else None


def shown_days(
    report: SeasonReport,
    layers: Sequence[LayerForecast],
    *,
    companions: Sequence[CompanionForecast] = (),
    show_planted: bool = False,
) -> tuple[date, date]:
    """First and last day to show: a week before the first 5 % chance to a week after the last.

    Companions are shown for all their season, but for leaf plants, which are always there.
    With nothing in flower it is the whole season of the report.
    """
    on_top = [
        (each.first, each.last)
        for each in companions
        if each.first is not None and each.last is not None and not each.is_leaf
    ]
    showing = np.zeros(len(report.coverage), dtype=bool)
    for layer in layers:
        chance = layer.chance[: len(showing)]
        showing[: len(chance)] |= chance >= LEAST_CHANCE
    where = np.flatnonzero(showing)
    if len(where):
        first = report.first_day + timedelta(days=int(where[0]))
        last = report.first_day + timedelta(days=int(where[-1]))
    elif on_top:
        first, last = on_top[0]
    else:
        return report.first_day, report.last_day
    for begins, ends in on_top:
        first, last = min(first, begins), max(last, ends)
    for layer in layers:
        if layer.start is not None and layer.end is not None:
            first, last = min(first, layer.start.p10), max(last, layer.end.p90)
        if show_planted and not layer.established:
            first = min(first, max(layer.planted, report.first_day))
    margin = timedelta(days=MARGIN_DAYS)
    return first - margin, last + margin


@dataclass(frozen=True, slots=True)
class Tick:
    """A month or a week on the axis: where it starts and ends, and its words ("" = none)."""

    first: date
    left: float
    right: float
    label: str
    is_whole: bool  # it starts inside the days shown, so a line belongs at its left


def month_ticks(scale: DayScale, *, measure: Callable[[str], float]) -> tuple[Tick, ...]:
    """The months of the scale, named where the name fits.

    The year is written at the first name that has room for it and again at each January.
    """
    months: list[tuple[date, tuple[float, float]]] = []
    month = scale.first.replace(day=1)
    while month <= scale.last:
        following = (month + timedelta(days=32)).replace(day=1)
        span = scale.span(month, following - timedelta(days=1))
        if span is not None:
            months.append((month, span))
        month = following
    # One style for all: letters as soon as one whole month has no room for its name.
    is_narrow = any(
        measure(MONTHS[month.month - 1]) > right - left - LABEL_INSET
        for month, (left, right) in months[1:-1]
    )
    ticks: list[Tick] = []
    year_written = 0
    for month, (left, right) in months:
        name = MONTHS[month.month - 1]
        choices = [name[0]] if is_narrow else [name]
        # Elsewhere a year would look like something special about that month.
        is_place_for_year = month.month == 1 or len(ticks) < 3
        if not is_narrow and is_place_for_year and month.year != year_written:
            choices = [f"{name} {month.year}", f"{name} ’{month.year % 100:02}", name]
        room = right - left - LABEL_INSET
        label = next((one for one in choices if measure(one) <= room), "")
        if label != name and not is_narrow and label:
            year_written = month.year
        ticks.append(Tick(month, left, right, label, month >= scale.first))
    return tuple(ticks)


def week_ticks(scale: DayScale, *, label_room: float = 18.0) -> tuple[Tick, ...]:
    """The ISO 8601 weeks that start inside the scale; numbers are thinned where narrow."""
    monday = scale.first + timedelta(days=-scale.first.weekday() % 7)
    step = max(1, ceil(label_room / (7 * scale.day_width)))
    ticks = []
    while monday <= scale.last:
        sunday = monday + timedelta(days=6)
        span = scale.span(monday, sunday)
        week = monday.isocalendar().week
        if span is not None:
            # Week 53 stands beside week 1: where numbers are thinned it gives way.
            is_left_out = step > 1 and ((week - 1) % step != 0 or week == 53)
            label = "" if is_left_out or sunday > scale.last else str(week)
            ticks.append(Tick(monday, *span, label, True))
        monday += timedelta(days=7)
    return tuple(ticks)


def stack_bands(
    chances: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lower and upper edge of each band when daily chances are stacked.

    chances : shape (n_layers, n_days). [0..1]
    Returns two arrays of the same shape. [layers]
    """
    upper = np.cumsum(chances, axis=0, dtype=np.float64)
    return upper - chances, upper


def band_outline(
    xs: NDArray[np.float64],
    lower: NDArray[np.float64],
    upper: NDArray[np.float64],
) -> list[tuple[tuple[float, float], ...]]:
    """Closed outlines (x, height) of one band, one for each stretch where it is open."""
    is_open = (upper - lower) > 1e-4
    if not is_open.any():
        return []
    padded = np.concatenate(([False], is_open, [False])).astype(np.int8)
    starts = np.flatnonzero(np.diff(padded) == 1)
    ends = np.flatnonzero(np.diff(padded) == -1)
    outlines = []
    for start, end in zip(starts, ends, strict=True):
        begin, stop = max(0, start - 1), min(len(xs), end + 1)
        there = list(zip(xs[begin:stop].tolist(), upper[begin:stop].tolist(), strict=True))
        back = list(zip(xs[begin:stop].tolist(), lower[begin:stop].tolist(), strict=True))
        outlines.append((*there, *reversed(back)))
    return outlines


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


def bar_chance(
    report: SeasonReport, layer: LayerForecast, first: date, last: date
) -> NDArray[np.float64]:
    """The layer's daily chance from `first` to `last`, both counted; 0 outside the report."""
    days = (last - first).days + 1
    values = np.zeros(max(days, 0))
    offset = (first - report.first_day).days
    begin, stop = max(offset, 0), min(offset + days, len(layer.chance))
    if stop > begin:
        values[begin - offset : stop - offset] = layer.chance[begin:stop]
    return values


def place_labels(
    centres: Sequence[float],
    widths: Sequence[float],
    *,
    left: float,
    right: float,
    gap: float = 6.0,
) -> list[tuple[float, int]]:
    """Left edge and line (0 = nearest) of each label, so that none covers another."""
    ends: list[float] = []
    places: list[tuple[float, int]] = []
    for centre, width in sorted(zip(centres, widths, strict=True)):
        start = max(left, min(centre - width / 2, right - width))
        line = next((i for i, end in enumerate(ends) if end + gap <= start), len(ends))
        if line == len(ends):
            ends.append(start + width)
        else:
            ends[line] = start + width
        places.append((start, line))
    order = sorted(range(len(centres)), key=lambda i: (centres[i], widths[i]))
    result: list[tuple[float, int]] = [(0.0, 0)] * len(centres)
    for place, index in zip(places, order, strict=True):
        result[index] = place
    return result


def flow(widths: Sequence[float], *, room: float, gap: float) -> list[tuple[float, int]]:
    """Offset and line of each item when items flow like words in lines of `room`."""
    x, line = 0.0, 0
    places = []
    for width in widths:
        if x > 0 and x + width > room:
            x, line = 0.0, line + 1
        places.append((x, line))
        x += width + gap
    return places
