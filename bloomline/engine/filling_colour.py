"""Colour of a yard as lines that lie above it, for a linear programme.

Colour is concave in the kinds that are shown: 1 − exp(−s) of s = −Σ log(dark) over them, and no
more than the sum of what each kind brings. So its tangent at any kinds lies above it everywhere.
Tangents are drawn where the programme has been, each over some days, until it is seen there as it
is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.filling import YardColour

Floats = NDArray[np.float64]

LARGEST_S = 6.0
"""A kind that is surely in flower counts as one that fails once in 400 times."""
_MOST_IDLE = 6
_HAIR = 1e-7


@dataclass(slots=True, eq=False)
class Line:
    """Colour of a stretch of days is at most `limit` and `slope` for each kind shown.

    idle : for so many programmes it has not mattered.
    """

    stretch: int
    limit: float
    slope: Floats
    idle: int = 0


class Lines:
    """Lines above the colour of the yard, by stretches of its days.

    most : weighted days of each stretch that what stands leaves dark, shape (n_stretches,).
    """

    def __init__(self, colour: YardColour, *, stretches: int) -> None:
        """Begin with what each kind brings alone."""
        n_days, n_years = colour.base.shape
        stretches = max(min(stretches, n_days), 1)
        self._starts = (np.arange(stretches) * n_days // stretches) * n_years
        self._base = colour.weight / n_years * colour.base.ravel()
        n_kinds = len(colour.dark)
        self._lit = (1.0 - colour.dark).reshape(n_kinds, -1)
        self._logs = -np.log(np.maximum(colour.dark, np.exp(-LARGEST_S))).reshape(n_kinds, -1)
        self.most = np.add.reduceat(self._base, self._starts)
        self.lines: list[Line] = []
        self.draw(np.zeros(n_kinds), np.full(stretches, np.inf))

    def draw(self, shown: Floats, thought: Floats, *, hair: float = _HAIR) -> float:
        """Draw tangents at kinds shown so far where colour is thought to be more than it is.

        shown : of each kind, 0 to 1. thought : colour of each stretch. Returns by how much it is
        less in all.
        """
        plain = shown @ self._lit
        dim = np.exp(-(shown @ self._logs))
        steep = 1.0 - dim + np.exp(-LARGEST_S) < plain
        value = np.where(steep, 1.0 - dim + np.exp(-LARGEST_S), plain)
        colour = np.add.reduceat(self._base * value, self._starts)
        over = thought - colour
        flat, curved = self._base * ~steep, self._base * dim * steep
        ends = [*self._starts[1:].tolist(), len(self._base)]
        for at in np.flatnonzero(over > hair):
            days = slice(int(self._starts[at]), ends[at])
            slope = self._lit[:, days] @ flat[days] + self._logs[:, days] @ curved[days]
            limit = max(float(colour[at] - slope @ shown), 0.0)
            self.lines.append(Line(int(at), limit, slope))
        return float(over[over > 0.0].sum())

    def drop_idle(self, matter: NDArray[np.bool_]) -> None:
        """Drop lines that have not mattered for long. matter : which do now, in their order."""
        for line, does in zip(self.lines, matter, strict=True):
            line.idle = 0 if does else line.idle + 1
        self.lines = [line for line in self.lines if line.idle < _MOST_IDLE]
