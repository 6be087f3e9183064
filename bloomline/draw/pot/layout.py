"""Where everything of a pot's cutaway lies, in centimetres; no painting, no Qt.

x runs from the middle of the pot to the right, y from the rim downwards: a depth below the
rim is a positive y, a plant above it reaches into negative y. Oval pots and troughs are seen
along their long side.
"""

from __future__ import annotations

import math
import zlib
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Pot
from bloomline.plan.pot.fitting import CultivarOf, LayerFit, PotFit, bulb_positions_cm, fit_pot

Point = tuple[float, float]

_BASE_PER_WALL = 1.0
_TURNS = 24
_SIDEWAYS = 0.09


_GOLDEN = (5**0.5 - 1.0) / 2.0


@dataclass(frozen=True, slots=True)
class BulbSpot:
    """One bulb: its middle, the depth of its tip, and how far back it lies (0 front, 1 back)."""

    x_cm: float
    tip_cm: float
    back: float


@dataclass(frozen=True, slots=True)
class LayerSpots:
    """A layer as it is seen from the side: bulbs from the back to the front. [cm]

    `count` is what the gardener wants there, `len(bulbs)` what the level holds.
    `half_width_cm` is half the inside width of the pot at the bulbs' middle.
    """

    layer_id: str
    cultivar_id: str
    common_type: str
    count: int
    tip_cm: float
    base_cm: float
    bulb_width_cm: float
    bulb_height_cm: float
    half_width_cm: float
    bulbs: tuple[BulbSpot, ...]
    parts: tuple[tuple[Cultivar, LayerSpots], ...] = ()
    """Of a mixture: each kind with its bulbs, by the name of the layer and its number."""


@dataclass(frozen=True, slots=True)
class PotCut:
    """A pot cut open: half widths and levels. [cm]

    Levels are depths below the rim; `floor_cm` is the inner bottom, `foot_cm` the ground.
    """

    pot_id: str
    seed: int
    top_half_cm: float
    bottom_half_cm: float
    wall_cm: float
    floor_cm: float
    foot_cm: float
    crocks_cm: float
    surface_cm: float
    dressing_cm: float
    layers: tuple[LayerSpots, ...]

    @property
    def outer_half_cm(self) -> float:
        """Half the widest outside width."""
        return max(self.top_half_cm, self.bottom_half_cm) + self.wall_cm

    def half_at(self, depth_cm: float) -> float:
        """Half the inside width at a depth below the rim; straight on beyond rim and floor."""
        share = depth_cm / self.floor_cm
        return self.top_half_cm + (self.bottom_half_cm - self.top_half_cm) * share

    def band(self, from_cm: float, to_cm: float) -> tuple[Point, Point, Point, Point]:
        """Corners of the inside between two depths, clockwise from the upper left."""
        upper, lower = self.half_at(from_cm), self.half_at(to_cm)
        return (-upper, from_cm), (upper, from_cm), (lower, to_cm), (-lower, to_cm)

    def outside(self) -> tuple[Point, Point, Point, Point]:
        """Corners of the outside, clockwise from the upper left."""
        wall = self.wall_cm
        slope = (self.bottom_half_cm - self.top_half_cm) / self.floor_cm
        foot = self.bottom_half_cm + wall + slope * (self.foot_cm - self.floor_cm)
        return (
            (-self.top_half_cm - wall, 0.0),
            (self.top_half_cm + wall, 0.0),
            (foot, self.foot_cm),
            (-foot, self.foot_cm),
        )

    def layer_at(self, x_cm: float, depth_cm: float) -> LayerSpots | None:
        """The layer whose bulbs lie at a point; the nearest to their middle where two share it."""
        near: list[tuple[float, LayerSpots]] = []
        for layer in self.layers:
            slack = max(0.4, 0.15 * layer.bulb_height_cm)
            inside = layer.tip_cm - slack <= depth_cm <= layer.base_cm + slack
            if inside and abs(x_cm) <= layer.half_width_cm:
                middle = 0.5 * (layer.tip_cm + layer.base_cm)
                near.append((abs(depth_cm - middle), layer))
        return min(near, key=lambda each: each[0])[1] if near else None


def seed_of(name: str) -> int:
    """A number that is always the same for a name: small differences are drawn from it."""
    return zlib.crc32(name.encode("utf-8"))


@lru_cache(maxsize=512)
def scatter(seed: int, count: int) -> NDArray[np.float64]:
    """Numbers [count, 3] in 0..1 that are always the same for a seed."""
    return np.random.default_rng(seed).random((count, 3))


def cut_pot(pot: Pot, *, cultivar_of: CultivarOf, fit: PotFit | None = None) -> PotCut:
    """Where the parts of a pot lie. Raises UnknownNameError for a cultivar that isn't there."""
    fit = fit or fit_pot(pot, cultivar_of=cultivar_of)
    top = pot.top_length_cm or pot.top_width_cm
    bottom = pot.bottom_length_cm or pot.bottom_width_cm
    base = max(pot.wall_cm * _BASE_PER_WALL, 0.3)
    floor = pot.inside_height_cm
    kinds = {layer.cultivar_id: cultivar_of(layer.cultivar_id) for layer in fit.layers}
    return PotCut(
        pot_id=pot.id,
        seed=seed_of(pot.id),
        top_half_cm=top / 2.0,
        bottom_half_cm=bottom / 2.0,
        wall_cm=pot.wall_cm,
        floor_cm=floor,
        foot_cm=floor + base,
        crocks_cm=floor - pot.crocks_cm,
        surface_cm=pot.rim_gap_cm + pot.top_dressing_cm,
        dressing_cm=pot.rim_gap_cm,
        layers=tuple(
            _layer_spots(
                layer,
                kinds[layer.cultivar_id],
                half=0.5 * (top + (bottom - top) * _share(layer, floor)),
            )
            for layer in fit.layers
        ),
    )


def _share(layer: LayerFit, floor_cm: float) -> float:
    middle = 0.5 * (layer.tip_from_rim_cm + layer.base_from_rim_cm)
    return min(max(middle / floor_cm, 0.0), 1.0)


def part_name(layer_id: str, number: int) -> str:
    """What a part of a mixture in a layer is called among plants; no layer is called so."""
    return f"{layer_id}#{number}"


def _layer_spots(layer: LayerFit, cultivar: Cultivar, *, half: float) -> LayerSpots:
    across, away = _seen(layer)
    bulbs: tuple[BulbSpot, ...] = ()
    if len(across):
        span = max(float(away.max() - away.min()), 1e-9)
        back = (away - away.min()) / span if len(across) > 1 else np.zeros(1)
        order = np.argsort(-back, kind="stable")
        bulbs = tuple(
            BulbSpot(float(across[i]), layer.tip_from_rim_cm, float(back[i])) for i in order
        )
    whole = LayerSpots(
        layer_id=layer.layer_id,
        cultivar_id=layer.cultivar_id,
        common_type=cultivar.common_type,
        count=layer.count,
        tip_cm=layer.tip_from_rim_cm,
        base_cm=layer.base_from_rim_cm,
        bulb_width_cm=layer.bulb_diameter_cm,
        bulb_height_cm=layer.bulb_height_cm,
        half_width_cm=half,
        bulbs=bulbs,
    )
    return replace(whole, parts=_parted(whole, cultivar)) if cultivar.parts else whole


def _parted(whole: LayerSpots, mixture: Cultivar) -> tuple[tuple[Cultivar, LayerSpots], ...]:
    """The kinds of a mixture among its bulbs: mingled, and always in the same way."""
    ends = np.cumsum([share for _, share in mixture.shares])
    # Multiples of the golden ratio, less their whole parts, mingle evenly in any number.
    places = (np.arange(len(whole.bulbs)) * _GOLDEN) % 1.0
    owner = np.minimum(np.searchsorted(ends, places, side="right"), len(ends) - 1)
    return tuple(
        (
            kind,
            replace(
                whole,
                layer_id=part_name(whole.layer_id, number),
                cultivar_id=kind.id,
                bulbs=tuple(b for b, at in zip(whole.bulbs, owner, strict=True) if at == number),
            ),
        )
        for number, (kind, _) in enumerate(mixture.shares)
    )


def _seen(layer: LayerFit) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How far to the side, and how far away, the bulbs lie for one who looks at the pot.

    Rows that would hide behind each other are seen a little from the side: a round pot is
    turned, in others what lies further back is moved along, never beyond the wall.
    """
    places = bulb_positions_cm(layer)
    section = layer.section
    # A section has its width along x and its length along y; the longer side faces the viewer.
    if section.length_cm > section.width_cm + 1e-9:
        across, away, ratio = places[:, 1], places[:, 0], section.length_cm / section.width_cm
    else:
        across, away, ratio = places[:, 0], places[:, 1], 1.0
    if len(places) < 2:
        return across, away
    if section.kind == "circle":
        turns = np.pi * np.arange(_TURNS) / _TURNS
        sides = np.cos(turns)[:, None] * across + np.sin(turns)[:, None] * away
        best = int(np.argmax(np.diff(np.sort(sides, axis=1), axis=1).min(axis=1)))
        aways = np.cos(turns[best]) * away - np.sin(turns[best]) * across
        return sides[best], aways
    if section.kind == "ellipse":
        turn = 0.12 * np.pi
        return (
            np.cos(turn) * across + np.sin(turn) * away * ratio,
            np.cos(turn) * away - np.sin(turn) * across / ratio,
        )
    return (1.0 - _SIDEWAYS) * across + _SIDEWAYS * away * ratio, away


def thinned(spots: tuple[BulbSpot, ...], *, apart_cm: float) -> tuple[BulbSpot, ...]:
    """Leave out spots that would stand closer than `apart_cm` beside one drawn already.

    For pictures so small that more would only smear; the order (back to front) stays.
    """
    if apart_cm <= 0.0 or len(spots) < 2:
        return spots
    taken: set[int] = set()
    kept: list[BulbSpot] = []
    for spot in reversed(spots):
        cell = math.floor(spot.x_cm / apart_cm)
        if cell not in taken:
            taken.add(cell)
            kept.append(spot)
    return tuple(reversed(kept))
