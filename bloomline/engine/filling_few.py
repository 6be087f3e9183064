"""A few pots: every filling that the prices of the programme do not rule out, weighed exactly.

At the prices of the linear programme a filling is worth at most its end and what each pot's set
is beyond its price, which is nothing or less. So a filling that betters the best known one uses
only sets that lack less than the gap, together: of two or three pots these are few enough to be
weighed one by one, whole packs and all. Where they are too many, those that promise most are, and
what the others promise at most is the bound.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.filling import Yard
from bloomline.engine.filling_programme import Master
from bloomline.engine.filling_steps import Taken, pack_cost

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_POTS = 4
_MOST_WEIGHED = 3_000_000
_AT_ONCE = 100_000
_SHOWN_AT_ONCE = 2_000
_BINS = 400
_MOST_GROWN = 2  # times some thousands of sets that grow
_HAIR = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class _Pot:
    """A pot and its sets that may be taken, the most promising first. lacks : rising."""

    c: int
    sets: Ints
    lacks: Floats


def weighed(
    master: Master, best: Taken | None, worth: float, *, go: Callable[[], bool]
) -> tuple[Taken | None, float, float]:
    """The best filling of a few pots, its worth, and a bound, which is the worth when proven.

    best, worth : one that is known, None where it is none of this yard's. go : where it answers
    false the bound stays above.
    """
    prices, top = master.prices, master.value
    if prices is None:
        return best, worth, master.bound
    yard = master.yard
    spare = _spare(master)
    total = top + sum(each.n_pots * extra for each, extra in zip(yard.classes, spare, strict=True))
    slack = total - worth
    if slack <= _HAIR:
        return best, worth, worth
    width = _width(_pots(master, spare, slack), slack)
    width = _grown(master, spare, width, go=go)
    pots = _pots(master, spare, width)
    width = _width(pots, width)
    packs = _Packs(yard)
    chosen, lacks = _within(pots, width)
    order = np.argsort(lacks, kind="stable")
    for at in range(0, len(order), _AT_ONCE):
        some = order[at : at + _AT_ONCE]
        if total - lacks[some[0]] <= worth:
            break
        if not go():
            return best, worth, min(master.bound, max(worth, total - float(lacks[some[0]])))
        sets = np.stack([each.sets[chosen[some, n]] for n, each in enumerate(pots)], axis=1)
        found = _best_of(yard, pots, sets, packs, worth, total - lacks[some], go)
        if found is None:
            return best, worth, min(master.bound, max(worth, total - float(lacks[some[0]])))
        row, value = found
        if row is not None:
            best, worth = _as_taken(yard, pots, row), value
    return best, worth, min(master.bound, max(worth, total - width))


def _spare(master: Master) -> list[float]:
    """By how much any set of each class is worth more than its price; mostly nothing."""
    assert master.prices is not None
    return [
        max(
            float(np.where(master.yard.barred_sets(e), -np.inf, master.prices.gains(c, e)).max()),
            master.missing(c, e),
            0.0,
        )
        for c, e in enumerate(master.yard.classes)
    ]


def _pots(master: Master, spare: list[float], width: float) -> list[_Pot]:
    """The pots with their sets that lack less than `width`."""
    assert master.prices is not None
    pots: list[_Pot] = []
    for c, each in enumerate(master.yard.classes):
        gain = master.prices.gains(c, each)
        gain[master.yard.barred_sets(each)] = -np.inf
        lack = np.maximum(spare[c] - gain, 0.0)
        some = np.flatnonzero(lack < width)
        some = some[np.argsort(lack[some], kind="stable")]
        pots += [_Pot(c, some, lack[some])] * each.n_pots
    return pots


def _grown(master: Master, spare: list[float], width: float, *, go: Callable[[], bool]) -> float:
    """Look at unseen sets that lack less than `width`; what those lack that stay unseen, or it."""
    for c, each in enumerate(master.yard.classes):
        for _ in range(_MOST_GROWN):
            if spare[c] - master.missing(c, each) >= width or not go():
                break
            master.look_beyond(c, each, above=spare[c] - width)
        width = min(width, max(spare[c] - master.missing(c, each), 0.0))
    return width


def _width(pots: list[_Pot], slack: float) -> float:
    """How much fillings may lack, so that not too many are to be weighed."""
    step = slack / _BINS
    total = np.ones(1)
    for each in pots:
        mine = np.bincount((each.lacks / step).astype(np.int64), minlength=_BINS)[:_BINS]
        total = np.convolve(total, mine)[:_BINS]
    within = total.cumsum()
    enough = int(np.searchsorted(within, _MOST_WEIGHED, side="right"))
    return slack if enough >= _BINS else enough * step


def _within(pots: list[_Pot], width: float) -> tuple[Ints, Floats]:
    """Places of sets of every filling that lacks less than `width`, and what it lacks."""
    chosen, lacks = np.zeros((1, 0), dtype=np.int64), np.zeros(1)
    for n, each in enumerate(pots):
        # Pots that are alike are filled in rising order, so that none is weighed twice.
        alike = n > 0 and pots[n - 1].c == each.c
        first = chosen[:, -1] if alike else np.zeros(len(chosen), dtype=np.int64)
        end = np.searchsorted(each.lacks, width - lacks)
        many = np.maximum(end - first, 0)
        row = np.repeat(np.arange(len(chosen)), many)
        start = np.repeat(many.cumsum() - many, many)
        place = np.arange(len(row)) - start + first[row]
        chosen = np.concatenate([chosen[row], place[:, None]], axis=1)
        lacks = lacks[row] + each.lacks[place]
    return chosen, lacks


class _Packs:
    """What whole packs cost, for many fillings at once."""

    def __init__(self, yard: Yard) -> None:
        packs = yard.market.packs
        self._yard = yard
        self._size = np.array([each[0][0] if each else 1 for each in packs] + [1])
        self._price = np.array([each[0][1] if each else 0.0 for each in packs] + [0.0])
        self._free = np.append(yard.market.free, 0)
        self._several = [kind for kind, each in enumerate(packs) if len(each) > 1]

    def costs(self, kinds: Ints, bulbs: Ints) -> Floats:
        """Of fillings, shape (n,). kinds, bulbs : shape (n, most), kind −1 where there is none."""
        need = np.maximum(bulbs - self._free[kinds], 0)
        found = np.ceil(need / self._size[kinds]) * self._price[kinds]
        for kind in self._several:
            rows = kinds == kind
            some = bulbs[rows]
            table = {n: pack_cost(self._yard, kind, n) for n in np.unique(some).tolist()}
            found[rows] = [table[n] for n in some.tolist()]
        return np.asarray(found.sum(axis=1))


def _best_of(
    yard: Yard,
    pots: list[_Pot],
    sets: Ints,
    packs: _Packs,
    worth: float,
    hope: Floats,
    go: Callable[[], bool],
) -> tuple[Ints | None, float] | None:
    """The best of some fillings, if better than `worth`; None where the search was ended."""
    kinds = np.concatenate(
        [yard.classes[p.c].kinds[sets[:, n]] for n, p in enumerate(pots)], axis=1
    )
    own = np.zeros(len(sets))
    filled = np.zeros((len(yard.classes), len(sets)), dtype=np.int64)
    bulbs = []
    for n, pot in enumerate(pots):
        each = yard.classes[pot.c]
        own += each.worth[sets[:, n]] / len(pots)
        filled[pot.c] += each.kinds[sets[:, n], 0] >= 0
        bulbs.append(np.append(each.bulbs, 0)[each.kinds[sets[:, n]]])
    counts = np.concatenate(bulbs, axis=1)
    again = np.zeros(len(sets))
    first = kinds >= 0
    for column in range(kinds.shape[1]):
        same = (kinds[:, :column] == kinds[:, column : column + 1]) & first[:, :column]
        known = same.any(axis=1) & first[:, column]
        counts[:, :column] += np.where(same & known[:, None], counts[:, column : column + 1], 0)
        first[:, column] &= ~known
        again += known
    counts = np.where(first, counts, 0)
    money = packs.costs(kinds, counts)
    if yard.compost is not None:
        money += yard.compost[tuple(filled)]
    else:
        money += np.array([each.filling for each in yard.classes]) @ filled
    good = money <= yard.budget + _HAIR
    if yard.kinds_most is not None:
        good &= first.sum(axis=1) <= yard.kinds_most
    own -= yard.again * again / len(pots)
    some = np.flatnonzero(good & (own + _most_colour(yard) > worth) & (hope > worth))
    row: Ints | None = None
    dark = np.concatenate([yard.colour.dark, np.ones((1, *yard.colour.base.shape))])
    flat = dark.reshape(len(dark), -1).astype(np.float32)
    base = yard.colour.base.ravel().astype(np.float32)
    scale = yard.colour.weight / yard.colour.base.shape[1]
    for at in range(0, len(some), _SHOWN_AT_ONCE):
        if not go():
            return None
        these = some[at : at + _SHOWN_AT_ONCE]
        dim = np.broadcast_to(base, (len(these), len(base))).copy()
        for column in range(kinds.shape[1]):
            mine = np.where(first[these, column], kinds[these, column], -1)
            if (mine >= 0).any():
                dim *= flat[mine]
        value = own[these] + scale * (dim.shape[1] - dim.sum(axis=1, dtype=np.float64))
        top = int(np.argmax(value))
        if value[top] > worth + _HAIR:
            row, worth = sets[these[top]], float(value[top])
    return row, worth


def _most_colour(yard: Yard) -> float:
    return yard.colour.days(range(yard.n_kinds))


def _as_taken(yard: Yard, pots: list[_Pot], row: Ints) -> Taken:
    return tuple(
        tuple(int(number) for pot, number in zip(pots, row, strict=True) if pot.c == c)
        for c in range(len(yard.classes))
    )
