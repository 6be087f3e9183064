"""How sure a date is: weather years spread out by what is not known, by quadrature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Means of the eight equal-probability slices of a normal distribution, scaled to standard
# deviation 1, so that a sum over them keeps the mean and the variance exactly. Made from
# 8·(φ(z_i) − φ(z_{i+1})) with z at the eighths of the distribution; checked in the tests
# against scipy.stats.norm.
NORMAL_NODES: Floats = np.array(
    [-1.64683, -0.89538, -0.49135, -0.15798, 0.15798, 0.49135, 0.89538, 1.64683]
)
NORMAL_NODES = NORMAL_NODES / np.sqrt(np.mean(NORMAL_NODES**2))
NORMAL_NODES.setflags(write=False)


_AT_ONCE = 128  # plantings whose samples take some megabytes
_BANDS_AT_ONCE = 512  # plantings whose samples stay in the processor's cache while they are sorted


def yearly_median(values: Floats) -> Floats:
    """Median over the weather years. values : shape (n, n_years), no NaN. Returns (n,).

    NumPy's own loads its masked arrays on first use, a tenth of a command's time.
    """
    ordered = np.sort(values, axis=1)
    count = values.shape[1]
    low, high = ordered[:, (count - 1) // 2], ordered[:, count // 2]
    return np.asarray(np.where(low == high, low, 0.5 * (low + high)))


@dataclass(frozen=True, slots=True)
class BandDays:
    """10, 50 and 90 % days of several plantings, shape (n,) each; NaN where none flowers."""

    p10: Floats
    p50: Floats
    p90: Floats


def spread_days(days: ArrayLike, *, sd_days: ArrayLike) -> Floats:
    """Days of every weather year spread by an uncertainty in days.

    days : shape (n, n_years). sd_days : shape (n,). Returns (n, n_years · 8).
    """
    values = np.asarray(days, dtype=np.float64)
    sd = np.asarray(sd_days, dtype=np.float64)
    spread = values[:, :, None] + sd[:, None, None] * NORMAL_NODES
    return spread.reshape(len(values), values.shape[1] * len(NORMAL_NODES))


def band_days(days: ArrayLike, *, sd_days: ArrayLike) -> BandDays:
    """Bands over the weather years in which the planting flowers.

    days : shape (n, n_years), NaN in years without flowers. sd_days : shape (n,).
    """
    values, sd = np.asarray(days, dtype=np.float64), np.asarray(sd_days, dtype=np.float64)
    found = np.empty((3, len(values)))
    for at in range(0, len(values), _BANDS_AT_ONCE):
        some = slice(at, at + _BANDS_AT_ONCE)
        found[:, some] = _bands(values[some], sd[some])
    return BandDays(*found)


def _bands(values: Floats, sd: Floats) -> tuple[Floats, Floats, Floats]:
    spread = np.sort(spread_days(values, sd_days=sd), axis=1)  # NaN sorts to the end
    known = np.isfinite(values).sum(axis=1) * len(NORMAL_NODES)
    rows = np.arange(len(values))

    def at(share: float) -> Floats:
        # Sample i of n stands for the probability (i + 0.5)/n; in between, linear.
        place = np.clip(share * known - 0.5, 0.0, np.maximum(known - 1.0, 0.0))
        left = np.floor(place).astype(np.int64)
        right = np.minimum(left + 1, np.maximum(known - 1, 0))
        low, high = spread[rows, left], spread[rows, right]
        return np.where(known > 0, low + (high - low) * (place - left), np.nan)

    return at(0.1), at(0.5), at(0.9)


def in_flower_chance(
    start: ArrayLike, *, end: ArrayLike, sd_days: ArrayLike, n_days: int
) -> Floats:
    """Chance that each planting is in flower on each day, shape (n, n_days), 0 to 1.

    start, end : shape (n, n_years) in days of the axis; NaN counts as no flower that year.
    A planting is in flower on a day when it is so at noon.
    """
    opens, closes = np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64)
    sd = np.asarray(sd_days, dtype=np.float64)
    chance = np.empty((len(opens), n_days))
    for at in range(0, len(opens), _AT_ONCE):
        some = slice(at, at + _AT_ONCE)
        first = spread_days(opens[some], sd_days=sd[some])
        last = spread_days(closes[some], sd_days=sd[some])
        counts = flowering_counts(first, end=last, n_days=n_days)
        np.divide(counts, first.shape[1], out=chance[some])
    return chance


def flowering_counts(start: Floats, *, end: Floats, n_days: int) -> NDArray[np.int64]:
    """How many samples of each row are in flower at noon of each day, shape (n, n_days)."""
    n, width = len(start), n_days + 1
    # A sample without a flower opens and closes on the same day, and so is never seen.
    unknown = ~(np.isfinite(start) & np.isfinite(end))
    row = (np.arange(n) * width)[:, None]

    def tally(days: Floats) -> NDArray[np.int64]:
        # The first noon at or after the moment; everything past the axis falls in its last bin.
        noon = np.where(unknown, 0.0, days)
        noon -= 0.5
        np.ceil(noon, out=noon)
        np.clip(noon, 0, n_days, out=noon)
        at = noon.astype(np.int64)
        at += row
        return np.bincount(at.reshape(-1), minlength=n * width).reshape(n, width)

    running = tally(start)
    running -= tally(end)
    np.cumsum(running, axis=1, out=running)
    return running[:, :n_days]
