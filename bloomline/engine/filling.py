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

from bloomline.engine.covering import Unseen

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

Go = Callable[[float], bool]
"""Told how far a search is, 0 to 1; false ends it."""

_TANGENTS = (0.25, 0.7, 1.3, 2.2, 3.2, 4.5)
_LARGEST_S = 6.0  # a kind that is surely in flower counts as one that fails once in 400 times
_FINE, _SPLIT, _MOST_GROUPS = 120, 60, 700  # groups of days and years to bound with
_FAR, _NEAR = 0.03, 2e-4  # shares of a bound that is worth refining, and of one that is done
_MOST_STEPS = 100
_WHOLE_COLUMNS = 120  # of a class, that whole pots are chosen from
_GROWN_AT_ONCE = 4_000
_FIRST_COLUMNS = 12
_MORE_COLUMNS = 24
_FORBIDDEN = 1e6
_HAIR = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """Sets of a table that were not looked at.

    kinds : the yard's numbers of its own kinds. bonus : what each is worth beside its days.
    nothing : worth of the empty set. wanted : which sets may be taken, given in its own kinds.
    """

    unseen: Unseen
    kinds: Ints
    bonus: Floats
    nothing: float
    wanted: Callable[[Ints], NDArray[np.bool_]]

    def beyond(self, prices: Floats, *, share: float) -> Floats:
        """The most that grows out of each has beyond the prices of the kinds."""
        days = self.unseen.most_beyond(prices[self.kinds] / share)
        return np.asarray(share * (days - self.nothing))


@dataclass(slots=True, eq=False)
class Table:
    """Sets that could be laid into a pot, which may grow.

    kinds : numbers of kinds of each set, −1 behind the last, shape (n_sets, most); the first set
    is the empty one. worth : of each set in its pot, shape (n_sets,). part : which of `parts` it
    belongs to, shape (n_sets,).
    """

    kinds: Ints
    worth: Floats
    part: Ints
    parts: tuple[Part, ...] = ()

    def missing(self, prices: Floats, *, share: float) -> float:
        """The most that a set which is not in the table has beyond the prices of its kinds."""
        beyond = [each.beyond(prices, share=share) for each in self.parts]
        return max((float(each.max(initial=-np.inf)) for each in beyond), default=-np.inf)

    def grow(self, prices: Floats, *, share: float, above: float) -> int:
        """Look at unseen sets that may have more than `above`, some thousands at once."""
        added = 0
        for at, each in enumerate(self.parts):
            beyond = each.beyond(prices, share=share)
            which = np.flatnonzero(beyond > above)
            which = which[np.argsort(-beyond[which], kind="stable")][:_GROWN_AT_ONCE]
            if not len(which):
                continue
            sets, days = each.unseen.grow(which)
            good = each.wanted(sets)
            sets, days = sets[good], days[good]
            rows = np.full((len(sets), self.kinds.shape[1]), -1, dtype=np.int64)
            rows[:, : sets.shape[1]] = np.append(each.kinds, -1)[sets]
            worth = days + np.append(each.bonus, 0.0)[sets].sum(axis=1) - each.nothing
            self.kinds = np.concatenate([self.kinds, rows])
            self.worth = np.concatenate([self.worth, worth])
            self.part = np.concatenate([self.part, np.full(len(sets), at)])
            added += len(sets)
        return added


@dataclass(frozen=True, slots=True, eq=False)
class PotClass:
    """Pots that are alike. bulbs : the least of each kind that makes a show in such a pot, shape
    (n_kinds,). filling : what filling one costs at least, beside its bulbs.
    """

    n_pots: int
    table: Table
    bulbs: Ints
    filling: float = 0.0

    @property
    def kinds(self) -> Ints:
        """Kinds of the sets of its table."""
        return self.table.kinds

    @property
    def worth(self) -> Floats:
        """Worth of the sets of its table."""
        return self.table.worth


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
    """All that is decided together.

    budget : inf without one. kinds_most : None for any number. barred : numbers of kinds that
    are not to be used.
    """

    classes: tuple[PotClass, ...]
    market: Market
    colour: YardColour
    budget: float = np.inf
    kinds_most: int | None = None
    barred: frozenset[int] = frozenset()

    @property
    def n_kinds(self) -> int:
        """Kinds in all."""
        return len(self.market.packs)

    def barred_sets(self, each: PotClass) -> NDArray[np.bool_]:
        """Which sets of a class hold a kind that is not to be used, shape (n_sets,)."""
        flags = np.zeros(self.n_kinds + 1, dtype=bool)
        flags[list(self.barred)] = True
        return np.asarray(flags[each.kinds].any(axis=1))


@dataclass(slots=True)
class _Columns:
    """Sets that take part, by class."""

    chosen: list[list[int]]

    def add(self, at: int, numbers: Sequence[int]) -> int:
        known = set(self.chosen[at])
        new = [int(n) for n in numbers if int(n) not in known]
        self.chosen[at] += new
        return len(new)


class Groups:
    """Days of weather years put together, finer where that matters.

    dim : what is dark in each group, shape (n_groups,). plain, steep : what each kind brings of
    it, and by how much it adds to s, shape (n_groups, n_kinds).
    """

    def __init__(self, colour: YardColour, *, most: int) -> None:
        """Put days together by how much of all flowering has been in their year by then."""
        n_days, n_years = colour.base.shape
        share = colour.weight / n_years
        lit = 1.0 - colour.dark
        so_far = lit.cumsum(axis=1).sum(axis=0)
        stage = so_far / np.maximum(so_far[-1:], _HAIR) + np.arange(n_days)[:, None] * _HAIR
        rank = np.empty(n_days * n_years, dtype=np.int64)
        rank[np.argsort(stage.ravel(), kind="stable")] = np.arange(len(rank))
        self.group = rank * min(most, len(rank)) // max(len(rank), 1)
        self._base = share * colour.base.ravel()
        self._lit = lit.reshape(len(lit), -1)
        self._logs = -np.log(np.maximum(colour.dark, np.exp(-_LARGEST_S))).reshape(len(lit), -1)
        self._sum()

    def _sum(self) -> None:
        n, n_kinds = int(self.group.max(initial=-1)) + 1, len(self._lit)
        self.dim = np.bincount(self.group, self._base, minlength=n)
        self.plain, self.steep = np.zeros((n, n_kinds)), np.zeros((n, n_kinds))
        for kind in range(n_kinds):
            self.plain[:, kind] = np.bincount(self.group, self._base * self._lit[kind], minlength=n)
            self.steep[:, kind] = np.bincount(
                self.group, self._base * self._logs[kind], minlength=n
            )

    def split(self, shown: Floats, *, most: int) -> float:
        """Split the groups that are thought brightest for too much, with kinds shown so far.

        shown : of each kind, 0 to 1. Returns by how much all of them were.
        """
        s = shown @ self._logs
        cell = self._base * np.minimum(1.0 - np.exp(-s), shown @ self._lit)
        n = len(self.dim)
        mean = self.steep @ shown / np.maximum(self.dim, _HAIR)
        whole = np.minimum(self.dim * (1.0 - np.exp(-mean)), self.plain @ shown)
        over = whole - np.bincount(self.group, cell, minlength=n)
        worst = np.argsort(-over)[: max(min(most, n // 2), 1)]
        worst = worst[over[worst] > _HAIR]
        # Each in two, between the days that lie above the mean and the others.
        halves = np.full(n, -1, dtype=np.int64)
        halves[worst] = n + np.arange(len(worst))
        above = (halves[self.group] >= 0) & (s > mean[self.group])
        self.group = np.where(above, halves[self.group], self.group)
        _, self.group = np.unique(self.group, return_inverse=True)
        self._sum()
        return float(over.sum())


class Master:
    """The programme of a yard: grow its columns, bound it, take whole pots."""

    def __init__(self, yard: Yard) -> None:
        """Put the parts together that do not change."""
        self.yard = yard
        self.start = yard.colour.days([])
        self.fine = Groups(yard.colour, most=_FINE)
        self.columns = _Columns([[0] for _ in yard.classes])
        for at, each in enumerate(yard.classes):
            worth = np.where(yard.barred_sets(each), -np.inf, each.worth)
            order = np.argsort(-worth, kind="stable")
            some = order[worth[order] > -np.inf]
            single = some[each.kinds[some, 1] < 0] if each.kinds.shape[1] > 1 else some
            self.columns.add(at, [*some[:_FIRST_COLUMNS], *single])
        self.bound = np.inf
        self.prices: _Prices | None = None

    def grow(self, *, seconds: float, go: Go, enough: float = -np.inf) -> float:
        """Grow columns until none is worth more; the bound, which holds whenever it ends.

        enough : a bound that needs not be bettered.
        """
        end = time.monotonic() + seconds
        for step in range(_MOST_STEPS):
            answer = self._relaxed()
            if answer is None:
                break
            value, prices, shown = answer
            self.prices = prices
            added, over = self._priced(prices)
            self.bound = min(self.bound, value + over)
            if self.bound <= enough or time.monotonic() > end:
                break
            bright = 0.0
            if len(self.fine.dim) < _MOST_GROUPS and over <= _FAR * abs(value):
                bright = self.fine.split(shown, most=_SPLIT)
            near = over + bright <= _NEAR * abs(value)
            if near or (added == 0 and self._grown(prices) == 0 and bright <= _NEAR * abs(value)):
                break
            if not go(min(step / 20.0, 0.9)):
                break
        return self.bound

    def _priced(self, prices: _Prices) -> tuple[int, float]:
        """Take in sets worth more than their prices; how many, and the most that all are over."""
        added, over = 0, 0.0
        for at, each in enumerate(self.yard.classes):
            kinds, floor = self._of(prices, at, each)
            gain = prices.gains(at, each)
            gain[self.yard.barred_sets(each)] = -np.inf
            missing = each.table.missing(kinds, share=prices.share) - floor
            over += each.n_pots * max(float(gain.max()), missing, 0.0)
            best = np.argpartition(-gain, min(_MORE_COLUMNS, len(gain) - 1))[:_MORE_COLUMNS]
            # Beside the best, the best of each kind, so that none is thought to be missing.
            of_kind = np.full(self.yard.n_kinds + 1, -1, dtype=np.int64)
            rising = np.flatnonzero(gain > _HAIR)
            rising = rising[np.argsort(gain[rising], kind="stable")]
            for column in range(each.kinds.shape[1]):
                of_kind[each.kinds[rising, column]] = rising
            wanted = [*best[gain[best] > _HAIR], *of_kind[:-1][of_kind[:-1] >= 0]]
            added += self.columns.add(at, wanted)
        return added, over

    def _grown(self, prices: _Prices) -> int:
        """Look at sets that were left out and may be worth more than their prices."""
        grown = 0
        for at, each in enumerate(self.yard.classes):
            kinds, floor = self._of(prices, at, each)
            grown += each.table.grow(kinds, share=prices.share, above=floor + _HAIR)
        return grown

    def _of(self, prices: _Prices, at: int, each: PotClass) -> tuple[Floats, float]:
        kinds = prices.of_kinds(each)
        kinds[list(self.yard.barred)] = _FORBIDDEN
        return kinds, prices.of_pot(at, each)

    # The linear programme

    def _relaxed(self) -> tuple[float, _Prices, Floats] | None:
        from scipy.optimize import linprog

        parts = _Parts(self, whole=False)
        answer = linprog(
            -parts.worth, A_ub=parts.matrix, b_ub=parts.limit, bounds=parts.bounds, method="highs"
        )
        if not answer.success:
            return None
        dual = -np.asarray(answer.ineqlin.marginals)
        upper = -np.asarray(answer.upper.marginals)
        shown = answer.x[parts.shown : parts.shown + self.yard.n_kinds]
        return float(-answer.fun) + self.start, parts.prices(dual, upper), shown

    def whole(
        self, *, seconds: float, beside: Sequence[Sequence[int]] = ()
    ) -> tuple[tuple[int, ...], ...] | None:
        """Whole pots and packs of the columns that are dear least; None where none is found.

        beside : sets of each class that take part anyway.
        """
        from scipy.optimize import Bounds, LinearConstraint, milp

        columns = self._dearest_left_out(beside)
        parts = _Parts(self, whole=True, columns=columns)
        limits = [LinearConstraint(parts.matrix, -np.inf, parts.limit)]
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
        for numbers, each in zip(columns, self.yard.classes, strict=True):
            pots: list[int] = []
            for number in numbers:
                pots += [number] * round(float(answer.x[at]))
                at += 1
            pots += [0] * (each.n_pots - len(pots))
            taken.append(tuple(pots[: each.n_pots]))
        return tuple(taken)

    def _dearest_left_out(self, beside: Sequence[Sequence[int]]) -> list[list[int]]:
        """The columns of each class that come nearest to being worth their prices."""
        found: list[list[int]] = []
        for at, (each, numbers) in enumerate(
            zip(self.yard.classes, self.columns.chosen, strict=True)
        ):
            some = np.array(numbers)
            if self.prices is not None:
                gain = self.prices.gains(at, each)[some]
                some = some[np.argsort(-gain, kind="stable")][:_WHOLE_COLUMNS]
            mine = [0, *beside[at]] if beside else [0]
            found.append(list(dict.fromkeys([*mine, *some.tolist()])))
        return found


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

    def of_pot(self, at: int, each: PotClass) -> float:
        """What a pot of a class costs at these prices, with what it takes to fill it."""
        return float(self.pot[at]) + each.filling * self.money


class _Parts:
    """Matrix, limits and worth of a programme with the columns of now.

    Variables in order: pots of each column; money for each kind (or packs); kinds shown; kinds
    used (where their number is limited); colour of each group.
    """

    def __init__(
        self, master: Master, *, whole: bool, columns: list[list[int]] | None = None
    ) -> None:
        """Write the rows down. columns : sets of each class, those that were grown unless told."""
        from scipy.sparse import coo_array

        yard = master.yard
        ground = master.fine
        self.yard, self.whole = yard, whole
        self.budget = yard.budget
        columns = master.columns.chosen if columns is None else columns
        self.share = 1.0 / max(sum(each.n_pots for each in yard.classes), 1)
        self._rows: list[int] = []
        self._cols: list[int] = []
        self._values: list[float] = []
        self.limit: list[float] = []
        worth: list[float] = []
        bounds: list[tuple[float, float]] = []
        integral: list[int] = []
        n, k, groups = yard.n_kinds, range(yard.n_kinds), len(ground.dim)
        n_columns = sum(len(each) for each in columns)
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
        for at, (each, numbers) in enumerate(zip(yard.classes, columns, strict=True)):
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
                bounds.append((0.0, float(each.n_pots) if whole else np.inf))
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
        self.packs_at, self.shown, self.used = total, shown, used
        self.packed: list[int] = []
        if priced:
            for kind in k:
                self._whole_pack(master, kind, whole, money, shown, packs)
            total = len(self.limit)
        self.colour_at = total
        worth += [1.0] * groups
        bounds += [(0.0, float(dim)) for dim in ground.dim]
        integral += [0] * groups
        for group in range(groups):
            total = self._colour_rows(ground, group, total, shown, colour)
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

    def _whole_pack(
        self,
        master: Master,
        kind: int,
        whole: bool,
        money: int,
        shown: int,
        packs: list[tuple[int, int, float]],
    ) -> None:
        """A kind that shows in the yard costs a pack at least, unless enough of it is had."""
        yard = master.yard
        least = min((int(each.bulbs[kind]) for each in yard.classes if each.bulbs[kind]), default=0)
        if not yard.market.packs[kind] or yard.market.free[kind] >= least:
            return
        row = len(self.limit)
        self.packed.append(kind)
        self.limit.append(0.0)
        if whole:
            self._put(row, shown + kind, 1.0)
            for at, (other, _, _) in enumerate(packs):
                if other == kind:
                    self._put(row, money + at, -1.0)
        else:
            self._put(row, shown + kind, min(price for _, price in yard.market.packs[kind]))
            self._put(row, money + kind, -1.0)

    def _colour_rows(self, ground: Groups, group: int, row: int, shown: int, colour: int) -> int:
        """Colour of a group under its chord and its tangents; the next free row."""
        dim = float(ground.dim[group])
        lines = [(0.0, ground.plain[group])]
        for at in _TANGENTS:
            over = dim * (1.0 - np.exp(-at) * (1.0 + at)) + dim * np.exp(-_LARGEST_S)
            lines.append((over, np.exp(-at) * ground.steep[group]))
        for limit, slope in lines:
            kinds = np.flatnonzero(slope > 1e-9)
            self._rows += [row] * len(kinds)
            self._cols += (shown + kinds).tolist()
            self._values += (-slope[kinds]).tolist()
            self._put(row, colour + group, 1.0)
            self.limit.append(limit)
            row += 1
        return row

    def prices(self, dual: Floats, upper: Floats) -> _Prices:
        """What the rows cost, where the programme leaves that open as dear as can be.

        dual : of the rows. upper : of the variables' upper ends. A kind that no column uses may
        have any price in a range; the highest one, which keeps the programme's worth, spares
        sets that only seem to be cheap.
        """
        n, market = self.yard.n_kinds, self.yard.market
        priced = np.isfinite(self.budget)
        money = float(dual[self.money_at]) if priced else 0.0
        # What a kind adds to the yard's colour, beyond what its being shown at most once is worth.
        gain = np.zeros(n)
        rows = self.matrix[self.colour_at :, self.shown : self.shown + n]
        gain -= rows.T @ dual[self.colour_at :]
        gain = np.maximum(gain - upper[self.shown : self.shown + n], 0.0)
        bulb, pack = np.zeros(n), np.zeros(n)
        if priced:
            lowest = market.lowest()
            bulb = dual[self.bulbs_at : self.money_at].copy()
            pack[self.packed] = dual[self.packs_at : self.packs_at + len(self.packed)]
            whole = np.array([min((p for _, p in each), default=0.0) for each in market.packs])
            idle = np.zeros(n, dtype=bool)
            idle[self.packed] = (pack[self.packed] <= _HAIR) & (bulb[self.packed] <= _HAIR)
            pack[idle] = np.minimum(money, gain[idle] / np.maximum(whole[idle], _HAIR))
            bought = market.free == 0
            bulb[bought] = (lowest * np.maximum(money - pack, 0.0))[bought]
            gain = np.maximum(gain - pack * whole, 0.0)
        kind = np.zeros(n)
        if self.yard.kinds_most is not None:
            most = float(dual[self.used_at + n])
            kind = (most + upper[self.used : self.used + n]) / len(self.yard.classes)
        return _Prices(
            pot=dual[: self.bulbs_at],
            bulb=bulb,
            money=money,
            shown=gain,
            kind=kind,
            share=self.share,
        )
