"""Day length, and temperatures within the day from the daily minimum and maximum."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

HOURS_PER_DAY = 24
SUNRISE_ALTITUDE_DEG = -0.833
"""Altitude of the sun's centre when its upper edge touches a flat horizon [°]: 34' of refraction
and 16' of half width, the definition of sunrise in the Astronomical Almanac."""

# The curve of the day is defined by a sunrise and a sunset. Where the sun stays up or down all
# day, and near that, the shape of the shortest or longest day held to be usable is kept.
_SHORTEST_CURVE_H = 4.0
_LONGEST_CURVE_H = 20.0
_DELAY_OF_MAXIMUM_H = 4.0
_GRID_STEP_H = 0.25
_FINE_POINTS = 720


def solar_declination_deg(day_of_year: ArrayLike) -> FloatArray:
    """Declination of the sun at noon [°], any shape; `day_of_year` 1 is 1 January.

    Mean of the leap-year cycle: a single year differs by up to half a day's motion (0.2° at the
    equinoxes). Source: low-precision formulas for the sun, Astronomical Almanac, section C
    (0.01° between 1950 and 2050).
    """
    # 0.39 is the mean, over the four years of the cycle, by which the sun is ahead of 2000.
    days = np.asarray(day_of_year, dtype=np.float64) - 1.0 + 0.39
    anomaly = np.radians(357.528 + 0.9856003 * days)
    longitude = np.radians(
        280.460 + 0.9856474 * days + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly)
    )
    obliquity = np.radians(23.439)
    declination: FloatArray = np.degrees(np.arcsin(np.sin(obliquity) * np.sin(longitude)))
    return declination


def day_length_h(day_of_year: ArrayLike, *, latitude_deg: ArrayLike) -> FloatArray:
    """Hours from sunrise to sunset [h], 0 in polar night and 24 in polar day.

    `day_of_year` (1 = 1 January) and `latitude_deg` (north positive) broadcast. Sunrise and
    sunset are when the upper edge of the sun touches a flat horizon, refraction included
    (`SUNRISE_ALTITUDE_DEG`). Source: hour angle of the sun at a given altitude, Meeus,
    Astronomical Algorithms (1998), chapter 15.
    """
    declination = np.radians(solar_declination_deg(day_of_year))
    latitude = np.radians(np.clip(np.asarray(latitude_deg, dtype=np.float64), -90.0, 90.0))
    sine_part = np.sin(np.radians(SUNRISE_ALTITUDE_DEG)) - np.sin(latitude) * np.sin(declination)
    # At a pole the cosine vanishes; the floor leaves the sign, and so 0 or 24 h, as it must be.
    cosine_part = np.maximum(np.cos(latitude) * np.cos(declination), 1e-9)
    half_day = np.arccos(np.clip(sine_part / cosine_part, -1.0, 1.0))
    hours: FloatArray = np.degrees(half_day) * (2.0 / 15.0)
    return hours


def _curve_day_h(day_length: ArrayLike) -> FloatArray:
    clipped: FloatArray = np.clip(
        np.asarray(day_length, dtype=np.float64), _SHORTEST_CURVE_H, _LONGEST_CURVE_H
    )
    return clipped


def _sunset_weight(curve_day: FloatArray) -> FloatArray:
    weight: FloatArray = np.sin(np.pi * curve_day / (curve_day + _DELAY_OF_MAXIMUM_H))
    return weight


def _day_weight(hours_since_sunrise: FloatArray, curve_day: FloatArray) -> FloatArray:
    weight: FloatArray = np.sin(np.pi * hours_since_sunrise / (curve_day + _DELAY_OF_MAXIMUM_H))
    return weight


def _night_weight(hours_since_sunset: FloatArray, night: FloatArray) -> FloatArray:
    """Part of the difference between sunset and next minimum that is left."""
    weight: FloatArray = 1.0 - np.log1p(hours_since_sunset) / np.log1p(night)
    return weight


def _hours_of_day(n_points: int) -> FloatArray:
    return (np.arange(n_points, dtype=np.float64) + 0.5) * (HOURS_PER_DAY / n_points)


def hourly_weights(day_length_h: ArrayLike, *, n_points: int | None = None) -> FloatArray:
    """Where each part of the day stands between minimum (0) and maximum (1), shape (..., n_points).

    Temperature is `tmin + (tmax - tmin) * weight`. `day_length_h` has any shape; the day is cut
    into `n_points` equal parts (default 24) from midnight, solar time, and each weight is that of
    the middle of its part. Sine from sunrise to sunset with the maximum (day length + 4)/2 hours
    after sunrise, then logarithmic cooling to the next sunrise. Day lengths beyond 4 to 20 h use
    the curve of 4 or 20 h.

    Source: Linvill (1990), HortScience 25(1), 14-16. The source counts whole hours after sunset
    from 1, so its logarithm has no value at sunset; here it is ln(1 + t)/ln(1 + night), which
    meets the sine at sunset and the minimum at sunrise.
    """
    points = HOURS_PER_DAY if n_points is None else n_points
    if points < 1:
        raise ValueError(f"n_points must be at least 1, not {points}")
    day = _curve_day_h(day_length_h)[..., np.newaxis]
    night = HOURS_PER_DAY - day
    since_sunrise = (_hours_of_day(points) - (12.0 - 0.5 * day)) % HOURS_PER_DAY
    is_day = since_sunrise < day
    by_night = _sunset_weight(day) * _night_weight(np.maximum(since_sunrise - day, 0.0), night)
    weights: FloatArray = np.where(is_day, _day_weight(since_sunrise, day), by_night)
    return weights


def hourly_temperature_c(
    tmin_c: ArrayLike, tmax_c: ArrayLike, *, day_length_h: ArrayLike
) -> FloatArray:
    """Temperatures at the middle of each hour [°C], shape (..., n_days, 24), solar time.

    `tmin_c`, `tmax_c` [°C] and `day_length_h` [h] broadcast to (..., n_days). After sunset the
    air cools towards the next day's minimum; the first night before the series and the last one
    after it use the minimum and the sunset of the nearest day. Same curve and source as
    `hourly_weights`.
    """
    tmin, tmax, day = np.broadcast_arrays(
        np.asarray(tmin_c, dtype=np.float64),
        np.asarray(tmax_c, dtype=np.float64),
        _curve_day_h(day_length_h),
    )
    if tmin.ndim == 0:
        raise ValueError("hourly_temperature_c needs at least one axis of days")
    sunset_c = tmin + (tmax - tmin) * _sunset_weight(day)
    sunrise_h = 12.0 - 0.5 * day
    sunset_h = 12.0 + 0.5 * day

    def shifted(values: FloatArray, days: int) -> FloatArray:
        if days > 0:
            return np.concatenate([values[..., 1:], values[..., -1:]], axis=-1)
        return np.concatenate([values[..., :1], values[..., :-1]], axis=-1)

    def column(values: FloatArray) -> FloatArray:
        return values[..., np.newaxis]

    hour = _hours_of_day(HOURS_PER_DAY)
    daytime_c = column(tmin) + column(tmax - tmin) * _day_weight(
        np.clip(hour - column(sunrise_h), 0.0, column(day)), column(day)
    )
    tmin_next = shifted(tmin, 1)
    evening_c = column(tmin_next) + column(sunset_c - tmin_next) * _night_weight(
        np.maximum(hour - column(sunset_h), 0.0),
        column(HOURS_PER_DAY - sunset_h + shifted(sunrise_h, 1)),
    )
    night_before_h = HOURS_PER_DAY - shifted(sunset_h, -1)
    morning_c = column(tmin) + column(shifted(sunset_c, -1) - tmin) * _night_weight(
        hour + column(night_before_h), column(night_before_h + sunrise_h)
    )
    result: FloatArray = np.where(
        hour < column(sunrise_h),
        morning_c,
        np.where(hour < column(sunset_h), daytime_c, evening_c),
    )
    return result


def _with_mean(weights: FloatArray, mean_weight: float) -> FloatArray:
    """Each row raised to the power that gives it the wanted mean; 0 and 1 stay where they are."""
    low = np.full((weights.shape[0], 1), 0.05)
    high = np.full((weights.shape[0], 1), 20.0)
    for _ in range(60):
        power = 0.5 * (low + high)
        too_high = np.mean(weights**power, axis=-1, keepdims=True) > mean_weight
        low = np.where(too_high, power, low)
        high = np.where(too_high, high, power)
    raised: FloatArray = weights ** (0.5 * (low + high))
    return raised


@lru_cache(maxsize=32)
def _subdaily_table(n_points: int, mean_weight: float | None) -> FloatArray:
    """Points that stand for the day on a grid of day lengths, shape (n_grid, n_points)."""
    steps = round((_LONGEST_CURVE_H - _SHORTEST_CURVE_H) / _GRID_STEP_H)
    grid = _SHORTEST_CURVE_H + _GRID_STEP_H * np.arange(steps + 1)
    ordered = np.sort(hourly_weights(grid, n_points=_FINE_POINTS), axis=-1)
    if mean_weight is not None:
        ordered = _with_mean(ordered, mean_weight)
    running = np.concatenate([np.zeros((grid.size, 1)), np.cumsum(ordered, axis=-1)], axis=-1)
    edges = np.linspace(0.0, _FINE_POINTS, n_points + 1)
    left = np.minimum(edges.astype(np.int64), _FINE_POINTS - 1)
    at_edges = running[:, left] + (edges - left) * (running[:, left + 1] - running[:, left])
    table: FloatArray = np.diff(at_edges, axis=-1) * (n_points / _FINE_POINTS)
    if n_points > 1:
        # Means of shares vary less than what they are means of, which would understate every
        # curved response; spreading them about the day's mean gives the day's variance back.
        mean = np.mean(table, axis=-1, keepdims=True)
        lost = np.std(ordered, axis=-1, keepdims=True) / np.std(table, axis=-1, keepdims=True)
        table = mean + (table - mean) * lost
    # With very many points the last may pass the maximum by a ten-thousandth.
    table = np.clip(table, 0.0, 1.0)
    table.setflags(write=False)
    return table


def subdaily_weights(
    day_length_h: ArrayLike, *, n_points: int = 5, mean_weight: float | None = None
) -> FloatArray:
    """A handful of equal-weight points that stand for the day, ascending, shape (..., n_points).

    The mean over the points of f(tmin + (tmax - tmin) * weight) stands for the mean of f over the
    day. The points are the means of equal shares of the day's sorted `hourly_weights`, spread
    about their mean so that the day's mean and variance are both kept; taken from a table over
    day length (any shape) by linear interpolation.

    `mean_weight` bends the curve (by a power, ends kept) until its daily mean stands at that part
    of the way from minimum to maximum, for use with climates whose mean is known: 0.5 is the
    middle, by which most weather services define a normal mean. Without it the mean is that of
    the curve itself, 0.34 on short days to 0.62 on long ones. Met to 0.001 with four points or more
    between 0.45 and 0.6, and to 0.01 elsewhere.

    Raises ValueError unless 1 <= n_points <= 720 and 0.35 <= mean_weight <= 0.65.
    """
    if not 1 <= n_points <= _FINE_POINTS:
        raise ValueError(f"n_points must be between 1 and {_FINE_POINTS}, not {n_points}")
    if mean_weight is not None and not 0.35 <= mean_weight <= 0.65:
        raise ValueError(f"mean_weight must be between 0.35 and 0.65, not {mean_weight}")
    table = _subdaily_table(n_points, mean_weight)
    position = (_curve_day_h(day_length_h) - _SHORTEST_CURVE_H) / _GRID_STEP_H
    left = np.minimum(position.astype(np.int64), table.shape[0] - 2)
    fraction = (position - left)[..., np.newaxis]
    weights: FloatArray = table[left] * (1.0 - fraction) + table[left + 1] * fraction
    return weights
