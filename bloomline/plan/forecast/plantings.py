"""Plantings in the gardener's terms, and the engine's table of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np

from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.engine.heat_sums import Plantings
from bloomline.engine.rootzone import depth_days
from bloomline.model.cultivar import Cultivar
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.reference_garden import axis_day
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.forecast.needs import LAW_NUMBERS, Need
from bloomline.plan.forecast.planting_day import growth_begins
from bloomline.plan.words.days import as_date
from bloomline.reference.tasks import load_task_rules

BLIND_BELOW = 0.6
"""Share of the least cold weeks under which buds fail rather than open on short stems.

Judgement, no source: handbooks give the least weeks for a good flower, not for none."""

_YEAR_DAYS = 365
_LONGEST_DELAY_DAYS = 45  # by which an autumn kind can be late for its autumn and still open
_LAST_AUTUMN_DAY = {False: (12, 31), True: (6, 30)}  # by whether the garden is southern


@dataclass(frozen=True, slots=True)
class Planting:
    """Bulbs of one cultivar, planted on one day in one kind of place.

    rooted : the day from which its season counts (`planting_day.counts_from`). shift_days : the
    garden's learned offset. extra_cover_cm : how much deeper it lies than its kind usually does
    (`surroundings.extra_cover_cm`).
    """

    cultivar: Cultivar
    rooted: date
    standing: Standing
    prechill_weeks: float = 0.0
    established: bool = False
    shift_days: float = 0.0
    extra_cover_cm: float = 0.0

    @property
    def depth_days(self) -> float:
        """How much later its depth makes it than the usual one would. [days]"""
        return depth_days(self.extra_cover_cm, in_ground=self.standing.where == "ground")


def table_of(
    plantings: Sequence[Planting],
    *,
    zone: Sequence[int],
    needs: Sequence[Need],
    garden: Garden,
    first_day: np.datetime64,
    growth_law: GrowthLaw,
    ageing_law: AgeingLaw,
) -> Plantings:
    """The engine's table of plantings. zone : of each in the prepared sums."""
    start = as_date(first_day).toordinal()
    known: dict[tuple[date, str], date] = {}  # it rests on nothing else of a planting
    begins: list[date] = []
    for p in plantings:
        key = (p.rooted, p.cultivar.season_planted)
        if key not in known:
            known[key] = growth_begins(p.cultivar, counted=p.rooted, garden=garden, law=growth_law)
        begins.append(known[key])
    rooted = np.array([p.rooted.toordinal() - start for p in plantings], dtype=np.int64)
    least = [0.0 if p.established else p.cultivar.least_days for p in plantings]
    opens = np.array(
        [
            _autumn_day(p, planted=int(day) + wait) if p.cultivar.flowering_law == "autumn" else 0.0
            for p, day, wait in zip(plantings, rooted, least, strict=True)
        ]
    )
    return Plantings(
        zone=np.array(zone, dtype=np.int64),
        planted=rooted,
        begins=np.array([day.toordinal() - start for day in begins], dtype=np.int64),
        law=np.array([LAW_NUMBERS[p.cultivar.flowering_law] for p in plantings], dtype=np.int64),
        full_rate_weeks=np.array([need.full_rate_weeks for need in needs]),
        prechilled_weeks=np.array([p.prechill_weeks for p in plantings], dtype=np.float64),
        heat_need=np.array([need.heat for need in needs]),
        life=np.array([need.life for need in needs]),
        shift_days=np.array([p.shift_days + p.depth_days for p in plantings], dtype=np.float64),
        bud_weeks=np.array(
            [BLIND_BELOW * _least_weeks(p.cultivar) for p in plantings], dtype=np.float64
        ),
        bud_last_day=np.array(
            [
                midsummer_after(day, southern=garden.is_southern).toordinal() - start
                for day in begins
            ],
            dtype=np.int64,
        ),
        leaf_days=np.array([_leaf_days(p.cultivar, ageing_law) for p in plantings]),
        usual_start=opens,
        cooled=np.array(
            [
                need.cooled + (_YEAR_DAYS if day >= _YEAR_DAYS else 0)
                for need, day in zip(needs, opens, strict=True)
            ]
        ),
        earliest=rooted + np.array(least),
    )


def _least_weeks(cultivar: Cultivar) -> float:
    """Weeks of cold without which buds fail; spring-planted kinds have had theirs in store."""
    return 0.0 if cultivar.season_planted == "spring" else cultivar.chill_weeks_min or 0.0


def _autumn_day(planting: Planting, *, planted: float) -> float:
    """Axis day on which an autumn kind opens at the reference garden, in its next autumn.

    planted : the first day on which it could open here.
    """
    cultivar = planting.cultivar
    shift = cultivar.established_shift_days if planting.established else 0.0
    opens = axis_day(cultivar.ref_start) + 0.5 - shift
    return opens if opens + _LONGEST_DELAY_DAYS >= planted else opens + _YEAR_DAYS


def _leaf_days(cultivar: Cultivar, law: AgeingLaw) -> float:
    """Ageing from the last flower to yellow leaves. [days at 10 °C]"""
    if cultivar.leaf_days is not None:
        return cultivar.leaf_days
    if cultivar.flowers_in != "autumn":
        return law.leaf_days
    late = _leaves_come_later(cultivar.genus, cultivar.group)
    return law.late_leaf_days if late else law.winter_leaf_days


@lru_cache(maxsize=512)
def _leaves_come_later(genus: str, group: str) -> bool:
    return load_task_rules().aftercare(genus, group).leaves == "later"


@lru_cache(maxsize=4096)
def midsummer_after(day: date, *, southern: bool) -> date:
    """The next 1 August after a day, in the southern half of the earth 1 February."""
    month, of_month = (2, 1) if southern else (8, 1)
    this_year = date(day.year, month, of_month)
    return this_year if this_year > day else date(day.year + 1, month, of_month)


@lru_cache(maxsize=4096)
def last_autumn_day(day: date, *, southern: bool) -> date:
    """Last day of the year's autumn in which an autumn kind can open, from a day on.

    What isn't out by midwinter waits for the next autumn.
    """
    last = date(day.year, *_LAST_AUTUMN_DAY[southern])
    return last if last >= day else date(day.year + 1, *_LAST_AUTUMN_DAY[southern])
