"""What each cultivar needs, solved from when it opens at the reference garden.

The catalogue states dates near London, in pots and borders alike. So the heat a cultivar needs
is solved twice: from a reference pot for bulbs in pots, and from open ground for bulbs in the
ground. What then differs between places, pots and sites comes from their temperatures alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from bloomline.engine.bands import yearly_median
from bloomline.engine.flowering import (
    Plantings,
    PreparedSums,
    ageing_between,
    heat_until,
    prepare,
)
from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.plan.garden import Garden, garden_named
from bloomline.plan.surroundings import Standing, Where, surroundings_of
from bloomline.plan.weather import weather_for

REFERENCE_STATION_ID = "00003772"
"""London Heathrow: the climate the catalogue's dates belong to."""

_REFERENCE_FIRST_DAY = np.datetime64("2009-06-01", "D")
_MEDIA: tuple[Where, ...] = ("pot", "ground")


@dataclass(frozen=True, slots=True)
class Need:
    """What a cultivar needs in one medium.

    heat : growth sum at first flower; life : ageing sum from first flower to the end;
    full_rate_weeks : cold weeks at which it develops at its full rate, 0 where it needs none.
    """

    heat: float
    life: float
    full_rate_weeks: float


def full_rate_weeks(cultivar: Cultivar, *, law: GrowthLaw) -> float:
    """Cold weeks at which a cultivar develops at its full rate; 0 where it needs no cold.

    Bulbs sold for planting in spring have had their cold in the trade's store (common
    practice, no source), so their rate does not wait for more.
    """
    if cultivar.chill_weeks_best is None or cultivar.season_planted == "spring":
        return 0.0
    return cultivar.chill_weeks_best * law.need_factor


def axis_day(day: MonthDay, *, first_day: np.datetime64, after: int = -1) -> int:
    """Index of the first such day of the year after an index of the axis."""
    year = int(first_day.astype("datetime64[Y]").astype(np.int64)) + 1970
    for candidate in (year, year + 1, year + 2):
        index = int((np.datetime64(day.in_year(candidate), "D") - first_day).astype(np.int64))
        if index > after:
            return index
    raise ValueError(f"{day} does not come after day {after} of the axis")


@lru_cache(maxsize=1)
def reference_garden() -> Garden:
    """The garden whose dates the catalogue states."""
    return garden_named(REFERENCE_STATION_ID)


class NeedSolver:
    """Solves and keeps the needs of cultivars; the reference sums are prepared once."""

    def __init__(self, *, growth_law: GrowthLaw, ageing_law: AgeingLaw) -> None:
        self.growth_law = growth_law
        self.ageing_law = ageing_law
        self._sums: PreparedSums | None = None
        self._known: dict[tuple[object, ...], Need] = {}

    def _reference_sums(self) -> PreparedSums:
        if self._sums is None:
            weather = weather_for(reference_garden(), first_day=_REFERENCE_FIRST_DAY)
            places = [
                surroundings_of(
                    Standing(where=where), first_day=_REFERENCE_FIRST_DAY, law=self.growth_law
                )
                for where in _MEDIA
            ]
            self._sums = prepare(
                weather,
                surroundings=places,
                growth_law=self.growth_law,
                ageing_law=self.ageing_law,
            )
        return self._sums

    def need(self, cultivar: Cultivar, *, where: Where, established: bool) -> Need:
        """What a cultivar needs in a medium, in its first season or later."""
        return self.needs([(cultivar, where, established)])[0]

    def needs(self, wanted: Sequence[tuple[Cultivar, Where, bool]]) -> list[Need]:
        """What each of many needs; those not known yet are solved in one pass."""
        keys = [_key(*want) for want in wanted]
        new = {key: want for key, want in zip(keys, wanted, strict=True) if key not in self._known}
        if new:
            self._solve(list(new.values()))
        return [self._known[key] for key in keys]

    def _solve(self, wanted: list[tuple[Cultivar, Where, bool]]) -> None:
        sums = self._reference_sums()
        planted, opens, ends = [], [], []
        for cultivar, _, established in wanted:
            at_planting = axis_day(cultivar.ref_planted, first_day=_REFERENCE_FIRST_DAY)
            at_start = axis_day(
                cultivar.ref_start, first_day=_REFERENCE_FIRST_DAY, after=at_planting
            )
            shift = cultivar.established_shift_days if established else 0.0
            # A flower is counted from noon of its first day.
            opens.append(max(at_start + 0.5 - shift, at_planting + 1.5))
            ends.append(opens[-1] + cultivar.display_days)
            planted.append(at_planting)
        n = len(wanted)
        plantings = Plantings(
            zone=np.array([_MEDIA.index(where) for _, where, _ in wanted], dtype=np.int64),
            planted=np.array(planted, dtype=np.int64),
            full_rate_weeks=np.array(
                [full_rate_weeks(cultivar, law=self.growth_law) for cultivar, _, _ in wanted]
            ),
            prechilled_weeks=np.zeros(n),
            heat_need=np.ones(n),
            life=np.ones(n),
            shift_days=np.zeros(n),
        )
        first = np.array(opens)
        # The start rises with the need, so the need whose median start is the stated day is
        # the median of the heat that the years have gathered by that day.
        heat = yearly_median(heat_until(sums, plantings=plantings, day=first, law=self.growth_law))
        life = yearly_median(
            ageing_between(sums, zone=plantings.zone, first=first, last=np.array(ends))
        )
        for i, want in enumerate(wanted):
            self._known[_key(*want)] = Need(
                heat=float(heat[i]),
                life=float(life[i]),
                full_rate_weeks=float(plantings.full_rate_weeks[i]),
            )


def _key(cultivar: Cultivar, where: Where, established: bool) -> tuple[object, ...]:
    """All that the need rests on; cheaper to compare than the whole cultivar."""
    return (
        cultivar.id,
        cultivar.ref_planted,
        cultivar.ref_start,
        cultivar.ref_end,
        cultivar.chill_weeks_best,
        cultivar.season_planted,
        cultivar.established_shift_days if established else None,
        where,
    )
