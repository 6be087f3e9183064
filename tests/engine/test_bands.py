"""Bands and chances against SciPy's normal distribution and plain counting."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.stats import norm

from bloomline.engine.bands import (
    NORMAL_NODES,
    band_days,
    flowering_counts,
    in_flower_chance,
    spread_days,
)


def test_nodes_are_the_means_of_eight_equal_slices():
    edges = norm.ppf(np.linspace(0.0, 1.0, 9))
    means = 8.0 * -np.diff(norm.pdf(edges))
    np.testing.assert_allclose(NORMAL_NODES, means / np.sqrt(np.mean(means**2)), atol=2e-5)
    assert NORMAL_NODES.mean() == pytest.approx(0.0, abs=1e-12)
    assert np.mean(NORMAL_NODES**2) == pytest.approx(1.0, abs=1e-12)
    with pytest.raises(ValueError, match="read-only"):
        NORMAL_NODES[0] = 0.0


def test_spreading_keeps_the_mean_and_adds_the_variance():
    days = np.array([[100.0, 112.0, 130.0], [50.0, 50.0, 50.0]])
    spread = spread_days(days, sd_days=np.array([4.0, 7.0]))
    assert spread.shape == (2, 24)
    np.testing.assert_allclose(spread.mean(axis=1), days.mean(axis=1))
    np.testing.assert_allclose(spread.var(axis=1), days.var(axis=1) + np.array([16.0, 49.0]))


def test_bands_are_the_quantiles_of_a_mixture_of_normals():
    # Each weather year is a normal distribution about its day; SciPy inverts their mean.
    errors = []
    for seed in range(25):
        rng = np.random.default_rng(seed)
        years = rng.normal(rng.uniform(80, 200), rng.uniform(3, 12), 21)
        sd = rng.uniform(2.0, 8.0)
        got = band_days(years[None], sd_days=np.array([sd]))
        for share, value in ((0.1, got.p10[0]), (0.5, got.p50[0]), (0.9, got.p90[0])):
            exact = brentq(lambda x, s=share, y=years, d=sd: norm.cdf(x, y, d).mean() - s, 0, 400)
            errors.append(value - exact)
    # Eight nodes a year stand for the bell: never off by a day and a half, not to one side.
    assert np.abs(errors).max() < 1.5
    assert np.abs(errors).mean() < 0.25
    assert abs(np.mean(errors)) < 0.1


def test_one_year_alone_gives_the_nodes_own_quantiles():
    # Eight samples at the sixteenths: 10 % lies between the first and the second.
    got = band_days([[100.0]], sd_days=[5.0])
    first, second = 100 + 5 * NORMAL_NODES[0], 100 + 5 * NORMAL_NODES[1]
    assert got.p10[0] == pytest.approx(first + 0.3 * (second - first))
    assert got.p50[0] == pytest.approx(100.0)
    assert got.p90[0] == pytest.approx(200.0 - got.p10[0])


@given(
    st.lists(st.floats(-300, 700) | st.just(np.nan), min_size=1, max_size=25),
    st.floats(0.0, 40.0),
)
def test_bands_are_ordered_and_inside_their_samples(years, sd):
    got = band_days([years], sd_days=[sd])
    known = np.array(years)[np.isfinite(years)]
    if len(known) == 0:
        assert np.isnan([got.p10[0], got.p50[0], got.p90[0]]).all()
        return
    assert known.min() - 1.7 * sd <= got.p10[0] <= got.p50[0] <= got.p90[0]
    assert got.p90[0] <= known.max() + 1.7 * sd


def test_years_without_flowers_are_left_out_of_the_band():
    years = np.array([[101.0, 95.0, 120.0, 108.0], [101.0, np.nan, 120.0, np.nan]])
    got = band_days(years, sd_days=[3.0, 3.0])
    alone = band_days([[101.0, 120.0]], sd_days=[3.0])
    for name in ("p10", "p50", "p90"):
        assert getattr(got, name)[1] == getattr(alone, name)[0]


@given(st.floats(0.0, 30.0), st.floats(0.0, 30.0))
def test_less_knowledge_never_narrows_a_band(sd, more):
    years = [[100.0, 104.0, 93.0, 120.0, 111.0]]
    narrow, wide = (band_days(years, sd_days=[s]) for s in (sd, sd + more))
    assert wide.p90[0] - wide.p10[0] >= narrow.p90[0] - narrow.p10[0] - 1e-9


def plain_counts(start, end, n_days):
    """In flower on a day: the noon of that day lies in [start, end)."""
    counts = np.zeros((len(start), n_days))
    for row in range(len(start)):
        for first, last in zip(start[row], end[row], strict=True):
            if np.isfinite(first) and np.isfinite(last):
                for day in range(n_days):
                    counts[row, day] += first <= day + 0.5 < last
    return counts


@given(
    st.lists(
        st.tuples(st.floats(-20, 60) | st.just(np.nan), st.floats(0, 30) | st.just(np.nan)),
        min_size=2,
        max_size=6,
    )
)
@settings(max_examples=40)
def test_counts_by_day_are_those_of_plain_counting(windows):
    start = np.array([[first for first, _ in windows], [first + 3 for first, _ in windows]])
    end = start + np.array([length for _, length in windows])
    got = flowering_counts(start, end=end, n_days=40)
    np.testing.assert_array_equal(got, plain_counts(start, end, 40))


def test_chance_by_day_is_the_share_of_samples_in_flower():
    rng = np.random.default_rng(8)
    start = rng.uniform(20, 60, (5, 7))
    end = start + rng.uniform(3, 20, (5, 7))
    start[2, 3] = end[2, 3] = np.nan
    end[3, 1] = np.nan
    start[4] = np.nan
    sd = rng.uniform(0, 9, 5)
    got = in_flower_chance(start, end=end, sd_days=sd, n_days=110)
    expected = plain_counts(spread_days(start, sd_days=sd), spread_days(end, sd_days=sd), 110) / 56
    np.testing.assert_allclose(got, expected)
    assert (got[4] == 0.0).all()
    assert got.max() <= 1.0


def test_a_whole_day_chance_adds_up_to_the_length_of_flowering():
    # Sum over days = mean length, if no flower lies over the edge of the axis.
    start = np.array([[30.0, 40.0, 44.5]])
    got = in_flower_chance(start, end=start + 12.0, sd_days=[4.0], n_days=100)
    assert got.sum() == pytest.approx(12.0)
