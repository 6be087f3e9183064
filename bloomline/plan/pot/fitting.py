"""What fits in a pot: where its layers lie, how many bulbs each holds, what is amiss."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.layers import (
    LayerFinding,
    LayerInput,
    LayerLayout,
    LayerPlace,
    PotFill,
    lay_out,
)
from bloomline.engine.packing import MOST_BULBS, Density, Room, Spacing, room_for
from bloomline.engine.packing_spread import spread_positions
from bloomline.engine.potshape import PotShape, Section
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot
from bloomline.plan.pot.residence import plantings_of
from bloomline.words import tr

CultivarOf = Callable[[str], Cultivar]


@dataclass(frozen=True, slots=True)
class LayerFit:
    """Where a layer lies and how many bulbs it could hold. [cm]

    `density` is the loosest in which the layer's count fits; None when it does not fit.
    `section` is the room at the level of the bulbs' middle.
    """

    layer_id: str
    cultivar_id: str
    count: int
    tip_from_rim_cm: float
    base_from_rim_cm: float
    compost_under_cm: float
    bulb_diameter_cm: float
    bulb_height_cm: float
    section: Section
    room: Room
    density: Density | None


@dataclass(frozen=True, slots=True)
class PotFit:
    """A pot's layers in the order of the document (deepest first), and the engine's layout."""

    pot_id: str
    compost_depth_cm: float
    layers: tuple[LayerFit, ...]
    layout: LayerLayout


def shape_of(pot: Pot) -> PotShape:
    """The inside of a pot."""
    return PotShape(
        shape=pot.shape,
        top_width_cm=pot.top_width_cm,
        bottom_width_cm=pot.bottom_width_cm,
        inside_height_cm=pot.inside_height_cm,
        top_length_cm=pot.top_length_cm,
        bottom_length_cm=pot.bottom_length_cm,
    )


def fill_of(pot: Pot) -> PotFill:
    """What lies in a pot besides compost and bulbs."""
    return PotFill(
        crocks_cm=pot.crocks_cm,
        top_dressing_cm=pot.top_dressing_cm,
        rim_gap_cm=pot.rim_gap_cm,
    )


def layer_input(
    cultivar: Cultivar, *, cover_cm: float, flowering_day: float | None = None
) -> LayerInput:
    """A layer as the engine's geometry wants it."""
    return LayerInput(
        bulb_diameter_cm=cultivar.bulb_diameter_cm,
        bulb_height_cm=cultivar.bulb_height_cm,
        cover_cm=cover_cm,
        plant_height_cm=cultivar.height_cm,
        flowering_day=flowering_day,
    )


@lru_cache(maxsize=4096)
def room_at(section: Section, bulb_diameter_cm: float) -> Room:
    """How many bulbs of a size a level of a pot holds, in three densities."""
    return room_for(section, bulb_diameter_cm=bulb_diameter_cm, spacing=Spacing())


def how_many(bulbs: int) -> str:
    """A number of bulbs that fit, in words where the level is too wide to be packed."""
    return (
        tr("{most_bulbs:,} or more", most_bulbs=MOST_BULBS) if bulbs >= MOST_BULBS else str(bulbs)
    )


def fit_pot(
    pot: Pot, *, cultivar_of: CultivarOf, flowering_days: Mapping[str, float] | None = None
) -> PotFit:
    """Where every layer of a pot lies, what it holds, and what is amiss.

    Layers that are never in the pot together are not held against one another.
    flowering_days : first flower of layers by id (any rising number), for the order.
    """
    days = flowering_days or {}
    cultivars = [cultivar_of(layer.cultivar_id) for layer in pot.layers]
    inputs = [
        layer_input(cultivar, cover_cm=layer.cover_cm, flowering_day=days.get(layer.id))
        for layer, cultivar in zip(pot.layers, cultivars, strict=True)
    ]
    layout, rooms = _lay_out_in_turn(pot, inputs, plantings_of(pot, cultivar_of=cultivar_of))
    return PotFit(
        pot_id=pot.id,
        compost_depth_cm=layout.compost_depth_cm,
        layers=tuple(
            _layer_fit(layer, cultivar, layout.place_of(i), *rooms[i])
            for i, (layer, cultivar) in enumerate(zip(pot.layers, cultivars, strict=True))
        ),
        layout=layout,
    )


_Rooms = Mapping[int, tuple[Section, Room]]
"""The level at which each layer lies, by its index, and what it holds."""


def _lay_out_in_turn(
    pot: Pot, inputs: list[LayerInput], plantings: tuple[tuple[int, ...], ...]
) -> tuple[LayerLayout, _Rooms]:
    """The layout of each planting, as one: places from the top down, findings told once."""
    shape, fill = shape_of(pot), fill_of(pot)
    if len(plantings) == 1:
        return _lay_out(shape, fill, tuple(inputs))
    places: dict[int, LayerPlace] = {}
    rooms: dict[int, tuple[Section, Room]] = {}
    findings: dict[tuple[object, ...], LayerFinding] = {}
    depth = 0.0
    for group in plantings:
        layout, of_group = _lay_out(shape, fill, tuple(inputs[at] for at in group))
        depth = layout.compost_depth_cm
        for place in layout.places:
            # A layer that stays lies over whatever is under it at its tightest.
            at = group[place.index]
            if at not in places or place.compost_under_cm < places[at].compost_under_cm:
                places[at], rooms[at] = replace(place, index=at), of_group[place.index]
        for finding in layout.findings:
            other = None if finding.other is None else group[finding.other]
            moved = replace(finding, index=group[finding.index], other=other)
            findings[(moved.code, moved.index, moved.other)] = moved
    merged = LayerLayout(
        compost_depth_cm=depth,
        places=tuple(sorted(places.values(), key=lambda place: (place.tip_cm, place.index))),
        findings=tuple(findings.values()),
    )
    return merged, rooms


@lru_cache(maxsize=4096)  # a large yard repeats its plantings
def _lay_out(
    shape: PotShape, fill: PotFill, inputs: tuple[LayerInput, ...]
) -> tuple[LayerLayout, _Rooms]:
    layout = lay_out(shape, fill=fill, layers=inputs)
    rooms: dict[int, tuple[Section, Room]] = {}
    for place in layout.places:
        section = place.section
        rooms[place.index] = section, room_at(section, place.layer.bulb_diameter_cm)
    return layout, rooms


def _layer_fit(
    layer: Layer, cultivar: Cultivar, place: LayerPlace, section: Section, room: Room
) -> LayerFit:
    return LayerFit(
        layer_id=layer.id,
        cultivar_id=cultivar.id,
        count=layer.count,
        tip_from_rim_cm=place.tip_from_rim_cm,
        base_from_rim_cm=place.base_from_rim_cm,
        compost_under_cm=place.compost_under_cm,
        bulb_diameter_cm=cultivar.bulb_diameter_cm,
        bulb_height_cm=cultivar.bulb_height_cm,
        section=section,
        room=room,
        density=room.density_of(layer.count),
    )


def bulb_positions_cm(fit: LayerFit) -> NDArray[np.float64]:
    """Where the bulbs of a layer lie, from the middle of the pot, shape (n, 2). [cm]

    The bulbs stand as loosely as the level allows. A count that doesn't fit is shown as far
    as it does.
    """
    return _spread(fit.section, min(fit.count, fit.room.tight), round(fit.bulb_diameter_cm, 3))


def pot_positions_cm(fit: PotFit) -> tuple[NDArray[np.float64], ...]:
    """Where the bulbs of every layer lie, layers as in `fit.layers`, each of shape (n, 2). [cm]

    As `bulb_positions_cm`, but each layer steps aside from the one below it, so that few
    bulbs have to grow past another. Slower: for plans to plant by, not for live pictures.
    """
    return _stepping_aside(
        tuple(
            (layer.section, min(layer.count, layer.room.tight), layer.bulb_diameter_cm)
            for layer in fit.layers
        )
    )


@lru_cache(maxsize=512)  # pots that are alike follow one another
def _stepping_aside(
    layers: tuple[tuple[Section, int, float], ...],
) -> tuple[NDArray[np.float64], ...]:
    places: list[NDArray[np.float64]] = []
    below: NDArray[np.float64] | None = None
    for section, count, bulb_diameter_cm in layers:
        here = spread_positions(
            section, count=count, bulb_diameter_cm=bulb_diameter_cm, below_cm=below
        )
        here.setflags(write=False)  # shared by all who ask
        places.append(here)
        below = here if len(here) else below
    return tuple(places)


@lru_cache(maxsize=2048)
def _spread(section: Section, count: int, bulb_diameter_cm: float) -> NDArray[np.float64]:
    places = spread_positions(section, count=count, bulb_diameter_cm=bulb_diameter_cm)
    places.setflags(write=False)  # shared by all who ask
    return places
