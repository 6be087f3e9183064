"""What follows from numbers put in order: the median, and those that differ.

As NumPy's own, which read its masked arrays on first use only to ask whether these are some: a
twentieth of a quick command, and of the start of the window.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", bound=np.generic)


def median(values: NDArray[np.float64] | Sequence[float]) -> float:
    """The middle one of at least one number, or the mean of the two in the middle."""
    ordered = np.sort(np.asarray(values, dtype=np.float64), axis=None)
    n = len(ordered)
    return float((ordered[(n - 1) // 2] + ordered[n // 2]) / 2.0)


def distinct(values: NDArray[Number]) -> NDArray[Number]:
    """Each of some numbers once, in order, shape (n,)."""
    ordered = np.sort(values, axis=None)
    is_new = np.ones(len(ordered), dtype=bool)
    is_new[1:] = ordered[1:] != ordered[:-1]
    return ordered[is_new]
