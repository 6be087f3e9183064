"""Binary searches in many sums at once, against NumPy's own search in each."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.engine.search import Rows, crossing, first_at_least, first_true

seeds = st.integers(0, 10_000)


def sums_and_rows(draw, *, n_days):
    """Rising sums with steps of nothing among them, and plantings that look at them."""
    values = np.cumsum(draw.choice([0.0, 0.0, 0.5, 1.0], size=(3, 2, n_days + 1)), axis=-1)
    zone = draw.integers(0, 3, 7)
    return values, zone, Rows(zone, n_years=2, n_days=n_days)


def by_hand(values, zone, goal, low, n_days):
    found = np.empty(goal.shape, dtype=np.int64)
    for at in np.ndindex(goal.shape):
        row = values[zone[at[0]], at[1], low[at] :]
        found[at] = low[at] + np.searchsorted(row, goal[at], side="left")
    return np.where(found > n_days, n_days + 1, found)


@given(seeds, st.integers(1, 70))
def test_the_first_day_that_reaches_a_goal(seed, n_days):
    draw = np.random.default_rng(seed)
    values, zone, rows = sums_and_rows(draw, n_days=n_days)
    low = draw.integers(0, n_days + 1, (7, 2))
    goal = draw.uniform(-1.0, values.max() + 1.0, (7, 2))
    wanted = by_hand(values, zone, goal, low, n_days)
    assert (first_at_least(values, rows, goal, low) == wanted).all()
    # With a bound that holds, the same.
    within = int((wanted - low).max()) + 1
    assert (first_at_least(values, rows, goal, low, within=within) == wanted).all()


@given(seeds, st.integers(1, 70))
def test_a_test_that_turns_true_is_found_like_a_sum(seed, n_days):
    draw = np.random.default_rng(seed)
    values, zone, rows = sums_and_rows(draw, n_days=n_days)
    low = draw.integers(0, n_days + 1, (7, 2))
    goal = draw.uniform(-1.0, values.max() + 1.0, (7, 2))
    high = np.full_like(low, n_days + 1)
    found = first_true(lambda day: rows.take(values, np.minimum(day, n_days)) >= goal, low, high)
    assert (found == by_hand(values, zone, goal, low, n_days)).all()


def test_a_goal_that_is_no_number_is_never_reached():
    rows = Rows(np.array([0]), n_years=1, n_days=5)
    values = np.arange(6.0).reshape(1, 1, 6)
    goal, low = np.array([[np.nan]]), np.array([[2]])
    assert first_at_least(values, rows, goal, low) == 6
    assert np.isnan(crossing(values, rows, goal, low)).all()


def test_a_crossing_lies_within_its_day():
    rows = Rows(np.array([0]), n_years=1, n_days=5)
    values = np.array([0.0, 0.0, 2.0, 3.0, 3.0, 3.0]).reshape(1, 1, 6)
    days = [crossing(values, rows, np.array([[goal]]), np.array([[0]])) for goal in (1.0, 2.5, 9.0)]
    assert [float(day[0, 0]) for day in days] == pytest.approx([1.5, 2.5, np.nan], nan_ok=True)
