"""From root-zone temperatures to flowering days: exact sums searched, not days walked.

Development counts from the day on which autumn has cooled (or from planting, if that is later);
what of cold is told, and whether a bud has had its least, counts from planting: cold is cold.
The sums of growth, cold, heat and age (`sums.py`, `heat_sums.py`) rise with time, so the day the
need is met, first flower, full flower and the end are binary searches in them. Autumn kinds open
as the year cools (`autumn.py`).
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.autumn import AutumnLaw, autumn_opening
from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.engine.heat_sums import AUTUMN, Heat, Plantings, by_law
from bloomline.engine.search import crossing, first_at_least
from bloomline.engine.sums import PreparedSums

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class FloweringDays:
    """When each planting does what in each weather year, shape (n, n_years).

    Days are counted from the axis' first day, fractions within the day; NaN where it does
    not come about on the axis. cold_weeks : gathered by first flower (or by the end of the
    axis), those before planting included.
    """

    nose: Floats
    start: Floats
    full: Floats
    end: Floats
    leaves_over: Floats
    cold_met: Floats
    cold_weeks: Floats
    blind: Bools


@dataclass(frozen=True, slots=True)
class _Opening:
    """First flower as the weather alone has it, and what led to it; shape (n, n_years) each."""

    ready: Floats
    nose: Floats
    blind: Bools
    cold_met: Floats
    cold_weeks: Floats


def flowering_days(
    sums: PreparedSums,
    *,
    plantings: Plantings,
    law: GrowthLaw,
    ageing: AgeingLaw,
    autumn: AutumnLaw | None = None,
) -> FloweringDays:
    """When each planting shows its nose, opens, is at its best, ends and yellows.

    Arrays of the result have shape (n_plantings, n_years).
    """
    shape = (len(plantings.zone), sums.n_years)
    opening = _Opening(*(np.full(shape, np.nan) for _ in range(5)))
    parts = [
        (rows, _warmed(some, part, law=law, ageing=ageing))
        for rows, some, part in by_law(sums, plantings)
    ]
    late = np.flatnonzero(plantings.law == AUTUMN)
    if len(late):
        parts.append((late, _cooled(sums, plantings.some(late), law=autumn or AutumnLaw())))
    for rows, part in parts:
        for each in fields(opening):
            getattr(opening, each.name)[rows] = getattr(part, each.name)
    earliest = plantings.planted if plantings.earliest is None else plantings.earliest
    start = np.maximum(opening.ready + plantings.shift_days[:, None], earliest[:, None])
    earlier = np.minimum(plantings.shift_days, 0.0)[:, None]
    nose = np.maximum(opening.nose + earlier, plantings.planted[:, None])
    known = np.isfinite(start)
    start_day = np.clip(np.where(known, start, 0.0), 0.0, sums.n_days - 1.0)
    whole = np.floor(start_day).astype(np.int64)
    part_of_day = start_day - whole
    air = sums.rows_of_sites(plantings.zone)
    at_start = air.take(sums.ageing, whole) * (1.0 - part_of_day)
    at_start += air.take(sums.ageing, whole + 1) * part_of_day
    life = plantings.life[:, None]
    slowest = ageing.q10**-1.0  # at freezing and below: no age takes longer than that

    def aged(age: Floats) -> Floats:
        longest = int(float(age.max(initial=0.0)) / slowest) + 2
        day = crossing(sums.ageing, air, at_start + age, whole, within=longest)
        return np.where(known, day, np.nan)

    leaf = ageing.leaf_days if plantings.leaf_days is None else plantings.leaf_days[:, None]
    full, end, leaves_over = (aged(age) for age in (life * ageing.full_share, life, life + leaf))
    return FloweringDays(
        nose=nose,
        start=start,
        full=full,
        end=end,
        leaves_over=leaves_over,
        cold_met=opening.cold_met,
        cold_weeks=opening.cold_weeks,
        blind=opening.blind > 0.0,
    )


def _warmed(
    sums: PreparedSums, plantings: Plantings, *, law: GrowthLaw, ageing: AgeingLaw
) -> _Opening:
    """Kinds that open once they have gathered their heat, after their cold."""
    heat = Heat(sums, plantings, law=law)
    need = plantings.heat_need[:, None]
    grown = heat.reach(need)
    bud, last = _buds(heat, plantings)
    blind = ~(bud <= last)
    # A shoot that is ready before its bud has had its cold waits for it.
    ready = np.where(blind, np.nan, np.maximum(grown, bud))
    # Where there is hardly any winter the flower may come before the cold is had, its nose not.
    waits = np.fmin(_most_cold(heat, plantings, ageing), ready - ageing.nose_days)
    warm = heat.reach(need * ageing.nose_share)
    known = np.isfinite(ready)
    # Without a flower, the cold that counts is that of the time in which it should have come.
    missed = np.fmin(np.fmin(grown, last), sums.n_days)
    until = np.clip(np.where(known, ready, missed), heat.planted, sums.n_days)
    cold = heat.rows.take(sums.cold_weeks, until.astype(np.int64)) - heat.cold_then
    weeks = plantings.full_rate_weeks[:, None]
    met = first_at_least(sums.cold_weeks, heat.rows, heat.cold_then + weeks, heat.planted)
    return _Opening(
        ready=ready,
        nose=np.where(np.isnan(warm), np.nan, np.fmax(warm, waits)),
        blind=blind,
        cold_met=np.where((weeks <= 0.0) | (met >= sums.n_days), np.nan, met.astype(np.float64)),
        cold_weeks=cold,
    )


def _cooled(sums: PreparedSums, plantings: Plantings, *, law: AutumnLaw) -> _Opening:
    """Kinds that open as the year cools."""
    if plantings.usual_start is None or plantings.cooled is None:
        raise ValueError("autumn kinds need their usual day and that on which the air has cooled")
    ready = autumn_opening(
        sums.site_mean_c,
        site=sums.site_of_zone[plantings.zone],
        usual_start=plantings.usual_start,
        cooled=plantings.cooled,
        law=law,
    )
    return _Opening(
        ready=ready,
        nose=ready - law.nose_days,
        blind=np.isnan(ready),
        cold_met=np.full_like(ready, np.nan),
        cold_weeks=np.zeros_like(ready),
    )


def _most_cold(heat: Heat, plantings: Plantings, ageing: AgeingLaw) -> Floats:
    """Day by which each has had the cold that shoots wait for, NaN if never, (n, n_years)."""
    weeks = plantings.full_rate_weeks[:, None] * ageing.nose_cold_share
    goal = heat.cold_then + weeks
    day = first_at_least(heat.sums.cold_weeks, heat.rows, goal, heat.planted).astype(np.float64)
    reached = np.where(day < heat.sums.n_days, day, np.nan)
    return np.where(weeks <= 0.0, heat.planted, reached)


def _buds(heat: Heat, plantings: Plantings) -> tuple[Floats, Floats]:
    """Day by which each bud has had its least cold, and the last day that will do, (n, n_years)."""
    shape = heat.planted.shape
    if plantings.bud_weeks is None or plantings.bud_last_day is None:
        return heat.planted.astype(np.float64), np.full(shape, np.inf)
    weeks = plantings.bud_weeks[:, None]
    goal = heat.cold_then + weeks
    day = first_at_least(heat.sums.cold_weeks, heat.rows, goal, heat.planted).astype(np.float64)
    last = np.broadcast_to(plantings.bud_last_day[:, None].astype(np.float64), shape)
    return (
        np.where(weeks <= 0.0, heat.planted, day),
        np.where(weeks <= 0.0, np.inf, last),
    )
