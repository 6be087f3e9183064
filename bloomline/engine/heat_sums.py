"""What is planted, and the heat it has gathered by any day, from running sums.

Heat grows each day by the growth rate A′ times how far the cold need is met:
Km + (1 − Km)·min(1, cold weeks since b / weeks at the full rate), b being the day from which
development counts. With running sums A of the rate, C of cold weeks and B of rate × C, the heat
while the need is unmet is

    Km·(A − A_b) + (1 − Km)/C* · ((B − B_b) − (C_b − C₀)·(A − A_b))

and after that grows with A alone. Summer kinds gather heat by a law of their own.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.heat import GrowthLaw
from bloomline.engine.search import first_at_least, first_true, part_of_day
from bloomline.engine.sums import PreparedSums

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SPRING, SUMMER, AUTUMN = 0, 1, 2
"""By which law a kind comes to flower; numbers, so that an array can hold them."""


@dataclass(frozen=True, slots=True)
class Plantings:
    """What is planted: one row a planting that differs from every other, shape (n,).

    zone : index into the prepared surroundings. planted : day index on the axis, from which the
    cold of buds counts; begins : that from which development counts, no earlier. law : SPRING,
    SUMMER or AUTUMN.
    usual_start : of autumn kinds, the axis day on which they open at the reference garden, and
    cooled : that on which the air there has cooled (NaN for others). earliest : axis day before
    which none can open.
    full_rate_weeks : cold weeks at which growth runs at its full rate; 0 where no cold is
    needed. prechilled_weeks : cold weeks gathered before planting. heat_need : growth sum at
    first flower. life : ageing sum from first flower to the end. shift_days : added to the
    start (a garden's own learned offset).
    bud_weeks : cold weeks without which no bud opens, to be gathered by bud_last_day (None:
    no such weeks). leaf_days : ageing from the last flower to yellow leaves (None: the law's).
    """

    zone: Ints
    planted: Ints
    begins: Ints
    law: Ints
    full_rate_weeks: Floats
    prechilled_weeks: Floats
    heat_need: Floats
    life: Floats
    shift_days: Floats
    bud_weeks: Floats | None = None
    bud_last_day: Ints | None = None
    leaf_days: Floats | None = None
    usual_start: Floats | None = None
    cooled: Floats | None = None
    earliest: Floats | None = None

    def some(self, rows: Ints) -> Plantings:
        """The table of some of its rows."""
        values = ((f.name, getattr(self, f.name)) for f in fields(self))
        kept: dict[str, Any] = {name: None if v is None else v[rows] for name, v in values}
        return Plantings(**kept)

    def by_heat(self) -> tuple[Plantings, Ints]:
        """One planting for all that gather the same heat for the same need, and which each is.

        They may have been planted on different days, before the one from which heat counts.
        """
        columns = (
            *(self.zone, self.begins, self.heat_need),
            *(self.full_rate_weeks, self.prechilled_weeks),
        )
        first: dict[tuple[float, ...], int] = {}
        numbers: dict[tuple[float, ...], int] = {}
        which = []
        for row, heat in enumerate(zip(*(each.tolist() for each in columns), strict=True)):
            first.setdefault(heat, row)
            which.append(numbers.setdefault(heat, len(numbers)))
        return self.some(np.array([*first.values()], dtype=np.int64)), np.array(
            which, dtype=np.int64
        )


class Heat:
    """Heat gathered by plantings since it began to count, looked up for any day."""

    def __init__(self, sums: PreparedSums, plantings: Plantings, *, law: GrowthLaw) -> None:
        self.sums = sums
        self.rows = rows = sums.rows_of(plantings.zone)
        shape = rows.base.shape
        weeks = plantings.full_rate_weeks[:, None]
        self.begins = np.broadcast_to(plantings.begins[:, None], shape)
        at_begin = rows.base + self.begins
        self._growth_then = np.take(sums.growth.reshape(-1), at_begin)
        self._product_then = np.take(sums.growth_by_cold.reshape(-1), at_begin)
        had = plantings.prechilled_weeks[:, None]
        self._shortfall = np.take(sums.cold_weeks.reshape(-1), at_begin) - had
        self._km = law.unmet_rate
        per_week = (1.0 - law.unmet_rate) / np.where(weeks > 0.0, weeks, 1.0)
        self._per_week = np.broadcast_to(per_week, shape)
        met = first_at_least(sums.cold_weeks, rows, self._shortfall + weeks, self.begins)
        met = np.where(weeks <= 0.0, self.begins, met)
        #: first day at whose start growth runs at its full rate, or the axis' end
        self._met = np.minimum(met, sums.n_days, out=met)
        self._growth_met = rows.take(sums.growth, met)
        self._heat_met = _Unmet(self).heat(met)

    def at(self, day: Ints) -> Floats:
        """Heat gathered by the start of a day, shape (n, n_years)."""
        return np.where(day <= self._met, _Unmet(self).heat(day), self._at_full_rate(day))

    def _at_full_rate(self, day: Ints) -> Floats:
        """The same from the day on at whose start growth runs at its full rate."""
        return self._heat_met + (self.rows.take(self.sums.growth, day) - self._growth_met)

    def reach(self, goal: Floats) -> Floats:
        """Day on which the heat reaches a goal, shape (n, 1), linear within it; NaN if never."""
        n_days = self.sums.n_days
        first = self._first_day(goal)
        at = np.minimum(first, n_days)
        before = np.maximum(at - 1, self.begins)
        left, right = self._at_full_rate(before), self._at_full_rate(at)
        early = np.flatnonzero(before < self._met)
        if len(early):
            unmet = _Unmet(self, early)
            for heat, day in ((left, before), (right, at)):
                heat.reshape(-1)[early] = unmet.heat(day.reshape(-1)[early])
        part = part_of_day(goal, left, right)
        part *= at > before
        return np.where(first > n_days, np.nan, before + part)

    def _first_day(self, goal: Floats) -> Ints:
        """First day at whose start a goal is reached, shape (n, n_years); n_days + 1 if never."""
        first = np.empty(self.rows.base.shape, dtype=np.int64)
        is_early = goal <= self._heat_met
        # Before the need is met the whole formula is searched, afterwards the growth alone.
        early, late = np.flatnonzero(is_early), np.flatnonzero(~is_early)
        met = self._met.reshape(-1)
        if len(late):
            growth = (goal - self._heat_met + self._growth_met).reshape(-1)[late]
            first.reshape(-1)[late] = first_at_least(
                self.sums.growth, self.rows.some(late), growth, met[late]
            )
        if len(early):
            unmet = _Unmet(self, early)
            goals = np.broadcast_to(goal, first.shape).reshape(-1)[early]
            first.reshape(-1)[early] = first_true(
                lambda day: unmet.heat(day) >= goals,
                self.begins.reshape(-1)[early],
                met[early],
            )
        return first


class _Unmet:
    """Heat while the need for cold is unmet, of all plantings and years or of some.

    some : their places in the flattened arrays; days and answers then have shape (n_some,).
    """

    def __init__(self, of: Heat, some: Ints | None = None) -> None:
        def taken(values: Any) -> Any:
            return values if some is None else values.reshape(-1)[some]

        self._growth = of.sums.growth.reshape(-1)
        self._product = of.sums.growth_by_cold.reshape(-1)
        self._base, self._km, self._per_week = taken(of.rows.base), of._km, taken(of._per_week)
        self._growth_then, self._product_then = taken(of._growth_then), taken(of._product_then)
        self._shortfall = taken(of._shortfall)

    def heat(self, day: Ints) -> Floats:
        """Heat gathered by the start of days; what is said of days off the axis doesn't count."""
        at = self._base + day
        since: Floats = np.take(self._growth, at, mode="clip")
        since -= self._growth_then
        by_cold = np.take(self._product, at, mode="clip")
        by_cold -= self._product_then
        by_cold -= self._shortfall * since
        by_cold *= self._per_week
        since *= self._km
        since += by_cold
        return since


def heat_until(sums: PreparedSums, *, plantings: Plantings, day: Floats, law: GrowthLaw) -> Floats:
    """Heat gathered until a day (fractions allowed), shape (n, n_years); 0 before it counts.

    day : shape (n,). Used to solve a heat need from a known flowering date.
    """
    result = np.zeros((len(plantings.zone), sums.n_years))
    for rows, some, part in by_law(sums, plantings):
        heat = Heat(some, part, law=law)
        whole = np.floor(day[rows]).astype(np.int64)[:, None] + np.zeros_like(heat.begins)
        here = heat.at(np.maximum(whole, heat.begins))
        there = heat.at(np.clip(whole + 1, heat.begins, sums.n_days))
        result[rows] = here + (there - here) * (day[rows] - np.floor(day[rows]))[:, None]
    return result


def by_law(sums: PreparedSums, plantings: Plantings) -> list[tuple[Ints, PreparedSums, Plantings]]:
    """Rows of the kinds that gather heat, with the growth sums that count for them."""
    parts: list[tuple[Ints, PreparedSums, Plantings]] = []
    if not (plantings.law != SPRING).any():
        return [(np.arange(len(plantings.zone)), sums, plantings)]
    spring = np.flatnonzero(plantings.law == SPRING)
    if len(spring):
        parts.append((spring, sums, plantings.some(spring)))
    summer = np.flatnonzero(plantings.law == SUMMER)
    if len(summer):
        if sums.summer_growth is None:
            raise ValueError("the sums were prepared without summer kinds")
        # Their rate waits for no cold.
        some = replace(plantings.some(summer), full_rate_weeks=np.zeros(len(summer)))
        parts.append((summer, replace(sums, growth=sums.summer_growth), some))
    return parts
