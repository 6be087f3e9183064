"""What is the same of plantings in every garden and every year, as columns: read from them once.

A region's step asks of thousands of plantings what was asked of them before; only what rests on
the garden is worked out anew (`table_of`).
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.engine.heat_sums import AUTUMN, Plantings
from bloomline.model.cultivar import Cultivar
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.reference_garden import axis_day
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.forecast.needs import LAW_NUMBERS, Need, NeedSolver, date_sd_days
from bloomline.plan.forecast.planting_day import growth_begins
from bloomline.plan.forecast.plantings import Planting, midsummer_after
from bloomline.plan.words.days import as_date
from bloomline.reference.rules import load_rules
from bloomline.reference.tasks import load_task_rules

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Item = TypeVar("Item", bound=Hashable)

BLIND_BELOW = 0.6
"""Share of the least cold weeks under which buds fail rather than open on short stems.

Judgement, no source: handbooks give the least weeks for a good flower, not for none."""

_YEAR_DAYS = 365
_LONGEST_DELAY_DAYS = 45  # by which an autumn kind can be late for its autumn and still open


class Alike:
    """Plantings by what many of them share, so that what rests on that alone is worked out once.

    first : one planting of each different lot. lot : to which each planting belongs, shape (n,).
    """

    def __init__(self, plantings: Sequence[Planting], key: Callable[[Planting], Hashable]) -> None:
        self.first: list[Planting] = []
        numbers: dict[Hashable, int] = {}
        lot: list[int] = []
        for planting in plantings:
            number = numbers.setdefault(key(planting), len(numbers))
            lot.append(number)
            if number == len(self.first):
                self.first.append(planting)
        self.lot = np.array(lot, dtype=np.int64)

    def each(self, value: Callable[[Planting], Any], kind: type[Any] = np.float64) -> NDArray[Any]:
        """A value of every planting that is the same within a lot, shape (n,)."""
        return np.array([value(planting) for planting in self.first], dtype=kind)[self.lot]


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """One row a planting; arrays of shape (n,).

    days : plantings that have their day and the course of their year in common. standings : the
    different places they stand in; standing : which of them each has. rooted : the day from which
    the season counts, as an ordinal. least_days : from planting to flower, at the least.
    longer_days : what its depth adds to a shoot's way. lethal_c : what kills the bulb. sd_days :
    what isn't known of its own date. The rest are as in the engine's `Plantings`.
    """

    plantings: tuple[Planting, ...]
    needs: tuple[Need, ...]
    days: Alike
    standings: Sequence[Standing]
    standing: Ints
    rooted: Ints
    law: Ints
    full_rate_weeks: Floats
    prechilled_weeks: Floats
    heat_need: Floats
    life: Floats
    shift_days: Floats
    bud_weeks: Floats
    leaf_days: Floats
    least_days: Floats
    cooled: Floats
    longer_days: Floats
    lethal_c: Floats
    sd_days: Floats


def columns_of(
    plantings: Sequence[Planting], *, needs: NeedSolver, growth_law: GrowthLaw, ageing: AgeingLaw
) -> Columns:
    """Read plantings."""
    # They differ in their day, in what they had before it and in what is learned of them.
    kinds = Alike(
        plantings, lambda p: (id(p.cultivar), p.established, id(p.standing), p.extra_cover_cm)
    )
    days = Alike(
        plantings, lambda p: (p.rooted, p.cultivar.season_planted, p.cultivar.flowering_law)
    )
    found = needs.needs([(p.cultivar, p.standing.where, p.established) for p in kinds.first])
    standings, standing = numbered(p.standing for p in kinds.first)
    shift_days = np.array([p.shift_days for p in plantings], dtype=np.float64)

    def of_need(name: str) -> Floats:
        return np.array([getattr(need, name) for need in found], dtype=np.float64)[kinds.lot]

    def sd_days(planting: Planting) -> float:
        return date_sd_days(planting.cultivar, established=planting.established, law=growth_law)

    return Columns(
        plantings=tuple(plantings),
        needs=tuple([found[lot] for lot in kinds.lot.tolist()]),
        days=days,
        standings=standings,
        standing=standing[kinds.lot],
        rooted=days.each(lambda p: p.rooted.toordinal(), np.int64),
        law=kinds.each(lambda p: LAW_NUMBERS[p.cultivar.flowering_law], np.int64),
        full_rate_weeks=of_need("full_rate_weeks"),
        prechilled_weeks=np.array([p.prechill_weeks for p in plantings], dtype=np.float64),
        heat_need=of_need("heat"),
        life=of_need("life"),
        shift_days=shift_days + kinds.each(lambda p: p.depth_days),
        bud_weeks=kinds.each(lambda p: BLIND_BELOW * _least_weeks(p.cultivar)),
        leaf_days=kinds.each(lambda p: _leaf_days(p.cultivar, ageing)),
        least_days=kinds.each(lambda p: 0.0 if p.established else p.cultivar.least_days),
        cooled=of_need("cooled"),
        longer_days=kinds.each(lambda p: max(p.depth_days, 0.0)),
        lethal_c=kinds.each(lambda p: lethal_c(p.cultivar.genus, p.cultivar.group)),
        sd_days=kinds.each(sd_days),
    )


def numbered(values: Iterable[Item]) -> tuple[list[Item], Ints]:
    """The different ones of values, and which of them each is."""
    numbers: dict[Item, int] = {}
    which = [numbers.setdefault(each, len(numbers)) for each in values]
    return list(numbers), np.array(which, dtype=np.int64)


def table_of(
    columns: Columns,
    *,
    zone: Ints,
    garden: Garden,
    first_day: np.datetime64,
    growth_law: GrowthLaw,
) -> Plantings:
    """The engine's table of plantings. zone : of each in the prepared sums."""
    start = as_date(first_day).toordinal()
    rooted = columns.rooted - start
    days = columns.days
    opens = np.zeros(len(rooted))
    for row in np.flatnonzero(columns.law == AUTUMN).tolist():
        first = float(rooted[row] + columns.least_days[row])
        opens[row] = _autumn_day(columns.plantings[row], planted=first)

    southern = garden.is_southern
    begins = [
        growth_begins(p.cultivar.season_planted, counted=p.rooted, garden=garden, law=growth_law)
        for p in days.first
    ]

    def on_axis(dates: Iterable[date]) -> Ints:
        return np.array([day.toordinal() - start for day in dates], dtype=np.int64)[days.lot]

    return Plantings(
        zone=zone,
        planted=rooted,
        begins=on_axis(begins),
        law=columns.law,
        full_rate_weeks=columns.full_rate_weeks,
        prechilled_weeks=columns.prechilled_weeks,
        heat_need=columns.heat_need,
        life=columns.life,
        shift_days=columns.shift_days,
        bud_weeks=columns.bud_weeks,
        bud_last_day=on_axis(midsummer_after(day, southern=southern) for day in begins),
        leaf_days=columns.leaf_days,
        usual_start=opens,
        cooled=columns.cooled + np.where(opens >= _YEAR_DAYS, _YEAR_DAYS, 0),
        earliest=rooted + columns.least_days,
    )


@lru_cache(maxsize=512)
def lethal_c(genus: str, group: str) -> float:
    """Temperature of the root zone that kills the bulb within a day. [°C]"""
    return load_rules().lethal_c(genus, group).bulb_c


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
