"""Which day lies where, which days are shown, and the days of a bar. Knows no Qt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from bloomline.plan.forecast.report import (
    Band,
    CompanionForecast,
    LayerForecast,
    PartForecast,
    SeasonReport,
)

LEAST_CHANCE = 0.05  # a layer counts as showing from this chance on
MARGIN_DAYS = 7

Plant = LayerForecast | CompanionForecast


def part_id(plant: Plant) -> str:
    """The id of a layer or of companions."""
    return plant.layer_id if isinstance(plant, LayerForecast) else plant.planting_id


@dataclass(frozen=True, slots=True)
class DayScale:
    """Day numbers (`date.toordinal()`) from `first` to `last` over a width of pixels.

    A day fills the stretch from its number to the next; parts of days may be cut off.
    """

    first: float
    last: float
    left: float
    width: float

    @classmethod
    def of(cls, first: date, last: date, left: float, width: float) -> DayScale:
        """The scale of whole days, both counted."""
        return cls(float(first.toordinal()), float(last.toordinal() + 1), left, width)

    @property
    def per_day(self) -> float:
        """Width of a day. [px]"""
        return self.width / (self.last - self.first)

    @property
    def right(self) -> float:
        """The right edge. [px]"""
        return self.left + self.width

    @property
    def first_day(self) -> date:
        """The first day that is seen, at least in part."""
        return date.fromordinal(floor(self.first))

    @property
    def last_day(self) -> date:
        """The last day that is seen, at least in part."""
        return date.fromordinal(ceil(self.last) - 1)

    def x(self, number: float) -> float:
        """The x of a day number, also outside the days shown."""
        return self.left + (number - self.first) * self.per_day

    def x_of(self, day: date) -> float:
        """The x at the start of a day."""
        return self.x(day.toordinal())

    def middle_of(self, day: date) -> float:
        """The x at noon of a day."""
        return self.x(day.toordinal() + 0.5)

    def end_of(self, day: date) -> float:
        """The x at the end of a day."""
        return self.x(day.toordinal() + 1)

    def number_at(self, x: float) -> float:
        """The day number at an x."""
        return self.first + (x - self.left) / self.per_day

    def day_at(self, x: float) -> date:
        """The day at an x, kept to the days that a calendar has."""
        return date.fromordinal(min(max(floor(self.number_at(x)), 1), date.max.toordinal()))

    def shows(self, day: date) -> bool:
        """Whether noon of a day is seen."""
        return self.first <= day.toordinal() + 0.5 <= self.last

    def span(self, first: date, last: date) -> tuple[float, float] | None:
        """Left and right of a stretch, cut to the days shown; None if all of it is outside."""
        left, right = max(self.x_of(first), self.left), min(self.end_of(last), self.right)
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
class BarDays:
    """The days of a bar: soft from `rise`, in full tone from `open` to `close`."""

    rise: date
    open: date
    close: date
    fall: date

    def across(self, scale: DayScale) -> tuple[float, float]:
        """Outer left and right of the bar. [px]"""
        return scale.x_of(self.rise), scale.end_of(self.fall)

    def core(self, scale: DayScale) -> tuple[float, float]:
        """Left and right of the part in full tone. [px]"""
        return scale.x_of(self.open), scale.end_of(self.close)


def bar_days(start: Band | None, end: Band | None) -> BarDays | None:
    """The days of a bar from first flower to its end; None without a flower."""
    if start is None or end is None:
        return None
    closes = max(end.p50, start.p50)
    return BarDays(min(start.p10, start.p50), start.p50, closes, max(end.p90, closes))


def bar_chance(
    report: SeasonReport, layer: LayerForecast | PartForecast, first: date, last: date
) -> NDArray[np.float64]:
    """The layer's daily chance from `first` to `last`, both counted; 0 outside the report."""
    days = (last - first).days + 1
    values = np.zeros(max(days, 0))
    offset = (first - report.first_day).days
    begin, stop = max(offset, 0), min(offset + days, len(layer.chance))
    if stop > begin:
        values[begin - offset : stop - offset] = layer.chance[begin:stop]
    return values
