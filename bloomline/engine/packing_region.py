"""Where the middles of discs may lie inside a level cut of a pot."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.potshape import Section, SectionKind

Points = NDArray[np.float64]

# Directions in which an oval's wall is measured. The table below is made a touch smaller by
# what the steps between them can hide (under 1e-4 of the size for ovals up to 6 : 1).
_DIRECTIONS = 1440
_TABLE_SAFETY = 1.0 - 1e-4
_HAIR = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Region:
    """Convex region around the origin that the middle of a disc may not leave. [any length]

    `half_x`, `half_y`: reach along the axes. `reach`: for ovals, reach in evenly spaced
    directions from the x axis round, the first one repeated at the end.
    """

    kind: SectionKind
    half_x: float
    half_y: float
    reach: Points | None = None

    @property
    def empty(self) -> bool:
        """Whether not even one disc has room."""
        return self.half_x < -_HAIR or self.half_y < -_HAIR

    @property
    def radius(self) -> float:
        """Largest distance from the middle that can be reached."""
        if self.kind == "circle":
            return max(self.half_x, 0.0)
        if self.reach is not None:
            return float(self.reach.max())
        return math.hypot(max(self.half_x, 0.0), max(self.half_y, 0.0))

    def scaled(self, factor: float) -> Region:
        """Give the same region, `factor` times as large."""
        reach = None if self.reach is None else self.reach * factor
        return Region(self.kind, self.half_x * factor, self.half_y * factor, reach)

    def inside(self, points: Points) -> NDArray[np.bool_]:
        """Say which of the points [..., 2] lie in the region."""
        x, y = points[..., 0], points[..., 1]
        if self.kind == "circle":
            limit = max(self.half_x + _HAIR, 0.0)
            return np.asarray(x * x + y * y <= limit * limit)
        if self.reach is None:
            return np.asarray(
                (np.abs(x) <= self.half_x + _HAIR) & (np.abs(y) <= self.half_y + _HAIR)
            )
        out = np.zeros(x.shape, dtype=np.bool_)
        # most points are settled by the bounding box, the rest by their direction
        box = np.flatnonzero((np.abs(x) <= self.half_x) & (np.abs(y) <= self.half_y))
        bx, by = x.reshape(-1)[box], y.reshape(-1)[box]
        out.reshape(-1)[box] = np.hypot(bx, by) <= self._reach_towards(bx, by) + _HAIR
        return out

    def pulled_in(self, points: Points) -> Points:
        """Give the points with those outside moved in to the edge."""
        if self.kind == "rectangle":
            half = np.array([max(self.half_x, 0.0), max(self.half_y, 0.0)])
            return np.clip(points, -half, half)
        x, y = points[:, 0], points[:, 1]
        away = np.hypot(x, y)
        allowed = (
            np.full_like(away, self.radius) if self.kind == "circle" else self._reach_towards(x, y)
        )
        factor = np.where(away > allowed, allowed / np.maximum(away, 1e-300), 1.0)
        return points * factor[:, None]

    def _reach_towards(self, x: Points, y: Points) -> Points:
        assert self.reach is not None
        turn = (np.arctan2(y, x) * (_DIRECTIONS / (2.0 * np.pi))) % _DIRECTIONS
        low = np.minimum(turn.astype(np.intp), _DIRECTIONS - 1)  # -0.0 turns into a full round
        part = turn - low
        return np.asarray(self.reach[low] * (1.0 - part) + self.reach[low + 1] * part)


def region_for(section: Section, *, disc_diameter_cm: float, wall_clear_cm: float) -> Region:
    """Give the region for the middles of discs that stay `wall_clear_cm` off the wall. [cm]"""
    inset = disc_diameter_cm / 2.0 + wall_clear_cm
    half_x, half_y = section.width_cm / 2.0 - inset, section.length_cm / 2.0 - inset
    if section.kind != "ellipse" or half_x < 0.0 or half_y < 0.0:
        return Region(section.kind, half_x, half_y)
    reach = _oval_reach(section.width_cm / 2.0, section.length_cm / 2.0, inset)
    quarter = _DIRECTIONS // 4
    return Region("ellipse", float(reach[0]), float(reach[quarter]), reach)


@lru_cache(maxsize=256)
def _oval_reach(half_width: float, half_length: float, inset: float) -> Points:
    """Reach, by direction, of the middles of discs of radius `inset` in an ellipse.

    The region is the common part of the half planes that each tangent, moved inwards by
    `inset`, leaves over; that holds also where the disc is too blunt for the oval's tips.
    """
    # a quarter is enough, and the tangent that binds lies in the same quarter
    turn, per_facing = _quarter()
    offset = np.hypot(half_width * np.cos(turn), half_length * np.sin(turn)) - inset
    with np.errstate(invalid="ignore"):  # 0 x infinity: a tangent seen edge on binds nothing
        quarter = np.fmin.reduce(offset * per_facing, axis=1)
    half = np.concatenate([quarter, quarter[-2::-1]])
    reach = np.concatenate([half, half[-2::-1]]) * _TABLE_SAFETY
    reach.setflags(write=False)
    return reach


@lru_cache(maxsize=1)
def _quarter() -> tuple[Points, Points]:
    """Directions [n] of a quarter round, and 1 / cosine of the angle between any two [n, n]."""
    turn = np.linspace(0.0, np.pi / 2.0, _DIRECTIONS // 4 + 1)
    facing = np.cos(turn[:, None] - turn[None, :])
    per_facing = np.full_like(facing, np.inf)
    np.divide(1.0, facing, out=per_facing, where=facing > 1e-9)
    return turn, per_facing
