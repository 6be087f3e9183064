"""Degree days by the simple average and the sine methods."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.engine.degree_days import (
    average_degree_days,
    double_sine_degree_days,
    sine_degree_days,
)

METHODS = [average_degree_days, sine_degree_days, double_sine_degree_days]
lows = st.floats(-30.0, 30.0)
swings = st.floats(0.0, 25.0)
steps = st.floats(0.0, 10.0)
uppers = st.one_of(st.none(), st.floats(15.0, 35.0))


@pytest.mark.parametrize("method", METHODS)
@given(low=lows, swing=swings, step=steps, lower=st.floats(-5.0, 14.0), upper=uppers)
@settings(deadline=None)
def test_a_warmer_minimum_or_maximum_never_gives_less(method, low, swing, step, lower, upper):
    tmin, tmax = np.array([low]), np.array([low + swing])
    base = method(tmin, tmax, lower_c=lower, upper_c=upper)[0]
    warmer_day = method(tmin, tmax + step, lower_c=lower, upper_c=upper)[0]
    warmer_night = method(np.minimum(tmin + step, tmax), tmax, lower_c=lower, upper_c=upper)[0]
    assert base >= 0.0
    assert warmer_day >= base - 1e-9
    assert warmer_night >= base - 1e-9


@given(low=lows, swing=swings, lower=st.floats(-5.0, 14.0))
@settings(deadline=None)
def test_the_sine_never_counts_less_than_the_average(low, swing, lower):
    # A convex response of the mean is at most the mean of the response.
    sine = sine_degree_days(low, low + swing, lower_c=lower)
    assert sine >= average_degree_days(low, low + swing, lower_c=lower) - 1e-9


@given(low=lows, swing=swings)
@settings(deadline=None)
def test_horizontal_cutoff_adds_no_more_than_the_range_between_thresholds(low, swing):
    degrees = sine_degree_days(low, low + swing, lower_c=5.0, upper_c=20.0)
    assert 0.0 <= degrees <= 15.0 + 1e-9


def test_days_wholly_above_below_and_without_range():
    tmin = np.array([12.0, -8.0, 10.0, 10.0])
    tmax = np.array([20.0, 4.0, 10.0, 10.0])
    lower = np.array([10.0, 5.0, 7.0, 12.0])
    for method in METHODS[:2]:
        np.testing.assert_allclose(method(tmin, tmax, lower_c=lower), [6.0, 0.0, 3.0, 0.0])


def test_a_sine_centred_on_the_threshold_counts_its_amplitude_over_pi():
    # (1/2 pi) times the integral of a sine's positive half is a/pi.
    degrees = sine_degree_days(0.0, 20.0, lower_c=10.0)
    assert degrees == pytest.approx(10.0 / np.pi, rel=1e-12)


def test_the_double_sine_looks_at_the_next_night():
    tmin, tmax = np.array([0.0, 8.0, 2.0]), np.array([14.0, 15.0, 12.0])
    both = double_sine_degree_days(tmin, tmax, lower_c=5.0, upper_c=12.0)
    first = sine_degree_days(tmin, tmax, lower_c=5.0, upper_c=12.0)
    second = sine_degree_days([8.0, 2.0, 2.0], tmax, lower_c=5.0, upper_c=12.0)
    np.testing.assert_allclose(both, (first + second) / 2.0)
    alike = double_sine_degree_days(np.zeros(5), np.full(5, 14.0), lower_c=5.0)
    np.testing.assert_allclose(alike, sine_degree_days(0.0, 14.0, lower_c=5.0))


def test_bad_use_is_refused():
    for method in METHODS:
        with pytest.raises(ValueError, match="upper threshold"):
            method([0.0], [10.0], lower_c=5.0, upper_c=5.0)
    with pytest.raises(ValueError, match="axis of days"):
        double_sine_degree_days(0.0, 10.0, lower_c=5.0)
