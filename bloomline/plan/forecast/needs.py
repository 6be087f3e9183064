"""What each cultivar needs, solved from when it opens at the reference garden.

The catalogue states dates near London, in pots and borders alike. So the heat a cultivar needs
is solved twice: from a reference pot for bulbs in pots, and from open ground for bulbs in the
ground. What then differs between places, pots and sites comes from their temperatures alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from threading import RLock

import numpy as np

from bloomline.engine.autumn import AutumnLaw, cooled_on
from bloomline.engine.bands import yearly_median
from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.engine.heat_sums import AUTUMN, SPRING, SUMMER, Plantings, heat_until
from bloomline.engine.sums import PreparedSums, ageing_between, prepare
from bloomline.model.cultivar import Cultivar, FloweringLaw
from bloomline.plan.climate.reference_garden import REFERENCE_FIRST_DAY, axis_day, reference_garden
from bloomline.plan.climate.surroundings import Standing, Where, surroundings_of
from bloomline.plan.climate.weather import weather_for
from bloomline.plan.forecast.planting_day import counts_from, growth_begins
from bloomline.plan.words.days import as_date

LAW_NUMBERS: dict[FloweringLaw, int] = {"spring": SPRING, "summer": SUMMER, "autumn": AUTUMN}
"""The engine's numbers of the laws that the catalogue names."""

_MEDIA: tuple[Where, ...] = ("pot", "ground")
_YEAR_DAYS = 365.0


@dataclass(frozen=True, slots=True)
class Need:
    """What a cultivar needs in one medium.

    heat : growth sum at first flower; life : ageing sum from first flower to the end;
    full_rate_weeks : cold weeks at which it develops at its full rate, 0 where it needs none.
    cooled : axis day on which the air has cooled at the reference garden; autumn kinds go by
    it, and their heat is 0.
    """

    heat: float
    life: float
    full_rate_weeks: float
    cooled: float


def full_rate_weeks(cultivar: Cultivar, *, law: GrowthLaw) -> float:
    """Cold weeks at which a cultivar develops at its full rate; 0 where its rate waits for none.

    Bulbs sold for planting in spring have had their cold in the trade's store (common
    practice, no source), so their rate does not wait for more.
    """
    if cultivar.flowering_law != "spring" or cultivar.season_planted == "spring":
        return 0.0
    if cultivar.chill_weeks_best is None:
        return 0.0
    return cultivar.chill_weeks_best * law.need_factor


class NeedSolver:
    """Solves and keeps the needs of cultivars; the reference sums are prepared once."""

    def __init__(
        self,
        *,
        growth_law: GrowthLaw,
        ageing_law: AgeingLaw,
        autumn_law: AutumnLaw | None = None,
    ) -> None:
        self.growth_law = growth_law
        self.ageing_law = ageing_law
        self.autumn_law = autumn_law or AutumnLaw()
        self._sums: PreparedSums | None = None
        self._lock = RLock()
        self._known: dict[tuple[object, ...], Need] = {}

    def _reference_sums(self) -> PreparedSums:
        if self._sums is None:
            weather = weather_for(reference_garden(), first_day=REFERENCE_FIRST_DAY)
            places = [
                surroundings_of(
                    Standing(where=where), first_day=REFERENCE_FIRST_DAY, law=self.growth_law
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
        if any(key not in self._known for key in keys):
            with self._lock:
                asked = zip(keys, wanted, strict=True)
                new = {key: want for key, want in asked if key not in self._known}
                if new:
                    self._solve(list(new.values()))
        return [self._known[key] for key in keys]

    def _solve(self, wanted: list[tuple[Cultivar, Where, bool]]) -> None:
        sums = self._reference_sums()
        start = as_date(REFERENCE_FIRST_DAY).toordinal()
        planted, begins, opens, ends = [], [], [], []
        for cultivar, _, established in wanted:
            at_planting = axis_day(cultivar.ref_planted)
            usual = as_date(REFERENCE_FIRST_DAY + at_planting)
            counted = counts_from(
                cultivar,
                planted=usual,
                established=established,
                usual=usual,
                first_day=REFERENCE_FIRST_DAY,
            )
            heat_from = growth_begins(
                cultivar.season_planted,
                counted=counted,
                garden=reference_garden(),
                law=self.growth_law,
            )
            planted.append(counted.toordinal() - start)
            begins.append(heat_from.toordinal() - start)
            shift = cultivar.established_shift_days if established else 0.0
            # Both new and established bulbs open in the same season of the axis.
            at_start = axis_day(cultivar.ref_start, after=at_planting)
            # A flower is counted from noon of its first day.
            opened = max(at_start + 0.5 - shift, begins[-1] + 1.5)
            opens.append(min(opened, float(sums.n_days)))  # none grows on beyond the axis
            ends.append(opens[-1] + cultivar.display_days)
        n = len(wanted)
        plantings = Plantings(
            zone=np.array([_MEDIA.index(where) for _, where, _ in wanted], dtype=np.int64),
            planted=np.array(planted, dtype=np.int64),
            begins=np.array(begins, dtype=np.int64),
            law=np.array([LAW_NUMBERS[cultivar.flowering_law] for cultivar, _, _ in wanted]),
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
        last = np.array(ends)
        # A flower that would outlast the axis ages as it would on the same days a year before.
        earlier = np.where(last > sums.n_days, _YEAR_DAYS, 0.0)
        life = yearly_median(
            ageing_between(sums, zone=plantings.zone, first=first - earlier, last=last - earlier)
        )
        cooled_by = cooled_on(sums.site_mean_c[:1], year=0, law=self.autumn_law)
        cooled = float(yearly_median(cooled_by)[0])
        for i, want in enumerate(wanted):
            self._known[_key(*want)] = Need(
                heat=float(heat[i]),
                cooled=cooled,
                life=float(life[i]),
                full_rate_weeks=float(plantings.full_rate_weeks[i]),
            )


def date_sd_days(cultivar: Cultivar, *, established: bool, law: GrowthLaw) -> float:
    """What is not known of a cultivar's own date, one standard deviation. [days]"""
    own = cultivar.ref_sd_days
    if established:
        own = math.hypot(own, cultivar.established_sd_days)
    return math.hypot(own, law.model_sd_days)


def _key(cultivar: Cultivar, where: Where, established: bool) -> tuple[object, ...]:
    """All that the need rests on; cheaper to compare than the whole cultivar."""
    return (
        cultivar.id,
        cultivar.ref_planted,
        cultivar.ref_start,
        cultivar.ref_end,
        cultivar.chill_weeks_best,
        cultivar.season_planted,
        cultivar.flowering_law,
        cultivar.established_shift_days if established else None,
        where,
    )
