"""Two pots and whole bags of compost: which to fill is decided, and the best of all is proven."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest

from bloomline.engine.filling import Market, PotClass, Table, Yard, YardColour
from bloomline.engine.filling_solve import solve
from bloomline.engine.filling_steps import allowed, worth_of

KINDS = 5
SETS = np.array(
    [[-1, -1], *([n, -1] for n in range(KINDS)), *(list(two) for two in combinations(range(5), 2))]
)


def _yard(seed: int, budget: float) -> Yard:
    """Two pots whose compost takes 6 and 9 by themselves, and 13 together."""
    rng = np.random.default_rng(seed)
    dark = np.where(rng.random((KINDS, 12, 3)) < 0.6, 1.0, rng.integers(0, 5, (KINDS, 12, 3)) / 8)
    shown = np.concatenate([dark, np.ones((1, 12, 3))])[SETS].prod(axis=1)
    worth = (1.0 - shown).sum(axis=1).mean(axis=1)
    return Yard(
        tuple(
            PotClass(1, Table(SETS, worth, np.zeros(len(SETS), int)), least, filling=6.0)
            for least in rng.integers(2, 8, (2, KINDS))
        ),
        Market(
            tuple(((5, float(price)),) for price in rng.integers(2, 6, KINDS)), np.zeros(5, int)
        ),
        YardColour(dark, np.ones((12, 3))),
        budget,
        compost=np.array([[0.0, 9.0], [6.0, 13.0]]),
    )


@pytest.mark.parametrize("budget", [5.0, 9.0, 14.0, 19.0, 26.0, 60.0])
@pytest.mark.parametrize("seed", range(4))
def test_the_best_of_all_is_found_and_proven(seed: int, budget: float) -> None:
    yard = _yard(seed, budget)
    every = product(range(len(SETS)), repeat=2)
    best = max(
        worth_of(yard, ((one,), (two,))) for one, two in every if allowed(yard, ((one,), (two,)))
    )
    found = solve(yard, seconds=20.0, go=lambda _share: True)
    assert allowed(yard, found.taken)
    assert found.worth == pytest.approx(best, abs=1e-4)
    assert worth_of(yard, found.taken) == pytest.approx(best, abs=1e-4)
    assert found.bound is not None
    assert best - 1e-6 <= found.bound <= best * 1.0021 + 1e-6
