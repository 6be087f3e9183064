"""Fillings step by step: a greedy one to begin with, and the changes that make one better."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.filling import PotClass, Yard

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

Taken = tuple[tuple[int, ...], ...]
"""For each class the set of every pot, by number."""

_TRIED = 200
_HAIR = 1e-9


def worth_of(yard: Yard, taken: Taken) -> float:
    """What a filling is worth: the mean of the pots' worth, and colour of the yard."""
    n = max(sum(each.n_pots for each in yard.classes), 1)
    pots = sum(
        float(each.worth[list(mine)].sum()) for each, mine in zip(yard.classes, taken, strict=True)
    )
    return pots / n + yard.colour.days(kinds_used(yard, taken))


def kinds_used(yard: Yard, taken: Taken) -> list[int]:
    """Numbers of the kinds of a filling."""
    found: set[int] = set()
    for each, mine in zip(yard.classes, taken, strict=True):
        found.update(int(k) for k in np.unique(each.kinds[list(set(mine))]) if k >= 0)
    return sorted(found)


def bulbs_used(yard: Yard, taken: Taken) -> Ints:
    """Bulbs of each kind, the least that make a show, shape (n_kinds,)."""
    bulbs = np.zeros(yard.n_kinds, dtype=np.int64)
    for each, mine in zip(yard.classes, taken, strict=True):
        for number in mine:
            members = each.kinds[number]
            members = members[members >= 0]
            bulbs[members] += each.bulbs[members]
    return bulbs


def cost_of(yard: Yard, taken: Taken) -> float:
    """What a filling costs at least: whole packs, and filling the pots."""
    bulbs = bulbs_used(yard, taken)
    total = sum(pack_cost(yard, kind, int(bulbs[kind])) for kind in np.flatnonzero(bulbs))
    for each, mine in zip(yard.classes, taken, strict=True):
        total += each.filling * sum(each.kinds[number, 0] >= 0 for number in mine)
    return float(total)


def pack_cost(yard: Yard, kind: int, bulbs: int) -> float:
    """What so many bulbs of a kind cost in whole packs."""
    need = bulbs - int(yard.market.free[kind])
    packs = yard.market.packs[kind]
    if need <= 0 or not packs:
        return 0.0
    if len(packs) == 1:
        return -(-need // packs[0][0]) * packs[0][1]
    best = [0.0]
    for n in range(1, need + 1):
        best.append(min(best[max(n - size, 0)] + price for size, price in packs))
    return best[need]


def greedy(yard: Yard) -> Taken:
    """Kind by kind into pot by pot, always the one that brings most for its money.

    The plain way that programmes are held against.
    """
    n = max(sum(each.n_pots for each in yard.classes), 1)
    tables = [_Lookup(each, yard.n_kinds) for each in yard.classes]
    taken = [[0] * each.n_pots for each in yard.classes]
    bulbs = np.zeros(yard.n_kinds, dtype=np.int64)
    used = np.zeros(yard.n_kinds, dtype=bool)
    spent = 0.0
    dark = yard.colour.base.copy()
    flat = yard.colour.dark.reshape(yard.n_kinds, -1)
    n_years = yard.colour.base.shape[1]
    while True:
        brings = yard.colour.weight * (dark.sum() - flat @ dark.ravel()) / n_years
        brings[used] = 0.0
        best: tuple[float, int, int, int, int, float] | None = None
        for c, (each, table) in enumerate(zip(yard.classes, tables, strict=True)):
            for number in sorted(set(taken[c])):
                pot = taken[c].index(number)
                kinds, sets = table.larger(number)
                if not len(kinds):
                    continue
                if yard.kinds_most is not None and used.sum() >= yard.kinds_most:
                    kinds, sets = kinds[used[kinds]], sets[used[kinds]]
                gains = (each.worth[sets] - each.worth[number]) / n + brings[kinds]
                order = np.argsort(-gains)[:_TRIED]
                for at in order:
                    if gains[at] <= 1e-6:
                        break
                    kind = int(kinds[at])
                    more = int(each.bulbs[kind])
                    price = pack_cost(yard, kind, int(bulbs[kind]) + more) - pack_cost(
                        yard, kind, int(bulbs[kind])
                    )
                    price += each.filling * (each.kinds[number, 0] < 0)
                    if spent + price > yard.budget + _HAIR:
                        continue
                    rate = float(gains[at])
                    if np.isfinite(yard.budget):
                        rate /= price + 0.01
                    if best is None or rate > best[0]:
                        best = (rate, c, pot, int(sets[at]), kind, price)
        if best is None:
            return tuple(tuple(mine) for mine in taken)
        _, c, pot, number, kind, price = best
        taken[c][pot] = number
        bulbs[kind] += yard.classes[c].bulbs[kind]
        spent += price
        if not used[kind]:
            used[kind] = True
            dark = dark * yard.colour.dark[kind]


def improved(yard: Yard, taken: Taken, *, go: Callable[[], bool], rounds: int = 3) -> Taken:
    """A filling in which no pot is better off with another of its best sets, money allowing."""
    now = [list(mine) for mine in taken]
    n = max(sum(each.n_pots for each in yard.classes), 1)
    n_years = yard.colour.base.shape[1]
    worth = worth_of(yard, taken)
    for _ in range(rounds):
        before = worth
        for c, each in enumerate(yard.classes):
            for number in sorted(set(now[c])):
                if not go():
                    return tuple(tuple(mine) for mine in now)
                pot = now[c].index(number)
                rest = [list(mine) for mine in now]
                rest[c][pot] = 0
                others = tuple(tuple(mine) for mine in rest)
                elsewhere = kinds_used(yard, others)
                dark = yard.colour.base.copy()
                for kind in elsewhere:
                    dark = dark * yard.colour.dark[kind]
                alone = yard.colour.weight * (
                    dark.sum() - yard.colour.dark.reshape(yard.n_kinds, -1) @ dark.ravel()
                ) / n_years
                alone[elsewhere] = 0.0
                hope = each.worth / n + np.append(alone, 0.0)[each.kinds].sum(axis=1)
                base = worth_of(yard, others) - each.worth[0] / n
                for candidate in np.argsort(-hope)[:_TRIED]:
                    if base + hope[candidate] <= worth + 1e-6:
                        break
                    rest[c][pot] = int(candidate)
                    tried = tuple(tuple(mine) for mine in rest)
                    value = worth_of(yard, tried)
                    if value > worth + 1e-6 and allowed(yard, tried):
                        now, worth = [list(mine) for mine in tried], value
                        break
        if worth <= before + 1e-6:
            break
    return tuple(tuple(mine) for mine in now)


def allowed(yard: Yard, taken: Taken) -> bool:
    """Whether a filling keeps the budget and the number of kinds."""
    few = yard.kinds_most is None or len(kinds_used(yard, taken)) <= yard.kinds_most
    return few and (not np.isfinite(yard.budget) or cost_of(yard, taken) <= yard.budget + 1e-6)


class _Lookup:
    """Which sets of a class have one kind more than another."""

    def __init__(self, each: PotClass, n_kinds: int) -> None:
        self._kinds, self._n = each.kinds, n_kinds
        self._known: dict[int, tuple[Ints, Ints]] = {}
        self._sizes = (each.kinds >= 0).sum(axis=1)
        self._by_size = [np.flatnonzero(self._sizes == s) for s in range(each.kinds.shape[1] + 2)]

    def larger(self, number: int) -> tuple[Ints, Ints]:
        """Kinds that can be added to a set, and the sets that come of it."""
        if number not in self._known:
            members = self._kinds[number]
            members = members[members >= 0]
            some = self._by_size[len(members) + 1]
            rows = self._kinds[some]
            held = np.isin(rows, members).sum(axis=1) == len(members)
            sets = some[held]
            kinds = np.where(np.isin(rows[held], members) | (rows[held] < 0), -1, rows[held])
            self._known[number] = (kinds.max(axis=1) if len(sets) else sets, sets)
        return self._known[number]
