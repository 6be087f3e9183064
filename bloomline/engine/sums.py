"""Running sums of growth, cold and ageing, made once for each kind of place.

Whatever is planted there and whenever, its days are searches in them (`flowering.py`).
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
    spring_light_h,
    summer_growth_rate,
)
from bloomline.engine.hourly import day_length_h, subdaily_weights
from bloomline.engine.rootzone import RootZone, daily_root_zone_c, swing_share
from bloomline.engine.search import Rows
from bloomline.engine.sites import SiteEffect, site_air

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

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

    def rows_of(self, zone: Ints) -> Rows:
        """Where plantings in these zones look."""
        return Rows(zone, n_years=self.n_years, n_days=self.n_days)

    def rows_of_sites(self, zone: Ints) -> Rows:
        """The same for what rests on the site's air alone."""
        return Rows(self.site_of_zone[zone], n_years=self.n_years, n_days=self.n_days)


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
    deviations = (points - points.mean(axis=-1, keepdims=True)).astype(np.float32)
    spread = deviations.std(axis=-1)
    centred = np.ascontiguousarray(deviations.T)
    sites: dict[SiteEffect, int] = {}
    for place in surroundings:
        sites.setdefault(place.site, len(sites))
    site_of_zone = np.array([sites[place.site] for place in surroundings], dtype=np.int64)
    airs = [site_air(weather, effect=site) for site in sites]
    site_mean = np.stack([0.5 * (low + high) for low, high in airs])
    means = site_mean.astype(np.float32)
    ranges = [(high - low).astype(np.float32) for low, high in airs]
    root_zones = daily_root_zone_c(
        site_mean, zones=tuple(place.zone for place in surroundings), site=site_of_zone
    ).astype(np.float32, order="C")
    growth_of, cold_of = _growth_table(growth_law), _cold_table()
    summer_of = _summer_table(growth_law)
    shape = (len(surroundings), weather.n_years, len(days) + 1)
    growth_sum, cold_sum, product_sum = np.zeros(shape), np.zeros(shape), np.zeros(shape)
    summer_sum = np.zeros(shape) if summer else None
    ages = _ageing_table(ageing_law)
    for z, place in enumerate(surroundings):
        root = root_zones[z]
        mean = means[site_of_zone[z]]
        air_range = ranges[site_of_zone[z]]
        swing = np.float32(swing_share(place.zone.time_constant_h))
        share = np.float32(place.zone.air_share)
        # The growing point feels part root zone, part air; its daily swing likewise.
        felt = root + share * (mean - root)
        felt_range = air_range * (swing + share * (1 - swing))
        hours = [felt + felt_range * point for point in centred]
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
        ageing=_running(np.stack([ages(mean) for mean in means])),
        site_of_zone=site_of_zone,
        root_c=root_zones,
        site_mean_c=site_mean,
        summer_growth=summer_sum,
    )


def _mean_rate(table: RateTable, temps_c: Sequence[NDArray[np.float32]]) -> NDArray[np.float32]:
    total = table(temps_c[0])
    for temp_c in temps_c[1:]:
        total += table(temp_c)
    total *= np.float32(1.0 / len(temps_c))
    return total


def ageing_between(sums: PreparedSums, *, zone: Ints, first: Floats, last: Floats) -> Floats:
    """Ageing gathered between two days (fractions allowed), shape (n, n_years)."""
    rows = sums.rows_of_sites(zone)

    def at(day: Floats) -> Floats:
        whole = np.floor(day).astype(np.int64)[:, None] + np.zeros_like(rows.base)
        here = rows.take(sums.ageing, whole)
        there = rows.take(sums.ageing, np.minimum(whole + 1, sums.n_days))
        return here + (there - here) * (day - np.floor(day))[:, None]

    return at(last) - at(first)
