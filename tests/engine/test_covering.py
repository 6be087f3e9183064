"""Sets of kinds against plain enumeration."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.engine.covering import Cover, all_sets
from bloomline.engine.in_flower import InFlower
from bloomline.engine.season import YearlySeason


def made(seed, *, n_kinds=7, n_days=12, n_years=4, least_share=None):
    rng = np.random.default_rng(seed)
    dark = rng.integers(0, 9, (n_kinds, n_days, n_years)) / 8.0
    dark[rng.random(dark.shape) < 0.5] = 1.0
    base = np.where(rng.random((n_days, n_years)) < 0.8, 1.0, 0.5)
    weight = rng.integers(1, 3, n_days).astype(float)
    together = rng.random((n_kinds, n_kinds)) < 0.7
    together &= together.T
    np.fill_diagonal(together, False)
    return Cover(dark, base=base, weight=weight, least_share=least_share), together


def by_hand(cover, together, most, allowed):
    """Every set that goes together, and its days from the definition."""
    found = {}
    for size in range(most + 1):
        for some in combinations(range(cover.n_kinds), size):
            if all(together[a, b] for a, b in combinations(some, 2)) and allowed(some):
                days = 0.0
                for day in range(cover.n_days):
                    shares = []
                    for year in range(cover.n_years):
                        dark = float(cover.base[day, year])
                        for kind in some:
                            dark *= float(cover.dark[kind, day, year])
                        shares.append(1.0 - dark)
                    share = float(np.mean(shares))
                    if cover.least_share is not None:
                        share = float(share >= cover.least_share - 1e-6)
                    days += float(cover.weight[day]) * share
                found[some] = days
    return found


def in_words(sets):
    return {
        tuple(int(k) for k in row if k >= 0): float(days)
        for row, days in zip(sets.kinds, sets.days, strict=True)
    }


def few_heavy(sets):
    return np.asarray((sets % 3 == 0).sum(axis=1) <= 1)


@given(st.integers(0, 10_000), st.sampled_from([None, 0.8]))
def test_every_set_is_found_with_its_days(seed, least_share):
    cover, together = made(seed, least_share=least_share)
    sets = all_sets(cover, together=together, fits=few_heavy, most=3, least_of_best=0.0)
    expected = by_hand(cover, together, 3, lambda some: sum(k % 3 == 0 for k in some) <= 1)
    found = in_words(sets)
    assert found.keys() == expected.keys()
    assert found == pytest.approx(expected, abs=1e-4)


@given(st.integers(0, 10_000), st.sampled_from([None, 0.8]))
def test_what_is_left_out_is_never_better_than_it_says(seed, least_share):
    cover, together = made(seed, least_share=least_share)
    bonus = np.random.default_rng(seed).random(cover.n_kinds)
    sets = all_sets(cover, together=together, fits=few_heavy, most=4, bonus=bonus)
    expected = by_hand(cover, together, 4, lambda some: sum(k % 3 == 0 for k in some) <= 1)
    worth = {some: days + sum(bonus[k] for k in some) for some, days in expected.items()}
    found = in_words(sets)
    missing = [worth[some] for some in expected if some not in found]
    assert max(missing, default=-np.inf) <= sets.below + 1e-4
    best = max(worth.values())
    assert max(days + sum(bonus[k] for k in some) for some, days in found.items()) == (
        pytest.approx(best, abs=1e-4)
    )


@given(st.integers(0, 10_000))
def test_unseen_sets_can_be_grown_and_then_none_is_missing(seed):
    cover, together = made(seed)
    sets = all_sets(cover, together=together, fits=few_heavy, most=4, least_of_best=0.95)
    found = in_words(sets)
    more, days = sets.unseen.grow(np.arange(len(sets.unseen.rows)))
    assert sets.below == -np.inf
    found |= {
        tuple(int(k) for k in row if k >= 0): float(d) for row, d in zip(more, days, strict=True)
    }
    expected = by_hand(cover, together, 4, lambda some: sum(k % 3 == 0 for k in some) <= 1)
    assert found == pytest.approx(expected, abs=1e-4)


def test_days_are_those_of_the_season():
    rng = np.random.default_rng(3)
    start = rng.uniform(20.0, 60.0, (5, 6))
    end = start + rng.uniform(5.0, 25.0, (5, 6))
    flowers = InFlower(
        start, end=end, cultivar=np.arange(5), cultivar_sd_days=np.full(5, 4.0), n_days=100
    )
    dark = np.ones((5, 100, 6))
    width = flowers.bits.shape[1]
    dark[:, flowers.begin : flowers.begin + width] -= np.bitwise_count(flowers.bits[:-1]) / 8.0
    cover = Cover(dark, base=np.ones((100, 6)), weight=np.ones(100))
    rows = np.array([0, 2, 3])
    season = YearlySeason(flowers, rows, layers=np.ones(3, dtype=np.int64))
    assert cover.value(rows) == pytest.approx(season.colour().sum(axis=1).mean(), abs=1e-4)


def test_a_search_that_is_ended_says_that_it_knows_no_bound():
    cover, together = made(1)
    sets = all_sets(cover, together=together, fits=few_heavy, most=3, go=lambda share: share < 0.3)
    assert sets.below == np.inf
    assert len(sets) >= 1
