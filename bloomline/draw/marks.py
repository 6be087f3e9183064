"""Where the small marks of a petal's pattern stand. Knows no Qt."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from bloomline.draw.petals import Mark

Stroke = tuple[tuple[float, float], ...]

# Strokes of each mark in a square of side 2 round (0, 0); y grows downward.
MARK_STROKES: dict[Mark, tuple[Stroke, ...]] = {
    Mark.PEAK: (((-1.0, 0.6), (0.0, -0.6), (1.0, 0.6)),),
    Mark.PLUS: (((-1.0, 0.0), (1.0, 0.0)), ((0.0, -1.0), (0.0, 1.0))),
    Mark.UPRIGHT: (((0.0, -1.0), (0.0, 1.0)),),
    Mark.SLANT: (((-0.8, -1.0), (0.8, 1.0)),),
    Mark.WAVE: (((-1.3, 0.35), (-0.65, -0.35), (0.0, 0.35), (0.65, -0.35), (1.3, 0.35)),),
    Mark.CROSS: (((-0.8, -0.8), (0.8, 0.8)), ((-0.8, 0.8), (0.8, -0.8))),
    Mark.TRIANGLE: (((-0.9, 0.7), (0.9, 0.7), (0.0, -0.9), (-0.9, 0.7)),),
}
ROUND_MARKS = {Mark.RING: False, Mark.DOT: True}  # is it filled?


def marks_in_bar(
    left: float, right: float, middle: float, *, radius: float, pitch: float
) -> Iterator[tuple[float, float]]:
    """Centres of a row of marks along a bar; at least one if the bar can hold it."""
    room = right - left
    if room < 2 * radius + 2:
        return
    count = max(1, floor((room - 2 * radius - 2) / pitch) + 1)
    start = (left + right) / 2 - (count - 1) * pitch / 2
    for index in range(count):
        yield start + index * pitch, middle


def marks_in_area(
    xs: NDArray[np.float64],
    tops: NDArray[np.float64],
    bottoms: NDArray[np.float64],
    *,
    radius: float,
    pitch: float,
) -> Iterator[tuple[float, float]]:
    """Centres of staggered marks that lie wholly inside an area.

    xs, tops, bottoms : shape (n,), xs rising, y growing downward.
    """
    if len(xs) < 2:
        return
    margin = radius * 1.25
    row_height = pitch * 0.72
    origin = float(np.max(bottoms))
    for column in range(ceil(float(xs[0]) / pitch * 2), floor(float(xs[-1]) / pitch * 2) + 1):
        x = column * pitch / 2
        around = (x - margin, x, x + margin)
        top = float(np.max(np.interp(around, xs, tops))) + margin
        bottom = float(np.min(np.interp(around, xs, bottoms))) - margin
        if top > bottom:
            continue
        if bottom - top < 1.5 * row_height:
            # A ribbon too thin for two rows carries one along its middle.
            if column % 2 == 0:
                yield x, (top + bottom) / 2
            continue
        first = ceil((origin - bottom) / row_height)
        for row in range(first, floor((origin - top) / row_height) + 1):
            # Every second place of every row is left out, like bricks in a wall.
            if (row + column) % 2 == 0:
                yield x, origin - row * row_height
