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

from bloomline.engine.filling import PotClass, Yard
from bloomline.engine.filling_colour import Lines
from bloomline.engine.filling_packs import steps_of
from bloomline.engine.filling_rows import Prices, Rows

Floats = NDArray[np.float64]

Go = Callable[[float], bool]
"""Told how far a search is, 0 to 1; false ends it."""

_STRETCHES = 12  # of days whose colour has lines of its own
_NEAR = 1e-3  # share of a bound that is done
_MOST_STEPS = 100
_WHOLE_COLUMNS = 120  # of a class, that whole pots are chosen from
_MOSTLY = 0.4
_FIRST_COLUMNS = 12
_MORE_COLUMNS = 24
_FORBIDDEN = 1e6
_LEAST_SECONDS, _MOST_SECONDS = 2.0, 10.0  # by the clock, of one solve, which nothing stops
_HAIR = 1e-7


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

    def __init__(
        self,
        yard: Yard,
        *,
        lines: Lines | None = None,
        columns: Sequence[Sequence[int]] = (),
    ) -> None:
        """Put the parts together that do not change.

        lines : of the same colour, known before. columns : sets of each class that are good.
        """
        self.yard = yard
        self.start = yard.colour.days([])
        self.lines = lines or Lines(yard.colour, stretches=_STRETCHES)
        self.columns = _Columns([[0] for _ in yard.classes])
        self.steps = steps_of(yard) if np.isfinite(yard.budget) else []
        self.shares: list[Floats] = []  # pots of each column, in parts, of the last programme
        for at, each in enumerate(yard.classes):
            worth = np.where(yard.barred_sets(each), -np.inf, each.worth)
            order = np.argsort(-worth, kind="stable")
            some = order[worth[order] > -np.inf]
            single = some[each.kinds[some, 1] < 0] if each.kinds.shape[1] > 1 else some
            good = [n for n in columns[at] if n < len(each.worth)] if columns else []
            self.columns.add(at, [*some[:_FIRST_COLUMNS], *single, *good])
        self.bound = np.inf
        self.settled = False  # nothing would lower the bound
        self.value = np.inf  # of the last linear programme, and its prices
        self.prices: Prices | None = None

    def grow(self, *, seconds: float, go: Go, enough: float = -np.inf) -> float:
        """Grow columns until none is worth more; the bound, which holds whenever it ends.

        enough : a bound that needs not be bettered.
        """
        end = time.thread_time() + seconds
        for step in range(_MOST_STEPS):
            answer = self._relaxed(end - time.thread_time())
            if answer is None:
                break
            value, prices, shown, thought = answer
            self.value, self.prices = value, prices
            bright = self.lines.draw(shown, thought)
            added, over, unseen = self._priced(prices)
            # Sets that were left out are looked at where they, not known ones, raise the bound.
            if unseen > _MOSTLY * over and over > _NEAR * abs(value) and self._grown(prices):
                more, over, unseen = self._priced(prices)
                added += more
            self.bound = min(self.bound, value + over)
            if self.bound <= enough or time.thread_time() > end:
                break
            if over + bright <= _NEAR * abs(value) or (added == 0 and bright <= _HAIR):
                self.settled = True
                break
            if not go(min(step / 20.0, 0.9)):
                break
        return self.bound

    def _priced(self, prices: Prices) -> tuple[int, float, float]:
        """Take in sets worth more than their prices.

        Returns how many, the most that all are over, and how much of it comes of unseen sets.
        """
        added, over, unseen = 0, 0.0, 0.0
        for at, each in enumerate(self.yard.classes):
            gain = prices.gains(at, each)
            gain[self.yard.barred_sets(each)] = -np.inf
            known, missing = max(float(gain.max()), 0.0), self.missing(at, each)
            over += each.n_pots * max(known, missing)
            unseen += each.n_pots * max(missing - known, 0.0)
            best = np.argpartition(-gain, min(_MORE_COLUMNS, len(gain) - 1))[:_MORE_COLUMNS]
            # Beside the best, the best of each kind, so that none is thought to be missing.
            of_kind = np.full(self.yard.n_kinds + 1, -1, dtype=np.int64)
            rising = np.flatnonzero(gain > _HAIR)
            rising = rising[np.argsort(gain[rising], kind="stable")]
            for column in range(each.kinds.shape[1]):
                of_kind[each.kinds[rising, column]] = rising
            wanted = [*best[gain[best] > _HAIR], *of_kind[:-1][of_kind[:-1] >= 0]]
            added += self.columns.add(at, wanted)
        return added, over, unseen

    def _grown(self, prices: Prices) -> bool:
        """Look at sets that were left out and may be worth more than known ones; whether any."""
        looked = False
        for at, each in enumerate(self.yard.classes):
            gain = prices.gains(at, each)
            known = max(float(gain.max()), _HAIR)
            if self.missing(at, each) > known:
                self.look_beyond(at, each, above=known)
                looked = True
        return looked

    def missing(self, at: int, each: PotClass) -> float:
        """The most that a set which was left out is worth beyond its price."""
        assert self.prices is not None
        kinds, floor = self._of(self.prices, at, each)
        return each.table.missing(kinds, share=self.prices.share) - floor

    def look_beyond(self, at: int, each: PotClass, *, above: float) -> None:
        """Look at some sets that were left out and may be worth so much beyond their price."""
        assert self.prices is not None
        kinds, floor = self._of(self.prices, at, each)
        each.table.grow(kinds, share=self.prices.share, above=floor + above)

    def _of(self, prices: Prices, at: int, each: PotClass) -> tuple[Floats, float]:
        kinds = prices.of_kinds(at, each)
        kinds[list(self.yard.barred)] = _FORBIDDEN
        return kinds, prices.of_pot(at, each)

    # The linear programme

    def _relaxed(self, seconds: float) -> tuple[float, Prices, Floats, Floats] | None:
        from scipy.optimize import linprog

        parts = Rows(self.yard, self.lines, self.columns.chosen, whole=False, steps=self.steps)
        answer = linprog(
            -parts.worth,
            A_ub=parts.matrix,
            b_ub=parts.limit,
            bounds=parts.bounds,
            method="highs",
            options={"time_limit": min(max(seconds, _LEAST_SECONDS), _MOST_SECONDS)},
        )
        if not answer.success:
            return None
        dual = -np.asarray(answer.ineqlin.marginals)
        upper = -np.asarray(answer.upper.marginals)
        shown = answer.x[parts.shown : parts.shown + self.yard.n_kinds]
        self.lines.drop_idle(dual[parts.colour_at :] > _HAIR)
        thought = answer.x[parts.colour :]
        ends = np.cumsum([len(each) for each in self.columns.chosen])
        self.shares = np.split(answer.x[: ends[-1]], ends[:-1])
        return float(-answer.fun) + self.start, parts.prices(dual, upper), shown, thought

    def near(self, at: int) -> list[int]:
        """Sets of a class that come nearest to being worth their prices."""
        some = np.array(self.columns.chosen[at])
        if self.prices is None:
            return [int(number) for number in some]
        gain = self.prices.gains(at, self.yard.classes[at])[some]
        return [int(n) for n in some[np.argsort(-gain, kind="stable")][:_WHOLE_COLUMNS]]

    def rounded(self) -> tuple[tuple[int, ...], ...]:
        """Whole pots near to the linear programme's, whatever they cost: by largest remainder."""
        taken: list[tuple[int, ...]] = []
        for numbers, shares, each in zip(
            self.columns.chosen, self.shares, self.yard.classes, strict=False
        ):
            whole = np.floor(shares + _HAIR).astype(np.int64)
            pots = [number for number, n in zip(numbers, whole, strict=False) for _ in range(n)]
            rest = np.argsort(whole - shares, kind="stable")
            pots += [numbers[at] for at in rest if shares[at] - whole[at] > _HAIR]
            taken.append(tuple((pots + [0] * each.n_pots)[: each.n_pots]))
        return tuple(taken)

    def whole(
        self, *, seconds: float, beside: Sequence[Sequence[int]] = ()
    ) -> tuple[tuple[int, ...], ...] | None:
        """Whole pots and packs of the columns that are dear least; None where none is found.

        beside : sets of each class that take part anyway.
        """
        from scipy.optimize import Bounds, LinearConstraint, milp

        columns = self._dearest_left_out(beside)
        parts = Rows(self.yard, self.lines, columns, whole=True)
        limits = [LinearConstraint(parts.matrix, -np.inf, parts.limit)]
        low, high = (np.array(each) for each in zip(*parts.bounds, strict=True))
        answer = milp(
            -parts.worth,
            constraints=limits,
            bounds=Bounds(low, high),
            integrality=parts.integral,
            options={
                "time_limit": min(max(seconds, _LEAST_SECONDS), _MOST_SECONDS),
                "mip_rel_gap": 1e-4,
            },
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
        for at in range(len(self.yard.classes)):
            mine = [0, *beside[at]] if beside else [0]
            found.append(list(dict.fromkeys([*mine, *self.near(at)])))
        return found
