"""What whole packs of a kind cost at least, as a sum over the pots that have it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations, product

from bloomline.engine.filling import Yard
from bloomline.engine.filling_steps import pack_cost

Step = tuple[int, tuple[float, ...]]
"""A kind, and what each pot of every class that has it adds to its cost."""

_FEW_POTS = 4  # of which every order is tried
_LEAST_PART = 0.05  # of a pack beyond the lowest price of its bulbs that a row is worth
_HAIR = 1e-9


def steps_of(yard: Yard) -> list[Step]:
    """Steps of all kinds: whichever pots have a kind, its whole packs cost no less than their sum.

    Of a few pots those of every order in which they could be thought of, each pot adding what it
    does beside those before it; of many those of each class alone.
    """
    few = sum(each.n_pots for each in yard.classes) <= _FEW_POTS
    found: list[Step] = []
    for kind in range(yard.n_kinds):
        packs = yard.market.packs[kind]
        mine = [c for c, each in enumerate(yard.classes) if each.bulbs[kind]]
        if not packs or not mine:
            continue
        lowest = min(price / size for size, price in packs)
        adds = _in_any_order(yard, kind, mine) if few else []
        for c in mine:
            each = yard.classes[c]
            bulbs = int(each.bulbs[kind])
            least = min(pack_cost(yard, kind, n * bulbs) / n for n in range(1, each.n_pots + 1))
            adds.append(tuple(least if at == c else 0.0 for at in range(len(yard.classes))))
        beyond = lowest * _LEAST_PART
        found += [
            (kind, each)
            for each in dict.fromkeys(adds)
            if any(
                price > lowest * int(other.bulbs[kind]) + beyond
                for price, other in zip(each, yard.classes, strict=True)
            )
        ]
    return found


def _in_any_order(yard: Yard, kind: int, mine: Sequence[int]) -> list[tuple[float, ...]]:
    """What each class adds, whichever comes first, made so small that it is never too much."""
    some = [yard.classes[c] for c in mine]
    costs = {
        counts: pack_cost(
            yard,
            kind,
            sum(n * int(each.bulbs[kind]) for n, each in zip(counts, some, strict=True)),
        )
        for counts in product(*(range(each.n_pots + 1) for each in some))
    }
    found = []
    for order in permutations(range(len(mine))):
        counts, steps = [0] * len(mine), [0.0] * len(mine)
        spent = costs[tuple(counts)]
        for at in order:
            counts[at] = some[at].n_pots
            cost = costs[tuple(counts)]
            steps[at] = (cost - spent) / some[at].n_pots
            spent = cost
        by = 1.0
        for each, cost in costs.items():
            told = sum(n * step for n, step in zip(each, steps, strict=True))
            if told > cost + _HAIR:
                by = min(by, cost / told)
        whole = [0.0] * len(yard.classes)
        for c, step in zip(mine, steps, strict=True):
            whole[c] = by * step
        found.append(tuple(whole))
    return found
