"""From root-zone temperatures to flowering days: exact sums searched, not days walked.

Development counts from day b, on which autumn has cooled (or from planting, if that is later).
Heat grows each day by the growth rate A′ times how far the cold need is met:
Km + (1 − Km)·min(1, cold weeks since b / weeks at the full rate). (Whether a bud has had its least
cold, and the weeks that are told, count from planting: cold is cold.) With running sums A of the
rate, C of cold weeks and B of rate × C, the heat while the need is unmet is

    Km·(A − A_b) + (1 − Km)/C* · ((B − B_b) − (C_b − C₀)·(A − A_b))

and after that grows with A alone. All of these rise with time, so the day the need is met,
first flower, full flower and the end are binary searches in sums that are prepared once for
each kind of root zone, whatever the cultivar and planting date. Summer kinds gather heat by a
law of their own, and autumn kinds open as the year cools (`autumn.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.autumn import AutumnLaw, autumn_opening
from bloomline.engine.chill import bulb_cold_weight
from bloomline.engine.climate import WeatherYears, day_of_year
from bloomline.engine.heat import (
    AgeingLaw,
    GrowthLaw,
    RateTable,
    ageing_rate,
    day_length_factor,
    growth_rate,
    spring_light_h,
    summer_growth_rate,
)
from bloomline.engine.hourly import day_length_h, subdaily_weights
from bloomline.engine.rootzone import RootZone, daily_root_zone_c, swing_share
from bloomline.engine.search import Rows, crossing, first_at_least, first_true
from bloomline.engine.sites import SiteEffect, site_air

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_DAYS_PER_WEEK = 7.0
_SUBDAILY_POINTS = 3
_LEAST_GROWTH = np.float32(1e-6)


@dataclass(frozen=True, slots=True)
class Surroundings:
    """A kind of place for bulbs: what the air does at its site and how the root zone follows."""

    zone: RootZone
    site: SiteEffect


@dataclass(frozen=True, slots=True, eq=False)
class PreparedSums:
    """Running sums for several surroundings, at the start of each day.

    growth, cold_weeks, growth_by_cold : shape (n_zones, n_years, n_days + 1).
    ageing : shape (n_sites, n_years, n_days + 1), since flowers age with the site's air;
    site_of_zone : shape (n_zones,), which site each zone stands at.
    root_c : daily mean of the root zone, shape (n_zones, n_years, n_days). [°C]
    site_mean_c : the site's daily mean, shape (n_sites, n_years, n_days). [°C]
    summer_growth : growth sums of summer kinds, like `growth`; None where none were asked for.
    """

    growth: Floats
    cold_weeks: Floats
    growth_by_cold: Floats
    ageing: Floats
    site_of_zone: Ints
    root_c: NDArray[np.float32]
    site_mean_c: Floats
    summer_growth: Floats | None = None

    @property
    def n_years(self) -> int:
        """How many weather years there are."""
        return int(self.growth.shape[1])

    @property
    def n_days(self) -> int:
        """How many days the axis has."""
        return int(self.growth.shape[2]) - 1


@lru_cache(maxsize=8)
def _growth_table(law: GrowthLaw) -> RateTable:
    return RateTable(growth_rate(RateTable.grid_c(), law=law))


@lru_cache(maxsize=8)
def _summer_table(law: GrowthLaw) -> RateTable:
    return RateTable(summer_growth_rate(RateTable.grid_c(), law=law))


@lru_cache(maxsize=1)
def _cold_table() -> RateTable:
    return RateTable(np.asarray(bulb_cold_weight(RateTable.grid_c())) / _DAYS_PER_WEEK)


@lru_cache(maxsize=8)
def _ageing_table(law: AgeingLaw) -> RateTable:
    return RateTable(ageing_rate(RateTable.grid_c(), law=law))


def _running(values: NDArray[np.floating]) -> Floats:
    out = np.zeros((*values.shape[:-1], values.shape[-1] + 1))
    np.cumsum(values, axis=-1, out=out[..., 1:])
    return out


def prepare(
    weather: WeatherYears,
    *,
    surroundings: Sequence[Surroundings],
    growth_law: GrowthLaw,
    ageing_law: AgeingLaw,
    summer: bool = True,
) -> PreparedSums:
    """Running sums of growth, cold and ageing for each kind of surroundings.

    summer : whether summer kinds are among what is to be forecast.
    Daily values are worked out in single precision, zone by zone, so that they stay in the
    processor's cache; the sums are kept in double.
    """
    days = weather.days
    hours_of_light = np.asarray(
        day_length_h(day_of_year(days), latitude_deg=weather.latitude_deg), dtype=np.float64
    )
    light = day_length_factor(spring_light_h(hours_of_light), law=growth_law).astype(np.float32)
    points = np.asarray(subdaily_weights(hours_of_light, n_points=_SUBDAILY_POINTS))
    centred = (points - points.mean(axis=-1, keepdims=True)).astype(np.float32)
    spread = centred.std(axis=-1)
    sites: dict[SiteEffect, int] = {}
    for place in surroundings:
        sites.setdefault(place.site, len(sites))
    site_of_zone = np.array([sites[place.site] for place in surroundings], dtype=np.int64)
    airs = [site_air(weather, effect=site) for site in sites]
    means = [0.5 * (low + high) for low, high in airs]
    ranges = [(high - low).astype(np.float32) for low, high in airs]
    root_zones = daily_root_zone_c(
        np.stack(means)[site_of_zone], zones=tuple(place.zone for place in surroundings)
    ).astype(np.float32)
    growth_of, cold_of = _growth_table(growth_law), _cold_table()
    summer_of = _summer_table(growth_law)
    shape = (len(surroundings), weather.n_years, len(days) + 1)
    growth_sum, cold_sum, product_sum = np.zeros(shape), np.zeros(shape), np.zeros(shape)
    summer_sum = np.zeros(shape) if summer else None
    ages = _ageing_table(ageing_law)
    for z, place in enumerate(surroundings):
        root = root_zones[z]
        mean = means[site_of_zone[z]].astype(np.float32)
        air_range = ranges[site_of_zone[z]]
        swing = np.float32(swing_share(place.zone.time_constant_h))
        share = np.float32(place.zone.air_share)
        # The growing point feels part root zone, part air; its daily swing likewise.
        felt = root + share * (mean - root)
        felt_range = air_range * (swing + share * (1 - swing))
        hours = [felt + felt_range * centred[:, k] for k in range(_SUBDAILY_POINTS)]
        growth = _mean_rate(growth_of, hours)
        growth *= light
        # A day of frost counts for next to nothing, so that every day has a heat of its own.
        np.maximum(growth, _LEAST_GROWTH, out=growth)
        if summer_sum is not None:
            rate = _mean_rate(summer_of, hours)
            np.cumsum(rate, axis=-1, dtype=np.float64, out=summer_sum[z, :, 1:])
        # The root zone swings less than the air; two points, a standard deviation either
        # side of the mean, stand for its day.
        root_range = air_range * swing
        deviation = root_range * spread
        cold = cold_of(root + deviation)
        cold += cold_of(root - deviation)
        cold *= np.float32(0.5)
        np.cumsum(growth, axis=-1, dtype=np.float64, out=growth_sum[z, :, 1:])
        np.cumsum(cold, axis=-1, dtype=np.float64, out=cold_sum[z, :, 1:])
        np.cumsum(growth * cold_sum[z, :, :-1], axis=-1, out=product_sum[z, :, 1:])
    return PreparedSums(
        growth=growth_sum,
        cold_weeks=cold_sum,
        growth_by_cold=product_sum,
        ageing=_running(np.stack([ages(mean.astype(np.float32)) for mean in means])),
        site_of_zone=site_of_zone,
        root_c=root_zones,
        site_mean_c=np.stack(means),
        summer_growth=summer_sum,
    )


def _mean_rate(table: RateTable, temps_c: Sequence[NDArray[np.float32]]) -> NDArray[np.float32]:
    total = table(temps_c[0])
    for temp_c in temps_c[1:]:
        total += table(temp_c)
    total *= np.float32(1.0 / len(temps_c))
    return total


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


def _zone_rows(sums: PreparedSums, zone: Ints) -> Rows:
    return Rows(zone, n_years=sums.n_years, n_days=sums.n_days)


def _site_rows(sums: PreparedSums, zone: Ints) -> Rows:
    return Rows(sums.site_of_zone[zone], n_years=sums.n_years, n_days=sums.n_days)


class _Heat:
    """Heat gathered by plantings since it began to count, looked up for any day."""

    def __init__(self, sums: PreparedSums, plantings: Plantings, *, law: GrowthLaw) -> None:
        self.sums = sums
        self.rows = rows = _zone_rows(sums, plantings.zone)
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
    for rows, some, part in _by_law(sums, plantings):
        heat = _Heat(some, part, law=law)
        whole = np.floor(day[rows]).astype(np.int64)[:, None] + np.zeros_like(heat.begins)
        here = heat.at(np.maximum(whole, heat.begins))
        there = heat.at(np.clip(whole + 1, heat.begins, sums.n_days))
        result[rows] = here + (there - here) * (day[rows] - np.floor(day[rows]))[:, None]
    return result


def _by_law(sums: PreparedSums, plantings: Plantings) -> list[tuple[Ints, PreparedSums, Plantings]]:
    """Rows of the kinds that gather heat, with the growth sums that count for them."""
    parts: list[tuple[Ints, PreparedSums, Plantings]] = []
    if not (plantings.law != SPRING).any():
        return [(np.arange(len(plantings.zone)), sums, plantings)]
    spring = np.flatnonzero(plantings.law == SPRING)
    if len(spring):
        parts.append((spring, sums, _some(plantings, spring)))
    summer = np.flatnonzero(plantings.law == SUMMER)
    if len(summer):
        if sums.summer_growth is None:
            raise ValueError("the sums were prepared without summer kinds")
        # Their rate waits for no cold.
        some = replace(_some(plantings, summer), full_rate_weeks=np.zeros(len(summer)))
        parts.append((summer, replace(sums, growth=sums.summer_growth), some))
    return parts


def _some(plantings: Plantings, rows: Ints) -> Plantings:
    values = ((f.name, getattr(plantings, f.name)) for f in fields(plantings))
    kept: dict[str, Any] = {name: None if v is None else v[rows] for name, v in values}
    return Plantings(**kept)


def ageing_between(sums: PreparedSums, *, zone: Ints, first: Floats, last: Floats) -> Floats:
    """Ageing gathered between two days (fractions allowed), shape (n, n_years)."""
    rows = _site_rows(sums, zone)

    def at(day: Floats) -> Floats:
        whole = np.floor(day).astype(np.int64)[:, None] + np.zeros_like(rows.base)
        here = rows.take(sums.ageing, whole)
        there = rows.take(sums.ageing, np.minimum(whole + 1, sums.n_days))
        return here + (there - here) * (day - np.floor(day))[:, None]

    return at(last) - at(first)


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
        for rows, some, part in _by_law(sums, plantings)
    ]
    late = np.flatnonzero(plantings.law == AUTUMN)
    if len(late):
        parts.append((late, _cooled(sums, _some(plantings, late), law=autumn or AutumnLaw())))
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
    air = _site_rows(sums, plantings.zone)
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
    heat = _Heat(sums, plantings, law=law)
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


def _most_cold(heat: _Heat, plantings: Plantings, ageing: AgeingLaw) -> Floats:
    """Day by which each has had the cold that shoots wait for, NaN if never, (n, n_years)."""
    weeks = plantings.full_rate_weeks[:, None] * ageing.nose_cold_share
    goal = heat.cold_then + weeks
    day = first_at_least(heat.sums.cold_weeks, heat.rows, goal, heat.planted).astype(np.float64)
    reached = np.where(day < heat.sums.n_days, day, np.nan)
    return np.where(weeks <= 0.0, heat.planted, reached)


def _buds(heat: _Heat, plantings: Plantings) -> tuple[Floats, Floats]:
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


def colder_than(
    root_c: NDArray[np.floating], *, zone: Ints, first: Ints, last: Floats, limit_c: Floats
) -> Bools:
    """Whether a day's mean of the root zone fell below a limit, shape (n, n_years).

    Limits are measured as what a bulb stands for 24 hours; a night's few coldest hours are not.
    root_c : daily means, shape (n_zones, n_years, n_days). zone, first : shape (n,); last :
    shape (n, n_years), NaN counts as the end of the axis.
    limit_c : shape (n,). One running count is made for each zone and limit that meet.
    """
    n_years, n_days = root_c.shape[1:]
    result = np.zeros((len(zone), n_years), dtype=bool)
    until = np.where(np.isfinite(last), np.ceil(last), n_days).astype(np.int64)
    until = np.clip(until, first[:, None], n_days)
    coldest = root_c.min(axis=(1, 2))
    years = np.arange(n_years)
    at_risk = np.flatnonzero(coldest[zone] < limit_c)
    # NumPy's own search for pairs loads its masked arrays, a tenth of a command's time.
    pairs = set(zip(zone[at_risk].tolist(), limit_c[at_risk].tolist(), strict=True))
    for zone_number, limit in sorted(pairs):
        counts = np.zeros((n_years, n_days + 1), dtype=np.int16)
        below = root_c[zone_number] < limit
        np.cumsum(below, axis=1, out=counts[:, 1:])
        which = at_risk[(zone[at_risk] == zone_number) & (limit_c[at_risk] == limit)]
        result[which] = counts[years, until[which]] > counts[years, first[which, None]]
    return result
