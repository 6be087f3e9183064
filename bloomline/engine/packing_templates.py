"""Stored dense packings, unpacked: points at least 1 apart, around the origin."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.packing_boxes import BOXES
from bloomline.engine.packing_large import CIRCLES_LARGE, CIRCLES_LARGE_SIZES
from bloomline.engine.packing_ovals import OVALS
from bloomline.engine.packing_region import Points, Region
from bloomline.engine.packing_table import (
    CIRCLES,
    CIRCLES_FINE,
    CIRCLES_FINE_SIZES,
    CIRCLES_SIZES,
)

_HAIR = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Template:
    """One stored packing: `half_x` and `half_y` are how far its points reach."""

    kind: str
    half_x: float
    half_y: float
    points: Points


def _unpack(text: str, *, byte_width: int) -> NDArray[np.float64]:
    """Give the numbers from -1 to 1 that `text` holds (base 85, big-endian whole numbers)."""
    raw = np.frombuffer(base64.b85decode(text), dtype=np.uint8).reshape(-1, byte_width)
    whole = raw.astype(np.int64) @ (256 ** np.arange(byte_width - 1, -1, -1))
    return np.asarray(whole * (2.0 / (256**byte_width - 1)) - 1.0)


def _at_least_one_apart(points: Points) -> Points:
    x_apart, y_apart = (each[:, None] - each for each in points.T)
    square = x_apart**2 + y_apart**2
    np.fill_diagonal(square, np.inf)
    nearest = square <= square.min() * (1.0 + _HAIR)  # hypot takes ten times as long as squares
    out = points / np.hypot(x_apart[nearest], y_apart[nearest]).min()
    out.setflags(write=False)
    return np.asarray(out)


@lru_cache(maxsize=1)
def circle_templates() -> tuple[Points, ...]:
    """Give the stored packings in a circle, fewest points first."""
    found: list[Points] = [np.zeros((1, 2))]
    for text, byte_width, sizes in (
        (CIRCLES_FINE, 3, CIRCLES_FINE_SIZES),
        (CIRCLES, 2, CIRCLES_SIZES),
        (CIRCLES_LARGE, 2, CIRCLES_LARGE_SIZES),
    ):
        numbers = _unpack(text, byte_width=byte_width)
        start = 0
        for size in sizes:
            found.append(_at_least_one_apart(numbers[start : start + 2 * size].reshape(size, 2)))
            start += 2 * size
    return tuple(found)


@lru_cache(maxsize=1)
def circle_sizes() -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Give the number of points of each stored packing in a circle, and the radius it needs.

    The radius is that of the points, 1 apart; discs round them need half a step more.
    """
    radii = [np.hypot(points[:, 0], points[:, 1]).max() for points in circle_templates()]
    return np.array([len(points) for points in circle_templates()]), np.array(radii)


def circle_template(count: int) -> Points | None:
    """Give `count` points of the smallest stored packing that has so many, outermost left out."""
    sizes, _ = circle_sizes()
    which = int(np.searchsorted(sizes, count))
    if which == len(sizes):
        return None
    points = circle_templates()[which]
    away = np.hypot(points[:, 0], points[:, 1])
    return points if len(points) == count else points[np.argsort(away, kind="stable")[:count]]


@lru_cache(maxsize=1)
def _shapes() -> tuple[dict[str, tuple[NDArray[np.float64], NDArray[np.intp]]], list[Template]]:
    """Reach [m, 2] and place in the list by kind, and all templates, either way round."""
    found: list[Template] = []
    entries = [("box", *entry) for entry in BOXES] + [("disc", *entry) for entry in OVALS]
    for kind, aspect, sizes, text in entries:
        numbers = _unpack(text, byte_width=2)
        start = 0
        for size in sizes:
            points = numbers[start : start + 2 * size].reshape(size, 2) * (aspect, 1.0)
            start += 2 * size
            points = points - (points.min(axis=0) + points.max(axis=0)) / 2.0 * (kind == "box")
            points = _at_least_one_apart(points)
            half = np.abs(points).max(axis=0)
            found.append(Template(kind, float(half[0]), float(half[1]), points))
            if aspect != 1.0:
                found.append(Template(kind, float(half[1]), float(half[0]), points[:, ::-1]))
    index = {}
    for kind in ("box", "disc"):
        which = np.array([k for k, t in enumerate(found) if t.kind == kind], dtype=np.intp)
        reach = np.array([(found[k].half_x, found[k].half_y) for k in which]).reshape(-1, 2)
        index[kind] = (reach, which)
    return index, found


def best_template(region: Region, *, more_than: int) -> Points | None:
    """Give the largest stored packing with over `more_than` points that fits an oval or box."""
    index, templates = _shapes()
    reach, which = index["box" if region.kind == "rectangle" else "disc"]
    fits = (reach[:, 0] <= region.half_x + _HAIR) & (reach[:, 1] <= region.half_y + _HAIR)
    best: Points | None = None
    for k in which[fits]:
        points = templates[k].points
        if len(points) > more_than and region.inside(points).all():
            best, more_than = points, len(points)
    return best
