"""A solved table: the days of different plantings in every weather year of one garden."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from threading import Lock
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import BandDays, band_days
from bloomline.engine.climate import WeatherYears
from bloomline.engine.flowering import FloweringDays
from bloomline.plan.climate.garden import Garden
from bloomline.plan.forecast.mixed import MixedRow
from bloomline.plan.forecast.needs import Need
from bloomline.plan.forecast.plantings import Planting

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

Stage = Literal["nose", "start", "full", "end", "leaves_over"]
STAGES: tuple[Stage, ...] = ("nose", "start", "full", "end", "leaves_over")
"""The five days a planting is followed by."""

MOSTLY = 0.5
"""Share of the weather years from which on something is said to happen."""

_Rest = tuple[Garden, WeatherYears, float, bool]
_DAYS = fields(FloweringDays)
_MOST_TABLES = 3  # of the yard, of all kinds on the shelf, and of a place or question beside
_MOST_ROWS = 8192  # whose days take some ten megabytes


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """What is not known, one standard deviation in days.

    cultivar : of each planting's own date, shape (n,). garden : what moves the whole yard.
    """

    cultivar: Floats
    garden: float

    @property
    def together(self) -> Floats:
        """Both, shape (n,)."""
        return np.hypot(self.cultivar, self.garden)


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """Answers for different plantings on one axis; arrays have shape (n, n_years).

    earliest : axis day before which none can open, shape (n,).
    `days` holds NaN for years without flowers: `blind` for want of cold, `too_late` because the
    season ends first. In years in which frost has `killed` the bulbs it holds the days on which
    they would have flowered, so that dates don't come from mild years alone; what counts as
    colour is `in_flower`. `first_day` is day 0, `first_ordinal` the same as an ordinal. `mixed`
    holds the parts of rows that are mixtures.
    """

    garden: Garden
    first_day: np.datetime64
    weather: WeatherYears
    plantings: tuple[Planting, ...]
    needs: tuple[Need, ...]
    days: FloweringDays
    blind: Bools
    killed: Bools
    too_late: Bools
    uncertainty: Uncertainty
    first_ordinal: int
    earliest: Floats
    mixed: tuple[MixedRow, ...] = ()

    def date_of(self, day: float) -> date:
        """The calendar day that a day of the axis falls in."""
        return date.fromordinal(self.first_ordinal + math.floor(day))

    def bands(self, stage: Stage) -> BandDays:
        """Bands of one of the arrays of `days`; none begins before the bulb can come so far."""
        band = band_days(getattr(self.days, stage), sd_days=self.uncertainty.together)
        least = self.earliest
        if stage == "nose":
            least = np.array([p.rooted.toordinal() - self.first_ordinal for p in self.plantings])
        return BandDays(*(np.maximum(each, least) for each in (band.p10, band.p50, band.p90)))

    def in_flower(self) -> tuple[Floats, Floats]:
        """First and last day of the flowers there are, NaN where frost killed the bulbs too."""
        start, end = (
            np.where(self.killed, np.nan, each) for each in (self.days.start, self.days.end)
        )
        return start, end

    def flowers(self) -> Bools:
        """Which plantings are said to flower: those that do in most years, shape (n,)."""
        return self.flowering_share() >= MOSTLY

    def flowering_share(self) -> Floats:
        """Share of the weather years in which each planting flowers, shape (n,)."""
        return np.asarray((np.isfinite(self.days.start) & ~self.killed).mean(axis=1))


class SolvedTables:
    """The tables that were solved last, for several threads: an edit solves what it changed alone.

    A row rests on its planting, its garden's weather and nothing else of its table. Plantings are
    known by their identity, which who asks again keeps where nothing changed.
    """

    def __init__(self) -> None:
        self._kept: list[tuple[_Rest, dict[int, int], Solved]] = []
        self._lock = Lock()

    def forget(self) -> None:
        """Drop all tables."""
        with self._lock:
            self._kept.clear()

    def solve(
        self,
        plantings: Sequence[Planting],
        rest: _Rest,
        work_out: Callable[[Sequence[Planting]], Solved],
    ) -> Solved:
        """The table of plantings; what no table holds is worked out.

        rest : garden, weather, what is not known of the garden, one standard deviation in days, and
        whether growth is asked for.
        """
        garden, weather, *asked = rest
        with self._lock:
            kept = [
                each
                for each in self._kept
                if each[0][1] is weather and each[0][0] == garden and [*each[0][2:]] == asked
            ]
        solved: Solved | None = None
        used = None
        for each in kept:
            _, numbers, before = each
            at = [numbers.get(id(planting), -1) for planting in plantings]
            new = [row for row, old in enumerate(at) if old < 0]
            if not new and at == [*range(len(before.plantings))]:
                return before
            if 2 * len(new) < len(plantings):
                used = each
                solved = _some(before, np.array(at, dtype=np.int64), tuple(plantings))
                if new:
                    solved = _with_rows(solved, work_out([plantings[row] for row in new]), new)
                break
        if solved is None:
            solved = work_out(plantings)
        if len(plantings) <= _MOST_ROWS:
            numbers = dict(zip(map(id, solved.plantings), range(len(plantings)), strict=True))
            with self._lock:
                # What an edit changed is looked at no more; other questions keep their tables.
                others = [each for each in self._kept if each is not used]
                self._kept = [(rest, numbers, solved), *others][:_MOST_TABLES]
        return solved


def some_rows(solved: Solved, rows: Sequence[int]) -> Solved:
    """A table of some rows of another, without the parts of mixtures."""
    plantings = tuple([solved.plantings[row] for row in rows])
    return replace(_some(solved, np.array(rows, dtype=np.int64), plantings), mixed=())


def _some(solved: Solved, rows: Ints, plantings: tuple[Planting, ...]) -> Solved:
    """A table of some rows of another; what stands for a row of −1 is to be put in."""

    def taken(values: Any) -> Any:
        return np.take(values, rows, axis=0, mode="wrap")

    return replace(
        solved,
        plantings=plantings,
        needs=tuple(solved.needs[row] for row in rows.tolist()),
        days=FloweringDays(*(taken(getattr(solved.days, each.name)) for each in _DAYS)),
        blind=taken(solved.blind),
        killed=taken(solved.killed),
        too_late=taken(solved.too_late),
        uncertainty=replace(solved.uncertainty, cultivar=taken(solved.uncertainty.cultivar)),
        earliest=taken(solved.earliest),
    )


def _with_rows(solved: Solved, part: Solved, rows: list[int]) -> Solved:
    """A fresh table with rows of another put in their places."""
    for each in _DAYS:
        getattr(solved.days, each.name)[rows] = getattr(part.days, each.name)
    for name in ("blind", "killed", "too_late", "earliest"):
        getattr(solved, name)[rows] = getattr(part, name)
    solved.uncertainty.cultivar[rows] = part.uncertainty.cultivar
    needs = list(solved.needs)
    for row, need in zip(rows, part.needs, strict=True):
        needs[row] = need
    return replace(solved, needs=tuple(needs))
