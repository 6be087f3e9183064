"""What a filled pot weighs, dry and wet, where its weight sits, and what tips it over.

Every weight is a range, since composts, walls and bulbs differ; ranges add end to end, so
the sum holds whatever the parts turn out to be within theirs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from bloomline.engine.potshape import CM3_PER_LITRE, PotShape

WALLS = "pot"
"""What the load of walls and base is called."""

_KEPT = 4096  # sizes of pots; a yard has far fewer sizes than pots

GRAVITY_M_PER_S2 = 9.80665
"""Standard gravity. Source: 3rd CGPM, 1901."""


@dataclass(frozen=True, slots=True)
class Range:
    """A figure from `low` to `high`.

    Raises: ValueError when it runs backwards or isn't finite.
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse what is no range."""
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low <= self.high):
            raise ValueError(f"A range from {self.low:g} to {self.high:g} makes no sense.")

    @property
    def middle(self) -> float:
        """Middle of the range."""
        return (self.low + self.high) / 2.0

    def __add__(self, other: Range) -> Range:
        return Range(self.low + other.low, self.high + other.high)

    def __mul__(self, factor: float) -> Range:
        """Scale by a factor of zero or more."""
        return Range(self.low * factor, self.high * factor)


NOTHING = Range(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Load:
    """One part of a pot's weight. [kg] `centre_cm` is its height above the inner bottom."""

    name: str
    dry_kg: Range
    wet_kg: Range
    centre_cm: float


@dataclass(frozen=True, slots=True)
class Mass:
    """What a pot weighs. `centre_*_cm` are heights of the centre of mass above the ground."""

    loads: tuple[Load, ...]
    dry_kg: Range
    wet_kg: Range
    centre_dry_cm: float
    centre_wet_cm: float


def outer_shape(pot: PotShape, *, wall_cm: float, base_cm: float) -> PotShape:
    """The outside of a pot given by its inside: wall on all sides, base below. [cm]

    The taper goes on through the base, so this undoes `PotShape.from_outer`.

    Raises: ValueError when wall or base are below zero, or the taper would end in a point.
    """
    if not (wall_cm >= 0.0 and base_cm >= 0.0):
        raise ValueError("The wall and base of a pot cannot be thinner than 0 cm.")

    def bottom(width_cm: float, slope: float) -> float:
        return width_cm + 2.0 * wall_cm - 2.0 * slope * base_cm

    long = pot.top_length_cm is not None and pot.bottom_length_cm is not None
    return PotShape(
        shape=pot.shape,
        top_width_cm=pot.top_width_cm + 2.0 * wall_cm,
        bottom_width_cm=bottom(pot.bottom_width_cm, pot.width_slope),
        inside_height_cm=pot.inside_height_cm + base_cm,
        top_length_cm=(pot.top_length_cm or 0.0) + 2.0 * wall_cm if long else None,
        bottom_length_cm=bottom(pot.bottom_length_cm or 0.0, pot.length_slope) if long else None,
    )


def wall_volume_l(pot: PotShape, *, wall_cm: float, base_cm: float) -> float:
    """Volume of wall and base; the drainage hole is left out of account. [L]"""
    return outer_shape(pot, wall_cm=wall_cm, base_cm=base_cm).volume_l - pot.volume_l


@lru_cache(maxsize=_KEPT)
def centroid_cm(pot: PotShape, *, low_cm: float, high_cm: float) -> float:
    """Height of the middle of the volume between two heights above the inner bottom. [cm]

    Source: Simpson's rule, exact as height times area is cubic in height (common geometry).
    """
    volume = pot.volume_between(low_cm, high_cm) * CM3_PER_LITRE
    if volume <= 0.0:
        return (low_cm + high_cm) / 2.0
    middle = (low_cm + high_cm) / 2.0
    moment = (
        (high_cm - low_cm)
        / 6.0
        * (
            low_cm * pot.area_at_height(low_cm)
            + 4.0 * middle * pot.area_at_height(middle)
            + high_cm * pot.area_at_height(high_cm)
        )
    )
    return moment / volume


@lru_cache(maxsize=_KEPT)
def wall_load(
    pot: PotShape,
    *,
    wall_cm: float,
    base_cm: float,
    density_kg_per_l: float,
    allowance: Range,
    water_share: Range = NOTHING,
) -> Load:
    """Weight of the empty pot. [kg]

    allowance : factors on the computed mass for rims, feet and uneven walls.
    water_share : water that soaks into the wall, as a share of its mass.
    """
    outer = outer_shape(pot, wall_cm=wall_cm, base_cm=base_cm)
    litres = outer.volume_l - pot.volume_l
    dry = allowance * (litres * density_kg_per_l)
    wet = Range(dry.low * (1.0 + water_share.low), dry.high * (1.0 + water_share.high))
    outside = centroid_cm(outer, low_cm=0.0, high_cm=outer.inside_height_cm) - base_cm
    inside = centroid_cm(pot, low_cm=0.0, high_cm=pot.inside_height_cm)
    centre = pot.inside_height_cm / 2.0
    if litres > 0.0:
        centre = (outside * outer.volume_l - inside * pot.volume_l) / litres
    return Load(WALLS, dry, wet, centre)


def fill_load(
    name: str, *, volume_l: float, dry_kg_per_l: Range, wet_kg_per_l: Range, centre_cm: float
) -> Load:
    """Weight of something that fills part of the pot. [kg]"""
    return Load(name, dry_kg_per_l * volume_l, wet_kg_per_l * volume_l, centre_cm)


def add_up(loads: Sequence[Load], *, base_cm: float) -> Mass:
    """Add all loads of a pot. The centres of mass are those of the middle weights."""
    dry, wet = _sum(load.dry_kg for load in loads), _sum(load.wet_kg for load in loads)

    def centre(weights: Sequence[float]) -> float:
        total = sum(weights)
        if total <= 0.0:
            return base_cm
        return (
            base_cm
            + sum(w * load.centre_cm for w, load in zip(weights, loads, strict=True)) / total
        )

    return Mass(
        loads=tuple(loads),
        dry_kg=dry,
        wet_kg=wet,
        centre_dry_cm=centre([load.dry_kg.middle for load in loads]),
        centre_wet_cm=centre([load.wet_kg.middle for load in loads]),
    )


def _sum(ranges: Iterable[Range]) -> Range:
    total = NOTHING
    for each in ranges:
        total = total + each
    return total


def tipping_angle_deg(*, foot_width_cm: float, centre_cm: float) -> float:
    """How far a pot can lean before it falls. [°] Foot and height of the centre of mass. [cm]

    Source: a body falls once its centre of mass passes over the edge it leans on (statics).
    """
    return math.degrees(math.atan2(foot_width_cm / 2.0, centre_cm))


@dataclass(frozen=True, slots=True)
class Sail:
    """Something the wind blows against. [m²; m above the ground to its middle]"""

    area_m2: float
    middle_m: float
    drag: float


def tipping_wind_m_per_s(
    *,
    mass_kg: float,
    foot_width_cm: float,
    sails: Sequence[Sail],
    air_density_kg_per_m3: float,
) -> float:
    """Wind that tips a pot standing free on level ground; infinite without sails. [m/s]

    Source: moment of the drag, half the air's density times the speed squared times area and
    drag coefficient, against weight times half the foot (statics and fluid mechanics).
    """
    levers = sum(sail.area_m2 * sail.middle_m * sail.drag for sail in sails)
    if levers <= 0.0:
        return math.inf
    held = mass_kg * GRAVITY_M_PER_S2 * foot_width_cm / 200.0
    return math.sqrt(2.0 * held / (air_density_kg_per_m3 * levers))
