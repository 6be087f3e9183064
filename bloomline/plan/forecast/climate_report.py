"""What a place's year is like for bulbs: warmth, frost and the cold that a pot gathers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import band_days
from bloomline.engine.chill import chill_hours, chill_portions
from bloomline.engine.climate import (
    WINTER_FROM,
    WeatherYears,
    annual_minima_c,
    day_of_year,
    frost_days,
    lapse_c,
    lowest_c,
)
from bloomline.engine.hourly import day_length_h, hourly_temperature_c
from bloomline.engine.sums import prepare
from bloomline.model.advice import Advice
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.surroundings import Standing, surroundings_of
from bloomline.plan.climate.weather import axis_start
from bloomline.plan.forecast.advice import station_advice
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.report import Band
from bloomline.reference.rules import load_rules
from bloomline.words import tr

_YEAR_DAYS = 365
# Frost so near to midsummer that no part of the year is without it.
_NO_SUMMER_DAYS = 12
# Half a year of cold, 1 October to 31 March in the north, counted from the start of the axis.
_CHILL_FROM, _CHILL_DAYS = 122, 182


@dataclass(frozen=True, slots=True)
class ClimateMonth:
    """One month of the year. [°C, days, weeks]

    tmax_c, tmin_c : mean daily extremes. lowest_c : lowest daily minimum of all weather years.
    frost_days : days with a minimum below 0 °C.
    cold_weeks : weeks of cold that bulbs in a standard pot in the open gather in it.
    """

    month: int
    tmax_c: float
    tmin_c: float
    lowest_c: float
    frost_days: float
    cold_weeks: float


@dataclass(frozen=True, slots=True)
class FrostDates:
    """First or last frost of the winter; `band` is None where `reason` says why."""

    band: Band | None
    reason: str | None
    share_of_years: float


@dataclass(frozen=True, slots=True)
class ClimateReport:
    """A place's year. Months run from January to December.

    mean_annual_minimum_c : mean over the years of each winter's lowest minimum, midsummer to
    midsummer. hardiness_zone : the zone it falls into.
    first_frost, last_frost : of the winter that begins after `season_first_day`.
    chill_hours [h] and chill_portions : median over the weather years, of `chill_from` to
    `chill_to`.
    """

    garden: Garden
    standing: Standing
    n_years: int
    season_first_day: date
    months: tuple[ClimateMonth, ...]
    mean_annual_minimum_c: float
    hardiness_zone: str
    first_frost: FrostDates
    last_frost: FrostDates
    chill_from: date
    chill_to: date
    chill_hours: float
    chill_portions: float
    advice: tuple[Advice, ...] = ()

    @property
    def frost_days(self) -> float:
        """Days of frost in the year."""
        return sum(month.frost_days for month in self.months)

    @property
    def cold_weeks(self) -> float:
        """Weeks of cold in the year."""
        return sum(month.cold_weeks for month in self.months)


def climate_report(
    garden: Garden,
    *,
    forecaster: Forecaster,
    today: date,
    standing: Standing | None = None,
) -> ClimateReport:
    """The year at a garden, from its normals and its weather years.

    standing : where bulbs gather their cold; a 30 cm clay pot in the open unless said.
    """
    where = standing or Standing()
    first_day = axis_start(today, garden=garden)
    weather = forecaster.weather(garden, first_day=first_day)
    change = float(lapse_c(garden.rise_m))
    frost = frost_days(weather)
    cold = _cold_weeks(weather, where, forecaster)
    start: date = first_day.astype(object)
    chill_hours_sum, portions = _winter_chill(weather)
    first_frost, last_frost = _frost_dates(weather, start)
    lowest = lowest_c(weather)
    annual_minimum = round(float(annual_minima_c(weather).mean()), 1)
    return ClimateReport(
        garden=garden,
        standing=where,
        n_years=weather.n_years,
        season_first_day=start,
        months=tuple(
            ClimateMonth(
                month=month + 1,
                tmax_c=round(garden.tmax_c[month] + change, 1),
                tmin_c=round(garden.tmin_c[month] + change, 1),
                lowest_c=round(float(lowest[month]), 1),
                frost_days=round(float(frost[month]), 1),
                cold_weeks=round(float(cold[month]), 2),
            )
            for month in range(12)
        ),
        mean_annual_minimum_c=annual_minimum,
        hardiness_zone=load_rules().hardiness_zone(annual_minimum),
        first_frost=first_frost,
        last_frost=last_frost,
        chill_from=start + timedelta(days=_CHILL_FROM),
        chill_to=start + timedelta(days=_CHILL_FROM + _CHILL_DAYS - 1),
        chill_hours=round(chill_hours_sum),
        chill_portions=round(portions, 1),
        advice=tuple(station_advice(garden)),
    )


def _cold_weeks(
    weather: WeatherYears, standing: Standing, forecaster: Forecaster
) -> NDArray[np.float64]:
    """Bulb cold weeks by month, January to December, mean over the years, shape (12,)."""
    law = forecaster.growth_law
    sums = prepare(
        weather,
        surroundings=[surroundings_of(standing, first_day=weather.first_day, law=law)],
        growth_law=law,
        ageing_law=forecaster.ageing_law,
    )
    daily = np.diff(sums.cold_weeks[0].mean(axis=0))[:_YEAR_DAYS]
    months = weather.days[:_YEAR_DAYS].astype("datetime64[M]").astype(np.int64) % 12
    return np.asarray(np.bincount(months, weights=daily, minlength=12), dtype=np.float64)


def _winter_chill(weather: WeatherYears) -> tuple[float, float]:
    """Chill hours [h] and portions of the cold half of the year, median over the years."""
    part = slice(_CHILL_FROM, _CHILL_FROM + _CHILL_DAYS)
    light = day_length_h(day_of_year(weather.days[part]), latitude_deg=weather.latitude_deg)
    hourly = hourly_temperature_c(
        weather.tmin_c[:, part], weather.tmax_c[:, part], day_length_h=light
    ).reshape(weather.n_years, -1)
    return _middle(chill_hours(hourly)[:, -1]), _middle(chill_portions(hourly)[:, -1])


def _middle(values: NDArray[np.float64]) -> float:
    ordered = np.sort(values)
    n = len(ordered)
    return float(ordered[(n - 1) // 2] + ordered[n // 2]) / 2.0


def _frost_dates(weather: WeatherYears, start: date) -> tuple[FrostDates, FrostDates]:
    frosty = weather.tmin_c[:, WINTER_FROM : WINTER_FROM + _YEAR_DAYS] < 0.0
    some = frosty.any(axis=1)
    share = float(some.mean())
    first = np.where(some, np.argmax(frosty, axis=1), np.nan)
    last = np.where(some, _YEAR_DAYS - 1 - np.argmax(frosty[:, ::-1], axis=1), np.nan)
    if share < 0.5:
        reason = tr("no frost in most years") if share > 0.0 else tr("no frost in any of the years")
        none = FrostDates(None, reason, share)
        return none, none
    early, late = _band(first, start), _band(last, start)
    summer = start + timedelta(days=WINTER_FROM)
    summerless = (early.p50 - summer).days < _NO_SUMMER_DAYS
    if summerless or (summer - late.p50).days + _YEAR_DAYS < _NO_SUMMER_DAYS:
        none = FrostDates(None, tr("frost comes in every month of the year"), share)
        return none, none
    return FrostDates(early, None, share), FrostDates(late, None, share)


def _band(days: NDArray[np.float64], start: date) -> Band:
    """Bands over the years with frost; a frost belongs to the day it falls on."""
    band = band_days(days[None, :], sd_days=np.zeros(1))
    p10, p50, p90 = (
        start + timedelta(days=WINTER_FROM + int(np.floor(float(values[0]) + 0.5)))
        for values in (band.p10, band.p50, band.p90)
    )
    return Band(p10, p50, p90)
