"""Where the small marks of a petal's pattern stand. Knows no Qt."""

from __future__ import annotations

from math import ceil, floor, inf

import numpy as np
from numpy.typing import NDArray

from bloomline.draw.base.petals import Mark

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


def marks_along(
    left: float,
    right: float,
    *,
    radius: float,
    pitch: float,
    seen: tuple[float, float] = (-inf, inf),
) -> list[float]:
    """The x of a row of marks along a bar, at least one if it can hold it; only those seen."""
    room = right - left
    if room < 2 * radius + 2:
        return []
    count = max(1, floor((room - 2 * radius - 2) / pitch) + 1)
    start = (left + right) / 2 - (count - 1) * pitch / 2
    first, last = (max((seen[0] - radius - start) / pitch, 0.0)), (seen[1] + radius - start) / pitch
    return [start + index * pitch for index in range(ceil(first), floor(min(last, count - 1)) + 1)]


def marks_over(
    xs: NDArray[np.float64],
    tops: NDArray[np.float64],
    bottoms: NDArray[np.float64],
    *,
    radius: float,
    pitch: float,
    seen: tuple[float, float] = (-inf, inf),
) -> NDArray[np.float64]:
    """Centres (n, 2) of staggered marks that lie wholly inside an area; only those seen.

    xs, tops, bottoms : shape (n_points,), xs rising, y growing downward. All columns at once,
    since this is done anew for each step of a slider.
    """
    if len(xs) < 2:
        return np.empty((0, 2))
    margin = radius * 1.25
    row_height = pitch * 0.72
    origin = float(np.max(bottoms))
    begin, stop = max(float(xs[0]), seen[0]), min(float(xs[-1]), seen[1])
    columns = np.arange(ceil(begin / pitch * 2), floor(stop / pitch * 2) + 1)
    x = columns * pitch / 2
    around = np.stack((x - margin, x, x + margin))
    top = np.interp(around, xs, tops).max(axis=0) + margin
    bottom = np.interp(around, xs, bottoms).min(axis=0) - margin
    is_open, is_thin = top <= bottom, bottom - top < 1.5 * row_height
    # A ribbon too thin for two rows carries one along its middle.
    ribbon = is_open & is_thin & (columns % 2 == 0)
    centres = [np.column_stack((x[ribbon], (top + bottom)[ribbon] / 2))]
    thick = np.flatnonzero(is_open & ~is_thin)
    if len(thick):
        most = floor((origin - float(top[thick].min())) / row_height)
        rows = np.arange(0, most + 1)[:, np.newaxis]
        y = origin - rows * row_height
        # Every second place of every row is left out, like bricks in a wall.
        inside = (y >= top[thick]) & (y <= bottom[thick]) & ((rows + columns[thick]) % 2 == 0)
        row, column = np.nonzero(inside)
        centres.append(np.column_stack((x[thick][column], y[row, 0])))
    return np.concatenate(centres)


def hatch_lines(
    left: float, right: float, top: float, bottom: float, *, pitch: float
) -> list[tuple[float, float, float, float]]:
    """Rising lines over a rectangle, each cut to it: x0, y0, x1, y1."""
    lines = []
    height = bottom - top
    # Counted from 0, not from the left edge: the lines stand still while a stretch grows.
    for index in range(ceil((left - height) / pitch), floor(right / pitch) + 1):
        foot = index * pitch
        x0, x1 = max(foot, left), min(foot + height, right)
        if x1 > x0:
            lines.append((x0, bottom - (x0 - foot), x1, bottom - (x1 - foot)))
    return lines
