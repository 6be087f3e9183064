"""Day length and the curve of temperature within the day."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.engine.chill import bulb_cold_weight
from bloomline.engine.hourly import (
    day_length_h,
    hourly_temperature_c,
    hourly_weights,
    subdaily_weights,
)

day_lengths = st.floats(0.0, 24.0)
temperatures = st.floats(-40.0, 45.0)


def growth_rate(temp_c):
    return np.clip(temp_c - 0.5, 0.0, 21.8) ** 1.67


def test_day_length_broadcasts_days_against_latitudes():
    days = np.arange(1, 366)
    latitudes = np.array([[-35.0], [0.0], [52.0]])
    hours = day_length_h(days, latitude_deg=latitudes)
    assert hours.shape == (3, 365)
    assert hours[2, 20] == day_length_h(21, latitude_deg=52.0)


def test_polar_day_and_night_at_and_near_the_poles():
    latitudes = np.array([-90.0, -89.999, -75.0, 75.0, 89.999, 90.0])
    np.testing.assert_array_equal(day_length_h(172, latitude_deg=latitudes), [0, 0, 0, 24, 24, 24])
    np.testing.assert_array_equal(day_length_h(355, latitude_deg=latitudes), [24, 24, 24, 0, 0, 0])
    everywhere = day_length_h(np.arange(1, 367), latitude_deg=np.linspace(-90, 90, 361)[:, None])
    assert np.all(np.isfinite(everywhere))
    assert everywhere.min() == 0.0
    assert everywhere.max() == 24.0


@given(latitude=st.floats(-60.0, 60.0), day=st.integers(1, 183))
@settings(deadline=None)
def test_the_hemispheres_mirror_each_other(latitude, day):
    north = day_length_h(day, latitude_deg=latitude)
    south = day_length_h(day, latitude_deg=-latitude)
    # Refraction and the sun's width lengthen every day, most where it rises at a slant.
    assert 24.2 < north + south < 24.8
    # The earth's orbit is not round, so the halves of the year differ by a few days.
    half_a_year_on = day_length_h(day + 182.6, latitude_deg=-latitude)
    assert north == pytest.approx(half_a_year_on, abs=0.4)


@given(day_length=day_lengths, n_points=st.integers(1, 96))
@settings(deadline=None)
def test_weights_stay_between_minimum_and_maximum(day_length, n_points):
    for weights in (
        hourly_weights(day_length, n_points=n_points),
        subdaily_weights(day_length, n_points=n_points),
    ):
        assert weights.shape == (n_points,)
        assert np.all(weights >= 0.0)
        assert np.all(weights <= 1.0)


@given(day_length=day_lengths, n_points=st.integers(2, 24))
@settings(deadline=None)
def test_few_points_keep_the_mean_and_the_variance_of_the_day(day_length, n_points):
    day = hourly_weights(day_length, n_points=1440)
    few = subdaily_weights(day_length, n_points=n_points)
    assert few.mean() == pytest.approx(day.mean(), abs=1e-3)
    assert few.var() == pytest.approx(day.var(), abs=1e-3)
    assert np.all(np.diff(few) > 0.0)


@given(day_length=day_lengths, mean_weight=st.floats(0.45, 0.6))
@settings(deadline=None, max_examples=25)
def test_a_stated_mean_is_met(day_length, mean_weight):
    few = subdaily_weights(day_length, n_points=5, mean_weight=mean_weight)
    assert few.mean() == pytest.approx(mean_weight, abs=1e-3)
    assert few.min() >= 0.0
    assert few.max() <= 1.0


def test_the_curve_peaks_two_hours_before_sunset_and_is_coldest_at_sunrise():
    # Linvill: the maximum comes (day length + 4)/2 hours after sunrise.
    weights = hourly_weights(10.0, n_points=1440)
    hours = (np.arange(1440) + 0.5) / 60.0
    assert hours[weights.argmax()] == pytest.approx(7.0 + 7.0, abs=0.02)
    assert hours[weights.argmin()] == pytest.approx(7.0, abs=0.02)
    assert weights.max() == pytest.approx(1.0, abs=1e-5)
    assert np.abs(np.diff(weights)).max() < 0.01


def test_hours_follow_the_daily_pattern_when_all_days_are_alike():
    hours = hourly_temperature_c(np.full(4, 2.0), np.full(4, 12.0), day_length_h=9.5)
    np.testing.assert_allclose(hours, np.tile(2.0 + 10.0 * hourly_weights(9.5), (4, 1)))


def test_the_night_cools_to_the_next_minimum():
    hours = hourly_temperature_c([8.0, -6.0], [12.0, 1.0], day_length_h=12.0)
    last_night_hours = np.concatenate([hours[0, 18:], hours[1, :6]])
    assert np.all(np.diff(last_night_hours) < 0.0)
    # Sunset at 18 h with 8 + 4 sin(12 pi/16) deg C; twelve hours down to -6, one curve through
    # midnight: 5.5 and 6.5 hours after sunset.
    sunset_c = 8.0 + 4.0 * np.sin(0.75 * np.pi)
    for found, since_sunset in ((hours[0, 23], 5.5), (hours[1, 0], 6.5)):
        left = 1.0 - np.log(1.0 + since_sunset) / np.log(13.0)
        assert found == pytest.approx(-6.0 + (sunset_c + 6.0) * left, abs=1e-9)
    assert hours[1, 5] == pytest.approx(-6.0, abs=0.5)
    assert hours.min() >= -6.0


@given(
    days=st.lists(st.tuples(temperatures, st.floats(0.0, 25.0)), min_size=2, max_size=6),
    day_length=day_lengths,
)
@settings(deadline=None)
def test_hours_never_leave_the_range_of_the_days_about_them(days, day_length):
    tmin = np.array([low for low, _ in days])
    tmax = np.array([low + swing for low, swing in days])
    hours = hourly_temperature_c(tmin, tmax, day_length_h=day_length)
    assert hours.shape == (len(days), 24)
    assert hours.min() >= tmin.min() - 1e-9
    assert hours.max() <= max(tmax.max(), tmin.max()) + 1e-9


def test_leading_axes_are_independent():
    rng = np.random.default_rng(7)
    tmin = rng.normal(3.0, 4.0, (3, 10))
    tmax = tmin + rng.uniform(1.0, 12.0, (3, 10))
    together = hourly_temperature_c(tmin, tmax, day_length_h=np.linspace(8, 9, 10))
    for row in range(3):
        alone = hourly_temperature_c(tmin[row], tmax[row], day_length_h=np.linspace(8, 9, 10))
        np.testing.assert_array_equal(together[row], alone)


@pytest.mark.parametrize(
    ("mean_c", "swing_c", "latitude_deg"),
    [(4.0, 7.0, 52.0), (-2.0, 11.0, 45.0), (-5.0, 9.0, 61.0), (13.0, 9.0, 37.0)],
    ids=["oceanic", "continental", "subarctic", "mediterranean"],
)
def test_five_points_stand_for_twenty_four_hours_over_a_spring(mean_c, swing_c, latitude_deg):
    # January to May, warming by 14 degrees, with invented spells of five and eleven days.
    days = np.arange(1, 152)
    middle = (
        mean_c + 14.0 * (days / 151.0) ** 2 + 3.0 * np.sin(days / 5.0) + 2.0 * np.sin(days / 11.0)
    )
    tmin = (middle - swing_c / 2.0)[:, None]
    hours = day_length_h(days, latitude_deg=latitude_deg)

    def season(weights, response):
        return float(response(tmin + swing_c * weights).mean(axis=-1).sum())

    full, few = hourly_weights(hours), subdaily_weights(hours)
    for response in (growth_rate, bulb_cold_weight):
        assert season(few, response) == pytest.approx(season(full, response), rel=0.005)


def test_bad_use_is_refused():
    with pytest.raises(ValueError, match="n_points"):
        hourly_weights(12.0, n_points=0)
    with pytest.raises(ValueError, match="n_points"):
        subdaily_weights(12.0, n_points=0)
    with pytest.raises(ValueError, match="mean_weight"):
        subdaily_weights(12.0, mean_weight=0.9)
    with pytest.raises(ValueError, match="axis of days"):
        hourly_temperature_c(1.0, 2.0, day_length_h=12.0)
