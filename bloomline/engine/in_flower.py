"""Which plantings flower on which day of which year, at each quadrature node: bits of a byte.

There is one bit for each node, so that a planting on a day of a year is a byte, plantings that err
together are or-ed and the nodes in flower are counted. It is made once for a whole yard.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import NORMAL_NODES

Floats = NDArray[np.float64]
Ints = NDArray[np.int64] | NDArray[np.int32]
Bytes = NDArray[np.uint8]

N_NODES = len(NORMAL_NODES)
_AT_ONCE = 32  # groups whose tables stay in the processor's cache


class InFlower:
    """Days in flower of n plantings, each shifted by what is not known of its cultivar.

    A planting is in flower on a day when it is so at noon.

    bits : shape (n + 1, n_some_days, n_years), bit k for node k; the last row never flowers.
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
        self.cultivar = cultivar
        self.n_days = n_days
        self.n_years = start.shape[1]
        self.first = np.where(lit, opens, n_days)
        self.last = np.where(lit, closes, 0) - 1
        self.begin = int(self.first.min(initial=n_days))
        width = max(int(self.last.max(initial=-1)) + 2 - self.begin, 1)
        self.bits = self._bits(lit, width)
        if part_of is not None and len(part_of):
            self._join(part_of)

    def _join(self, part_of: Ints) -> None:
        n = len(self.first) - len(part_of)
        np.bitwise_or.at(self.bits, part_of, self.bits[n:-1])
        np.minimum.at(self.first, part_of, self.first[n:])
        np.maximum.at(self.last, part_of, self.last[n:])
        self.bits = np.concatenate([self.bits[:n], self.bits[-1:]])
        self.first, self.last, self.cultivar = self.first[:n], self.last[:n], self.cultivar[:n]

    def _bits(self, lit: NDArray[np.bool_], width: int) -> Bytes:
        n = len(lit)
        # Day by day while it is made: what was lit the day before is then one pass over an array.
        by_day = np.zeros((width, n + 1, self.n_years), dtype=np.uint8)
        flat, stride = by_day.reshape(-1), (n + 1) * self.n_years
        for node in range(N_NODES):
            seen = np.flatnonzero(lit[:, node])
            for edge in (self.first[:, node], self.last[:, node] + 1):
                at = np.take(edge.reshape(-1), seen).astype(np.int64)
                at -= self.begin
                at *= stride
                at += seen
                flat[at] ^= np.uint8(1 << node)
        for day in range(1, width):
            by_day[day] ^= by_day[day - 1]
        return np.ascontiguousarray(by_day.transpose(1, 0, 2))

    def days_of_groups(self, groups: Ints) -> Floats:
        """Expected days on which any planting of a group is in flower, by group and year.

        groups : shape (n_groups, n_most), plantings of each group, −1 where it has no more.
        Returns shape (n_groups, n_years): what the colour of a YearlySeason of the group alone
        sums to, for a thousand groups at once.
        """
        days = np.zeros((len(groups), self.n_years))
        if not groups.size:
            return days
        rows = np.unique(groups[groups >= 0])
        groups = np.where(groups < 0, -1, np.searchsorted(rows, groups))
        opens = np.append(self.first[rows].min(axis=(1, 2)), self.n_days)
        closes = np.append(self.last[rows].max(axis=(1, 2)) + 1, 0)
        begin = int(opens.min())
        first, last = opens[groups].min(axis=1) - begin, closes[groups].max(axis=1) - begin
        seen = slice(begin - self.begin, max(int(closes.max()), begin) - self.begin)
        bits = self.bits[np.append(rows, -1), seen]
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
        for name in np.unique(kinds[g][kinds[g] >= 0]):
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
