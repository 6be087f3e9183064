"""The best filling of a yard within some time, and the bound it is held against."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from bloomline.engine.filling import Table, Yard
from bloomline.engine.filling_few import MOST_POTS, weighed
from bloomline.engine.filling_programme import Master
from bloomline.engine.filling_steps import Taken, allowed, ascended, greedy, sought, worth_of

Go = Callable[[float], bool]
"""Told how far a search is, 0 to 1; false ends it, with the best so far."""

_GOOD_ENOUGH = 0.004
_FEW_SHARE = 0.5  # of the time for prices, where fillings of few pots are weighed one by one


@dataclass(frozen=True, slots=True)
class Solution:
    """A filling of a yard, its worth, the bound, and what the greedy one is worth.

    bound : no filling is worth more; None where the search was ended before one was known.
    """

    taken: Taken
    worth: float
    bound: float | None
    greedy_worth: float


def solve(yard: Yard, *, seconds: float, go: Go) -> Solution:
    """The best filling that is found in some seconds, never worse than the greedy one.

    Where whole bags take much of the money, each choice of pots to fill is a programme of its
    own, with what its bags leave for bulbs; the bound is that of the best of them. Seconds are
    those of the processor, so that a busy machine gives the same answer, later.
    """
    end = time.thread_time() + seconds
    start = greedy(yard)
    greedy_worth = worth_of(yard, start)
    best, worth = start, greedy_worth
    ways = _ways(yard)
    bounds: list[float | None] = []
    for done, way in enumerate(ways):
        some = yard if way is None else _only(yard, way)
        taken, value, bound = _solved(
            some,
            start if way is None else greedy(some),
            worth,
            seconds=max(end - time.thread_time(), 0.0) / (len(ways) - done),
            go=_stretch(go, done, len(ways)),
        )
        bounds.append(bound)
        if value > worth:
            best, worth = taken, value
    told = [each for each in bounds if each is not None]
    bound = max(told, default=worth) if len(told) == len(bounds) else None
    return Solution(best, worth, None if bound is None else max(bound, worth), greedy_worth)


def _stretch(go: Go, done: int, of: int) -> Go:
    """Tells how far one of several searches is as a part of all of them."""
    return lambda share: go((done + share) / of)


def _ways(yard: Yard) -> list[tuple[int, ...] | None]:
    """Which pots may be filled, where that decides what is left for bulbs; else None alone."""
    compost = yard.compost
    if (
        compost is None
        or not np.isfinite(yard.budget)
        or any(each.n_pots > 1 for each in yard.classes)
    ):
        return [None]
    ways = product((0, 1), repeat=len(yard.classes))
    return [way for way in ways if any(way) and compost[way] <= yard.budget]


def _only(yard: Yard, way: tuple[int, ...]) -> Yard:
    """The yard with some pots left as they are, and the bags of the others paid."""
    assert yard.compost is not None
    classes = []
    for each, filled in zip(yard.classes, way, strict=True):
        table = each.table
        if not filled:
            table = Table(table.kinds[:1], table.worth[:1], table.part[:1])
        classes.append(replace(each, table=table, filling=0.0))
    return replace(
        yard,
        classes=tuple(classes),
        budget=yard.budget - float(yard.compost[way]),
        compost=np.zeros_like(yard.compost),
    )


def _solved(
    yard: Yard, start: Taken, known: float, *, seconds: float, go: Go
) -> tuple[Taken, float, float | None]:
    """The best filling, its worth and a bound; what can't better `known` is not sought long."""
    end = time.thread_time() + seconds
    best = sought(yard, start, go=lambda: go(0.3) and time.thread_time() < end - seconds / 2)
    worth = worth_of(yard, best)
    master = Master(yard)
    few = yard.n_pots <= MOST_POTS
    bound: float | None = None
    if go(0.4):
        bound = master.grow(
            seconds=(_FEW_SHARE if few else 0.7) * max(end - time.thread_time(), 0.0),
            enough=max(worth, known) * (1.0 + _GOOD_ENOUGH),
            go=lambda share: go(0.4 + 0.4 * share),
        )
    if few and bound is not None and bound > max(worth, known):
        best, worth, bound = weighed(
            master, best, worth, go=lambda: go(0.85) and time.thread_time() < end
        )
    left = 0.0 if few else end - time.thread_time()
    if bound is not None and bound - worth > _GOOD_ENOUGH * worth and left > 0.0 and go(0.8):
        found = master.whole(seconds=left, beside=[sorted(set(mine)) for mine in best])
        if found is not None and allowed(yard, found):
            taken = ascended(yard, found, rate=0.0, within=True, go=lambda: go(0.9), rounds=2)
            if worth_of(yard, taken) > worth:
                best, worth = taken, worth_of(yard, taken)
    return best, worth, None if bound is None else max(bound, worth)
