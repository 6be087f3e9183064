"""What is the same of plantings in every garden and every year, as columns: read from them once.

A region's step asks of thousands of plantings what was asked of them before; only what rests on
the garden is worked out anew (`table_of`).
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.engine.heat_sums import AUTUMN, Plantings
from bloomline.model.cultivar import Cultivar, FloweringLaw
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


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """One row a planting; arrays of shape (n,).

    standings : the different places they stand in; standing : which of them each has.
    seasons : the different pairs of the day from which a season counts and the season in which
    its kind is planted; season : which of them each has. rooted : that day, as an ordinal. ways :
    the same with the law by which a kind comes to flower. least_days : from planting to flower, at
    the least. longer_days : what its depth adds to a shoot's way. lethal_c : what kills the bulb.
    sd_days : what isn't known of its own date. The rest are as in the engine's `Plantings`.
    """

    plantings: tuple[Planting, ...]
    needs: tuple[Need, ...]
    standings: Sequence[Standing]
    standing: Ints
    seasons: Sequence[tuple[date, str]]
    season: Ints
    ways: Sequence[tuple[date, FloweringLaw]]
    way: Ints
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
    found = needs.needs([(p.cultivar, p.standing.where, p.established) for p in plantings])
    kinds = [p.cultivar for p in plantings]
    depth = [p.depth_days for p in plantings]
    # Objects are told apart first, which is quick, and then by what they are.
    by_id = {id(p.standing): p.standing for p in plantings}
    standings, place = numbered(by_id.values())
    at = dict(zip(by_id, place.tolist(), strict=True))
    seasons, season = numbered([(p.rooted, p.cultivar.season_planted) for p in plantings])
    ways, way = numbered([(p.rooted, p.cultivar.flowering_law) for p in plantings])

    def floats(values: Iterable[float]) -> Floats:
        column = np.array([*values], dtype=np.float64)
        column.setflags(write=False)  # several tables share it
        return column

    return Columns(
        plantings=tuple(plantings),
        needs=tuple(found),
        standings=standings,
        standing=np.array([at[id(p.standing)] for p in plantings], dtype=np.int64),
        seasons=seasons,
        season=season,
        ways=ways,
        way=way,
        rooted=np.array([p.rooted.toordinal() for p in plantings], dtype=np.int64),
        law=np.array([LAW_NUMBERS[kind.flowering_law] for kind in kinds], dtype=np.int64),
        full_rate_weeks=floats(need.full_rate_weeks for need in found),
        prechilled_weeks=floats(p.prechill_weeks for p in plantings),
        heat_need=floats(need.heat for need in found),
        life=floats(need.life for need in found),
        shift_days=floats(p.shift_days + deep for p, deep in zip(plantings, depth, strict=True)),
        bud_weeks=floats(BLIND_BELOW * _least_weeks(kind) for kind in kinds),
        leaf_days=floats(_leaf_days(kind, ageing) for kind in kinds),
        least_days=floats(0.0 if p.established else p.cultivar.least_days for p in plantings),
        cooled=floats(need.cooled for need in found),
        longer_days=floats(max(deep, 0.0) for deep in depth),
        lethal_c=floats(lethal_c(kind.genus, kind.group) for kind in kinds),
        sd_days=floats(
            date_sd_days(p.cultivar, established=p.established, law=growth_law) for p in plantings
        ),
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
    begins = [
        growth_begins(season_planted, counted=day, garden=garden, law=growth_law)
        for day, season_planted in columns.seasons
    ]
    last_of_buds = [midsummer_after(day, southern=garden.is_southern) for day in begins]
    opens = np.zeros(len(rooted))
    for row in np.flatnonzero(columns.law == AUTUMN).tolist():
        first = int(rooted[row]) + columns.least_days[row]
        opens[row] = _autumn_day(columns.plantings[row], planted=first)

    def of_seasons(days: Sequence[date]) -> Ints:
        ordinals = np.array([day.toordinal() - start for day in days], dtype=np.int64)
        return ordinals[columns.season]

    return Plantings(
        zone=zone,
        planted=rooted,
        begins=of_seasons(begins),
        law=columns.law,
        full_rate_weeks=columns.full_rate_weeks,
        prechilled_weeks=columns.prechilled_weeks,
        heat_need=columns.heat_need,
        life=columns.life,
        shift_days=columns.shift_days,
        bud_weeks=columns.bud_weeks,
        bud_last_day=of_seasons(last_of_buds),
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
