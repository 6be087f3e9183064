"""Which plantings flower on which day of which year, at each quadrature node: bits of a byte.

There is one bit for each node, so that a planting on a day of a year is a byte, plantings that err
together are or-ed and the nodes in flower are counted. It is made once for a whole yard.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import NORMAL_NODES
from bloomline.engine.sorting import distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64] | NDArray[np.int32]
Bytes = NDArray[np.uint8]

N_NODES = len(NORMAL_NODES)
_AT_ONCE = 32  # groups whose tables stay in the processor's cache


class InFlower:
    """Days in flower of n plantings, each shifted by what is not known of its cultivar.

    A planting is in flower on a day when it is so at noon.

    begin : the day of the axis that is the first of `bits`. first, last : shape (n, n_nodes,
    n_years), first and last day in flower; without any the length of the axis, and −1.
    """

    def __init__(
        self,
        start: Floats,
        *,
        end: Floats,
        cultivar: Ints,
        cultivar_sd_days: Floats,
        n_days: int,
        part_of: Ints | None = None,
    ) -> None:
        """Read the plantings.

        start, end : shape (n, n_years), NaN where it does not flower. cultivar : shape (n,),
        the same number for plantings of one cultivar, which err together. cultivar_sd_days :
        shape (n,), what is not known of each cultivar's date. part_of : for the last so many
        rows, which other row each is a part of: that one flowers when any of them does, and
        they have no row of their own. The parts of a row err together.
        """
        known = np.isfinite(start) & np.isfinite(end)
        shift = (cultivar_sd_days[:, None] * NORMAL_NODES)[:, :, None]

        def noon(days: Floats) -> Ints:
            # In place and in short numbers: a yard has hundreds of thousands of these.
            first = np.where(known, days, 0.0)[:, None, :] + shift
            first -= 0.5
            np.ceil(first, out=first)
            np.clip(first, 0, n_days, out=first)
            return first.astype(np.int32)

        opens, closes = noon(start), noon(end)
        lit = known[:, None, :] & (opens < closes)
        self.n_days = n_days
        self.n_years = start.shape[1]
        first, last = np.where(lit, opens, n_days), np.where(lit, closes, 0) - 1
        self.begin = int(first.min(initial=n_days))
        self._width = max(int(last.max(initial=-1)) + 2 - self.begin, 1)
        self._spans = first, last  # of parts as well
        self._part_of = np.empty(0, dtype=np.int64) if part_of is None else part_of
        n = len(start) - len(self._part_of)
        self.cultivar, self.first, self.last = cultivar[:n], first[:n], last[:n]
        if len(self._part_of):
            self.first, self.last = self.first.copy(), self.last.copy()
            np.minimum.at(self.first, self._part_of, first[n:])
            np.maximum.at(self.last, self._part_of, last[n:])

    @cached_property
    def bits(self) -> Bytes:
        """Shape (n + 1, n_some_days, n_years), bit k for node k; the last row never flowers."""
        return self.bits_of(np.arange(len(self.first)))

    def bits_of(self, rows: Ints) -> Bytes:
        """The same of some rows, in order, with one that never flowers after them."""
        parts = np.flatnonzero(np.isin(self._part_of, rows))
        spans = np.concatenate([rows, len(self.first) + parts])
        bits = self._bits(*(each[spans] for each in self._spans))
        if len(parts):
            n = len(rows)
            whole = np.searchsorted(rows, self._part_of[parts])
            np.bitwise_or.at(bits, whole, bits[n:-1])
            bits = np.concatenate([bits[:n], bits[-1:]])
        return bits

    def _bits(self, opens: Ints, closes: Ints) -> Bytes:
        n = len(opens)
        # Day by day while it is made: what was lit the day before is then one pass over an array.
        by_day = np.zeros((self._width, n + 1, self.n_years), dtype=np.uint8)
        flat, stride = by_day.reshape(-1), (n + 1) * self.n_years
        for node in range(N_NODES):
            first, after = opens[:, node].reshape(-1), closes[:, node].reshape(-1) + 1
            seen = np.flatnonzero(first < after)
            for edge in (first, after):
                at = np.take(edge, seen).astype(np.int64)
                at -= self.begin
                at *= stride
                at += seen
                flat[at] ^= np.uint8(1 << node)
        for day in range(1, self._width):
            by_day[day] ^= by_day[day - 1]
        return np.ascontiguousarray(by_day.transpose(1, 0, 2))

    def layers_of(self, rows: Ints, *, layers: NDArray[np.int64], days: slice) -> NDArray[np.int32]:
        """Layers in flower of some rows, by day, node and year, (n_some_days, n_nodes, n_years).

        layers : how many each of the rows stands for. days : those outside of which none flowers.
        """
        first, last = self._spans
        found = self._added(first[rows], last[rows], layers=layers, days=days)
        n = len(self.first)
        for row in np.intersect1d(rows, self._part_of).tolist() if len(self._part_of) else ():
            parts = n + np.flatnonzero(self._part_of == row)
            ones = np.ones(len(parts), dtype=np.int64)
            some = self._added(first[parts], last[parts], layers=ones, days=days)
            found += layers[rows == row].astype(np.int32) * (some > 0)
        return found

    def _added(
        self, first: Ints, last: Ints, *, layers: NDArray[np.int64], days: slice
    ) -> NDArray[np.int32]:
        """Layers by day, from the days on which they begin and end."""
        n_days, n_lanes = days.stop - days.start, N_NODES * self.n_years
        lane = np.arange(n_lanes).reshape(N_NODES, self.n_years)
        is_lit = first <= last
        count = (layers[:, None, None] * is_lit).reshape(-1)

        def tally(day: Ints) -> Floats:
            at = ((day - days.start) * is_lit) * n_lanes + lane
            found = np.bincount(at.reshape(-1), count, minlength=(n_days + 1) * n_lanes)
            return np.asarray(found, dtype=np.float64)

        change = tally(first)
        change -= tally(last + 1)
        by_day = change.astype(np.int32).reshape(n_days + 1, N_NODES, self.n_years)
        np.cumsum(by_day, axis=0, out=by_day)
        return by_day[:n_days]

    def days_of_groups(self, groups: Ints) -> Floats:
        """Expected days on which any planting of a group is in flower, by group and year.

        groups : shape (n_groups, n_most), plantings of each group, −1 where it has no more.
        Returns shape (n_groups, n_years): what the colour of a YearlySeason of the group alone
        sums to, for a thousand groups at once.
        """
        days = np.zeros((len(groups), self.n_years))
        if not groups.size:
            return days
        rows = distinct(groups[groups >= 0]).astype(np.int64)
        groups = np.where(groups < 0, -1, np.searchsorted(rows, groups))
        opens = np.append(self.first[rows].min(axis=(1, 2)), self.n_days)
        closes = np.append(self.last[rows].max(axis=(1, 2)) + 1, 0)
        begin = int(opens.min())
        first, last = opens[groups].min(axis=1) - begin, closes[groups].max(axis=1) - begin
        seen = slice(begin - self.begin, max(int(closes.max()), begin) - self.begin)
        bits = self.bits_of(rows)[:, seen]
        groups, more = _one_a_kind(groups, self.cultivar[rows], bits)
        dark = N_NODES - np.bitwise_count(np.concatenate([bits, more]))
        n_most = groups.shape[1]
        exact = np.dtype(np.uint16 if n_most <= 5 else np.float64)  # 8⁵ nodes still fit
        order = np.argsort(first, kind="stable")
        for at in range(0, len(groups), _AT_ONCE):
            some = order[at : at + _AT_ONCE]
            window = slice(int(first[some].min()), max(int(last[some].max()), 0))
            none = dark[groups[some, 0], window].astype(exact)
            for k in range(1, n_most):
                np.multiply(none, dark[groups[some, k], window], out=none)
            dim = none.sum(axis=1, dtype=np.float64) / float(N_NODES) ** n_most
            days[some] = none.shape[1] - dim
        return days


def _one_a_kind(groups: Ints, cultivar: Ints, bits: Bytes) -> tuple[Ints, Bytes]:
    """Groups whose plantings of one cultivar, which err together, are made into one row.

    Returns the groups, with rows after those of `bits` for what was put together, and these rows.
    """
    kinds = np.append(cultivar, -1)[groups]
    ordered = np.sort(kinds, axis=1)
    double = ((ordered[:, 1:] == ordered[:, :-1]) & (ordered[:, 1:] >= 0)).any(axis=1)
    made: dict[tuple[int, ...], int] = {}
    groups = groups.copy()
    for g in np.flatnonzero(double):
        for name in distinct(kinds[g][kinds[g] >= 0]):
            slots = np.flatnonzero(kinds[g] == name)
            if len(slots) > 1:
                rows = tuple(sorted(groups[g, slots].tolist()))
                groups[g, slots] = -1
                groups[g, slots[0]] = made.setdefault(rows, len(bits) + len(made))
    groups[groups < 0] = len(bits) - 1
    more = np.zeros((len(made), *bits.shape[1:]), dtype=np.uint8)
    for row, rows in zip(more, made, strict=True):
        np.bitwise_or.reduce(bits[list(rows)], axis=0, out=row)
    return groups, more
