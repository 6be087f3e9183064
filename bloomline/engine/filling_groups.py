"""Days of weather years put together, so that a programme holds colour under a few lines.

Colour of the yard is concave in the kinds that are used: 1 − exp(−s) of s = −Σ log(dark) over
them. A mean of concave figures is at most the figure of the mean, so that groups bound it too.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.filling import YardColour

Floats = NDArray[np.float64]

LARGEST_S = 6.0
"""A kind that is surely in flower counts as one that fails once in 400 times."""
_HAIR = 1e-7


class Groups:
    """Days of weather years put together, finer where that matters.

    dim : what is dark in each group, shape (n_groups,). plain, steep : what each kind brings of
    it, and by how much it adds to s, shape (n_groups, n_kinds).
    """

    def __init__(self, colour: YardColour, *, most: int) -> None:
        """Put days together by how much of all flowering has been in their year by then."""
        n_days, n_years = colour.base.shape
        share = colour.weight / n_years
        lit = 1.0 - colour.dark
        so_far = lit.cumsum(axis=1).sum(axis=0)
        stage = so_far / np.maximum(so_far[-1:], _HAIR) + np.arange(n_days)[:, None] * _HAIR
        rank = np.empty(n_days * n_years, dtype=np.int64)
        rank[np.argsort(stage.ravel(), kind="stable")] = np.arange(len(rank))
        self.group = rank * min(most, len(rank)) // max(len(rank), 1)
        self._base = share * colour.base.ravel()
        self._lit = lit.reshape(len(lit), -1)
        self._logs = -np.log(np.maximum(colour.dark, np.exp(-LARGEST_S))).reshape(len(lit), -1)
        self._sum()

    def _sum(self) -> None:
        n, n_kinds = int(self.group.max(initial=-1)) + 1, len(self._lit)
        self.dim = np.bincount(self.group, self._base, minlength=n)
        self.plain, self.steep = np.zeros((n, n_kinds)), np.zeros((n, n_kinds))
        for kind in range(n_kinds):
            self.plain[:, kind] = np.bincount(self.group, self._base * self._lit[kind], minlength=n)
            self.steep[:, kind] = np.bincount(
                self.group, self._base * self._logs[kind], minlength=n
            )

    def split(self, shown: Floats, *, most: int) -> float:
        """Split the groups that are thought brightest for too much, with kinds shown so far.

        shown : of each kind, 0 to 1. Returns by how much all of them were.
        """
        s = shown @ self._logs
        cell = self._base * np.minimum(1.0 - np.exp(-s), shown @ self._lit)
        n = len(self.dim)
        mean = self.steep @ shown / np.maximum(self.dim, _HAIR)
        whole = np.minimum(self.dim * (1.0 - np.exp(-mean)), self.plain @ shown)
        over = whole - np.bincount(self.group, cell, minlength=n)
        worst = np.argsort(-over)[: max(min(most, n // 2), 1)]
        worst = worst[over[worst] > _HAIR]
        # Each in two, between the days that lie above the mean and the others.
        halves = np.full(n, -1, dtype=np.int64)
        halves[worst] = n + np.arange(len(worst))
        above = (halves[self.group] >= 0) & (s > mean[self.group])
        self.group = np.where(above, halves[self.group], self.group)
        _, self.group = np.unique(self.group, return_inverse=True)
        self._sum()
        return float(over.sum())
