"""How many bulbs a layer holds without touching, and where to put them.

A bulb is a flat disc in a level cut of the pot. Packings come from three sources, the best
one wins: stored dense packings (found by our own search), straight rows between walls, and
triangular lattices over many middles and directions. None of them is chosen by chance, and
each keeps fitting when the pot grows or the bulb shrinks, so the number never falls then.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from bloomline.engine.packing_lattice import (
    CIRCLE_LATTICE_SIZE,
    best_lattice,
    best_rows,
    circle_lattice_points,
    circle_lattices,
)
from bloomline.engine.packing_region import Points, Region, region_for
from bloomline.engine.packing_templates import best_template, circle_sizes, circle_template
from bloomline.engine.potshape import Section

Density = Literal["loose", "usual", "tight"]
DENSITIES: tuple[Density, ...] = ("loose", "usual", "tight")

MANY_POINTS = 600
"""From so many points on a search tree is quicker than all pairs, and holds less memory."""
WALL_CLEAR_CM = 0.01  # a bulb may come right up to the wall without pressing on it
MOST_BULBS = 5_000
"""More bulbs than this are not counted: `capacity` says this many, as no layer may hold more."""
_MOST_PLACES = 4 * MOST_BULBS
_DENSEST = math.pi / math.sqrt(
    12.0
)  # share of a plane that equal discs cover at most; textbook, from memory
_HAIR = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """Clear space between the bulbs of one layer. [cm]

    Sources (numbers of the shared rules): tight 0.5 cm meets the published counts for 15 cm
    pots (R5, R13, R15, R16; R11 says not touching, R8 and R4 up to 1.3 cm in a dense pot);
    usual 3 cm for large and 2 cm for small bulbs lies in the 2.5-5 cm (R4) and 2.5-4 cm (R12)
    of layered pots; loose is one bulb width (R11), never under 4 cm for large bulbs (R12) and
    2.5 cm for small ones. Where small bulbs end: common practice, no source.
    """

    tight_gap_cm: float = 0.5
    usual_gap_large_cm: float = 3.0
    usual_gap_small_cm: float = 2.0
    loose_gap_in_widths: float = 1.0
    loose_gap_least_large_cm: float = 4.0
    loose_gap_least_small_cm: float = 2.5
    small_up_to_cm: float = 3.0

    def gap_cm(self, density: Density, *, bulb_diameter_cm: float) -> float:
        """Clear space between bulbs of this size. [cm]"""
        small = bulb_diameter_cm <= self.small_up_to_cm
        if density == "tight":
            return self.tight_gap_cm
        if density == "usual":
            return self.usual_gap_small_cm if small else self.usual_gap_large_cm
        least = self.loose_gap_least_small_cm if small else self.loose_gap_least_large_cm
        return max(least, self.loose_gap_in_widths * bulb_diameter_cm)


@dataclass(frozen=True, slots=True)
class Room:
    """How many bulbs of one size fit a layer in each density."""

    loose: int
    usual: int
    tight: int

    def density_of(self, count: int) -> Density | None:
        """Give the loosest density in which `count` bulbs fit; None when they don't."""
        for density, most in zip(DENSITIES, (self.loose, self.usual, self.tight), strict=True):
            if count <= most:
                return density
        return None


def room_for(section: Section, *, bulb_diameter_cm: float, spacing: Spacing | None = None) -> Room:
    """Say how many bulbs fit in each density."""
    spacing = spacing or Spacing()
    loose, usual, tight = (
        capacity(
            section,
            bulb_diameter_cm=bulb_diameter_cm,
            gap_cm=spacing.gap_cm(density, bulb_diameter_cm=bulb_diameter_cm),
        )
        for density in DENSITIES
    )
    return Room(loose, usual, tight)


def is_too_wide(section: Section, *, bulb_diameter_cm: float, gap_cm: float) -> bool:
    """Whether a level might hold more bulbs than are counted. Raises ValueError as `capacity`."""
    if not (math.isfinite(bulb_diameter_cm) and bulb_diameter_cm > 0.0):
        raise ValueError(f"A bulb must be wider than 0 cm, not {bulb_diameter_cm:g} cm.")
    if not (math.isfinite(gap_cm) and gap_cm >= 0.0):
        raise ValueError("The space between bulbs, or to the wall, cannot be below 0 cm.")
    pitch = bulb_diameter_cm + gap_cm
    return section.area_cm2 > MOST_BULBS * pitch * pitch


@lru_cache(maxsize=4096)
def capacity(
    section: Section,
    *,
    bulb_diameter_cm: float,
    gap_cm: float,
    wall_clear_cm: float = WALL_CLEAR_CM,
) -> int:
    """Largest number of bulbs found that keep `gap_cm` from each other and off the wall.

    Where more than `MOST_BULBS` might fit, `MOST_BULBS`: so wide a level is not packed.
    Raises: ValueError when a size makes no sense.
    """
    if is_too_wide(section, bulb_diameter_cm=bulb_diameter_cm, gap_cm=gap_cm):
        return MOST_BULBS
    region = _unit_region(section, bulb_diameter_cm, gap_cm, wall_clear_cm)
    if region.empty:
        return 0
    if region.kind == "circle":
        return min(_circle_capacity(region.half_x), MOST_BULBS)
    found = positions(
        section, bulb_diameter_cm=bulb_diameter_cm, gap_cm=gap_cm, wall_clear_cm=wall_clear_cm
    )
    return min(len(found), MOST_BULBS)


@lru_cache(maxsize=512)
def positions(
    section: Section,
    *,
    bulb_diameter_cm: float,
    gap_cm: float,
    wall_clear_cm: float = WALL_CLEAR_CM,
) -> Points:
    """Middles [n, 2] of as many bulbs as `capacity` says or more, from the middle of the pot. [cm]

    The array can't be written to. Raises: ValueError as `capacity`, and for a level several
    times too wide.
    """
    if section.area_cm2 > _MOST_PLACES * (bulb_diameter_cm + gap_cm) ** 2:
        raise ValueError(f"{MOST_BULBS:,} bulbs fit by far; so wide a level is not packed.")
    region = _unit_region(section, bulb_diameter_cm, gap_cm, wall_clear_cm)
    if region.empty:
        found: Points = np.zeros((0, 2))
    elif region.kind == "circle":
        found = circle_packing(_circle_capacity(region.half_x), limit=region.half_x)
    else:
        found = _pack(region)
    out = found * (bulb_diameter_cm + gap_cm)
    out.setflags(write=False)
    return out


def smallest_distance_cm(points: Points) -> float:
    """Smallest distance between two of the points [n, 2]; infinite for fewer than two. [cm]"""
    if len(points) < 2:
        return math.inf
    if len(points) > MANY_POINTS:
        from scipy.spatial import KDTree

        return float(KDTree(points).query(points, k=2)[0][:, 1].min())
    d2 = ((points[:, None, :] - points[None, :, :]) ** 2).sum(axis=2)
    np.fill_diagonal(d2, np.inf)
    return math.sqrt(float(d2.min()))


def _unit_region(section: Section, diameter: float, gap: float, wall_clear: float) -> Region:
    """Give the region for bulb middles, in units of the distance between two of them."""
    if not (math.isfinite(wall_clear) and wall_clear >= 0.0):
        raise ValueError("The space between bulbs, or to the wall, cannot be below 0 cm.")
    region = region_for(section, disc_diameter_cm=diameter, wall_clear_cm=wall_clear)
    return region.scaled(1.0 / (diameter + gap))


def _circle_capacity(radius: float) -> int:
    """Give the number of points, 1 apart, that fit a circle of that radius."""
    if radius < -_HAIR:
        return 0
    sizes, radii = circle_sizes()
    stored = int(sizes[radii <= radius + _HAIR].max())
    if radius < 2.5:  # every stored packing is better there, and the lattices need not be made
        return stored
    lattice_radii = circle_lattices()[0]
    if radius < lattice_radii[-1]:
        return max(stored, int(np.searchsorted(lattice_radii, radius + _HAIR, side="right")))
    return max(CIRCLE_LATTICE_SIZE, len(best_lattice(Region("circle", radius, radius))))


def circle_packing(count: int, *, limit: float) -> Points:
    """Give `count` points, 1 apart, in the smallest circle known; they must fit radius `limit`."""
    if count > CIRCLE_LATTICE_SIZE:
        # in a wide circle only the middle, which holds that many for sure
        reach = min(limit, math.sqrt(count * math.sqrt(0.75) / math.pi) + 2.0)
        found = best_lattice(Region("circle", reach, reach))
        return found[np.argsort(np.hypot(found[:, 0], found[:, 1]), kind="stable")[:count]]
    stored = circle_template(count)
    if stored is not None:
        needed = float(np.hypot(stored[:, 0], stored[:, 1]).max())
        if count < 30 or needed <= circle_lattices()[0][count - 1]:
            return stored
    return circle_lattice_points(count)


def _pack(region: Region) -> Points:
    """Give the largest packing known in an oval or a rectangle, points 1 apart."""
    if region.kind == "rectangle":
        best = best_rows(2.0 * region.half_x, 2.0 * region.half_y)
    else:
        best = best_lattice(region)
        # round ovals: what fits in the circle inside
        inner = float(region.reach.min()) if region.reach is not None else 0.0
        # discs as wide as their spacing cover at most 0.9069 of the circle around them
        if _DENSEST * (2.0 * inner + 1.0) ** 2 > len(best):
            round_count = _circle_capacity(inner)
            if round_count > len(best):
                best = circle_packing(round_count, limit=inner)
    better = best_template(region, more_than=len(best))
    return best if better is None else better
