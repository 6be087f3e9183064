"""Regular patterns of points at least 1 apart: rows and triangular lattices.

Every pattern is fixed before the region is known, or grows with it, so the number of points
that fit never falls when the region grows.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.packing_region import Points, Region

_ROW = math.sqrt(0.75)
_HAIR = 1e-9
CIRCLE_LATTICE_SIZE = 700


@lru_cache(maxsize=1)
def circle_lattices() -> tuple[NDArray[np.float64], NDArray[np.intp], NDArray[np.float64]]:
    """Give, for 1 to 700 points of a triangular lattice, the smallest circle over many middles.

    Returns radius [700] in lattice steps, the number of the middle used [700], middles [m, 2].
    """
    lattice = _triangular(reach=17.0)
    # the middles of one twelfth of a cell stand for all
    middles = np.array(
        [
            (x, y)
            for x in np.linspace(0.0, 0.5, 21)
            for y in np.append(np.arange(0.0, x / math.sqrt(3.0) - 1e-6, 0.025), x / math.sqrt(3.0))
        ]
    )
    away = np.sort(np.hypot(*(lattice[:, None, :] - middles).transpose(2, 1, 0)), axis=1)
    away = away[:, :CIRCLE_LATTICE_SIZE]
    which = away.argmin(axis=0)
    return away[which, np.arange(CIRCLE_LATTICE_SIZE)], which, middles


def circle_lattice_points(count: int) -> Points:
    """Give `count` (1 to 700) points of a triangular lattice in the smallest circle known."""
    _, which, middles = circle_lattices()
    points = _triangular(reach=17.0) - middles[which[count - 1]]
    away = np.hypot(points[:, 0], points[:, 1])
    return np.asarray(points[np.argsort(away, kind="stable")[:count]])


def _triangular(*, reach: float) -> Points:
    k = int(reach / _ROW) + 1
    m = int(reach) + 2
    row, place = np.meshgrid(np.arange(-k, k + 1), np.arange(-m, m + 1), indexing="ij")
    points = np.stack([(place + 0.5 * (row % 2)).ravel(), (_ROW * row).ravel()], axis=1)
    return np.asarray(points[np.hypot(*points.T) <= reach])


@lru_cache(maxsize=1)
def _oval_lattices() -> tuple[NDArray[np.float64], Points]:
    """Angles [9] and offsets [m, 2] (in steps along and between rows) of the lattices to try."""
    parts = 8
    # half a turn maps an offset to its negative: one of the two is enough
    offsets = [
        (u / parts, v / parts)
        for u in range(parts)
        for v in range(parts)
        if (u, v) <= (-u % parts, -v % parts)
    ]
    return np.radians(np.linspace(0.0, 30.0, 9)), np.array(offsets)


def best_lattice(region: Region) -> Points:
    """Give the largest set of points that one of the fixed lattices puts into an oval region."""
    best: Points = np.zeros((0, 2))
    angles, offsets = _oval_lattices()
    # a whole cell more than the region, as the offsets move the lattice by up to one
    flat = _triangular(reach=region.radius + 2.0)
    for angle in angles:
        cos, sin = math.cos(angle), math.sin(angle)
        turn = np.array([(cos, sin), (-sin, cos)])
        base = flat @ turn
        near = (np.abs(base) < (region.half_x + 2.0, region.half_y + 2.0)).all(axis=1)
        points = base[near] + (offsets * (1.0, _ROW) @ turn)[:, None, :]
        inside = region.inside(points)
        count = inside.sum(axis=1)
        winner = int(count.argmax())
        if count[winner] > len(best):
            best = points[winner][inside[winner]]
    return best


def best_rows(width: float, length: float) -> Points:
    """Give the largest set of points in straight rows between walls, in a width x length box.

    Rows run along either side. They are either spread evenly from wall to wall, each row set
    half a step beside the last, or as close as can be with some rows straight above the one
    before, so that more rows are full ones.
    """
    best = _rows_along(width, length)
    turned = _rows_along(length, width)
    if len(turned) > len(best):
        best = turned[:, ::-1]
    return best


def _rows_along(along: float, across: float) -> Points:
    """Rows along x in a box `along` x `across`, in the middle of the origin."""
    best_count, best_plan = 0, ([0.0], [0], 1.0)
    most = int(across / 0.5 + _HAIR) + 1
    for n in range(1, most + 1):
        pitch = across / (n - 1) if n > 1 else math.inf
        if pitch >= 1.0 - _HAIR:
            heights, shifts, step = [k * pitch for k in range(n)] if n > 1 else [0.0], [0] * n, 1.0
        else:
            step = max(1.0, 2.0 * math.sqrt(1.0 - pitch * pitch))
            heights, shifts = [k * pitch for k in range(n)], [k % 2 for k in range(n)]
        count = _rows_count(along, shifts, step)
        if count > best_count:
            best_count, best_plan = count, (heights, shifts, step)
        straight = int((across - (n - 1) * _ROW) / (1.0 - _ROW) + _HAIR)
        if n > 2 and 0 < straight < n - 1:
            heights, shifts = _partly_straight(n, straight)
            count = _rows_count(along, shifts, 1.0)
            if count > best_count:
                best_count, best_plan = count, (heights, shifts, 1.0)
    heights, shifts, step = best_plan
    rows = []
    for height, shift in zip(heights, shifts, strict=True):
        n = _row_count(along, shift, step)
        rows.append(np.stack([(np.arange(n) + 0.5 * shift) * step, np.full(n, height)], axis=1))
    points = np.concatenate(rows)
    return np.asarray(points - (points.min(axis=0) + points.max(axis=0)) / 2.0)


def _partly_straight(n: int, straight: int) -> tuple[list[float], list[int]]:
    """Give heights and shifts of n rows of which `straight` stand right above a full row."""
    heights, shifts = [0.0], [0]
    for _ in range(n - 1):
        if shifts[-1] == 0 and straight > 0:
            straight -= 1
            heights.append(heights[-1] + 1.0)
            shifts.append(0)
        else:
            heights.append(heights[-1] + _ROW)
            shifts.append(1 - shifts[-1])
    return heights, shifts


def _row_count(along: float, shift: int, step: float) -> int:
    room = along - 0.5 * shift * step
    return int(room / step + _HAIR) + 1 if room >= -_HAIR else 0


def _rows_count(along: float, shifts: list[int], step: float) -> int:
    odd = sum(shifts)
    return (len(shifts) - odd) * _row_count(along, 0, step) + odd * _row_count(along, 1, step)
