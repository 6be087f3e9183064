"""What a wall, a frame or a shed does to the air."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_weather import place_weather

from bloomline.engine.sites import HOUSE_C, SiteEffect, site_air

WEATHER = place_weather(n_years=2)


def test_the_open_is_the_stations_own_air():
    low, high = site_air(WEATHER, effect=SiteEffect())
    assert low is WEATHER.tmin_c
    assert high is WEATHER.tmax_c
    assert SiteEffect(until_day=200).is_open
    assert not SiteEffect(swing_factor=0.9).is_open


def test_offsets_are_added_and_the_swing_is_shrunk_about_the_middle():
    effect = SiteEffect(tmin_offset_c=2.0, tmax_offset_c=-1.0, swing_factor=0.35)
    low, high = site_air(WEATHER, effect=effect)
    for year, day in ((0, 3), (1, 200), (1, 590)):
        night, noon = WEATHER.tmin_c[year, day], WEATHER.tmax_c[year, day]
        middle, half = (night + noon) / 2, 0.35 * (noon - night) / 2
        assert low[year, day] == pytest.approx(middle - half + 2.0)
        assert high[year, day] == pytest.approx(max(middle + half - 1.0, low[year, day] + 0.1))


def test_a_frame_is_opened_on_warm_days_but_never_cools_below_the_air():
    effect = SiteEffect(tmin_offset_c=2.0, tmax_offset_c=4.0, vented_above_c=18.0)
    low, high = site_air(WEATHER, effect=effect)
    cool = WEATHER.tmax_c < 14.0
    warm = WEATHER.tmax_c > 18.0
    between = ~cool & ~warm & (low < 17.0)
    assert cool.any() and warm.any() and between.any()
    np.testing.assert_allclose(high[cool], np.maximum(WEATHER.tmax_c + 4.0, low + 0.1)[cool])
    np.testing.assert_allclose(high[between], 18.0)
    np.testing.assert_allclose(high[warm], np.maximum(WEATHER.tmax_c, low + 0.1)[warm])


def test_a_pot_goes_out_on_its_day():
    effect = SiteEffect(tmin_offset_c=2.0, swing_factor=0.35, until_day=250)
    inside = site_air(WEATHER, effect=SiteEffect(tmin_offset_c=2.0, swing_factor=0.35))
    for moved, sheltered, outside in zip(
        site_air(WEATHER, effect=effect), inside, (WEATHER.tmin_c, WEATHER.tmax_c), strict=True
    ):
        np.testing.assert_array_equal(moved[:, :250], sheltered[:, :250])
        np.testing.assert_array_equal(moved[:, 250:], outside[:, 250:])


def test_a_pot_comes_in_on_its_day():
    inside = site_air(WEATHER, effect=SiteEffect(tmin_offset_c=2.0, swing_factor=0.35))
    effect = SiteEffect(tmin_offset_c=2.0, swing_factor=0.35, from_day=150, until_day=250)
    for moved, sheltered, outside in zip(
        site_air(WEATHER, effect=effect), inside, (WEATHER.tmin_c, WEATHER.tmax_c), strict=True
    ):
        np.testing.assert_array_equal(moved[:, :150], outside[:, :150])
        np.testing.assert_array_equal(moved[:, 150:250], sheltered[:, 150:250])
        np.testing.assert_array_equal(moved[:, 250:], outside[:, 250:])


@pytest.mark.parametrize("until", [-40, 0])
def test_a_day_before_the_season_means_the_open(until):
    effect = SiteEffect(tmin_offset_c=2.0, tmax_offset_c=3.0, until_day=until)
    low, high = site_air(WEATHER, effect=effect)
    np.testing.assert_array_equal(low, WEATHER.tmin_c)
    np.testing.assert_array_equal(high, WEATHER.tmax_c)


@given(
    st.floats(-15.0, 15.0),
    st.floats(-15.0, 15.0),
    st.floats(0.0, 1.5),
    st.none() | st.integers(-100, 900),
    st.floats(5.0, 100.0),
)
def test_noon_stays_above_night_whatever_the_site(low_by, high_by, swing, until, vented):
    effect = SiteEffect(low_by, high_by, swing, until, vented)
    low, high = site_air(WEATHER, effect=effect)
    assert (high > low).all()
    assert np.isfinite(low).all() and np.isfinite(high).all()


@given(st.floats(0.0, 5.0), st.floats(0.0, 6.0))
def test_a_warmer_site_is_nowhere_colder(low_by, high_by):
    low, high = site_air(
        WEATHER,
        effect=SiteEffect(tmin_offset_c=low_by, tmax_offset_c=high_by, vented_above_c=18.0),
    )
    assert (low >= WEATHER.tmin_c - 1e-9).all()
    assert (high >= WEATHER.tmax_c - 1e-9).all()


def one_step(*, before, after, days=40):
    """Weather of one temperature that changes once, in the middle."""
    air = np.where(np.arange(days) < days // 2, before, after)[None].astype(float)
    return replace(WEATHER, tmin_c=air - 3.0, tmax_c=air + 3.0)


def test_a_shed_makes_up_a_step_of_the_outside_as_a_body_of_one_time_constant():
    low, high = site_air(one_step(before=5.0, after=-15.0), effect=SiteEffect(lag_days=1.5))
    middle = 0.5 * (low + high)[0]
    np.testing.assert_allclose(middle[:20], 5.0)
    passed = np.arange(1, 6)  # a day's mean counts whole on its own day
    left = np.exp(-passed / 1.5)
    np.testing.assert_allclose(middle[20:25], -15.0 + 20.0 * left, atol=0.3)
    np.testing.assert_allclose(middle[-5:], -15.0, atol=1e-6)


@given(st.floats(0.3, 6.0))
def test_lag_makes_no_warmth(lag):
    low, high = site_air(WEATHER, effect=SiteEffect(lag_days=lag))
    outside = 0.5 * (WEATHER.tmin_c + WEATHER.tmax_c)
    middle = 0.5 * (low + high)
    assert middle.min() >= outside.min() - 1e-9 and middle.max() <= outside.max() + 1e-9
    assert abs(middle[:, :365].mean() - outside[:, :365].mean()) < 0.3
    assert middle.std() < outside.std()


def test_what_leans_against_a_house_lies_between_it_and_the_air():
    outside = np.array([-25.0, -10.0, 0.0, 20.0, 30.0])
    effect = SiteEffect(house_share=0.4)
    # EN 12831:2003, 6.1.1: theta_u = theta_int - b (theta_int - theta_e), b 0.6, 20 °C indoors.
    wanted = np.array([-7.0, 2.0, 8.0, 20.0, 30.0])
    np.testing.assert_allclose(effect.lowest_c(outside), wanted)
    air = np.repeat(outside, 40)[None]
    weather = replace(WEATHER, tmin_c=air - 1.0, tmax_c=air + 1.0)
    low, high = site_air(weather, effect=effect)
    np.testing.assert_allclose(0.5 * (low + high)[0], np.repeat(wanted, 40), atol=1e-9)
    assert HOUSE_C == 20.0
