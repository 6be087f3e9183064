"""A whole yard's season: chance of colour by day, bare and crowded stretches, weeks of colour.

One year's weather moves all pots together, so the chance that anything flowers is worked out
inside each weather year and only then averaged. What is not known of a cultivar moves all its
layers together and is independent between cultivars; what is not known of the garden moves
the whole yard.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import NORMAL_NODES

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_LULL_DAYS = 2


@dataclass(frozen=True, slots=True)
class Run:
    """Consecutive days, first and last both counted."""

    first: int
    last: int

    @property
    def days(self) -> int:
        """Length in days."""
        return self.last - self.first + 1


def yearly_colour(
    start: Floats, *, end: Floats, cultivar: Ints, cultivar_sd_days: Floats, n_days: int
) -> Floats:
    """Chance that at least one planting is in flower, by weather year and day.

    start, end : shape (n, n_years), NaN where it does not flower. cultivar : shape (n,),
    the same number for plantings of one cultivar. cultivar_sd_days : shape (n,), what is not
    known of each cultivar's date. Returns shape (n_years, n_days).
    """
    n_years = start.shape[1]
    shift = (cultivar_sd_days[:, None] * NORMAL_NODES)[:, None, :]
    first, last = start[:, :, None] + shift, end[:, :, None] + shift
    known = np.isfinite(first) & np.isfinite(last)
    if not known.any():
        return np.zeros((n_years, n_days))

    def noons(days: Floats) -> Ints:
        noon = np.ceil(np.where(known, days, 0.0) - 0.5)
        return np.clip(noon, 0, n_days).astype(np.int64)

    # Node by node, so that the sum over the nodes is one over whole planes.
    opens, closes = (
        np.ascontiguousarray(each.transpose(0, 2, 1), dtype=np.int32)[..., None]
        for each in (noons(first), noons(last))
    )
    # Only the days between a planting's first and last flower are looked at.
    begins = np.where(closes > 0, opens, n_days).min(axis=(1, 2, 3))
    stops = closes.max(axis=(1, 2, 3))
    days = np.arange(n_days, dtype=np.int32)
    bare = np.ones((n_years, n_days))
    for name in np.unique(cultivar):
        rows = np.flatnonzero((cultivar == name) & (begins < stops))
        if not len(rows):
            continue
        begin, stop = int(begins[rows].min()), int(stops[rows].max())
        in_flower = np.zeros((len(NORMAL_NODES), n_years, stop - begin), dtype=bool)
        for row in rows:
            some = days[begins[row] : stops[row]]
            there = in_flower[..., begins[row] - begin : stops[row] - begin]
            there |= (opens[row] <= some) & (some < closes[row])
        bare[:, begin:stop] *= 1.0 - in_flower.sum(axis=0, dtype=np.int8) / len(NORMAL_NODES)
    return 1.0 - bare


def garden_spread(by_day: Floats, *, garden_sd_days: float) -> Floats:
    """Blur daily chances by an error that moves the whole yard, same shape as `by_day`."""
    if garden_sd_days <= 0.0:
        return by_day
    days = np.arange(by_day.shape[-1], dtype=np.float64)
    rows = by_day.reshape(-1, by_day.shape[-1])
    shifted = [
        np.stack([np.interp(days - garden_sd_days * node, days, row) for row in rows])
        for node in NORMAL_NODES
    ]
    return np.asarray(np.mean(shifted, axis=0).reshape(by_day.shape))


def runs_where(flags: NDArray[np.bool_]) -> list[Run]:
    """Runs of consecutive True days. flags : shape (n_days,)."""
    padded = np.concatenate([[False], flags, [False]])
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    return [Run(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def bare_runs(coverage: Floats, *, threshold: float = 0.5) -> list[Run]:
    """Stretches between first and last flower when colour is less likely than `threshold`.

    coverage : chance of any colour on each day, shape (n_days,).
    """
    coloured = np.flatnonzero(coverage >= threshold)
    if len(coloured) == 0:
        return []
    first, last = int(coloured[0]), int(coloured[-1])
    inside = np.zeros(len(coverage), dtype=bool)
    inside[first : last + 1] = coverage[first : last + 1] < threshold
    return runs_where(inside)


def crowded_runs(chance: Floats, *, limit: int, likely: float = 0.5) -> list[Run]:
    """Stretches when more than `limit` layers are likely to flower at once.

    chance : chance of each layer by day, shape (n_layers, n_days). A lull of a day or two
    doesn't end a crowd: no pot is moved for it.
    """
    crowded = (chance >= likely).sum(axis=0) > limit
    for before, after in pairwise(runs_where(crowded)):
        if after.first - before.last - 1 <= _LULL_DAYS:
            crowded[before.last : after.first] = True
    return runs_where(crowded)


def days_in_flower(start: Floats, *, end: Floats, sd_days: Floats) -> Floats:
    """Days on which at least one layer of a pot is in flower, by weather year.

    start, end : shape (n_pots, n_layers, n_years), NaN where there is no flower (or no
    layer). sd_days : shape (n_pots, n_layers). The layers of a pot err together here. Returns
    the expected length of the union of their flowering times, shape (n_pots, n_years).
    """
    total = np.zeros((start.shape[0], start.shape[2]))
    known = np.isfinite(start) & np.isfinite(end)
    for node in NORMAL_NODES:
        shift = node * sd_days[:, :, None]
        first = np.where(known, start + shift, 0.0)
        last = np.where(known, end + shift, 0.0)
        order = np.argsort(first, axis=1)
        first = np.take_along_axis(first, order, axis=1)
        last = np.take_along_axis(last, order, axis=1)
        reached = np.maximum.accumulate(last, axis=1)
        before = np.concatenate([first[:, :1], reached[:, :-1]], axis=1)
        total += np.maximum(last - np.maximum(first, before), 0.0).sum(axis=1)
    return total / len(NORMAL_NODES)


def years_by_warmth(mean_c: Floats, *, first: int, last: int) -> Ints:
    """Weather years from the coldest to the warmest winter and spring.

    mean_c : daily mean air temperature, shape (n_years, n_days); ranked by the mean between
    two days of the axis.
    """
    return np.argsort(mean_c[:, first:last].mean(axis=1), kind="stable")
