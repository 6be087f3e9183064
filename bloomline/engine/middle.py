"""The median of a few numbers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray


def median(values: NDArray[np.float64] | Sequence[float]) -> float:
    """The middle one of at least one number, or the mean of the two in the middle.

    The same as NumPy's, which reads its masked arrays on first use only to ask whether these are
    some: a twentieth of the start of the window.
    """
    ordered = np.sort(np.asarray(values, dtype=np.float64), axis=None)
    n = len(ordered)
    return float((ordered[(n - 1) // 2] + ordered[n // 2]) / 2.0)
