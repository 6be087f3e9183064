"""How much of a stretch any set of plantings covers with colour, and all sets worth a look.

Colour is counted as a season counts it: the chance that nothing is in flower on a day of a
weather year is the product over cultivars of the chance that each is not. So a set's days are
one sum over products, and thousands of sets are weighed by one product of matrices.
"""

from __future__ import annotations

from collections.abc import Callable
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
_PIECE = 64
_HAIR = 1e-6


def is_sure(by_day: Floats, *, least_share: float) -> NDArray[np.bool_]:
    """Whether days are in colour in at least a share of the years; `by_day`: that share of each."""
    return np.asarray(by_day >= least_share - _HAIR)


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
        least: Singles = self.dark.min(axis=2)
        self._live = [np.flatnonzero(least[:, day] < 1.0) for day in range(self.n_days)]

    def days(self, dark: NDArray[np.floating]) -> Floats:
        """Weighted days in colour of tables of darkness, shape (…, n_days, n_years)."""
        by_day = 1.0 - dark.mean(axis=-1, dtype=np.float64)
        if self.least_share is not None:
            by_day = is_sure(by_day, least_share=self.least_share).astype(np.float64)
        return np.asarray(by_day @ self.weight.astype(np.float64))

    def value(self, kinds: Ints | list[int]) -> float:
        """Days in colour of the base with some kinds."""
        dark = self.base.astype(np.float64)
        for kind in kinds:
            dark = dark * self.dark[kind]
        return float(self.days(dark))

    def with_one_more(self, dark: Singles) -> tuple[Floats, Floats]:
        """Days of each of some tables with each kind added, and what larger sets build on.

        dark : shape (n, n_days, n_years), the base among it. Both have shape (n, n_kinds). The
        second is the first again, but where days must be sure a figure that is never less and
        adds up as chances do: the share of the years that counts.
        """
        n = len(dark)
        if self.least_share is None:
            weighted = dark * (self.weight[:, None] / self.n_years)
            left = weighted.reshape(n, -1) @ self.dark.reshape(self.n_kinds, -1).T
            days = np.asarray(self.most - left, dtype=np.float64)
            return days, days
        limit = np.float32((1.0 - self.least_share + _HAIR) * self.n_years)
        share = np.float32(1.0 / (self.least_share * self.n_years))
        sure, most = (
            np.zeros((self.n_kinds, n), np.float32),
            np.zeros((self.n_kinds, n), np.float32),
        )
        by_day = np.ascontiguousarray(dark.transpose(1, 2, 0))
        # A day is only another one with the kinds that may be in flower on it.
        for day in np.flatnonzero(self.weight):
            weight, kinds = self.weight[day], self._live[day]
            before = by_day[day].sum(axis=0)
            already, chance = before <= limit, np.minimum((self.n_years - before) * share, 1.0)
            sure += weight * already
            most += weight * chance
            if not len(kinds):
                continue
            dim = _times(self.dark[kinds, day], by_day[day])
            sure[kinds] += weight * ((dim <= limit) & ~already)
            np.subtract(self.n_years, dim, out=dim)
            dim *= share
            np.minimum(dim, 1.0, out=dim)
            dim -= chance
            dim *= weight
            most[kinds] += dim
        return np.asarray(sure.T, np.float64), np.asarray(most.T, np.float64)

    def table_of(self, sets: Ints) -> Singles:
        """Darkness of sets with the base, shape (n, n_days, n_years). sets : shape (n, size)."""
        dark = np.broadcast_to(self.base, (len(sets), *self.base.shape)).copy()
        for column in range(sets.shape[1]):
            dark *= self.dark[sets[:, column]]
        return dark


@dataclass(frozen=True, slots=True, eq=False)
class Sets:
    """Sets of kinds and their days. kinds : shape (n, most), −1 behind the last; days : (n,).

    The first is the empty one. unseen : sets that were left out, and could be grown.
    """

    kinds: Ints
    days: Floats
    unseen: Unseen

    def __len__(self) -> int:
        return len(self.days)

    @property
    def below(self) -> float:
        """No set that is missing has so many days with its bonus; −inf where none is missing."""
        return float(self.unseen.ends.max(initial=-np.inf))


class Unseen:
    """Sets out of which larger ones could grow that were not looked at.

    rows : shape (n, most), −1 behind the last. ends : the most days, with bonus, that any larger
    set has which grows out of each, shape (n,); infinite where that wasn't worked out.
    """

    def __init__(self, growth: _Growth) -> None:
        self._growth = growth
        self.rows = np.zeros((0, growth.most), dtype=np.int64)
        self.ends = np.zeros(0)

    def leave(self, rows: Ints, ends: Floats) -> None:
        """Note sets that are left out. rows : shape (n, size)."""
        padded = np.full((len(rows), self._growth.most), -1, dtype=np.int64)
        padded[:, : rows.shape[1]] = rows
        some = ends > -np.inf
        self.rows = np.concatenate([self.rows, padded[some]])
        self.ends = np.concatenate([self.ends, ends[some]])

    def most_beyond(self, prices: Floats) -> Floats:
        """The most that larger sets have beyond the prices of their kinds, shape (n,).

        prices : what each kind costs, in days; below nothing for one that brings more.
        """
        cost = np.append(prices, 0.0)[self.rows].sum(axis=1)
        gifts = np.sort(np.minimum(prices, 0.0))
        free = self._growth.most - (self.rows >= 0).sum(axis=1)
        gained = np.concatenate([[0.0], gifts[: self._growth.most].cumsum()])
        return np.asarray(self.ends - cost - gained[np.minimum(free, len(gained) - 1)])

    def grow(self, which: Ints) -> tuple[Ints, Floats]:
        """Look at what grows out of some; they are not unseen any more. Sets as in `Sets`."""
        rows = self.rows[which]
        keep = np.ones(len(self.rows), dtype=bool)
        keep[which] = False
        self.rows, self.ends = self.rows[keep], self.ends[keep]
        sizes = (rows >= 0).sum(axis=1)
        kinds, days = [np.zeros((0, self._growth.most), dtype=np.int64)], [np.zeros(0)]
        for size in np.unique(sizes):
            layer = rows[sizes == size][:, :size]
            while layer.shape[1] < self._growth.most and len(layer):
                found = [
                    self._growth.one_larger(layer[at : at + _AT_ONCE])
                    for at in range(0, len(layer), _AT_ONCE)
                ]
                layer = np.concatenate([sets for sets, _, _ in found])
                padded = np.full((len(layer), self._growth.most), -1, dtype=np.int64)
                padded[:, : layer.shape[1]] = layer
                kinds.append(padded)
                days.append(np.concatenate([values for _, values, _ in found]))
        return np.concatenate(kinds), np.concatenate(days)


def _times(a: Singles, b: Singles) -> Singles:
    """The product of two flat matrices, by pieces too small to be worth a second processor."""
    if b.shape[1] % _PIECE:
        return np.asarray(a @ b)
    pieces = b.reshape(len(b), -1, _PIECE).transpose(1, 0, 2)
    return np.asarray((a @ pieces).transpose(1, 0, 2)).reshape(len(a), -1)


def all_sets(
    cover: Cover,
    *,
    together: Bools,
    fits: Fits,
    most: int,
    bonus: Floats | None = None,
    least_of_best: float = 0.85,
    go: Go | None = None,
) -> Sets:
    """Sets of up to `most` kinds that are allowed together and fit.

    All single kinds and pairs, and all larger ones but some that have surely less than
    `least_of_best` of the best one's days: what a kind adds to a set is never more than what it
    adds to any part of it. together : shape (n_kinds, n_kinds), symmetric. fits : of a set that
    fits every part fits too. bonus : days that a kind is worth beside, shape (n_kinds,). go :
    where it answers false, what was not looked at is unseen without a bound.
    """
    go = go or (lambda _share: True)
    extra = np.zeros(cover.n_kinds) if bonus is None else bonus
    growth = _Growth(cover, together, fits, most)
    unseen = Unseen(growth)
    nothing = cover.value([])
    kinds, days = [np.full((1, most), -1, dtype=np.int64)], [np.array([nothing])]
    layer, upper = np.zeros((1, 0), dtype=np.int64), np.array([nothing])
    best, goes_on = nothing, True
    gains = _gains(cover) + extra if most > 2 and cover.n_kinds else None
    for size in range(1, most + 1):
        longer: list[tuple[Ints, Floats, Floats]] = []
        ends = np.full(len(layer), np.inf)
        if size > 2 and gains is not None:
            ends = upper + _still_to_gain(layer, gains, together, more=most - size + 1)
        order = np.argsort(-ends, kind="stable")
        for at in range(0, len(order), _AT_ONCE):
            some = order[at : at + _AT_ONCE]
            goes_on = goes_on and go((size - 1 + at / len(order)) / most)
            if not goes_on or ends[some[0]] < least_of_best * best:
                unseen.leave(layer[order[at:]], ends[order[at:]])
                break
            sets, found, most_days = growth.one_larger(layer[some])
            if len(sets):
                worth = extra[sets].sum(axis=1)
                longer.append((sets, found, most_days + worth))
                best = max(best, float((found + worth).max()))
        if not longer:
            break
        layer, found, upper = (np.concatenate(each) for each in zip(*longer, strict=True))
        padded = np.full((len(layer), most), -1, dtype=np.int64)
        padded[:, :size] = layer
        kinds.append(padded)
        days.append(found)
    return Sets(np.concatenate(kinds), np.concatenate(days), unseen)


def _gains(cover: Cover) -> Floats:
    """The most that kind k adds to any set with kind i, shape (n_kinds, n_kinds)."""
    alone = cover.table_of(np.arange(cover.n_kinds)[:, None])
    with_two = cover.with_one_more(alone)[1]
    with_one = cover.with_one_more(cover.base[None])[1][0]
    return np.asarray(with_two - with_one[:, None])


def _still_to_gain(layer: Ints, gains: Floats, together: Bools, *, more: int) -> Floats:
    """The most that so many kinds more add to each set of a layer, shape (n,); −inf for none."""
    found = np.empty(len(layer))
    number = np.arange(len(gains))
    more = min(more, len(gains))
    for at in range(0, len(layer), _AT_ONCE):
        some = layer[at : at + _AT_ONCE]
        each = gains[some[:, 0]]
        allowed = together[some[:, 0]] & (number[None, :] > some[:, -1:])
        for column in range(1, some.shape[1]):
            each = np.minimum(each, gains[some[:, column]])
            allowed &= together[some[:, column]]
        each = np.where(allowed, each, -np.inf)
        largest = np.partition(each, len(gains) - more, axis=1)[:, len(gains) - more :]
        first = largest.max(axis=1)
        found[at : at + _AT_ONCE] = np.where(
            first > -np.inf,
            first + np.maximum(largest, 0.0).sum(axis=1) - np.maximum(first, 0.0),
            -np.inf,
        )
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Growth:
    """How sets grow."""

    cover: Cover
    together: Bools
    fits: Fits
    most: int

    def one_larger(self, some: Ints) -> tuple[Ints, Floats, Floats]:
        """Sets with one kind more than some, their days, and what these are at most."""
        cover = self.cover
        allowed = np.ones((len(some), cover.n_kinds), dtype=bool)
        for column in range(some.shape[1]):
            allowed &= self.together[some[:, column]]
        if some.shape[1]:
            allowed &= np.arange(cover.n_kinds)[None, :] > some[:, -1:]
        rows, added = np.nonzero(allowed)
        sets = np.concatenate([some[rows], added[:, None]], axis=1)
        room = self.fits(sets) if len(sets) else np.zeros(0, dtype=bool)
        rows, added, sets = rows[room], added[room], sets[room]
        if not len(sets):
            return sets, np.zeros(0), np.zeros(0)
        live = np.unique(rows)
        dark = cover.table_of(some[live])
        place = np.searchsorted(live, rows)
        days, most = cover.with_one_more(dark)
        return sets, days[place, added], most[place, added]
