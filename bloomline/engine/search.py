"""Binary searches in many rising sums at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


class Rows:
    """Rows of running sums that plantings look at, flattened for quick gathering.

    A look-up takes positions in the flattened sums: `base + day`, shape (n, n_years).
    """

    __slots__ = ("base", "n_days")

    def __init__(self, row: Ints, *, n_years: int, n_days: int) -> None:
        self.n_days = n_days
        self.base = (row[:, None] * n_years + np.arange(n_years)[None, :]) * (n_days + 1)

    def take(self, values: Floats, day: Ints) -> Floats:
        """Values at a day index, shape (n, n_years)."""
        return np.take(values.reshape(-1), self.base + day)


def first_true(test: Callable[[Ints], Bools], low: Ints, high: Ints) -> Ints:
    """First day in [low, high) at which a test that turns true stays true; `high` if none."""
    low, high = low.copy(), high.copy()
    widest = int((high - low).max(initial=0))
    for _ in range(widest.bit_length()):
        middle = (low + high) >> 1
        reached = test(middle)
        high = np.where(reached, middle, high)
        low = np.where(reached, low, np.minimum(middle + 1, high))
    return high


def first_at_least(
    values: Floats, rows: Rows, goal: Floats, low: Ints, *, within: int | None = None
) -> Ints:
    """First day from `low` on at which a rising sum reaches its goal; n_days + 1 if never.

    within : the goal is known to be reached in so many days, if the axis is that long.
    """
    flat = values.reshape(-1)
    last = rows.base + rows.n_days
    end = last if within is None else np.minimum(rows.base + low + (within - 1), last)
    # The last place at which the goal isn't reached, taken forward in ever smaller steps: fewer
    # passes over the arrays than with two ends that close in, and none of them makes an array.
    at = rows.base + (low - 1)
    ahead, there = np.empty_like(at), np.empty(at.shape)
    is_below, is_inside = np.empty(at.shape, dtype=bool), np.empty(at.shape, dtype=bool)
    widest = int((end - at).max(initial=0))
    for bit in reversed(range(widest.bit_length())):
        step = 1 << bit
        np.add(at, step, out=ahead)
        np.take(flat, ahead, out=there, mode="clip")
        np.greater_equal(there, goal, out=is_below)
        np.logical_not(is_below, out=is_below)
        np.less_equal(ahead, end, out=is_inside)
        is_below &= is_inside
        np.multiply(is_below, step, out=ahead)
        at += ahead
    at += 1
    at -= rows.base
    if within is not None:
        # A sum that ends within the days does so at the axis' end alone.
        at[(at == rows.n_days) & ~(np.take(flat, last) >= goal)] = rows.n_days + 1
    return at


def crossing(
    values: Floats, rows: Rows, goal: Floats, low: Ints, *, within: int | None = None
) -> Floats:
    """Day at which a rising sum reaches its goal, linear within the day; NaN if never."""
    after = first_at_least(values, rows, goal, low, within=within)
    at = np.minimum(after, rows.n_days)
    before = np.maximum(at - 1, 0)
    left, right = rows.take(values, before), rows.take(values, at)
    part = np.clip((goal - left) / np.where(right > left, right - left, 1.0), 0.0, 1.0)
    day = np.where(at == 0, 0.0, before + part)
    return np.where(after > rows.n_days, np.nan, np.maximum(day, low))
