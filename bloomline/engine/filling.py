"""Which set of kinds goes into which pot of a yard: a mixed-integer programme, and its bound.

Pots that are alike form a class with one table of sets (`covering.all_sets`). The programme takes
for every class as many pots of each set as there are pots; it buys whole packs within a budget,
holds the number of kinds, and counts what each set is worth in its pot and how long any pot of
the yard is in colour. Sets are columns: the linear programme is grown by those whose worth at
its prices is above nothing, which is looked up in the whole table, so its end bounds every
filling; HiGHS then takes whole pots and packs of the columns that were grown.

Colour of the yard is concave in the kinds that are used: 1 − exp(−s) of s = −Σ log(dark) over
them. It is held under its chords (the capped sum) and tangents, on groups of days and years; a
mean of concave figures is at most the figure of the mean, so that groups bound it too.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

Go = Callable[[float], bool]
"""Told how far a search is, 0 to 1; false ends it."""

_TANGENTS = (0.25, 0.7, 1.3, 2.2)
_LARGEST_S = 6.0  # a kind that is surely in flower counts as one that fails once in 400 times
_YEAR_GROUPS = 3
_DAY_GROUPS = 48
_FIRST_COLUMNS = 12
_MORE_COLUMNS = 24
_HAIR = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class PotClass:
    """Pots that are alike, and the sets that could be laid into one of them.

    kinds : numbers of kinds of each set, −1 behind the last, shape (n_sets, most); the first set
    is the empty one. worth : of each set in its pot, shape (n_sets,). bulbs : the least of each
    kind that makes a show in such a pot, shape (n_kinds,). filling : what filling one costs at
    least, beside its bulbs. below : no set that is missing is worth so much; −inf for none.
    """

    n_pots: int
    kinds: Ints
    worth: Floats
    bulbs: Ints
    filling: float = 0.0
    below: float = -np.inf


@dataclass(frozen=True, slots=True, eq=False)
class Market:
    """What bulbs cost. packs : (bulbs, price) of the packs of each kind. free : bulbs that are
    had already, shape (n_kinds,). A kind without packs costs nothing.
    """

    packs: tuple[tuple[tuple[int, float], ...], ...]
    free: Ints

    def lowest(self) -> Floats:
        """The least that a bulb of each kind costs, shape (n_kinds,)."""
        return np.array(
            [min((price / size for size, price in each), default=0.0) for each in self.packs]
        )


@dataclass(frozen=True, slots=True, eq=False)
class YardColour:
    """Colour of the whole yard. dark : chance that a kind is not in flower wherever it does best,
    shape (n_kinds, n_days, n_years); base : that what stands is not, shape (n_days, n_years).
    weight : what a day counts.
    """

    dark: Floats
    base: Floats
    weight: float = 1.0

    def days(self, kinds: Sequence[int]) -> float:
        """Weighted days in colour with some kinds."""
        dark = self.base.copy()
        for kind in kinds:
            dark = dark * self.dark[kind]
        return self.weight * float((1.0 - dark).sum(axis=0).mean())


@dataclass(frozen=True, slots=True, eq=False)
class Yard:
    """All that is decided together. budget : inf without one; kinds_most : None for any number."""

    classes: tuple[PotClass, ...]
    market: Market
    colour: YardColour
    budget: float = np.inf
    kinds_most: int | None = None

    @property
    def n_kinds(self) -> int:
        """Kinds in all."""
        return len(self.market.packs)


@dataclass(frozen=True, slots=True)
class Filled:
    """A filling: for each class the set of every pot, by number. bound : none is worth more."""

    sets: tuple[tuple[int, ...], ...]
    bound: float


@dataclass(slots=True)
class _Columns:
    """Sets that take part, by class."""

    chosen: list[list[int]]

    def add(self, at: int, numbers: Sequence[int]) -> int:
        known = set(self.chosen[at])
        new = [int(n) for n in numbers if int(n) not in known]
        self.chosen[at] += new
        return len(new)


class Master:
    """The programme of a yard: grow its columns, bound it, take whole pots."""

    def __init__(self, yard: Yard) -> None:
        """Put the parts together that do not change."""
        self.yard = yard
        self._groups()
        self.columns = _Columns([[0] for _ in yard.classes])
        for at, each in enumerate(yard.classes):
            order = np.argsort(-each.worth, kind="stable")
            self.columns.add(at, order[:_FIRST_COLUMNS].tolist())
        self.bound = np.inf

    def _groups(self) -> None:
        """Groups of days and years: what is dark in them, and what each kind brings."""
        colour = self.yard.colour
        n_days, n_years = colour.base.shape
        day = np.arange(n_days) * min(_DAY_GROUPS, n_days) // max(n_days, 1)
        year = np.arange(n_years) * min(_YEAR_GROUPS, n_years) // n_years
        group = day[:, None] * (int(year.max(initial=0)) + 1) + year[None, :]
        n = int(group.max(initial=-1)) + 1
        flat = group.ravel()
        share = colour.weight / n_years
        self.dim = share * np.bincount(flat, colour.base.ravel(), minlength=n)
        self.plain = np.zeros((n, self.yard.n_kinds))
        self.steep = np.zeros((n, self.yard.n_kinds))
        for kind in range(self.yard.n_kinds):
            dark = colour.dark[kind]
            logs = -np.log(np.maximum(dark, np.exp(-_LARGEST_S)))
            self.plain[:, kind] = share * np.bincount(
                flat, (colour.base * (1.0 - dark)).ravel(), minlength=n
            )
            self.steep[:, kind] = share * np.bincount(flat, (colour.base * logs).ravel(), minlength=n)
        self.start = colour.days([])

    def grow(self, *, seconds: float, go: Go) -> float:
        """Grow columns until none is worth more; the bound, which holds at any time it ends."""
        end = time.monotonic() + seconds
        for step in range(200):
            answer = self._relaxed()
            if answer is None:
                break
            value, prices = answer
            added, over = 0, 0.0
            for at, each in enumerate(self.yard.classes):
                gain = prices.gains(at, each)
                best = np.argsort(-gain)[:_MORE_COLUMNS]
                over += each.n_pots * max(float(gain[best[0]]), prices.missing(at, each), 0.0)
                added += self.columns.add(at, [n for n in best if gain[n] > _HAIR])
            self.bound = min(self.bound, value + over)
            if added == 0 or time.monotonic() > end or not go(min(step / 20.0, 0.9)):
                break
        return self.bound

    # The linear programme

    def _relaxed(self) -> tuple[float, _Prices] | None:
        from scipy.optimize import linprog

        parts = _Parts(self, whole=False)
        answer = linprog(
            -parts.worth, A_ub=parts.matrix, b_ub=parts.limit, bounds=parts.bounds, method="highs"
        )
        if not answer.success:
            return None
        dual = -np.asarray(answer.ineqlin.marginals)
        return float(-answer.fun) + self.start, parts.prices(dual)

    def whole(
        self, *, seconds: float, budget: float, more_than: float | None = None
    ) -> tuple[tuple[tuple[int, ...], ...], float] | None:
        """Whole pots and packs of the columns that were grown, and their worth; None for none.

        more_than : only what is worth more.
        """
        from scipy.optimize import Bounds, LinearConstraint, milp

        parts = _Parts(self, whole=True, budget=budget)
        limits = [LinearConstraint(parts.matrix, -np.inf, parts.limit)]
        if more_than is not None:
            limits.append(LinearConstraint(parts.worth[None, :], more_than - self.start, np.inf))
        low, high = (np.array(each) for each in zip(*parts.bounds, strict=True))
        answer = milp(
            -parts.worth,
            constraints=limits,
            bounds=Bounds(low, high),
            integrality=parts.integral,
            options={"time_limit": max(seconds, 0.1), "mip_rel_gap": 1e-4},
        )
        if answer.x is None:
            return None
        taken: list[tuple[int, ...]] = []
        at = 0
        for numbers, each in zip(self.columns.chosen, self.yard.classes, strict=True):
            pots: list[int] = []
            for number in numbers:
                pots += [number] * round(float(answer.x[at]))
                at += 1
            pots += [0] * (each.n_pots - len(pots))
            taken.append(tuple(pots[: each.n_pots]))
        return tuple(taken), float(-answer.fun) + self.start


@dataclass(frozen=True, slots=True, eq=False)
class _Prices:
    """Duals of the linear programme: of a pot of each class, of a bulb of each kind, of money."""

    pot: Floats
    bulb: Floats
    money: float
    shown: Floats
    kind: Floats
    share: float

    def of_kinds(self, each: PotClass) -> Floats:
        """What a kind in a pot of a class costs at these prices, less what it brings the yard."""
        return np.asarray(self.bulb * each.bulbs - self.shown + self.kind / each.n_pots)

    def gains(self, at: int, each: PotClass) -> Floats:
        """What each set of a class is worth beyond its prices, shape (n_sets,)."""
        price = np.append(self.of_kinds(each), 0.0)[each.kinds].sum(axis=1)
        filling = np.where(each.kinds[:, 0] >= 0, each.filling * self.money, 0.0)
        return np.asarray(self.share * each.worth - price - filling - self.pot[at])

    def missing(self, at: int, each: PotClass) -> float:
        """The most that a set which the table lacks is worth beyond its prices."""
        if each.below == -np.inf:
            return 0.0
        best = np.sort(self.of_kinds(each))[: each.kinds.shape[1]]
        free = float(np.minimum(best, 0.0).sum())
        return self.share * each.below - free - each.filling * self.money - float(self.pot[at])


class _Parts:
    """Matrix, limits and worth of a programme with the columns of now.

    Variables in order: pots of each column; money for each kind (or packs); kinds shown; kinds
    used (where their number is limited); colour of each group.
    """

    def __init__(self, master: Master, *, whole: bool, budget: float | None = None) -> None:
        from scipy.sparse import coo_array

        yard = master.yard
        self.yard, self.whole = yard, whole
        self.budget = yard.budget if budget is None else budget
        self.share = 1.0 / max(sum(each.n_pots for each in yard.classes), 1)
        self._rows: list[int] = []
        self._cols: list[int] = []
        self._values: list[float] = []
        self.limit: list[float] = []
        worth: list[float] = []
        bounds: list[tuple[float, float]] = []
        integral: list[int] = []
        n, k, groups = yard.n_kinds, range(yard.n_kinds), len(master.dim)
        n_columns = sum(len(each) for each in master.columns.chosen)
        priced = np.isfinite(self.budget)
        packs = [(kind, size, price) for kind in k for size, price in yard.market.packs[kind]]
        n_money = (len(packs) if whole else n) if priced else 0
        money, shown = n_columns, n_columns + n_money
        used = shown + n
        colour = used + (n if yard.kinds_most is not None else 0)
        # Rows: pots of a class, bulbs of a kind, money, kinds shown, kinds used, colour.
        self.pots_at = 0
        self.bulbs_at = len(yard.classes)
        self.money_at = self.bulbs_at + (n if priced else 0)
        self.shown_at = self.money_at + (1 if priced else 0)
        self.used_at = self.shown_at + n
        total = self.used_at + (n + 1 if yard.kinds_most is not None else 0)
        self.limit = [float(each.n_pots) for each in yard.classes]
        lowest = yard.market.lowest()
        if priced:
            self.limit += [float(free) for free in yard.market.free] + [self.budget]
        self.limit += [0.0] * n
        if yard.kinds_most is not None:
            self.limit += [0.0] * n + [float(yard.kinds_most)]
        column = 0
        for at, (each, numbers) in enumerate(
            zip(yard.classes, master.columns.chosen, strict=True)
        ):
            for number in numbers:
                self._put(at, column, 1.0)
                members = [int(kind) for kind in each.kinds[number] if kind >= 0]
                if priced and members and each.filling:
                    self._put(self.money_at, column, each.filling)
                for kind in members:
                    if priced and yard.market.packs[kind]:
                        self._put(self.bulbs_at + kind, column, float(each.bulbs[kind]))
                    self._put(self.shown_at + kind, column, -1.0)
                    if yard.kinds_most is not None:
                        self._put(self.used_at + kind, column, 1.0 / each.n_pots)
                worth.append(self.share * float(each.worth[number]))
                bounds.append((0.0, float(each.n_pots)))
                integral.append(1)
                column += 1
        if priced and whole:
            for at, (kind, size, price) in enumerate(packs):
                self._put(self.bulbs_at + kind, money + at, -float(size))
                self._put(self.money_at, money + at, price)
        elif priced:
            for kind in k:
                if lowest[kind] > 0.0:
                    self._put(self.bulbs_at + kind, money + kind, -1.0 / lowest[kind])
                    self._put(self.money_at, money + kind, 1.0)
                else:
                    self._put(self.bulbs_at + kind, money + kind, -1.0)
        worth += [0.0] * n_money
        bounds += [(0.0, np.inf)] * n_money
        integral += [1 if whole else 0] * n_money
        for kind in k:
            self._put(self.shown_at + kind, shown + kind, 1.0)
        worth += [0.0] * n
        bounds += [(0.0, 1.0)] * n
        integral += [0] * n
        if yard.kinds_most is not None:
            for kind in k:
                self._put(self.used_at + kind, used + kind, -float(len(yard.classes)))
                self._put(self.used_at + n, used + kind, 1.0)
            worth += [0.0] * n
            bounds += [(0.0, 1.0)] * n
            integral += [1] * n
        worth += [1.0] * groups
        bounds += [(0.0, float(dim)) for dim in master.dim]
        integral += [0] * groups
        for group in range(groups):
            total = self._colour_rows(master, group, total, shown, colour)
        self.worth = np.array(worth)
        self.bounds = bounds
        self.integral = np.array(integral)
        self.matrix = coo_array(
            (self._values, (self._rows, self._cols)), shape=(len(self.limit), len(worth))
        ).tocsr()

    def _put(self, row: int, column: int, value: float) -> None:
        self._rows.append(row)
        self._cols.append(column)
        self._values.append(value)

    def _colour_rows(
        self, master: Master, group: int, row: int, shown: int, colour: int
    ) -> int:
        """Colour of a group under its chord and its tangents; the next free row."""
        dim = float(master.dim[group])
        lines = [(0.0, master.plain[group])]
        for at in _TANGENTS:
            over = dim * (1.0 - np.exp(-at) * (1.0 + at)) + dim * np.exp(-_LARGEST_S)
            lines.append((over, np.exp(-at) * master.steep[group]))
        for limit, slope in lines:
            kinds = np.flatnonzero(slope > 1e-9)
            self._rows += [row] * len(kinds)
            self._cols += (shown + kinds).tolist()
            self._values += (-slope[kinds]).tolist()
            self._put(row, colour + group, 1.0)
            self.limit.append(limit)
            row += 1
        return row

    def prices(self, dual: Floats) -> _Prices:
        """What the rows cost."""
        n = self.yard.n_kinds
        priced = np.isfinite(self.budget)
        some = np.array([bool(each) for each in self.yard.market.packs])
        return _Prices(
            pot=dual[: self.bulbs_at],
            bulb=np.where(some, dual[self.bulbs_at : self.money_at], 0.0) if priced else np.zeros(n),
            money=float(dual[self.money_at]) if priced else 0.0,
            shown=dual[self.shown_at : self.used_at],
            kind=(
                dual[self.used_at : self.used_at + n] if self.yard.kinds_most is not None
                else np.zeros(n)
            ),
            share=self.share,
        )
