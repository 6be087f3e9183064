"""Degree days from the daily minimum and maximum, by the published methods."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def _check_thresholds(lower_c: ArrayLike, upper_c: ArrayLike | None) -> None:
    if upper_c is not None and np.any(np.asarray(upper_c) <= np.asarray(lower_c)):
        raise ValueError("the upper threshold is not above the lower one everywhere")


def average_degree_days(
    tmin_c: ArrayLike, tmax_c: ArrayLike, *, lower_c: ArrayLike, upper_c: ArrayLike | None = None
) -> FloatArray:
    """Simple average: how far the mean of minimum and maximum is above `lower_c` [°C·day].

    Inputs broadcast; one value a day, at least 0. With `upper_c` the mean counts no further than
    to that. Source: method 1 of McMaster & Wilhelm (1997), Agric. For. Meteorol. 87, 291-300,
    doi:10.1016/S0168-1923(97)00027-0.
    """
    _check_thresholds(lower_c, upper_c)
    mean = 0.5 * (np.asarray(tmin_c, dtype=np.float64) + np.asarray(tmax_c, dtype=np.float64))
    if upper_c is not None:
        mean = np.minimum(mean, upper_c)
    degrees: FloatArray = np.maximum(mean - np.asarray(lower_c, dtype=np.float64), 0.0)
    return degrees


def _sine_above(tmin: FloatArray, tmax: FloatArray, threshold_c: ArrayLike) -> FloatArray:
    """Mean over a day of how far a sine from `tmin` to `tmax` is above the threshold.

    With mean m, amplitude a and t = arcsin((threshold - m)/a) the sine is above the threshold
    from t to pi - t, and the integral over a whole turn divided by 2 pi is
    ((m - threshold)(pi/2 - t) + a cos t)/pi. Clipping the ratio to -1..1 gives the days wholly
    above (m - threshold) and wholly below (0) by the same formula.
    """
    mean = 0.5 * (tmin + tmax)
    amplitude = 0.5 * np.abs(tmax - tmin)
    excess = mean - np.asarray(threshold_c, dtype=np.float64)
    # A day without range has no angle; the floor makes it wholly above or wholly below.
    ratio = np.clip(-excess / np.maximum(amplitude, 1e-12), -1.0, 1.0)
    angle = np.arcsin(ratio)
    above = (excess * (0.5 * np.pi - angle) + amplitude * np.sqrt(1.0 - ratio * ratio)) / np.pi
    degrees: FloatArray = np.maximum(above, 0.0)
    return degrees


def sine_degree_days(
    tmin_c: ArrayLike, tmax_c: ArrayLike, *, lower_c: ArrayLike, upper_c: ArrayLike | None = None
) -> FloatArray:
    """Single sine: area between `lower_c` and a sine from minimum to maximum [°C·day].

    Inputs broadcast; one value a day, at least 0. With `upper_c` the double-threshold form with
    horizontal cutoff: warmth above it adds nothing, which is the area above the lower threshold
    less that above the upper. Source: Baskerville & Emin (1969), Ecology 50, 514-517; Allen
    (1976), Environmental Entomology 5(3), 388-396, doi:10.1093/ee/5.3.388.
    """
    _check_thresholds(lower_c, upper_c)
    tmin = np.asarray(tmin_c, dtype=np.float64)
    tmax = np.asarray(tmax_c, dtype=np.float64)
    degrees = _sine_above(tmin, tmax, lower_c)
    if upper_c is not None:
        degrees = degrees - _sine_above(tmin, tmax, upper_c)
    return degrees


def double_sine_degree_days(
    tmin_c: ArrayLike, tmax_c: ArrayLike, *, lower_c: ArrayLike, upper_c: ArrayLike | None = None
) -> FloatArray:
    """Double sine: the second half of each day falls to the next day's minimum [°C·day].

    `tmin_c` and `tmax_c`: (..., n_days), as the result; the last day uses its own minimum for
    both halves. Thresholds as in `sine_degree_days`, broadcast to the days. Source: Allen (1976),
    Environmental Entomology 5(3), 388-396, doi:10.1093/ee/5.3.388.
    """
    tmin, tmax = np.broadcast_arrays(
        np.asarray(tmin_c, dtype=np.float64), np.asarray(tmax_c, dtype=np.float64)
    )
    if tmin.ndim == 0:
        raise ValueError("double_sine_degree_days needs an axis of days")
    tmin_next = np.concatenate([tmin[..., 1:], tmin[..., -1:]], axis=-1)
    first = sine_degree_days(tmin, tmax, lower_c=lower_c, upper_c=upper_c)
    second = sine_degree_days(tmin_next, tmax, lower_c=lower_c, upper_c=upper_c)
    degrees: FloatArray = 0.5 * (first + second)
    return degrees
