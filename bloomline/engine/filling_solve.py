"""The best filling of a yard within some time, and the bound it is held against."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from bloomline.engine.filling import Table, Yard
from bloomline.engine.filling_few import MOST_POTS, weighed
from bloomline.engine.filling_programme import Master
from bloomline.engine.filling_steps import (
    Taken,
    allowed,
    ascended,
    greedy,
    kinds_used,
    sought,
    worth_of,
)

Go = Callable[[float], bool]
"""Told how far a search is, 0 to 1; false ends it, with the best so far."""

_GOOD_ENOUGH = 0.004
_FEW_SHARE = 0.8  # of the time for prices, where fillings of few pots are weighed one by one
_SLICE = 0.4  # seconds of the one of several choices that promises most
_WHOLE_SHARE = 0.3  # of the rest for whole pots and packs
_MANY_SHARE = 0.65  # of the time for prices of many pots


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
    start = greedy(yard)
    search = _Search(yard, start, end=time.thread_time() + seconds, go=go)
    greedy_worth = search.worth
    if yard.n_pots <= MOST_POTS:
        search.few()
    else:
        search.many()
    return Solution(search.best, search.worth, search.bound, greedy_worth)


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """Which pots may be filled. classes : the yard's class of each of its own."""

    yard: Yard
    classes: tuple[int, ...]

    def taken_in(self, yard: Yard, mine: Taken) -> Taken:
        """A filling of this way as one of the yard."""
        found: list[tuple[int, ...]] = [()] * len(yard.classes)
        for c, pots in zip(self.classes, mine, strict=True):
            found[c] += pots
        return tuple(found)


class _Search:
    """The best filling that is known of a yard, and the search for better ones."""

    def __init__(self, yard: Yard, start: Taken, *, end: float, go: Go) -> None:
        """Begin with a filling. end : of the thread's time."""
        self.yard, self.go, self._end = yard, go, end
        self.best, self.worth = start, worth_of(yard, start)
        self.bound: float | None = None

    @property
    def left(self) -> float:
        """Seconds that are left."""
        return max(self._end - time.thread_time(), 0.0)

    def _timed(self, share: float) -> Callable[[], bool]:
        """Whether to go on from so far: nobody ends it, and time is left."""
        return lambda: self.go(share) and self.left > 0.0

    def _take(self, taken: Taken) -> None:
        worth = worth_of(self.yard, taken)
        if worth > self.worth and allowed(self.yard, taken):
            self.best, self.worth = taken, worth

    def few(self) -> None:
        """Climb, bound each choice of pots to fill, and weigh what promises to be better."""
        half = self._end - self.left / 2.0
        self._take(
            sought(self.yard, self.best, go=lambda: self.go(0.3) and time.thread_time() < half)
        )
        ways = _ways(self.yard)
        hopes = self._bounded(ways)
        for done, (way, master) in enumerate(hopes):
            go = self._timed(0.6 + 0.4 * done / len(hopes))
            if master.bound <= self.worth or not go():
                break
            if len(hopes) > 1:
                mine = sought(way.yard, greedy(way.yard), go=go)
                self._take(way.taken_in(self.yard, mine))
            found = weighed(master, None, self.worth, go=go)
            taken, worth, master.bound = found
            if taken is not None and worth > self.worth:
                self.best, self.worth = way.taken_in(self.yard, taken), worth
        highest = max((master.bound for _, master in hopes), default=np.inf)
        if len(hopes) == len(ways) and highest < np.inf:
            self.bound = max(self.worth, highest)

    def _bounded(self, ways: Sequence[_Way]) -> list[tuple[_Way, Master]]:
        """Ways with their programmes, bounded in turn: always the one that promises most."""
        found: list[tuple[_Way, Master]] = []
        end = time.thread_time() + _FEW_SHARE * self.left
        known: dict[int, list[int]] = {}
        while True:
            enough = self.worth * (1.0 + _GOOD_ENOUGH)
            open_ = [m for _, m in found if m.bound > enough and not m.settled]
            if not self.go(0.3 + 0.3 * min(len(found) / len(ways), 1.0)):
                break
            if len(found) < len(ways):
                way = ways[len(found)]
                master = Master(
                    way.yard,
                    lines=found[-1][1].lines if found else None,
                    columns=[known.get(c, []) for c in way.classes],
                )
                found.append((way, master))
            elif open_ and time.thread_time() < end:
                master = max(open_, key=lambda each: each.bound)
                way = next(way for way, mine in found if mine is master)
            else:
                break
            master.grow(
                seconds=_SLICE if len(ways) > 1 else end - time.thread_time(),
                enough=enough,
                go=lambda share: self.go(0.3 + (0.3 * share if len(ways) == 1 else 0.0)),
            )
            for at, c in enumerate(way.classes):
                if len(way.yard.classes[at].worth) > 1:
                    known[c] = master.near(at)
        return sorted(found, key=lambda each: -each[1].bound)

    def many(self) -> None:
        """Bound the yard, and climb from whole pots near to the programme's."""
        if not self.go(0.2):
            return
        master = Master(self.yard)
        bound = master.grow(
            seconds=_MANY_SHARE * self.left,
            enough=self.worth * (1.0 + _GOOD_ENOUGH),
            go=lambda share: self.go(0.2 + 0.4 * share),
        )
        if master.prices is None or bound == np.inf:
            return
        self.bound = max(bound, self.worth)
        soon = self._end - _WHOLE_SHARE * self.left
        near = master.rounded()
        most = self.yard.kinds_most
        if self._far and (most is None or len(kinds_used(self.yard, near)) <= most):
            self._take(
                sought(
                    self.yard,
                    self.best,
                    go=lambda: self.go(0.7) and time.thread_time() < soon,
                    near=near,
                    rate=master.prices.money or None,
                )
            )
        elif self._far:
            self._take(
                sought(self.yard, self.best, go=lambda: self.go(0.7) and time.thread_time() < soon)
            )
        if self._far and self.left > 0.0 and self.go(0.8):
            beside = [sorted(set(mine)) for mine in self.best]
            found = master.whole(seconds=self.left, beside=beside)
            if found is not None and allowed(self.yard, found):
                self._take(
                    ascended(
                        self.yard, found, rate=0.0, within=True, go=lambda: self.go(0.9), rounds=2
                    )
                )
        self.bound = max(bound, self.worth)

    @property
    def _far(self) -> bool:
        """Whether the bound is far above what is known."""
        return self.bound is not None and self.bound > self.worth * (1.0 + _GOOD_ENOUGH)


def _ways(yard: Yard) -> list[_Way]:
    """Which pots may be filled, where that decides what is left for bulbs; else all of them."""
    compost = yard.compost
    every = _Way(yard, tuple(range(len(yard.classes))))
    if compost is None or not np.isfinite(yard.budget):
        return [every]
    ways = [
        way
        for way in product(*(range(each.n_pots + 1) for each in yard.classes))
        if any(way) and compost[way] <= yard.budget
    ]
    found = []
    for way in ways:
        # More pots for the same bags leave all that fewer do.
        more = (other for other in ways if other != way and np.all(np.subtract(other, way) >= 0))
        if all(compost[other] > compost[way] for other in more):
            found.append(_only(yard, way))
    return found or [every]


def _only(yard: Yard, way: tuple[int, ...]) -> _Way:
    """The yard with some pots left as they are, and the bags of the others paid."""
    assert yard.compost is not None
    classes, which = [], []
    for c, (each, filled) in enumerate(zip(yard.classes, way, strict=True)):
        table = each.table
        if filled:
            classes.append(replace(each, n_pots=filled, filling=0.0))
            which.append(c)
        if filled < each.n_pots:
            bare = Table(table.kinds[:1], table.worth[:1], table.part[:1])
            classes.append(replace(each, n_pots=each.n_pots - filled, table=bare, filling=0.0))
            which.append(c)
    budget = yard.budget - float(yard.compost[way])
    return _Way(replace(yard, classes=tuple(classes), budget=budget, compost=None), tuple(which))
