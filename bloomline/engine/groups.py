"""Colour of many groups of plantings at once, as of the pots of a yard, by bits of a byte.

There is one bit for each quadrature node, so that whether a planting flowers on a day of a year is
a byte, plantings that err together are or-ed and the nodes in flower are counted.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.season import noons_in_flower

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bytes = NDArray[np.uint8]

_AT_ONCE = 32  # groups whose tables stay in the processor's cache


def days_in_flower(
    start: Floats,
    *,
    end: Floats,
    cultivar: Ints,
    cultivar_sd_days: Floats,
    groups: Ints,
    n_days: int,
) -> Floats:
    """Expected days on which any planting of a group is in flower, by group and weather year.

    start, end, cultivar, cultivar_sd_days, n_days : as a YearlySeason takes them. groups :
    shape (n_groups, n_most), plantings of each group, −1 where it has no more. Returns shape
    (n_groups, n_years): what the colour of a YearlySeason of the group alone sums to, for a
    thousand groups at once.
    """
    opens, closes, lit = noons_in_flower(start, end, cultivar_sd_days, n_days)
    if not lit.any() or not groups.size:
        return np.zeros((len(groups), start.shape[1]))
    begin, stop = int(opens[lit].min()), int(closes[lit].max())
    # One bit for each node: in flower or not. The last row never is. Days stand before years, and
    # are walked one by one, since the accumulation of NumPy is many times as slow.
    (n, n_nodes, n_years), width = lit.shape, stop - begin + 1
    bits = np.zeros((n + 1, width, n_years), dtype=np.uint8)
    row, year = np.arange(n)[:, None], np.arange(n_years)
    lane = row * (width * n_years) + year - begin * n_years
    for node in range(n_nodes):
        seen = lit[:, node]
        for edge in (opens, closes):
            bits.reshape(-1)[(lane + edge[:, node] * n_years)[seen]] ^= np.uint8(1 << node)
    for day in range(1, width):
        bits[:, day] ^= bits[:, day - 1]
    first = np.append(np.where(lit, opens, stop).min(axis=(1, 2)), stop)[groups].min(axis=1) - begin
    last = (
        np.append(np.where(lit, closes, begin).max(axis=(1, 2)), begin)[groups].max(axis=1) - begin
    )
    groups, more = _one_a_kind(groups, cultivar, bits)
    dark = n_nodes - np.bitwise_count(np.concatenate([bits, more]) if len(more) else bits)
    n_most = groups.shape[1]
    exact = np.dtype(np.uint16 if n_most <= 5 else np.float64)  # 8⁵ nodes still fit
    days = np.empty((len(groups), n_years))
    order = np.argsort(first, kind="stable")
    for at in range(0, len(groups), _AT_ONCE):
        some = order[at : at + _AT_ONCE]
        window = slice(int(first[some].min()), int(last[some].max()))
        none = dark[groups[some, 0], window].astype(exact)
        for k in range(1, n_most):
            np.multiply(none, dark[groups[some, k], window], out=none)
        days[some] = none.shape[1] - none.sum(axis=1, dtype=np.float64) / float(n_nodes) ** n_most
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
