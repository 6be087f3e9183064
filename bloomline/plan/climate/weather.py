"""Weather years of a garden, with the gardener's own recorded days where there are any."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import (
    Departures,
    WeatherYears,
    season_departures,
    season_start,
    weather_years,
    with_recorded_days,
)
from bloomline.plan.climate.garden import Garden
from bloomline.reference.weather import load_reference_weather


@dataclass(frozen=True, slots=True, eq=False)
class RecordedWeather:
    """Daily temperatures measured at or near the garden; days may be missing. [°C]

    days : shape (n,), ascending, each day once. tmin_c, tmax_c : shape (n,).
    """

    days: NDArray[np.datetime64]
    tmin_c: NDArray[np.float64]
    tmax_c: NDArray[np.float64]
    label: str = "own weather"


@lru_cache(maxsize=1)
def reference_departures() -> Departures:
    """Departures of the reference station, cut into seasons."""
    weather = load_reference_weather()
    return season_departures(
        weather.tmin_c, tmax_c=weather.tmax_c, first_day=np.datetime64(weather.first_day, "D")
    )


def axis_start(planted: date, *, garden: Garden) -> np.datetime64:
    """First day of the season's axis that holds a planting day."""
    return season_start(np.datetime64(planted, "D"), latitude_deg=garden.latitude_deg)


def yard_axis_start(season_year: int, *, garden: Garden) -> np.datetime64:
    """First day of the axis on which a yard's season is shown.

    The season of year Y is the one whose spring falls in Y: from June of the year before in
    the north, from December of the year before in the south.
    """
    month = 12 if garden.is_southern else 6
    return np.datetime64(f"{season_year - 1:04d}-{month:02d}-01", "D")


def weather_for(
    garden: Garden, *, first_day: np.datetime64, recorded: RecordedWeather | None = None
) -> WeatherYears:
    """The garden's weather years from `first_day` on; recorded days stand in all of them."""
    weather = weather_years(
        garden.tmin_c,
        tmax_c=garden.tmax_c,
        latitude_deg=garden.latitude_deg,
        longitude_deg=garden.longitude_deg,
        first_day=first_day,
        departures=reference_departures(),
        rise_m=garden.rise_m,
    )
    if recorded is None:
        return weather
    return with_recorded_days(
        weather, days=recorded.days, tmin_c=recorded.tmin_c, tmax_c=recorded.tmax_c
    )
