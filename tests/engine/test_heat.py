"""Growth and ageing rates, and the table that stands for them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.engine.heat import (
    AgeingLaw,
    GrowthLaw,
    RateTable,
    ageing_rate,
    day_length_factor,
    growth_rate,
)

LAW = GrowthLaw()


def test_units_are_days_at_ten_degrees_and_twelve_hours():
    assert growth_rate(10.0, law=LAW) == pytest.approx(1.0)
    assert growth_rate(10.0, law=GrowthLaw(base_c=2.5, power=1.1)) == pytest.approx(1.0)
    assert day_length_factor(12.0, law=LAW) == pytest.approx(1.0)
    assert ageing_rate(10.0, law=AgeingLaw()) == pytest.approx(1.0)


def test_growth_by_hand():
    law = GrowthLaw(base_c=1.0, power=2.0, cap_c=19.0)
    got = growth_rate([-5.0, 1.0, 4.0, 10.0, 19.0, 30.0], law=law)
    assert got == pytest.approx([0.0, 0.0, 9 / 81, 1.0, 4.0, 4.0])


@given(st.floats(-60, 60), st.floats(0, 20))
def test_warmth_never_slows_growth_or_ageing(temp, warmer):
    assert growth_rate(temp + warmer, law=LAW) >= growth_rate(temp, law=LAW)
    assert ageing_rate(temp + warmer, law=AgeingLaw()) >= ageing_rate(temp, law=AgeingLaw())


def test_ageing_grows_q10_fold_every_ten_degrees_and_is_level_in_frost():
    law = AgeingLaw(q10=2.0)
    assert ageing_rate([0.0, 10.0, 20.0, 30.0], law=law) == pytest.approx([0.5, 1, 2, 4])
    assert ageing_rate([-20.0, -1.0], law=law) == pytest.approx([0.5, 0.5])


def test_longer_days_speed_growth_by_a_power():
    assert day_length_factor([0.0, 6.0, 24.0], law=GrowthLaw(day_length_power=2.0)) == (
        pytest.approx([0.0, 0.25, 4.0])
    )


def test_the_table_is_a_hundredth_of_a_degree_off_at_most():
    table = RateTable(growth_rate(RateTable.grid_c(), law=LAW))
    temp = np.random.default_rng(1).uniform(-59.0, 69.0, 20_000)
    got = table(temp.astype(np.float32)).astype(float)
    # Half a step, and the rounding of single precision at 60 °C.
    low, high = growth_rate(temp - 0.0101, law=LAW), growth_rate(temp + 0.0101, law=LAW)
    assert (got >= low - 1e-6).all()
    assert (got <= high + 1e-6).all()


def test_the_table_is_held_level_outside_its_range():
    table = RateTable(ageing_rate(RateTable.grid_c(), law=AgeingLaw()))
    ends = table(np.array([-60.0, 69.98], dtype=np.float32))
    outside = table(np.array([-300.0, 500.0], dtype=np.float32))
    np.testing.assert_array_equal(outside, ends)


@given(st.lists(st.floats(-70, 80, width=32), min_size=2, max_size=30))
def test_the_table_never_falls_where_the_rate_rises(temps):
    table = RateTable(growth_rate(RateTable.grid_c(), law=LAW))
    got = table(np.sort(np.array(temps, dtype=np.float32)))
    assert (np.diff(got) >= 0).all()
