"""Chill hours, Utah units, chill portions and bulb cold weeks."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from bloomline.engine.chill import (
    ColdResponse,
    bulb_cold_weeks,
    bulb_cold_weight,
    chill_hours,
    chill_portions,
    utah_units,
)

hour_series = hnp.arrays(
    np.float64, st.tuples(st.integers(1, 3), st.integers(1, 300)), elements=st.floats(-30.0, 40.0)
)


@given(temp_c=hour_series)
@settings(deadline=None)
def test_portions_and_chill_hours_never_fall(temp_c):
    for running in (chill_portions(temp_c), chill_hours(temp_c)):
        assert running.shape == temp_c.shape
        assert np.all(running >= 0.0)
        assert np.all(np.diff(running, axis=-1) >= 0.0)


@given(temp_c=hour_series)
@settings(deadline=None)
def test_each_series_is_summed_alone(temp_c):
    for method in (chill_hours, utah_units, chill_portions):
        together = method(temp_c)
        for row in range(len(temp_c)):
            np.testing.assert_allclose(together[row], method(temp_c[row]), rtol=1e-12, atol=1e-12)


@given(temp_c=hour_series)
@settings(deadline=None)
def test_a_running_sum_does_not_depend_on_what_comes_later(temp_c):
    part = max(1, temp_c.shape[-1] // 2)
    for method in (chill_hours, utah_units, chill_portions):
        np.testing.assert_array_equal(method(temp_c)[:, :part], method(temp_c[:, :part]))


def test_warmth_undoes_what_is_not_yet_a_portion_and_leaves_what_is():
    cold = np.full(400, 6.0)
    broken = cold.copy()
    broken[20:24] = 25.0
    assert chill_portions(broken)[60] < chill_portions(cold)[60]
    then_hot = np.concatenate([cold, np.full(200, 30.0)])
    assert chill_portions(then_hot)[-1] == pytest.approx(chill_portions(cold)[-1], abs=1.0)


def test_no_chill_in_heat_or_deep_frost():
    for temp_c in (-15.0, 30.0):
        assert chill_portions(np.full(2000, temp_c))[-1] == pytest.approx(0.0, abs=0.05)


def test_a_missing_hour_is_not_taken_for_weather():
    temp_c = np.full(200, 6.0)
    temp_c[100] = np.nan
    for method in (chill_hours, utah_units, chill_portions):
        running = method(temp_c)
        assert np.all(np.isfinite(running[:100]))
        assert np.isnan(running[-1])


def test_the_trapezoid_at_its_corners_and_half_way():
    temp_c = [-20.0, -3.0, -1.5, 0.0, 4.5, 9.0, 11.5, 14.0, 30.0]
    np.testing.assert_allclose(bulb_cold_weight(temp_c), [0, 0, 0.5, 1, 1, 1, 0.5, 0, 0])


def test_seventy_days_in_the_cold_are_ten_weeks_and_the_refrigerator_counts():
    days = np.full((2, 70), 5.0)
    weeks = bulb_cold_weeks(days, prechill_weeks=[0.0, 6.0])
    np.testing.assert_allclose(weeks[:, -1], [10.0, 16.0])
    np.testing.assert_allclose(weeks[:, 0], [1 / 7, 6 + 1 / 7])
    hourly = bulb_cold_weeks(np.full(70 * 24, 5.0), steps_per_day=24)
    assert hourly[-1] == pytest.approx(10.0)


def test_own_cold_response_is_used_and_a_twisted_one_refused():
    narrow = ColdResponse(none_below_c=1.0, full_from_c=2.0, full_to_c=5.0, none_above_c=7.0)
    np.testing.assert_allclose(bulb_cold_weight([1.5, 3.0, 6.0], response=narrow), [0.5, 1, 0.5])
    with pytest.raises(ValueError, match="none_below_c"):
        ColdResponse(full_to_c=15.0)
    with pytest.raises(ValueError, match="none_below_c"):
        ColdResponse(none_below_c=float("nan"))


def test_bad_use_is_refused():
    with pytest.raises(ValueError, match="steps_per_day"):
        bulb_cold_weeks([1.0], steps_per_day=0)
    with pytest.raises(ValueError, match="at least one hour"):
        chill_portions(5.0)
    with pytest.raises(ValueError, match="at least one hour"):
        chill_portions([])
