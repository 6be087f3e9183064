"""The rows and columns of a yard's programme, and the prices that its rows come to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.filling import PotClass, Yard, summed
from bloomline.engine.filling_colour import Lines
from bloomline.engine.filling_packs import Step

Floats = NDArray[np.float64]

_HAIR = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class Prices:
    """Duals of the linear programme: of a pot of each class, of a bulb of each kind, of money.

    packs : what a kind in a pot of each class costs in whole packs, shape (n_classes, n_kinds).
    """

    pot: Floats
    bulb: Floats
    money: float
    shown: Floats
    kind: Floats
    packs: Floats
    share: float
    again: float

    def of_kinds(self, at: int, each: PotClass) -> Floats:
        """What a kind in a pot of a class costs at these prices, less what it brings the yard."""
        price = self.bulb * each.bulbs - self.shown + self.kind / each.n_pots
        price = price + self.packs[at]
        return np.asarray(price + self.share * self.again)

    def gains(self, at: int, each: PotClass) -> Floats:
        """What each set of a class is worth beyond its prices, shape (n_sets,)."""
        price = summed(self.of_kinds(at, each), each.kinds)
        filling = np.where(each.kinds[:, 0] >= 0, each.filling * self.money, 0.0)
        return np.asarray(self.share * each.worth - price - filling - self.pot[at])

    def of_pot(self, at: int, each: PotClass) -> float:
        """What a pot of a class costs at these prices, with what it takes to fill it."""
        return float(self.pot[at]) + each.filling * self.money


class Rows:
    """Matrix, limits and worth of a programme with the columns of now.

    Variables in order: pots of each column; money for each kind (or packs); kinds shown; kinds
    used (where their number is limited); colour of each group.
    """

    def __init__(
        self,
        yard: Yard,
        ground: Lines,
        columns: list[list[int]],
        *,
        whole: bool,
        steps: Sequence[Step] = (),
    ) -> None:
        """Write the rows down.

        columns : numbers of the sets of each class that take part. steps : of kinds (`steps_of`).
        """
        from scipy.sparse import coo_array

        self.yard = yard
        self.budget = yard.budget
        self.share = 1.0 / yard.n_pots
        self._rows: list[int] = []
        self._cols: list[int] = []
        self._values: list[float] = []
        self.limit: list[float] = []
        worth: list[float] = []
        bounds: list[tuple[float, float]] = []
        integral: list[int] = []
        n, k, groups = yard.n_kinds, range(yard.n_kinds), len(ground.most)
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
                own = float(each.worth[number]) - yard.again * len(members)
                worth.append(self.share * own)
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
        worth += [self.share * yard.again] * n  # of a kind's pots one is the first
        bounds += [(0.0, 1.0)] * n
        integral += [0] * n
        if yard.kinds_most is not None:
            for kind in k:
                self._put(self.used_at + kind, used + kind, -float(len(yard.classes)))
                self._put(self.used_at + n, used + kind, 1.0)
            worth += [0.0] * n
            bounds += [(0.0, 1.0)] * n
            integral += [1] * n
        self.steps_at = len(self.limit)
        self.of_packs: list[Step] = []
        if priced and not whole:
            self._packs_by_pot(columns, steps, money)
        total = len(self.limit)
        self.packs_at, self.shown, self.used = total, shown, used
        self.packed: list[int] = []
        if priced:
            for kind in k:
                self._whole_pack(kind, whole, money, shown, packs)
            total = len(self.limit)
        self.colour_at = total
        worth += [1.0] * groups
        bounds += [(0.0, float(dim)) for dim in ground.most]
        integral += [0] * groups
        for line in ground.lines:
            kinds = np.flatnonzero(line.slope > 1e-9)
            self._rows += [total] * len(kinds)
            self._cols += (shown + kinds).tolist()
            self._values += (-line.slope[kinds]).tolist()
            self._put(total, colour + line.stretch, 1.0)
            self.limit.append(line.limit)
            total += 1
        self.colour = colour
        self.worth = np.array(worth)
        self.bounds = bounds
        self.integral = np.array(integral)
        # Short indices: the solver of older SciPy takes no others.
        where_to = tuple(np.array(each, dtype=np.int32) for each in (self._rows, self._cols))
        self.matrix = coo_array(
            (self._values, where_to), shape=(len(self.limit), len(worth))
        ).tocsr()

    def _put(self, row: int, column: int, value: float) -> None:
        self._rows.append(row)
        self._cols.append(column)
        self._values.append(value)

    def _packs_by_pot(self, columns: list[list[int]], steps: Sequence[Step], money: int) -> None:
        """A kind costs no less than what pots that have it add, class by class."""
        holds: dict[tuple[int, int], list[int]] = {}
        column = 0
        for at, (each, numbers) in enumerate(zip(self.yard.classes, columns, strict=True)):
            for number in numbers:
                for kind in each.kinds[number]:
                    holds.setdefault((at, int(kind)), []).append(column)
                column += 1
        for kind, adds in steps:
            row = len(self.limit)
            self.limit.append(0.0)
            self.of_packs.append((kind, adds))
            self._put(row, money + kind, -1.0)
            for at, price in enumerate(adds):
                if price > 0.0:
                    for column in holds.get((at, kind), ()):
                        self._put(row, column, price)

    def _whole_pack(
        self,
        kind: int,
        whole: bool,
        money: int,
        shown: int,
        packs: list[tuple[int, int, float]],
    ) -> None:
        """A kind that shows in the yard costs a pack at least, unless enough of it is had."""
        yard = self.yard
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

    def prices(self, dual: Floats, upper: Floats) -> Prices:
        """What the rows cost, where the programme leaves that open as dear as can be.

        dual : of the rows. upper : of the variables' upper ends. A kind that no column uses may
        have any price in a range; the highest one, which keeps the programme's worth, spares
        sets that only seem to be cheap.
        """
        n, market = self.yard.n_kinds, self.yard.market
        priced = np.isfinite(self.budget)
        money = float(dual[self.money_at]) if priced else 0.0
        # What a kind adds to the yard's colour, beyond what its being shown at most once is worth.
        gain = np.full(n, self.share * self.yard.again)
        rows = self.matrix[self.colour_at :, self.shown : self.shown + n]
        gain -= rows.T @ dual[self.colour_at :]
        gain = np.maximum(gain - upper[self.shown : self.shown + n], 0.0)
        bulb, pack = np.zeros(n), np.zeros(n)
        packs = np.zeros((len(self.yard.classes), n))
        if priced:
            lowest = market.lowest()
            bulb = dual[self.bulbs_at : self.money_at].copy()
            pack[self.packed] = dual[self.packs_at : self.packs_at + len(self.packed)]
            whole = np.array([min((p for _, p in each), default=0.0) for each in market.packs])
            in_steps, rows_of = np.zeros(n), [np.zeros((0, len(packs)))] * n
            mine = dual[self.steps_at : self.packs_at]
            for (of, adds), price in zip(self.of_packs, mine, strict=True):
                packs[:, of] += price * np.array(adds)
                in_steps[of] += price
                rows_of[of] = np.vstack([rows_of[of], adds])
            idle = np.zeros(n, dtype=bool)
            idle[self.packed] = True
            idle &= (pack <= _HAIR) & (bulb <= _HAIR) & (in_steps <= _HAIR)
            pack[idle] = np.minimum(money, gain[idle] / np.maximum(whole[idle], _HAIR))
            left = np.maximum(money - pack - in_steps, 0.0)
            for of, rows_here in enumerate(rows_of):
                rest = left[of] - bulb[of] / max(lowest[of], _HAIR)
                if len(rows_here) and rest > _HAIR:
                    packs[:, of] += rest * rows_here.mean(axis=0)
                    left[of] -= rest
            bought = market.free == 0
            bulb[bought] = (lowest * left)[bought]
            gain = np.maximum(gain - pack * whole, 0.0)
        kind = np.zeros(n)
        if self.yard.kinds_most is not None:
            most = float(dual[self.used_at + n])
            kind = (most + upper[self.used : self.used + n]) / len(self.yard.classes)
        return Prices(
            pot=dual[: self.bulbs_at],
            bulb=bulb,
            money=money,
            shown=gain,
            kind=kind,
            packs=packs,
            share=self.share,
            again=self.yard.again,
        )
