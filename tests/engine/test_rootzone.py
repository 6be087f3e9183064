"""Pots and ground against exact solutions and a minute-by-minute heat balance."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import jv

from bloomline.engine.rootzone import (
    CompostPhysics,
    RootZone,
    coldest_c,
    cylinder_eigenvalue,
    daily_root_zone_c,
    depth_days,
    open_ground,
    pot_time_constant_h,
    swing_share,
)

PLATEAU = CompostPhysics().plateau_c


def root_c(air, zone):
    """One zone in one year."""
    return daily_root_zone_c(np.asarray(air, dtype=float)[None, None], zones=(zone,))[0, 0]


def by_the_minute(air, *, time_constant_h, plateau_c, steps=1440):
    """Daily means from an enthalpy balance in small explicit steps: no phases, no cases.

    The heat content h is a temperature above 0, a part of the latent heat from 0 down to
    −plateau, and a frozen body's temperature below that.
    """
    heat = float(air[0])
    step_h = 24.0 / steps

    def shown():
        return max(heat, 0.0) + min(heat + plateau_c, 0.0)

    means = []
    for outside in air:
        total, before = 0.0, shown()
        for _ in range(steps):
            heat += step_h * (outside - before) / time_constant_h
            after = shown()
            total += 0.5 * (before + after)
            before = after
        means.append(total / steps)
    return np.array(means)


def cold_snap(seed, *, mean, spread, n=60):
    rng = np.random.default_rng(seed)
    air, value = [], mean
    for _ in range(n):
        value = mean + 0.7 * (value - mean) + rng.normal(0.0, 0.7 * spread)
        air.append(value)
    return np.array(air)


@given(st.floats(0.01, 999.0))
def test_the_eigenvalue_solves_its_equation(biot):
    root = cylinder_eigenvalue(biot)
    # The first zero of J0, DLMF table 10.21.
    assert 0.0 < root < 2.404826
    # SciPy's Bessel functions stand outside.
    assert root * jv(1, root) == pytest.approx(biot * jv(0, root), abs=1e-6 * max(1.0, biot))


@pytest.mark.parametrize("biot", [0.0, -1.0, 1000.0, math.nan])
def test_an_impossible_biot_number_is_refused(biot):
    with pytest.raises(ValueError, match="Biot"):
        cylinder_eigenvalue(biot)


@pytest.mark.parametrize("radius", [0.0, -3.0])
def test_a_pot_without_a_radius_is_refused(radius):
    with pytest.raises(ValueError, match="radius"):
        pot_time_constant_h(radius)


@given(st.floats(2.0, 200.0), st.floats(1.05, 3.0))
def test_larger_pots_are_slower(radius, factor):
    small = pot_time_constant_h(radius, wall_cm=1.0)
    large = pot_time_constant_h(radius * factor, wall_cm=1.0)
    # Between a thin skin of resistance (∝ R) and conduction inside alone (∝ R²).
    assert small * factor * 0.999 < large < small * factor**2 * 1.001


@given(st.floats(3.0, 60.0), st.floats(0.1, 10.0), st.floats(0.1, 5.0))
def test_a_thicker_or_better_insulating_wall_slows_a_pot(radius, wall, conductivity):
    bare = pot_time_constant_h(radius)
    walled = pot_time_constant_h(radius, wall_cm=wall, wall_conductivity_w_mk=conductivity)
    thicker = pot_time_constant_h(radius, wall_cm=2 * wall, wall_conductivity_w_mk=conductivity)
    insulating = pot_time_constant_h(radius, wall_cm=wall, wall_conductivity_w_mk=conductivity / 2)
    assert bare < walled < thicker
    assert thicker == pytest.approx(insulating)


@given(st.floats(0.1, 500.0))
def test_a_bigger_body_swings_less_within_the_day(time_constant_h):
    share = swing_share(time_constant_h)
    assert 0.0 < share < 1.0
    assert swing_share(1.5 * time_constant_h) < share


def test_the_daily_swing_is_that_of_a_body_followed_through_many_days():
    tau, omega, step = 10.0, 2 * math.pi / 24, 0.01
    body, seen = 0.0, []
    for i in range(round(10 * 24 / step)):
        body += step * (math.sin(omega * i * step) - body) / tau
        seen.append(body)
    last = seen[-round(24 / step) :]
    assert swing_share(tau) == pytest.approx((max(last) - min(last)) / 2, abs=0.002)


def test_constant_air_after_a_step_is_the_exact_exponential():
    tau = 30.0
    air = np.array([4.0] + [15.0] * 9)
    got = root_c(air, RootZone(time_constant_h=tau, plateau_c=PLATEAU))
    assert got[0] == pytest.approx(4.0)
    for day in range(1, 10):
        # Mean over the day of 15 − 11·exp(−t/τ), t from (day − 1)·24 h.
        left = math.exp(-24.0 * (day - 1) / tau)
        mean = 15.0 - 11.0 * left * tau / 24.0 * (1.0 - math.exp(-24.0 / tau))
        assert got[day] == pytest.approx(mean, abs=1e-9)


def test_without_latent_heat_freezing_is_a_lag_like_any_other():
    air = cold_snap(2, mean=-3.0, spread=8.0)
    zone = RootZone(time_constant_h=20.0)
    body, expected = air[0], []
    keep = math.exp(-24.0 / 20.0)
    for outside in air:
        expected.append(outside + (body - outside) * (1 - keep) * 20.0 / 24.0)
        body = outside + (body - outside) * keep
    np.testing.assert_allclose(root_c(air, zone), expected, atol=1e-9)
    # A lag is linear: it doesn't know where zero is.
    np.testing.assert_allclose(root_c(air + 30.0, zone), root_c(air, zone) + 30.0, atol=1e-9)


def test_water_that_freezes_holds_zero_for_as_long_as_its_heat_lasts():
    tau = 24.0
    air = np.array([0.0] + [-10.0] * 20)
    got = root_c(air, RootZone(time_constant_h=tau, plateau_c=PLATEAU))
    # −10 °C takes 10 °C·day of heat a day: PLATEAU/10 days at zero, the first day before them.
    days_at_zero = PLATEAU / 10.0
    assert days_at_zero == pytest.approx(6.012)
    np.testing.assert_array_equal(got[:7], 0.0)
    assert -0.1 > got[7] > -10.0
    assert got[-1] == pytest.approx(-10.0, abs=0.01)


def test_a_frozen_pot_thaws_as_slowly_as_it_froze():
    air = np.array([0.0] + [-10.0] * 20 + [10.0] * 20)
    got = root_c(air, RootZone(time_constant_h=24.0, plateau_c=PLATEAU))
    thaw = got[21:]
    assert ((thaw > -10.0) & (thaw <= 0.0))[:6].all()
    # From −10 to 0 °C takes τ·ln 2 = 0.69 days, melting the same 6.01 days as freezing did.
    assert np.count_nonzero(thaw == 0.0) == 5
    assert thaw[6] > 0.0
    assert thaw[-1] == pytest.approx(10.0, abs=0.01)


def test_heat_is_neither_made_nor_lost_over_a_winter():
    # Heat that passed the wall = sensible + latent heat, over a winter that ends as it began.
    tau = 15.0
    air = np.concatenate([[5.0] * 10, cold_snap(3, mean=-6.0, spread=6.0), [5.0] * 40])
    got = root_c(air, RootZone(time_constant_h=tau, plateau_c=PLATEAU))
    passed = (air - got).sum() * 24.0 / tau
    turned_over = np.abs(air - got).sum() * 24.0 / tau
    assert turned_over > 2 * PLATEAU
    # Days on which a pot reaches or leaves the plateau are not exact.
    assert abs(passed) < 0.03 * turned_over


CASES = [
    pytest.param(radius, mean, spread, id=f"{radius}cm{mean:+}C")
    for radius in (10, 15, 25, 40)
    for mean, spread in ((1.0, 2.0), (-2.0, 5.0), (-10.0, 8.0))
]


@pytest.mark.parametrize(("radius", "mean", "spread"), CASES)
def test_freezing_and_thawing_follow_the_minute_by_minute_balance(radius, mean, spread):
    tau = pot_time_constant_h(radius, wall_cm=1.0)
    air = cold_snap(radius, mean=mean, spread=spread)
    slow = by_the_minute(air, time_constant_h=tau, plateau_c=PLATEAU)
    got = root_c(air, RootZone(time_constant_h=tau, plateau_c=PLATEAU))
    # Single days on which the last water freezes or melts are up to a few degrees off, and
    # the next day is right again: the heat content is kept.
    assert np.sqrt(np.mean((got - slow) ** 2)) < 0.45
    assert abs(np.mean(got - slow)) < 0.08


@pytest.mark.parametrize(("radius", "mean", "spread"), [(5, -10.0, 8.0), (15, -2.0, 5.0)])
def test_every_single_day_follows_the_minute_by_minute_balance(radius, mean, spread):
    tau = pot_time_constant_h(radius, wall_cm=1.0)
    air = cold_snap(radius, mean=mean, spread=spread)
    slow = by_the_minute(air, time_constant_h=tau, plateau_c=PLATEAU)
    got = root_c(air, RootZone(time_constant_h=tau, plateau_c=PLATEAU))
    np.testing.assert_allclose(got, slow, atol=0.05)


@given(
    st.lists(st.integers(-4000, 3500).map(lambda c: c / 100.0), min_size=2, max_size=40),
    st.floats(2.0, 300.0),
)
@settings(max_examples=60)
def test_a_pot_is_never_colder_or_warmer_than_any_air_it_met(air, tau):
    got = root_c(air, RootZone(time_constant_h=tau, plateau_c=PLATEAU))
    assert got.min() >= min(*air, 0.0) - 1e-9
    assert got.max() <= max(*air, 0.0) + 1e-9


@given(st.integers(0, 1000), st.floats(3.0, 100.0), st.floats(0.0, 8.0))
@settings(max_examples=40)
def test_colder_air_never_holds_more_heat_at_the_end_of_a_cold_spell(seed, tau, colder):
    zone = RootZone(time_constant_h=tau, plateau_c=PLATEAU)
    air = np.concatenate([cold_snap(seed, mean=-2.0, spread=6.0, n=30), [-20.0] * 90])
    # Long enough for both to be frozen through: the order shows in plain temperatures.
    mild, cold = root_c(air, zone), root_c(air - colder, zone)
    assert (cold[-60:] <= mild[-60:] + 1e-9).all()


def test_a_large_pot_freezes_later_than_a_small_one():
    air = np.array([3.0] * 5 + [-8.0] * 30)
    frozen_on = []
    for radius in (8, 15, 30):
        zone = RootZone(time_constant_h=pot_time_constant_h(radius), plateau_c=PLATEAU)
        frozen_on.append(int(np.argmax(root_c(air, zone) < -1.0)))
    assert 5 < frozen_on[0] < frozen_on[1] < frozen_on[2]


def test_ground_hardly_goes_below_zero_and_lags_by_its_days():
    air = np.array([10.0] * 5 + [-25.0] * 120)
    ground = root_c(air, open_ground(lag_days=8.0))
    assert ground.min() == pytest.approx(-25.0 * 0.05, abs=0.01)
    step = root_c(np.array([0.0] + [10.0] * 30), open_ground(lag_days=8.0))
    # 63 % of the step after one lag: the mean of the eighth and ninth day brackets it.
    assert step[8] < 10.0 * (1 - math.exp(-1.0)) < step[9]


def test_zones_and_years_are_worked_out_side_by_side():
    zones = (
        RootZone(time_constant_h=6.0, plateau_c=PLATEAU),
        open_ground(lag_days=8.0),
        RootZone(time_constant_h=40.0, plateau_c=PLATEAU),
        RootZone(time_constant_h=40.0),
    )
    air = np.stack(
        [
            np.stack([cold_snap(10 * z + y, mean=-2.0, spread=5.0) for y in range(3)])
            for z in range(4)
        ]
    )
    together = daily_root_zone_c(air, zones=zones)
    assert together.shape == air.shape
    for z, zone in enumerate(zones):
        for y in range(3):
            np.testing.assert_allclose(together[z, y], root_c(air[z, y], zone), atol=1e-12)


def test_the_latent_heat_is_that_of_the_water_in_the_compost():
    # 0.45 kg of water a litre × 334 kJ/kg over 2.5 kJ/(l K).
    assert CompostPhysics().plateau_c == pytest.approx(0.45 * 334.0 / 2.5)
    assert CompostPhysics().diffusivity_m2_s == pytest.approx(2e-7)


def test_water_that_freezes_holds_a_pot_at_zero_through_the_night():
    pot = RootZone(time_constant_h=10.0, plateau_c=PLATEAU, below_zero=0.9)
    day = np.array([6.0, 0.5, 0.0, -4.0])
    night = coldest_c(day, swing_c=np.full(4, 10.0), zone=pot)
    half = 0.5 * 10.0 * swing_share(10.0)
    np.testing.assert_allclose(night, [6.0 - half, 0.0, 0.0, -4.0 - 0.9 * half])
    ground = open_ground(lag_days=8.0)
    small = 0.5 * 10.0 * swing_share(192.0)
    np.testing.assert_allclose(
        coldest_c(day[::3], swing_c=np.full(2, 10.0), zone=ground),
        [6.0 - small, -4.0 - 0.05 * small],
    )


@given(st.floats(-60.0, 150.0), st.floats(0.0, 40.0), st.booleans())
def test_a_bulb_that_lies_deeper_is_never_earlier(cover, deeper, in_ground):
    here, there = (depth_days(each, in_ground=in_ground) for each in (cover, cover + deeper))
    assert here <= there
    assert -6.0 < here < 17.0  # a sane size, however odd the depth
    assert depth_days(0.0, in_ground=in_ground) == 0.0


def test_ten_centimetres_are_a_few_days_and_more_in_the_ground():
    pot, ground = (depth_days(10.0, in_ground=each) for each in (False, True))
    assert 1.0 < pot < ground < 8.0
