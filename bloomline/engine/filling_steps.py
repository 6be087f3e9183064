"""Fillings step by step: a greedy one to begin with, and the changes that make one better."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.filling import PotClass, Yard, summed

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

Taken = tuple[tuple[int, ...], ...]
"""For each class the set of every pot, by number."""

_TRIED = 64
_RATES = 7
_RATE_STEP = 1.2  # between rates about one that is known
_HAIR = 1e-6
_MONEY_HAIR = 1e-6


def worth_of(yard: Yard, taken: Taken) -> float:
    """What a filling is worth: the mean of the pots' worth, less for kinds that come again, and
    colour of the yard.
    """
    pots = sum(
        float(each.worth[list(mine)].sum()) for each, mine in zip(yard.classes, taken, strict=True)
    )
    used = kinds_used(yard, taken)
    again = sum(int((e.kinds[list(mine)] >= 0).sum()) for e, mine in _pairs(yard, taken)) - len(
        used
    )
    return (pots - yard.again * again) / yard.n_pots + yard.colour.days(used)


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
    used = np.flatnonzero(bulbs).tolist()
    total = float(sum(pack_cost(yard, kind, int(bulbs[kind])) for kind in used))
    return total + yard.filling(filled_pots(yard, taken))


def filled_pots(yard: Yard, taken: Taken) -> list[int]:
    """How many pots of each class get anything."""
    return [int((each.kinds[list(mine), 0] >= 0).sum()) for each, mine in _pairs(yard, taken)]


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


def _pairs(yard: Yard, taken: Taken) -> Iterator[tuple[PotClass, tuple[int, ...]]]:
    return zip(yard.classes, taken, strict=True)


def greedy(yard: Yard) -> Taken:
    """Kind by kind into pot by pot, always the one that brings most for its money.

    The plain way that programmes are held against.
    """
    n = yard.n_pots
    tables = [_Lookup(each, yard.n_kinds) for each in yard.classes]
    taken = [[0] * each.n_pots for each in yard.classes]
    bulbs = np.zeros(yard.n_kinds, dtype=np.int64)
    used = np.zeros(yard.n_kinds, dtype=bool)
    barred = np.zeros(yard.n_kinds, dtype=bool)
    barred[list(yard.barred)] = True
    spent = 0.0
    dark = yard.colour.base.copy()
    flat = yard.colour.dark.reshape(yard.n_kinds, -1)
    n_years = yard.colour.base.shape[1]
    while True:
        brings = yard.colour.weight * (dark.sum() - flat @ dark.ravel()) / n_years
        brings[used] = -yard.again / n
        best: tuple[float, int, int, int, int, float] | None = None
        filled = filled_pots(yard, tuple(tuple(mine) for mine in taken))
        for c, (each, table) in enumerate(zip(yard.classes, tables, strict=True)):
            filling = yard.one_more(filled, c)
            for number in sorted(set(taken[c])):
                pot = taken[c].index(number)
                kinds, sets = table.larger(number)
                if not len(kinds):
                    continue
                if yard.kinds_most is not None and used.sum() >= yard.kinds_most:
                    kinds, sets = kinds[used[kinds]], sets[used[kinds]]
                gains = (each.worth[sets] - each.worth[number]) / n + brings[kinds]
                gains[barred[kinds]] = -np.inf
                order = np.argsort(-gains)[:_TRIED]
                for at in order:
                    if gains[at] <= 1e-6:
                        break
                    kind = int(kinds[at])
                    more = int(each.bulbs[kind])
                    price = pack_cost(yard, kind, int(bulbs[kind]) + more) - pack_cost(
                        yard, kind, int(bulbs[kind])
                    )
                    price += filling * (each.kinds[number, 0] < 0)
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


def ascended(
    yard: Yard, taken: Taken, *, rate: float, within: bool, go: Callable[[], bool], rounds: int
) -> Taken:
    """A filling in which no pot is better off with another set, the others as they are.

    rate : worth that a unit of money is held against. within : whether the budget is kept (it
    must be by `taken`). Each pot in turn is emptied and given the set that adds most: whole packs,
    colour of the yard and all.
    """
    state = _State(yard, taken)
    stays: set[tuple[int, int]] = set()  # sets that nothing betters while the others are as now
    for _ in range(rounds):
        changed = False
        for c, mine in enumerate(state.taken):
            for pot in range(len(mine)):
                old = mine[pot]
                if (c, old) in stays:
                    continue
                if not go():
                    return state.frozen()
                state.put(c, pot, 0)
                new = state.best(c, old, rate=rate, within=within)
                state.put(c, pot, new)
                if new == old:
                    stays.add((c, old))
                else:
                    changed = True
                    stays.clear()
        if not changed:
            break
    return state.frozen()


def sought(
    yard: Yard,
    start: Taken,
    *,
    go: Callable[[], bool],
    near: Taken | None = None,
    rate: float | None = None,
) -> Taken:
    """The best filling that climbing finds within the budget: at several rates of money.

    Without a budget it is one climb. With one, each rate gives a filling that may cost too much
    or leave money over; the rates close in on the budget, and what money is over is then spent.
    near : a filling to climb from, which may cost too much. rate : one that is about right.
    """
    rounds = 3
    if not np.isfinite(yard.budget):
        return ascended(yard, near or start, rate=0.0, within=True, go=go, rounds=rounds)
    best = start if near else ascended(yard, start, rate=0.0, within=True, go=go, rounds=rounds)
    worth = worth_of(yard, best)
    now = near or best
    low, high = 0.0, np.inf
    rate = rate or 2.0 * max(worth, 1.0) / max(yard.budget, 1.0)
    for _ in range(_RATES):
        if not go():
            break
        now = ascended(yard, now, rate=rate, within=False, go=go, rounds=rounds)
        if allowed(yard, now):
            high = rate
            full = ascended(yard, now, rate=0.0, within=True, go=go, rounds=rounds)
            if worth_of(yard, full) > worth + 1e-9:
                best, worth = full, worth_of(yard, full)
        else:
            low = rate
        step = _RATE_STEP if near else 2.0
        if low == 0.0 or high == np.inf:
            rate = high / step if low == 0.0 else low * step
        else:
            rate = (low * high) ** 0.5
    return best


def next_best(yard: Yard, taken: Taken) -> tuple[int, int, int, float] | None:
    """The change of one pot that loses least: class, pot, set, and what is lost; None for none."""
    state = _State(yard, taken)
    found: tuple[int, int, int, float] | None = None
    for c, mine in enumerate(taken):
        each = yard.classes[c]
        for old in dict.fromkeys(mine):
            pot = mine.index(old)
            state.put(c, pot, 0)
            order, value = state.ranked(c, old, rate=0.0, within=True)
            state.put(c, pot, old)
            others = [n for n, k in enumerate(order) if set(each.kinds[k]) != set(each.kinds[old])]
            if not others:
                continue
            top = max(others, key=lambda n: float(value[n]))
            less = float(value[-1] - value[top])
            if found is None or less < found[3]:
                found = c, pot, int(order[top]), less
    return found


class _State:
    """A filling that changes pot by pot, with what it uses and spends."""

    def __init__(self, yard: Yard, taken: Taken) -> None:
        self.yard = yard
        self.taken = [list(mine) for mine in taken]
        self.n = yard.n_pots
        self.bulbs = bulbs_used(yard, taken)
        self.filled = filled_pots(yard, taken)
        self.uses = np.zeros(yard.n_kinds, dtype=np.int64)
        for each, mine in zip(yard.classes, taken, strict=True):
            for number in mine:
                self.uses[_members(each, number)] += 1
        dark = np.concatenate([yard.colour.dark, np.ones((1, *yard.colour.base.shape))])
        self.flat = dark.reshape(len(dark), -1).astype(np.float32)
        self.barred = [yard.barred_sets(each) for each in yard.classes]
        self.prices = _PackPrices(yard)

    def put(self, c: int, pot: int, number: int) -> None:
        """Give a pot another set."""
        each = self.yard.classes[c]
        for old, sign in ((self.taken[c][pot], -1), (number, 1)):
            members = _members(each, old)
            self.bulbs[members] += sign * each.bulbs[members]
            self.uses[members] += sign
            self.filled[c] += sign * bool(len(members))
        self.taken[c][pot] = number

    def best(self, c: int, old: int, *, rate: float, within: bool) -> int:
        """The set that adds most to the others in a pot that is empty now."""
        order, value = self.ranked(c, old, rate=rate, within=within)
        at = int(np.argmax(value))
        return int(order[at]) if value[at] > value[-1] + _HAIR else old

    def ranked(self, c: int, old: int, *, rate: float, within: bool) -> tuple[Ints, Floats]:
        """Sets that add most to the others in a pot that is empty now, and how much; last `old`."""
        yard, each = self.yard, self.yard.classes[c]
        years = yard.colour.base.shape[1]
        used = np.flatnonzero(self.uses)
        dark = yard.colour.base.ravel().astype(np.float32)
        for kind in used:
            dark = dark * self.flat[kind]
        scale = yard.colour.weight / years
        alone = scale * (float(dark.sum(dtype=np.float64)) - (self.flat @ dark).astype(np.float64))
        again = np.where(np.append(self.uses > 0, False), yard.again / self.n, 0.0)
        alone[used] = 0.0
        more = self.prices.of(self.bulbs, each.bulbs)
        price = summed(more, each.kinds)
        price += np.where(each.kinds[:, 0] >= 0, yard.one_more(self.filled, c), 0.0)
        hope = each.worth / self.n + summed((alone - again)[:-1], each.kinds) - rate * price
        hope[self.barred[c]] = -np.inf
        if within and np.isfinite(yard.budget):
            spent = self.prices.total(self.bulbs) + yard.filling(self.filled)
            hope[spent + price > yard.budget + _MONEY_HAIR] = -np.inf
        if yard.kinds_most is not None:
            new = summed((self.uses == 0).astype(np.float64), each.kinds)
            hope[new > yard.kinds_most - len(used)] = -np.inf
        n_tried = min(_TRIED, len(hope))
        order = np.argpartition(-hope, n_tried - 1)[:n_tried]
        order = np.append(order[hope[order] > -np.inf], old)
        # Several kinds bring less together than each alone: worked out for the best.
        dim = np.broadcast_to(dark, (len(order), len(dark))).copy()
        for column in range(each.kinds.shape[1]):
            kinds = each.kinds[order, column]
            dim *= self.flat[np.where(np.append(self.uses > 0, True)[kinds], -1, kinds)]
        brings = scale * (float(dark.sum(dtype=np.float64)) - dim.sum(axis=1, dtype=np.float64))
        own = each.worth[order] / self.n - again[each.kinds[order]].sum(axis=1)
        return order, np.asarray(own + brings - rate * price[order])

    def frozen(self) -> Taken:
        """The filling as it is."""
        return tuple(tuple(mine) for mine in self.taken)


class _PackPrices:
    """What whole packs cost, for all kinds at once."""

    def __init__(self, yard: Yard) -> None:
        self.yard = yard
        packs = yard.market.packs
        self.one = np.array([len(each) == 1 for each in packs], dtype=bool)
        self.several = [kind for kind, each in enumerate(packs) if len(each) > 1]
        self.size = np.array([each[0][0] if each else 1 for each in packs], dtype=np.float64)
        self.price = np.array([each[0][1] if each else 0.0 for each in packs], dtype=np.float64)

    def costs(self, bulbs: Ints) -> Floats:
        """Of so many bulbs of each kind, shape (n_kinds,)."""
        need = np.maximum(bulbs - self.yard.market.free, 0)
        found = np.where(self.one, np.ceil(need / self.size) * self.price, 0.0)
        for kind in self.several:
            found[kind] = pack_cost(self.yard, kind, int(bulbs[kind]))
        return np.asarray(found)

    def of(self, bulbs: Ints, more: Ints) -> Floats:
        """What more bulbs of each kind cost on top of some."""
        return self.costs(bulbs + more) - self.costs(bulbs)

    def total(self, bulbs: Ints) -> float:
        """What all of them cost."""
        return float(self.costs(bulbs).sum())


def _members(each: PotClass, number: int) -> Ints:
    members = each.kinds[number]
    return np.asarray(members[members >= 0])


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
