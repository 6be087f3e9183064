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

    def some(self, which: Ints) -> Rows:
        """Some of the plantings and years, by their places in the flattened `base`, (n_some,)."""
        rows = object.__new__(Rows)
        rows.n_days, rows.base = self.n_days, self.base.reshape(-1)[which]
        return rows

    def take(self, values: Floats, day: Ints) -> Floats:
        """Values at a day index, of the shape of `base`."""
        return np.take(values.reshape(-1), self.base + day)


# Both searches go the same way through all arrays at once, moved by sums of flags: choosing between
# two arrays by a mask costs many times as much, and what makes no array is quicker still.


def first_true(test: Callable[[Ints], Bools], low: Ints, high: Ints) -> Ints:
    """First day in [low, high) at which a test that turns true stays true; `high` if none.

    Days from `high` on may be asked about as well; what is said of them doesn't count.
    """
    at = low - 1  # the last day known at which it is false
    ahead, step = np.empty_like(at), np.empty_like(at)
    is_inside = np.empty(at.shape, dtype=bool)
    widest = int((high - low).max(initial=0))
    for bit in reversed(range(widest.bit_length())):
        np.add(at, 1 << bit, out=ahead)
        np.less(ahead, high, out=is_inside)
        is_inside &= ~test(ahead)
        np.multiply(is_inside, 1 << bit, out=step)
        at += step
    at += 1
    return at


def first_at_least(
    values: Floats, rows: Rows, goal: Floats, low: Ints, *, within: int | None = None
) -> Ints:
    """First day from `low` on at which a rising sum reaches its goal; n_days + 1 if never.

    within : the goal is known to be reached in so many days, if the axis is that long.
    """
    flat = values.reshape(-1)
    # As many days for all, so that none looks beyond its row; what begins sooner than `low` is
    # put right at the end, since sums rise.
    if within is None:
        first = min(int(low.min(initial=rows.n_days)), rows.n_days)
        n_answers = rows.n_days + 2 - first
        at = rows.base + first
    else:
        n_answers = min(within, rows.n_days) + 2
        at = np.minimum(low, rows.n_days + 2 - n_answers)
        at += rows.base
    there, step = np.empty(at.shape), np.empty_like(at)
    is_below = np.empty(at.shape, dtype=bool)
    while n_answers > 1:
        half = n_answers >> 1
        np.take(flat[half - 1 :], at, out=there, mode="clip")
        np.greater_equal(there, goal, out=is_below)
        np.logical_not(is_below, out=is_below)
        np.multiply(is_below, half, out=step)
        at += step
        n_answers -= half
    at -= rows.base
    np.maximum(at, low, out=at)
    return at


def crossing(
    values: Floats, rows: Rows, goal: Floats, low: Ints, *, within: int | None = None
) -> Floats:
    """Day at which a rising sum reaches its goal, linear within the day; NaN if never."""
    after = first_at_least(values, rows, goal, low, within=within)
    at = np.minimum(after, rows.n_days)
    before = np.maximum(at - 1, 0)
    left = rows.take(values, before)
    day = before + part_of_day(goal, left, rows.take(values, at))
    return np.where(after > rows.n_days, np.nan, np.maximum(day, low))


def part_of_day(goal: Floats, left: Floats, right: Floats) -> Floats:
    """Where between the sums at its start and its end a day reaches a goal, 0 to 1."""
    gain = right - left
    gain[gain <= 0.0] = 1.0
    part = goal - left
    part /= gain
    return np.clip(part, 0.0, 1.0, out=part)
