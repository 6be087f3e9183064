"""Pots, sets, packs and colour of a yard that is to be filled: what its programme decides on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.covering import Unseen

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_GROWN_AT_ONCE = 4_000


def summed(each: Floats, sets: Ints) -> Floats:
    """Sum of a figure over the kinds of sets, shape (n_sets,). sets : −1 where there is none."""
    values = np.append(each, 0.0)
    total = values[sets[:, 0]]
    for column in range(1, sets.shape[1]):  # by columns: five times as quick as by rows
        total += values[sets[:, column]]
    return np.asarray(total)


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
            worth = days + summed(each.bonus, sets) - each.nothing
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
    are not to be used. compost : what filling so many pots of each class costs, one axis a class;
    None where it is the sum of what each class tells, which is never more. again : what a kind
    counts less in each further pot, in days of that pot.
    """

    classes: tuple[PotClass, ...]
    market: Market
    colour: YardColour
    budget: float = np.inf
    kinds_most: int | None = None
    barred: frozenset[int] = frozenset()
    again: float = 0.0
    compost: Floats | None = None

    def filling(self, filled: Sequence[int]) -> float:
        """What filling so many pots of each class costs, beside the bulbs."""
        if self.compost is not None:
            return float(self.compost[tuple(filled)])
        return sum(n * each.filling for n, each in zip(filled, self.classes, strict=True))

    def one_more(self, filled: Sequence[int], c: int) -> float:
        """What filling another pot of a class costs on top of those that are filled."""
        if filled[c] >= self.classes[c].n_pots:
            return 0.0
        more = [n + (at == c) for at, n in enumerate(filled)]
        return self.filling(more) - self.filling(filled)

    @property
    def n_pots(self) -> int:
        """Pots in all, one at least."""
        return max(sum(each.n_pots for each in self.classes), 1)

    @property
    def n_kinds(self) -> int:
        """Kinds in all."""
        return len(self.market.packs)

    @property
    def nothing(self) -> tuple[tuple[int, ...], ...]:
        """Every pot left as it is: the empty set for each."""
        return tuple((0,) * each.n_pots for each in self.classes)

    def barred_sets(self, each: PotClass) -> NDArray[np.bool_]:
        """Which sets of a class hold a kind that is not to be used, shape (n_sets,)."""
        if not self.barred:
            return np.zeros(len(each.kinds), dtype=bool)
        flags = np.zeros(self.n_kinds + 1, dtype=bool)
        flags[list(self.barred)] = True
        return np.asarray(flags[each.kinds].any(axis=1))
