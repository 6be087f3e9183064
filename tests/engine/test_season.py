"""A yard's colour by day against counting every node, year and day by hand."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.engine.bands import NORMAL_NODES
from bloomline.engine.season import (
    Run,
    bare_runs,
    crowded_runs,
    days_in_flower,
    garden_spread,
    runs_where,
    yearly_colour,
    years_by_warmth,
)


def windows(seed, *, n, n_years):
    rng = np.random.default_rng(seed)
    start = rng.uniform(5, 60, (n, n_years))
    end = start + rng.uniform(2, 15, (n, n_years))
    gone = rng.random((n, n_years)) < 0.15
    start[gone] = np.nan
    end[gone] = np.nan
    return start, end, rng.uniform(0, 6, n)


@pytest.mark.parametrize("seed", range(4))
def test_yearly_colour_is_the_share_of_all_combinations_of_errors(seed):
    # Three cultivars, one of them twice: every combination of the eight nodes of each, and a
    # day has colour where any planting is in flower at noon.
    start, end, sd = windows(seed, n=4, n_years=2)
    cultivar = np.array([7, 3, 7, 5])
    sd[2] = sd[0]
    n_days = 80
    got = yearly_colour(start, end=end, cultivar=cultivar, cultivar_sd_days=sd, n_days=n_days)
    assert got.shape == (2, n_days)
    noon = np.arange(n_days) + 0.5
    for year in range(2):
        coloured = np.zeros(n_days)
        for nodes in itertools.product(NORMAL_NODES, repeat=3):
            error = dict(zip((7, 3, 5), nodes, strict=True))
            shown = np.zeros(n_days, dtype=bool)
            for row in range(4):
                shift = error[cultivar[row]] * sd[row]
                shown |= (start[row, year] + shift <= noon) & (noon < end[row, year] + shift)
            coloured += shown
        np.testing.assert_allclose(got[year], coloured / 8**3, atol=1e-12)


def test_layers_of_one_cultivar_err_together():
    start = np.array([[20.0], [20.0]])
    shared = yearly_colour(
        start, end=start + 8, cultivar=np.array([0, 0]), cultivar_sd_days=np.full(2, 5.0), n_days=50
    )
    single = yearly_colour(
        start[:1],
        end=start[:1] + 8,
        cultivar=np.zeros(1, int),
        cultivar_sd_days=np.full(1, 5.0),
        n_days=50,
    )
    apart = yearly_colour(
        start, end=start + 8, cultivar=np.array([0, 1]), cultivar_sd_days=np.full(2, 5.0), n_days=50
    )
    np.testing.assert_array_equal(shared, single)
    assert (apart >= single).all()
    np.testing.assert_allclose(apart, 1 - (1 - single) ** 2)


def test_an_empty_yard_has_no_colour():
    none = np.zeros((0, 5))
    colour = yearly_colour(
        none, end=none, cultivar=np.zeros(0, int), cultivar_sd_days=np.zeros(0), n_days=30
    )
    assert colour.shape == (5, 30)
    assert not colour.any()
    assert bare_runs(colour[0]) == []


def test_the_gardens_error_blurs_but_neither_makes_nor_takes_colour():
    by_day = np.zeros((2, 100))
    by_day[0, 40:60] = 1.0
    by_day[1, 30:35] = 0.5
    blurred = garden_spread(by_day, garden_sd_days=3.0)
    np.testing.assert_allclose(blurred.sum(axis=1), by_day.sum(axis=1))
    for day in (25, 33, 38, 41, 50, 59, 61):
        expected = np.mean(
            [np.interp(day - 3.0 * node, np.arange(100), by_day[0]) for node in NORMAL_NODES]
        )
        assert blurred[0, day] == pytest.approx(expected)
    np.testing.assert_array_equal(garden_spread(by_day, garden_sd_days=0.0), by_day)
    np.testing.assert_allclose(garden_spread(by_day[1], garden_sd_days=3.0), blurred[1])


@given(st.lists(st.booleans(), max_size=40))
def test_runs_are_the_groups_of_true_days(flags):
    expected, day = [], 0
    for value, group in itertools.groupby(flags):
        length = len(list(group))
        if value:
            expected.append(Run(day, day + length - 1))
        day += length
    assert runs_where(np.array(flags, dtype=bool)) == expected
    assert sum(run.days for run in expected) == sum(flags)


@given(st.lists(st.floats(0.0, 1.0), max_size=40), st.floats(0.01, 0.99))
def test_bare_days_lie_between_the_first_and_the_last_colour(coverage, threshold):
    runs = bare_runs(np.array(coverage), threshold=threshold)
    bare = {day for run in runs for day in range(run.first, run.last + 1)}
    coloured = [day for day, chance in enumerate(coverage) if chance >= threshold]
    expected = {
        day
        for day, chance in enumerate(coverage)
        if coloured and chance < threshold and coloured[0] < day < coloured[-1]
    }
    assert bare == expected


def test_crowds_are_days_with_more_layers_than_the_limit():
    chance = np.zeros((4, 30))
    chance[0, 2:20] = 0.9
    chance[1, 5:12] = 0.5
    chance[2, 8:10] = 0.7
    chance[3, 8:10] = 0.49
    assert crowded_runs(chance, limit=1) == [Run(5, 11)]
    assert crowded_runs(chance, limit=2) == [Run(8, 9)]
    assert crowded_runs(chance, limit=3) == []
    assert crowded_runs(chance, limit=0) == [Run(2, 19)]
    assert crowded_runs(chance, limit=3, likely=0.4) == [Run(8, 9)]
    assert crowded_runs(np.zeros((0, 30)), limit=1) == []


@given(st.integers(0, 10_000))
@settings(max_examples=25)
def test_days_in_flower_is_the_length_of_the_union(seed):
    start, end, _ = windows(seed, n=6, n_years=3)
    sd = np.random.default_rng(seed).uniform(0, 6, (2, 3))
    start, end = start.reshape(2, 3, 3), end.reshape(2, 3, 3)
    got = days_in_flower(start, end=end, sd_days=sd)
    for pot, year in np.ndindex(2, 3):
        total = 0.0
        for node in NORMAL_NODES:
            edges = []
            for layer in range(3):
                if np.isfinite(start[pot, layer, year]):
                    shift = node * sd[pot, layer]
                    edges.append((start[pot, layer, year] + shift, end[pot, layer, year] + shift))
            points = sorted({point for edge in edges for point in edge})
            for left, right in itertools.pairwise(points):
                middle = (left + right) / 2
                total += (right - left) * any(a <= middle < b for a, b in edges)
        assert got[pot, year] == pytest.approx(total / len(NORMAL_NODES))


def test_years_are_ordered_by_the_warmth_of_the_days_asked_for():
    mean_c = np.full((4, 100), 5.0)
    mean_c[:, 30:60] += np.array([3.0, -2.0, 0.0, 1.0])[:, None]
    mean_c[1, :30] += 50.0
    assert years_by_warmth(mean_c, first=30, last=60).tolist() == [1, 2, 3, 0]
    assert years_by_warmth(mean_c[:, :60], first=0, last=30).tolist() == [0, 2, 3, 1]
    # The first day counts, the last doesn't.
    mean_c[2, 60] = -1e6
    assert years_by_warmth(mean_c, first=30, last=60).tolist() == [1, 2, 3, 0]
