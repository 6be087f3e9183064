"""The programme of a yard against every filling there is."""

from __future__ import annotations

from itertools import combinations_with_replacement, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.engine.covering import Cover, all_sets
from bloomline.engine.filling import Market, Part, PotClass, Table, Yard, YardColour
from bloomline.engine.filling_few import weighed
from bloomline.engine.filling_programme import Master
from bloomline.engine.filling_steps import (
    allowed,
    cost_of,
    greedy,
    kinds_used,
    sought,
    worth_of,
)


def yards(seed, *, n_kinds=5, budget=None, kinds_most=None, least_of_best=0.85, again=1.0):
    rng = np.random.default_rng(seed)
    dark = rng.integers(0, 9, (n_kinds, 10, 3)) / 8.0
    dark[rng.random(dark.shape) < 0.55] = 1.0
    classes = []
    for n_pots in (2, 1):
        cover = Cover(
            np.clip(dark + rng.integers(0, 2, dark.shape) / 8.0, 0.0, 1.0),
            base=np.ones((10, 3)),
            weight=np.ones(10),
        )
        together = ~np.eye(n_kinds, dtype=bool)
        sets = all_sets(
            cover,
            together=together,
            fits=lambda rows: np.ones(len(rows), dtype=bool),
            most=3,
            least_of_best=least_of_best,
        )
        part = Part(
            sets.unseen,
            np.arange(n_kinds),
            np.zeros(n_kinds),
            float(sets.days[0]),
            lambda rows: np.ones(len(rows), dtype=bool),
        )
        table = Table(sets.kinds, sets.days - sets.days[0], np.zeros(len(sets), int), (part,))
        classes.append(PotClass(n_pots, table, rng.integers(2, 6, n_kinds), filling=1.0))
    market = Market(
        tuple(
            ((5, float(rng.integers(2, 6))), (12, float(rng.integers(5, 10))))[: 1 + seed % 2]
            for _ in range(n_kinds)
        ),
        rng.integers(0, 4, n_kinds),
    )
    return Yard(
        tuple(classes),
        market,
        YardColour(dark, np.ones((10, 3))),
        np.inf if budget is None else budget,
        kinds_most,
        again=again,
    )


def best_of_all(yard):
    """The worth of the best filling, from every one there is."""
    options = [
        list(combinations_with_replacement(range(len(each.worth)), each.n_pots))
        for each in yard.classes
    ]
    return max(worth_of(yard, taken) for taken in product(*options) if allowed(yard, taken))


def test_a_kind_counts_less_in_each_further_pot():
    plain, told = yards(3, again=0.0), yards(3, again=2.0)
    at = [
        next(n for n, row in enumerate(each.kinds) if sorted(row[row >= 0]) == [1])
        for each in plain.classes
    ]
    for taken, times in (
        (((at[0], 0), (0,)), 0),
        (((at[0], at[0]), (0,)), 1),
        (
            ((at[0], at[0]), (at[1],)),
            2,
        ),
    ):
        assert worth_of(plain, taken) - worth_of(told, taken) == pytest.approx(2.0 * times / 3)


@pytest.mark.parametrize("kinds_most", [None, 2])
@pytest.mark.parametrize("budget", [None, 6.0, 12.0, 25.0])
@pytest.mark.parametrize("seed", range(5))
def test_of_a_few_pots_the_best_of_all_is_found_and_proven(seed, budget, kinds_most):
    yard = yards(seed, n_kinds=4, budget=budget, kinds_most=kinds_most)
    master = Master(yard)
    master.grow(seconds=20.0, go=lambda _share: True)
    nothing = tuple((0,) * each.n_pots for each in yard.classes)
    start = worth_of(yard, nothing)
    taken, worth, bound = weighed(master, nothing, start, go=lambda: True)
    complete = yards(seed, n_kinds=4, budget=budget, kinds_most=kinds_most, least_of_best=0.0)
    assert worth == pytest.approx(best_of_all(complete), abs=1e-4)
    assert worth_of(yard, taken) == pytest.approx(worth, abs=1e-4)
    assert allowed(yard, taken)
    assert bound == pytest.approx(worth, abs=1e-4)


def test_a_weighing_that_is_ended_keeps_its_bound():
    yard = yards(2, n_kinds=4, budget=12.0)
    master = Master(yard)
    bound = master.grow(seconds=20.0, go=lambda _share: True)
    nothing = tuple((0,) * each.n_pots for each in yard.classes)
    found = weighed(master, nothing, worth_of(yard, nothing), go=lambda: False)
    assert found[0] == nothing
    assert best_of_all(yard) - 1e-4 <= found[2] <= bound + 1e-9


CASES = st.tuples(
    st.integers(0, 10_000), st.sampled_from([None, 6.0, 12.0, 25.0]), st.sampled_from([None, 2])
)


@settings(max_examples=15)
@given(CASES)
def test_no_filling_is_worth_more_than_the_bound(case):
    seed, budget, kinds_most = case
    yard = yards(seed, n_kinds=4, budget=budget, kinds_most=kinds_most)
    bound = Master(yard).grow(seconds=20.0, go=lambda _share: True)
    complete = yards(seed, n_kinds=4, budget=budget, kinds_most=kinds_most, least_of_best=0.0)
    assert best_of_all(complete) <= bound + 1e-4


@settings(max_examples=25)
@given(CASES)
def test_budget_and_number_of_kinds_are_never_broken(case):
    seed, budget, kinds_most = case
    yard = yards(seed, n_kinds=6, budget=budget, kinds_most=kinds_most)
    start = greedy(yard)
    found = sought(yard, start, go=lambda: True)
    assert worth_of(yard, found) >= worth_of(yard, start) - 1e-6
    for taken in (start, found):
        if budget is not None:
            assert cost_of(yard, taken) <= budget + 1e-6
        assert kinds_most is None or len(kinds_used(yard, taken)) <= kinds_most


@pytest.mark.parametrize("seed", range(6))
def test_climbing_comes_close_to_the_best_of_all(seed):
    yard = yards(seed, n_kinds=4, budget=14.0, least_of_best=0.0)
    found = sought(yard, greedy(yard), go=lambda: True)
    assert worth_of(yard, found) >= 0.93 * best_of_all(yard)


@pytest.mark.parametrize("budget", [None, 14.0])
def test_whole_pots_keep_the_budget(budget):
    yard = yards(4, n_kinds=5, budget=budget)
    master = Master(yard)
    bound = master.grow(seconds=10.0, go=lambda _share: True)
    taken = master.whole(seconds=5.0)
    assert taken is not None
    assert allowed(yard, taken)
    assert worth_of(yard, taken) <= bound + 1e-4


def test_a_barred_kind_is_not_used():
    yard = yards(5, n_kinds=5)
    used = kinds_used(yard, sought(yard, greedy(yard), go=lambda: True))
    barred = Yard(
        yard.classes, yard.market, yard.colour, yard.budget, yard.kinds_most, frozenset(used[:1])
    )
    found = sought(barred, greedy(barred), go=lambda: True)
    assert used[0] not in kinds_used(barred, found)
    assert worth_of(barred, found) <= Master(barred).grow(seconds=5.0, go=lambda _s: True) + 1e-4
