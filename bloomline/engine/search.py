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
    never = np.full_like(low, rows.n_days + 1)
    if within is not None:
        never = np.minimum(low + within, never)

    def reached(day: Ints) -> Bools:
        return np.take(flat, rows.base + np.minimum(day, rows.n_days)) >= goal

    first = first_true(reached, low, never)
    at_end = first >= rows.n_days
    if not at_end.any():
        return first
    return np.where(at_end & ~reached(first), rows.n_days + 1, first)


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
