"""How much of a stretch any set of plantings covers with colour, and all sets worth a look.

Colour is counted as a season counts it: the chance that nothing is in flower on a day of a
weather year is the product over cultivars of the chance that each is not. So a set's days are
one sum over products, and thousands of sets are weighed by one product of matrices.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

Fits = Callable[[Ints], Bools]
"""Which sets of shape (n, size) have room; kinds in a set are in rising order."""

Go = Callable[[float], bool]
"""Told how far a search is, 0 to 1; false ends it."""

_AT_ONCE = 512
_HAIR = 1e-6


class Cover:
    """What kinds cover of some days.

    dark : chance that a kind is not in flower, shape (n_kinds, n_days, n_years). base : that
    what stands already is not, shape (n_days, n_years). weight : what a day counts, shape
    (n_days,). least_share : a day counts only where it is in colour in at least this share of the
    years, None where its chance of colour counts.
    """

    def __init__(
        self, dark: Floats, *, base: Floats, weight: Floats, least_share: float | None = None
    ) -> None:
        self.dark = np.asarray(dark, dtype=np.float32)
        self.base = np.asarray(base, dtype=np.float32)
        self.weight = np.asarray(weight, dtype=np.float32)
        self.least_share = least_share
        self.n_kinds, self.n_days, self.n_years = self.dark.shape
        self.most = float(self.weight.sum())

    def days(self, dark: NDArray[np.floating]) -> Floats:
        """Weighted days in colour of tables of darkness, shape (…, n_days, n_years)."""
        by_day = 1.0 - dark.mean(axis=-1, dtype=np.float64)
        if self.least_share is not None:
            by_day = (by_day >= self.least_share - _HAIR).astype(np.float64)
        return np.asarray(by_day @ self.weight.astype(np.float64))

    def value(self, kinds: Ints | list[int]) -> float:
        """Days in colour of the base with some kinds."""
        dark = self.base.astype(np.float64)
        for kind in kinds:
            dark = dark * self.dark[kind]
        return float(self.days(dark))

    def with_one_more(self, dark: Singles) -> Floats:
        """Days of each of some tables with each kind added, shape (n, n_kinds).

        dark : shape (n, n_days, n_years), the base among it.
        """
        n = len(dark)
        if self.least_share is None:
            weighted = dark * (self.weight[:, None] / self.n_years)
            left = weighted.reshape(n, -1) @ self.dark.reshape(self.n_kinds, -1).T
            return np.asarray(self.most - left, dtype=np.float64)
        days = np.zeros((n, self.n_kinds))
        limit = (1.0 - self.least_share + _HAIR) * self.n_years
        for day in np.flatnonzero(self.weight):
            dim = dark[:, day] @ self.dark[:, day].T
            days += self.weight[day] * (dim <= limit)
        return days

    def table_of(self, sets: Ints) -> Singles:
        """Darkness of sets with the base, shape (n, n_days, n_years). sets : shape (n, size)."""
        dark = np.broadcast_to(self.base, (len(sets), *self.base.shape)).copy()
        for column in range(sets.shape[1]):
            dark *= self.dark[sets[:, column]]
        return dark


@dataclass(frozen=True, slots=True, eq=False)
class Sets:
    """Sets of kinds and their days. kinds : shape (n, most), −1 behind the last; days : (n,).

    The first is the empty one. complete : whether every set that is allowed is among them.
    """

    kinds: Ints
    days: Floats
    complete: bool = True

    def __len__(self) -> int:
        return len(self.days)


def all_sets(
    cover: Cover,
    *,
    together: Bools,
    fits: Fits,
    most: int,
    most_sets: int = 3_000_000,
    go: Go | None = None,
) -> Sets:
    """Every set of up to `most` kinds that are allowed together and have room.

    together : shape (n_kinds, n_kinds), symmetric. fits : of a set that fits every part fits too.
    Ends early, not complete, at `most_sets` or where `go` answers false.
    """
    go = go or (lambda _share: True)
    empty = np.full((1, most), -1, dtype=np.int64)
    kinds, days = [empty], [np.array([cover.value([])])]
    found, complete = 1, True
    layer = np.zeros((1, 0), dtype=np.int64)
    for size in range(1, most + 1):
        longer: list[Ints] = []
        for sets, values in _one_larger(cover, layer, together=together, fits=fits):
            longer.append(sets)
            padded = np.full((len(sets), most), -1, dtype=np.int64)
            padded[:, :size] = sets
            kinds.append(padded)
            days.append(values)
            found += len(sets)
            if found > most_sets or not go(min(found / most_sets, 1.0)):
                complete = False
                break
        if not longer or not complete:
            break
        layer = np.concatenate(longer)
    return Sets(np.concatenate(kinds), np.concatenate(days), complete)


def _one_larger(
    cover: Cover, layer: Ints, *, together: Bools, fits: Fits
) -> Iterator[tuple[Ints, Floats]]:
    """Sets with one kind more than those of a layer, in parts, with their days."""
    number = np.arange(cover.n_kinds)
    for at in range(0, len(layer), _AT_ONCE):
        some = layer[at : at + _AT_ONCE]
        allowed = np.ones((len(some), cover.n_kinds), dtype=bool)
        for column in range(some.shape[1]):
            allowed &= together[some[:, column]]
        if some.shape[1]:
            allowed &= number[None, :] > some[:, -1:]
        rows, added = np.nonzero(allowed)
        if not len(rows):
            continue
        sets = np.concatenate([some[rows], added[:, None]], axis=1)
        room = fits(sets)
        if not room.any():
            continue
        live = np.unique(rows[room])
        values = cover.with_one_more(cover.table_of(some[live]))
        place = np.searchsorted(live, rows[room])
        yield sets[room], values[place, added[room]]
