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
from bloomline.engine.search import first_at_least, first_true
from bloomline.engine.sums import PreparedSums

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

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


class Heat:
    """Heat gathered by plantings since it began to count, looked up for any day."""

    def __init__(self, sums: PreparedSums, plantings: Plantings, *, law: GrowthLaw) -> None:
        self.sums = sums
        self.rows = rows = sums.rows_of(plantings.zone)
        self.begins = begins = np.broadcast_to(plantings.begins[:, None], rows.base.shape)
        weeks = plantings.full_rate_weeks[:, None]
        self.growth_then = rows.take(sums.growth, begins)
        self.product_then = rows.take(sums.growth_by_cold, begins)
        self.shortfall = rows.take(sums.cold_weeks, begins) - plantings.prechilled_weeks[:, None]
        planted = np.broadcast_to(plantings.planted[:, None], rows.base.shape)
        #: cold at planting, less what was had before it
        self.cold_then = rows.take(sums.cold_weeks, planted) - plantings.prechilled_weeks[:, None]
        self.planted = planted
        self.km = law.unmet_rate
        self.per_week = (1.0 - law.unmet_rate) / np.where(weeks > 0.0, weeks, 1.0)
        met = first_at_least(sums.cold_weeks, rows, self.shortfall + weeks, begins)
        #: first day at whose start growth runs at its full rate, or the axis' end
        self._met_inside = np.minimum(np.where(weeks <= 0.0, begins, met), sums.n_days)
        self.growth_met = rows.take(sums.growth, self._met_inside)
        self.heat_met = self._unmet(self._met_inside)

    def _unmet(self, day: Ints) -> Floats:
        at = self.rows.base + day
        grown = np.take(self.sums.growth.reshape(-1), at) - self.growth_then
        product = np.take(self.sums.growth_by_cold.reshape(-1), at) - self.product_then
        return self.km * grown + self.per_week * (product - self.shortfall * grown)

    def at(self, day: Ints) -> Floats:
        """Heat gathered by the start of a day, shape (n, n_years)."""
        after = self.heat_met + (self.rows.take(self.sums.growth, day) - self.growth_met)
        return np.where(day <= self._met_inside, self._unmet(day), after)

    def reach(self, goal: Floats) -> Floats:
        """Day on which the heat reaches a goal, linear within the day; NaN if never."""
        n_days = self.sums.n_days
        # Before the need is met the whole formula is searched, afterwards the growth alone.
        growth_goal = goal - self.heat_met + self.growth_met
        first = first_at_least(self.sums.growth, self.rows, growth_goal, self._met_inside)
        early = (goal <= self.heat_met).nonzero()
        if len(early[0]):
            first[early] = self._first_unmet(np.broadcast_to(goal, first.shape)[early], early)
        at = np.minimum(first, n_days)
        before = np.maximum(at - 1, self.begins)
        left, right = self.at(before), self.at(at)
        part = np.clip((goal - left) / np.where(right > left, right - left, 1.0), 0.0, 1.0)
        return np.where(first > n_days, np.nan, before + part * (at > before))

    def _first_unmet(self, goal: Floats, some: tuple[Ints, ...]) -> Ints:
        """First day that reaches a goal before the need for cold is met, where it does.

        some : of which plantings and years; the goal and the answer have the shape of each.
        """
        growth, product = self.sums.growth.reshape(-1), self.sums.growth_by_cold.reshape(-1)
        base, shortfall = self.rows.base[some], self.shortfall[some]
        growth_then, product_then = self.growth_then[some], self.product_then[some]
        per_week = self.per_week[some[0], 0]

        def reached(day: Ints) -> Bools:
            at = base + day
            since = np.take(growth, at) - growth_then
            heat = self.km * since + per_week * (
                np.take(product, at) - product_then - shortfall * since
            )
            return np.asarray(heat >= goal)

        return first_true(reached, self.begins[some], self._met_inside[some])


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
