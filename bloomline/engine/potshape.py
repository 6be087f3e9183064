"""Inner shape of a pot: width at every height, areas, volumes and what fills it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

Shape = Literal["round", "square", "oval", "trough"]
SectionKind = Literal["circle", "ellipse", "rectangle"]

SHAPES: tuple[Shape, ...] = ("round", "square", "oval", "trough")
CM3_PER_LITRE = 1000.0


@dataclass(frozen=True, slots=True)
class Section:
    """Level cut through the inside of a pot. [cm] Width lies along x, length along y."""

    kind: SectionKind
    width_cm: float
    length_cm: float

    @property
    def area_cm2(self) -> float:
        """Area of the cut. [cm²]"""
        full = self.width_cm * self.length_cm
        return full if self.kind == "rectangle" else full * math.pi / 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PotShape:
    """Inside of a pot with straight or evenly tapered sides; every size is an inner size. [cm]

    `round` and `square` have one width and no length; `oval` (elliptic) and `trough`
    (rectangular) have a length as well, and the two may taper by different amounts.

    Raises: ValueError when a size is missing, not finite or not above zero.
    """

    shape: Shape
    top_width_cm: float
    bottom_width_cm: float
    inside_height_cm: float
    top_length_cm: float | None = None
    bottom_length_cm: float | None = None

    def __post_init__(self) -> None:
        """Refuse sizes that make no pot."""
        if self.shape not in SHAPES:
            raise ValueError(f"A pot is round, square, oval or trough, not {self.shape!r}.")
        sizes: list[tuple[str, float | None]] = [
            ("width at the top", self.top_width_cm),
            ("width at the bottom", self.bottom_width_cm),
            ("inside height", self.inside_height_cm),
        ]
        lengths = [
            ("length at the top", self.top_length_cm),
            ("length at the bottom", self.bottom_length_cm),
        ]
        if self.shape in ("oval", "trough"):
            sizes += lengths
        elif any(value is not None for _, value in lengths):
            raise ValueError(f"A {self.shape} pot has a width only; leave its length out.")
        for name, value in sizes:
            if value is None:
                raise ValueError(f"The {name} of the pot is missing; {self.shape} pots need it.")
            if not (math.isfinite(value) and value > 0.0):
                raise ValueError(f"The {name} of the pot must be above 0 cm, not {value:g} cm.")

    @classmethod
    def from_outer(
        cls,
        *,
        shape: Shape,
        top_width_cm: float,
        bottom_width_cm: float,
        height_cm: float,
        wall_cm: float,
        base_cm: float | None = None,
        top_length_cm: float | None = None,
        bottom_length_cm: float | None = None,
    ) -> PotShape:
        """Give the inside of a pot measured outside. [cm]

        The wall is taken level, on both sides; the base is as thick as the wall unless said.
        The inner bottom is the level where the base ends, so the outer taper is followed up
        to there.

        Raises: ValueError when the wall leaves no room.
        """
        base = wall_cm if base_cm is None else base_cm
        if not (math.isfinite(wall_cm) and math.isfinite(base) and wall_cm >= 0.0 and base >= 0.0):
            raise ValueError("The wall and base of a pot cannot be thinner than 0 cm.")
        if height_cm <= base:
            raise ValueError(
                f"A base of {base:g} cm leaves no room in a pot {height_cm:g} cm high."
            )

        def inner_bottom(bottom: float, top: float) -> float:
            return bottom + (top - bottom) * base / height_cm - 2.0 * wall_cm

        smallest = min(
            v
            for v in (top_width_cm, bottom_width_cm, top_length_cm, bottom_length_cm)
            if v is not None
        )
        if smallest <= 2.0 * wall_cm:
            raise ValueError(
                f"A wall of {wall_cm:g} cm leaves no room in a pot {smallest:g} cm across."
            )
        lengths: tuple[float | None, float | None] = (None, None)
        if top_length_cm is not None and bottom_length_cm is not None:
            lengths = (
                top_length_cm - 2.0 * wall_cm,
                inner_bottom(bottom_length_cm, top_length_cm),
            )
        return cls(
            shape=shape,
            top_width_cm=top_width_cm - 2.0 * wall_cm,
            bottom_width_cm=inner_bottom(bottom_width_cm, top_width_cm),
            inside_height_cm=height_cm - base,
            top_length_cm=lengths[0],
            bottom_length_cm=lengths[1],
        )

    @property
    def width_slope(self) -> float:
        """How much the half width grows for each cm upwards. [cm/cm]"""
        return (self.top_width_cm - self.bottom_width_cm) / (2.0 * self.inside_height_cm)

    @property
    def length_slope(self) -> float:
        """How much the half length grows for each cm upwards. [cm/cm]"""
        if self.top_length_cm is None or self.bottom_length_cm is None:
            return self.width_slope
        return (self.top_length_cm - self.bottom_length_cm) / (2.0 * self.inside_height_cm)

    def width_at_height(self, height_cm: float) -> float:
        """Inner width [cm] at a height above the inner bottom. [cm]"""
        self._check_height(height_cm)
        return self.bottom_width_cm + 2.0 * self.width_slope * height_cm

    def length_at_height(self, height_cm: float) -> float:
        """Inner length [cm] at a height above the inner bottom [cm]; the width if it has none."""
        if self.bottom_length_cm is None:
            return self.width_at_height(height_cm)
        self._check_height(height_cm)
        return self.bottom_length_cm + 2.0 * self.length_slope * height_cm

    def section_at_height(self, height_cm: float) -> Section:
        """Level cut at a height above the inner bottom. [cm]"""
        kind: SectionKind = {
            "round": "circle",
            "oval": "ellipse",
            "square": "rectangle",
            "trough": "rectangle",
        }[self.shape]  # type: ignore[assignment]
        return Section(kind, self.width_at_height(height_cm), self.length_at_height(height_cm))

    def section_at_depth(self, depth_from_rim_cm: float) -> Section:
        """Level cut at a depth below the rim. [cm]"""
        return self.section_at_height(self.inside_height_cm - depth_from_rim_cm)

    def section_for_bulb(
        self, *, centre_from_rim_cm: float, bulb_diameter_cm: float, bulb_height_cm: float
    ) -> Section:
        """Level cut in which a bulb may be placed as a flat disc. [cm]

        Where the wall slopes, a bulb (a spheroid of half width a and half height b) meets it
        above or below its middle: in a wall that moves by s for each cm of height it needs
        sqrt(a² + s²b²) instead of a. The cut is made smaller by the difference. A middle
        outside the pot is moved to the nearest level inside.
        """
        level = self.inside_height_cm - centre_from_rim_cm
        cut = self.section_at_height(min(max(level, 0.0), self.inside_height_cm))
        slope = abs(self.width_slope)
        other = abs(self.length_slope)
        if cut.kind == "ellipse":  # between the axes the wall has a slope between the two
            slope = other = max(slope, other)
        half_width, half_height = bulb_diameter_cm / 2.0, bulb_height_cm / 2.0
        return Section(
            cut.kind,
            cut.width_cm - 2.0 * (math.hypot(half_width, slope * half_height) - half_width),
            cut.length_cm - 2.0 * (math.hypot(half_width, other * half_height) - half_width),
        )

    def area_at_height(self, height_cm: float) -> float:
        """Inner area [cm²] at a height above the inner bottom. [cm]"""
        return self.section_at_height(height_cm).area_cm2

    def volume_between(self, low_cm: float, high_cm: float) -> float:
        """Inner volume [L] between two heights above the inner bottom. [cm]

        Source: prismatoid rule, exact as the area is quadratic in height (common geometry).
        """
        return _volume_between(self, low_cm, high_cm)

    @property
    def volume_l(self) -> float:
        """Whole inner volume. [L]"""
        return self.volume_between(0.0, self.inside_height_cm)

    def _check_height(self, height_cm: float) -> None:
        # a hair of slack: heights come from sums of depths
        if not -1e-9 <= height_cm <= self.inside_height_cm + 1e-9:
            raise ValueError(
                f"A height of {height_cm:g} cm lies outside the pot, "
                f"which is {self.inside_height_cm:g} cm high inside."
            )


@lru_cache(maxsize=4096)  # a yard has far fewer sizes than pots
def _volume_between(pot: PotShape, low_cm: float, high_cm: float) -> float:
    if high_cm < low_cm:
        raise ValueError("The upper height must not lie below the lower one.")
    middle = pot.area_at_height((low_cm + high_cm) / 2.0)
    ends = pot.area_at_height(low_cm) + pot.area_at_height(high_cm)
    return (high_cm - low_cm) / 6.0 * (ends + 4.0 * middle) / CM3_PER_LITRE


@dataclass(frozen=True, slots=True)
class BulbLot:
    """A number of equal bulbs, each a spheroid. [cm]"""

    diameter_cm: float
    height_cm: float
    count: int

    @property
    def volume_l(self) -> float:
        """Volume of all bulbs of the lot. [L]"""
        each = math.pi / 6.0 * self.diameter_cm**2 * self.height_cm
        return self.count * each / CM3_PER_LITRE


@dataclass(frozen=True, slots=True)
class FillVolumes:
    """What fills a pot from the bottom to the rim. [L]

    The five parts add up to `total_l`. `overfull_l` is above zero only when the bulbs alone
    would take more than the room for compost; `compost_l` is then zero.
    """

    total_l: float
    crocks_l: float
    bulbs_l: float
    compost_l: float
    top_dressing_l: float
    rim_gap_l: float
    overfull_l: float = 0.0


def fill_volumes(
    pot: PotShape,
    *,
    crocks_cm: float,
    top_dressing_cm: float,
    rim_gap_cm: float,
    bulbs: Sequence[BulbLot] = (),
) -> FillVolumes:
    """Split the inside of a pot into crocks, bulbs, compost, top dressing and rim gap. [L]

    The crocks count as a full layer with no compost between them, so the compost is what is
    needed at most above them.

    Raises: ValueError when the depths are below zero or leave no compost.
    """
    compost_depth_cm(  # refuses depths that leave no compost
        pot, crocks_cm=crocks_cm, top_dressing_cm=top_dressing_cm, rim_gap_cm=rim_gap_cm
    )
    # downwards from the rim, so that rounding cannot push a level out of the pot
    dressed = pot.inside_height_cm - rim_gap_cm
    surface = max(dressed - top_dressing_cm, crocks_cm)
    room = pot.volume_between(crocks_cm, surface)
    bulbs_l = sum(lot.volume_l for lot in bulbs)
    return FillVolumes(
        total_l=pot.volume_l,
        crocks_l=pot.volume_between(0.0, crocks_cm),
        bulbs_l=min(bulbs_l, room),
        compost_l=max(room - bulbs_l, 0.0),
        top_dressing_l=pot.volume_between(surface, dressed),
        rim_gap_l=pot.volume_between(dressed, pot.inside_height_cm),
        overfull_l=max(bulbs_l - room, 0.0),
    )


@lru_cache(maxsize=4096)
def compost_depth_cm(
    pot: PotShape, *, crocks_cm: float, top_dressing_cm: float, rim_gap_cm: float
) -> float:
    """Depth of compost between the crocks and the top dressing. [cm]

    Raises: ValueError when a depth is below zero or nothing is left for compost.
    """
    named = {
        "crocks": crocks_cm,
        "top dressing": top_dressing_cm,
        "rim gap": rim_gap_cm,
    }
    for name, value in named.items():
        if not (math.isfinite(value) and value >= 0.0):
            raise ValueError(f"The depth of the {name} cannot be {value:g} cm.")
    left = pot.inside_height_cm - sum(named.values())
    if left <= 0.0:
        raise ValueError(
            f"Crocks, top dressing and rim gap take {sum(named.values()):g} cm, and the pot is "
            f"only {pot.inside_height_cm:g} cm high inside: no compost fits."
        )
    return left
