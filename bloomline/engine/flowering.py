"""From root-zone temperatures to flowering days: exact sums searched, not days walked.

Heat gathered from planting day p grows each day by the growth rate A′ times how far the cold
need is met: Km + (1 − Km)·min(1, cold weeks so far / weeks at the full rate). With running
sums A of the rate, C of cold weeks and B of rate × C, the heat while the need is unmet is

    Km·(A − A_p) + (1 − Km)/C* · ((B − B_p) − (C_p − C₀)·(A − A_p))

and after that grows with A alone. All of these rise with time, so the day the need is met,
first flower, full flower and the end are binary searches in sums that are prepared once for
each kind of root zone, whatever the cultivar and planting date.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.chill import bulb_cold_weight
from bloomline.engine.climate import WeatherYears, day_of_year
from bloomline.engine.heat import (
    AgeingLaw,
    GrowthLaw,
    RateTable,
    ageing_rate,
    day_length_factor,
    growth_rate,
)
from bloomline.engine.hourly import day_length_h, subdaily_weights
from bloomline.engine.rootzone import RootZone, daily_root_zone_c, swing_share
from bloomline.engine.sites import SiteEffect, site_air

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_DAYS_PER_WEEK = 7.0
_SUBDAILY_POINTS = 4


@dataclass(frozen=True, slots=True)
class Surroundings:
    """A kind of place for bulbs: what the air does at its site and how the root zone follows."""

    zone: RootZone
    site: SiteEffect


@dataclass(frozen=True, slots=True)
class PreparedSums:
    """Running sums for several surroundings, at the start of each day.

    growth, cold_weeks, growth_by_cold, ageing : shape (n_zones, n_years, n_days + 1).
    root_min_c : daily minimum of the root zone, shape (n_zones, n_years, n_days). [°C]
    """

    growth: Floats
    cold_weeks: Floats
    growth_by_cold: Floats
    ageing: Floats
    root_min_c: Floats

    @property
    def n_years(self) -> int:
        """How many weather years there are."""
        return self.growth.shape[1]

    @property
    def n_days(self) -> int:
        """How many days the axis has."""
        return self.growth.shape[2] - 1


@lru_cache(maxsize=8)
def _growth_table(law: GrowthLaw) -> RateTable:
    return RateTable(growth_rate(RateTable.grid_c(), law=law))


@lru_cache(maxsize=1)
def _cold_table() -> RateTable:
    return RateTable(np.asarray(bulb_cold_weight(RateTable.grid_c())) / _DAYS_PER_WEEK)


@lru_cache(maxsize=8)
def _ageing_table(law: AgeingLaw) -> RateTable:
    return RateTable(ageing_rate(RateTable.grid_c(), law=law))


def _running(values: Floats) -> Floats:
    out = np.zeros((*values.shape[:-1], values.shape[-1] + 1))
    np.cumsum(values, axis=-1, out=out[..., 1:])
    return out


def prepare(
    weather: WeatherYears,
    *,
    surroundings: Sequence[Surroundings],
    growth_law: GrowthLaw,
    ageing_law: AgeingLaw,
) -> PreparedSums:
    """Running sums of growth, cold and ageing for each kind of surroundings."""
    days = weather.days
    hours_of_light = np.asarray(
        day_length_h(day_of_year(days), latitude_deg=weather.latitude_deg), dtype=np.float64
    )
    light = day_length_factor(hours_of_light, law=growth_law)
    points = np.asarray(subdaily_weights(hours_of_light, n_points=_SUBDAILY_POINTS))
    airs: dict[SiteEffect, tuple[Floats, Floats]] = {}
    for place in surroundings:
        if place.site not in airs:
            airs[place.site] = site_air(weather, effect=place.site)
    zones = tuple(place.zone for place in surroundings)
    low = np.stack([airs[place.site][0] for place in surroundings])
    high = np.stack([airs[place.site][1] for place in surroundings])
    mean = 0.5 * (low + high)
    root = daily_root_zone_c(mean, zones=zones)
    shape = (len(zones), 1, 1)
    swing = np.array([swing_share(zone.time_constant_h) for zone in zones]).reshape(shape)
    air_share = np.array([zone.air_share for zone in zones]).reshape(shape)
    # The growing point feels part root zone, part air; its daily swing likewise.
    felt = root + air_share * (mean - root)
    felt_range = (high - low) * (swing + air_share * (1.0 - swing))
    centred = points - points.mean(axis=-1, keepdims=True)
    growth_of, cold_of = _growth_table(growth_law), _cold_table()
    growth = np.zeros_like(felt)
    cold = np.zeros_like(felt)
    for k in range(_SUBDAILY_POINTS):
        growth += growth_of(felt + felt_range * centred[:, k])
        cold += cold_of(root + (high - low) * swing * centred[:, k])
    growth *= light / _SUBDAILY_POINTS
    cold /= _SUBDAILY_POINTS
    cold_sum = _running(cold)
    return PreparedSums(
        growth=_running(growth),
        cold_weeks=cold_sum,
        growth_by_cold=_running(growth * cold_sum[..., :-1]),
        ageing=_running(_ageing_table(ageing_law)(mean)),
        root_min_c=root - 0.5 * swing * (high - low) * np.where(root > 0.0, 1.0, _below(zones)),
    )


def _below(zones: tuple[RootZone, ...]) -> Floats:
    return np.array([zone.below_zero for zone in zones]).reshape(-1, 1, 1)


@dataclass(frozen=True, slots=True)
class Plantings:
    """What is planted: one row a planting that differs from every other, shape (n,).

    zone : index into the prepared surroundings. planted : day index on the axis.
    full_rate_weeks : cold weeks at which growth runs at its full rate; 0 where no cold is
    needed. prechilled_weeks : cold weeks gathered before planting. heat_need : growth sum at
    first flower. life : ageing sum from first flower to the end. shift_days : added to the
    start (a garden's own learned offset).
    """

    zone: Ints
    planted: Ints
    full_rate_weeks: Floats
    prechilled_weeks: Floats
    heat_need: Floats
    life: Floats
    shift_days: Floats


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


class _Rows:
    """Rows of the prepared sums that plantings look at, flattened for quick gathering."""

    __slots__ = ("base", "n_days", "sums")

    def __init__(self, sums: PreparedSums, zone: Ints) -> None:
        n_years = sums.n_years
        self.sums = sums
        self.n_days = sums.n_days
        rows = zone[:, None] * n_years + np.arange(n_years)[None, :]
        self.base = rows * (sums.n_days + 1)

    def take(self, values: Floats, day: Ints) -> Floats:
        """Values at a day index, shape (n, n_years)."""
        return np.take(values.reshape(-1), self.base + day)

    def first_at_least(self, values: Floats, goal: Floats, low: Ints) -> Ints:
        """First day index from `low` on at which a rising sum reaches its goal.

        n_days + 1 where it never does.
        """
        flat = values.reshape(-1)
        lo = low.copy()
        hi = np.full_like(lo, self.n_days + 1)
        for _ in range(int(self.n_days).bit_length() + 1):
            middle = (lo + hi) >> 1
            reached = np.take(flat, self.base + np.minimum(middle, self.n_days)) >= goal
            reached |= middle > self.n_days
            hi = np.where(reached, middle, hi)
            lo = np.where(reached, lo, np.minimum(middle + 1, hi))
        return hi

    def crossing(self, values: Floats, goal: Floats, low: Ints) -> Floats:
        """Day at which a rising sum reaches its goal, linear within the day; NaN if never."""
        after = self.first_at_least(values, goal, low)
        never = after > self.n_days
        at = np.minimum(after, self.n_days)
        before = np.maximum(at - 1, 0)
        left = self.take(values, before)
        right = self.take(values, at)
        step = np.where(right > left, right - left, 1.0)
        part = np.clip((goal - left) / step, 0.0, 1.0)
        day = np.where(at == 0, 0.0, before + part)
        return np.where(never, np.nan, np.maximum(day, low))


def _heat_so_far(
    rows: _Rows, day: Ints, *, planted: Ints, met: Ints, weeks: Floats, before: Floats, km: float
) -> Floats:
    """Heat gathered from planting to the start of a day, shape (n, n_years)."""
    sums = rows.sums
    a_p = rows.take(sums.growth, planted)
    until = np.minimum(day, met)
    a = rows.take(sums.growth, until)
    safe = np.where(weeks > 0.0, weeks, 1.0)
    gathered = rows.take(sums.growth_by_cold, until) - rows.take(sums.growth_by_cold, planted)
    shortfall = rows.take(sums.cold_weeks, planted) - before
    unmet = km * (a - a_p) + (1.0 - km) / safe * (gathered - shortfall * (a - a_p))
    return unmet + rows.take(sums.growth, day) - a


def _met_day(rows: _Rows, plantings: Plantings, planted: Ints) -> Ints:
    """First day at whose start the cold need is met (the planting day where none is needed)."""
    need = plantings.full_rate_weeks[:, None]
    goal = rows.take(rows.sums.cold_weeks, planted) + need - plantings.prechilled_weeks[:, None]
    return np.where(need <= 0.0, planted, rows.first_at_least(rows.sums.cold_weeks, goal, planted))


def heat_until(sums: PreparedSums, *, plantings: Plantings, day: Floats, law: GrowthLaw) -> Floats:
    """Heat gathered from planting until a day (fractions allowed), shape (n, n_years).

    day : shape (n,). Used to solve a heat need from a known flowering date.
    """
    rows = _Rows(sums, plantings.zone)
    planted = np.broadcast_to(plantings.planted[:, None], rows.base.shape)
    met = np.minimum(_met_day(rows, plantings, planted), sums.n_days)
    whole = np.floor(day).astype(np.int64)[:, None] + np.zeros_like(planted)
    options = {
        "planted": planted,
        "met": met,
        "weeks": plantings.full_rate_weeks[:, None],
        "before": plantings.prechilled_weeks[:, None],
        "km": law.unmet_rate,
    }
    here = _heat_so_far(rows, whole, **options)  # type: ignore[arg-type]
    there = _heat_so_far(rows, np.minimum(whole + 1, sums.n_days), **options)  # type: ignore[arg-type]
    return here + (there - here) * (day - np.floor(day))[:, None]


def ageing_between(sums: PreparedSums, *, zone: Ints, first: Floats, last: Floats) -> Floats:
    """Ageing gathered between two days (fractions allowed), shape (n, n_years)."""
    rows = _Rows(sums, zone)

    def at(day: Floats) -> Floats:
        whole = np.floor(day).astype(np.int64)[:, None] + np.zeros_like(rows.base)
        here = rows.take(sums.ageing, whole)
        there = rows.take(sums.ageing, np.minimum(whole + 1, sums.n_days))
        return here + (there - here) * (day - np.floor(day))[:, None]

    return at(last) - at(first)


def flowering_days(
    sums: PreparedSums, *, plantings: Plantings, law: GrowthLaw, ageing: AgeingLaw
) -> FloweringDays:
    """When each planting shows its nose, opens, is at its best, ends and yellows.

    Arrays of the result have shape (n_plantings, n_years).
    """
    rows = _Rows(sums, plantings.zone)
    planted = np.broadcast_to(plantings.planted[:, None], rows.base.shape)
    met = _met_day(rows, plantings, planted)
    met_inside = np.minimum(met, sums.n_days)
    weeks = plantings.full_rate_weeks[:, None]
    before = plantings.prechilled_weeks[:, None]

    def heat(day: Ints) -> Floats:
        return _heat_so_far(
            rows,
            day,
            planted=planted,
            met=met_inside,
            weeks=weeks,
            before=before,
            km=law.unmet_rate,
        )

    def reach(goal: Floats) -> Floats:
        lo = planted.copy()
        hi = np.full_like(lo, sums.n_days + 1)
        for _ in range(int(sums.n_days).bit_length() + 1):
            middle = (lo + hi) >> 1
            reached = heat(np.minimum(middle, sums.n_days)) >= goal
            reached |= middle > sums.n_days
            hi = np.where(reached, middle, hi)
            lo = np.where(reached, lo, np.minimum(middle + 1, hi))
        at = np.minimum(hi, sums.n_days)
        earlier = np.maximum(at - 1, planted)
        left, right = heat(earlier), heat(at)
        step = np.where(right > left, right - left, 1.0)
        part = np.clip((goal - left) / step, 0.0, 1.0)
        return np.where(hi > sums.n_days, np.nan, earlier + part * (at > earlier))

    need = plantings.heat_need[:, None]
    start = reach(need) + plantings.shift_days[:, None]
    nose = reach(need * ageing.nose_share)
    known = np.isfinite(start)
    start_day = np.clip(np.where(known, start, 0.0), 0.0, sums.n_days - 1.0)
    whole = np.floor(start_day).astype(np.int64)
    part = start_day - whole
    at_start = rows.take(sums.ageing, whole) * (1.0 - part) + part * rows.take(
        sums.ageing, whole + 1
    )
    life = plantings.life[:, None]
    ends = [
        np.where(known, rows.crossing(sums.ageing, at_start + share, whole), np.nan)
        for share in (life * ageing.full_share, life, life + ageing.leaf_days)
    ]
    cold_end = np.where(known, whole, sums.n_days)
    cold = rows.take(sums.cold_weeks, cold_end) - rows.take(sums.cold_weeks, planted) + before
    return FloweringDays(
        nose=nose,
        start=start,
        full=ends[0],
        end=ends[1],
        leaves_over=ends[2],
        cold_met=np.where((weeks <= 0.0) | (met > sums.n_days), np.nan, met.astype(np.float64)),
        cold_weeks=cold,
    )


def colder_than(
    sums: PreparedSums, *, zone: Ints, first: Ints, last: Floats, limit_c: Floats
) -> NDArray[np.bool_]:
    """Whether the root zone fell below a limit between two days, shape (n, n_years).

    first : shape (n,); last : shape (n, n_years), NaN counts as the end of the axis.
    limit_c : shape (n,); one running count is made for each different limit.
    """
    rows = _Rows(sums, zone)
    result = np.zeros(rows.base.shape, dtype=bool)
    begin = np.broadcast_to(first[:, None], rows.base.shape)
    until = np.where(np.isfinite(last), np.ceil(last), sums.n_days).astype(np.int64)
    until = np.clip(until, begin, sums.n_days)
    coldest = float(sums.root_min_c.min())
    for limit in np.unique(limit_c):
        if not coldest < limit:
            continue
        counts = _running((sums.root_min_c < limit).astype(np.float64))
        which = limit_c == limit
        hit = rows.take(counts, until) - rows.take(counts, begin) > 0.5
        result[which] = hit[which]
    return result
