"""From root-zone temperatures to flowering days: exact sums searched, not days walked.

Development counts from the day on which autumn has cooled (or from planting, if that is later);
what of cold is told, and whether a bud has had its least, counts from planting: cold is cold.
The sums of growth, cold, heat and age (`sums.py`, `heat_sums.py`) rise with time, so the day the
need is met, first flower, full flower and the end are binary searches in them. Autumn kinds open
as the year cools (`autumn.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
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
    growth: bool = True,
) -> FloweringDays:
    """When each planting shows its nose, opens, is at its best, ends and yellows.

    growth : whether noses and leaves are asked for; NaN without.
    Arrays of the result have shape (n_plantings, n_years).
    """
    parts = [
        (rows, _warmed(some, part, law=law, ageing=ageing, growth=growth))
        for rows, some, part in by_law(sums, plantings)
    ]
    late = np.flatnonzero(plantings.law == AUTUMN)
    if len(late):
        parts.append((late, _cooled(sums, plantings.some(late), law=autumn or AutumnLaw())))
    opening = parts[0][1]
    if len(parts) > 1:
        opening = _joined(parts, shape=(len(plantings.zone), sums.n_years))
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
    full, end = aged(life * ageing.full_share), aged(life)
    leaves_over = aged(life + leaf) if growth else np.full(known.shape, np.nan)
    return FloweringDays(
        nose=nose,
        start=start,
        full=full,
        end=end,
        leaves_over=leaves_over,
        cold_met=opening.cold_met,
        cold_weeks=opening.cold_weeks,
        blind=opening.blind,
    )


def _joined(parts: Sequence[tuple[Ints, _Opening]], *, shape: tuple[int, int]) -> _Opening:
    """All rows of a table, of which each part has some."""
    first = parts[0][1]
    found = {
        each.name: np.empty(shape, dtype=getattr(first, each.name).dtype) for each in fields(first)
    }
    for rows, part in parts:
        for name, values in found.items():
            values[rows] = getattr(part, name)
    return _Opening(**found)


def _warmed(
    sums: PreparedSums, plantings: Plantings, *, law: GrowthLaw, ageing: AgeingLaw, growth: bool
) -> _Opening:
    """Kinds that open once they have gathered their heat, after their cold."""
    different, which = plantings.by_heat()
    heat = Heat(sums, different, law=law)
    need = different.heat_need[:, None]
    grown = np.take(heat.reach(need), which, axis=0)
    cold = _Cold(sums, plantings)
    bud, last = _buds(cold, plantings)
    blind = ~(bud <= last)
    # A shoot that is ready before its bud has had its cold waits for it.
    ready = np.where(blind, np.nan, np.maximum(grown, bud))
    weeks = plantings.full_rate_weeks[:, None]

    def had(share: float) -> Floats:
        """Day by which each has had a share of its cold."""
        day = cold.day_of(weeks * share)
        return np.where((weeks > 0.0) & (day >= sums.n_days), np.nan, day)

    nose = np.full_like(ready, np.nan)
    if growth:
        # Where there is hardly any winter the flower may come before the cold is had, its nose not.
        waits = np.fmin(had(ageing.nose_cold_share), ready - ageing.nose_days)
        warm = np.take(heat.reach(need * ageing.nose_share), which, axis=0)
        nose = np.where(np.isnan(warm), np.nan, np.fmax(warm, waits))
    # Without a flower, the cold that counts is that of the time in which it should have come.
    missed = np.fmin(np.fmin(grown, last), sums.n_days)
    until = np.clip(np.where(np.isfinite(ready), ready, missed), cold.planted, sums.n_days)
    return _Opening(
        ready=ready,
        nose=nose,
        blind=blind,
        cold_met=np.where(weeks <= 0.0, np.nan, had(1.0)),
        cold_weeks=cold.by(until.astype(np.int64)),
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


class _Cold:
    """Cold that plantings have had since they were planted, with what they had before it."""

    def __init__(self, sums: PreparedSums, plantings: Plantings) -> None:
        self._weeks, self._rows = sums.cold_weeks, sums.rows_of(plantings.zone)
        self.planted = np.broadcast_to(plantings.planted[:, None], self._rows.base.shape)
        had = plantings.prechilled_weeks[:, None]
        self._then = self._rows.take(self._weeks, self.planted) - had

    def by(self, day: Ints) -> Floats:
        """Weeks by the start of a day, shape (n, n_years)."""
        return self._rows.take(self._weeks, day) - self._then

    def day_of(self, weeks: Floats) -> Ints:
        """Day by which each has had so many weeks, (n, n_years); beyond the axis if never."""
        return first_at_least(self._weeks, self._rows, self._then + weeks, self.planted)


def _buds(cold: _Cold, plantings: Plantings) -> tuple[Ints, Floats]:
    """Day by which each bud has had its least cold, and the last day that will do, (n, n_years)."""
    if plantings.bud_weeks is None or plantings.bud_last_day is None:
        return cold.planted, np.full(cold.planted.shape, np.inf)
    weeks = plantings.bud_weeks[:, None]
    last = np.where(weeks <= 0.0, np.inf, plantings.bud_last_day[:, None])
    return cold.day_of(weeks), np.broadcast_to(last, cold.planted.shape)
