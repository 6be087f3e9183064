"""Invented weather for the engine's tests: departures and weather years from a seed."""

from __future__ import annotations

import numpy as np

from bloomline.engine.climate import SEASON_DAYS, Departures, WeatherYears, weather_years

# A mild, rainy place of about 50° north; invented, in the range of north-western Europe.
MILD_TMIN = (1.5, 1.2, 3.0, 5.0, 8.2, 11.0, 13.1, 12.9, 10.2, 7.1, 4.0, 2.0)
MILD_TMAX = (6.8, 7.6, 11.0, 14.6, 18.1, 21.0, 23.2, 22.9, 19.4, 14.8, 10.1, 7.3)
# A place in the middle of a continent, invented.
HARSH_TMIN = (-14.0, -12.0, -5.0, 2.0, 9.0, 14.0, 17.0, 16.0, 11.0, 4.0, -3.0, -10.0)
HARSH_TMAX = (-4.0, -1.0, 5.0, 14.0, 21.0, 26.0, 29.0, 27.0, 22.0, 14.0, 5.0, -2.0)


def departures(seed: int = 1, *, n_years: int = 4, n_days: int = SEASON_DAYS) -> Departures:
    """Weather that remembers yesterday: first-order series with a spread of about 4 °C."""
    rng = np.random.default_rng(seed)
    both = np.empty((n_years, n_days))
    value = rng.normal(0.0, 3.5, n_years)
    for day in range(n_days):
        value = 0.7 * value + rng.normal(0.0, 2.5, n_years)
        both[:, day] = value
    return Departures(
        tmin_c=both + rng.normal(0.0, 1.0, both.shape),
        tmax_c=both + rng.normal(0.0, 1.5, both.shape),
    )


def place_weather(
    seed: int = 1,
    *,
    tmin_c=MILD_TMIN,
    tmax_c=MILD_TMAX,
    latitude_deg: float = 51.0,
    first_day: str = "2026-06-01",
    n_years: int = 4,
    warmer_c: float = 0.0,
) -> WeatherYears:
    """Weather years of one of the invented places."""
    return weather_years(
        np.array(tmin_c) + warmer_c,
        tmax_c=np.array(tmax_c) + warmer_c,
        latitude_deg=latitude_deg,
        first_day=np.datetime64(first_day),
        departures=departures(seed, n_years=n_years),
    )
