"""A layer that could be planted: where, what it is, and what a gardener minds of its kind."""

from __future__ import annotations

from dataclasses import dataclass

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot


@dataclass(frozen=True, slots=True)
class Proposed:
    """A layer for a pot. harm : 0 harmless, 1 irritant or mild, 2 poisonous to pets."""

    pot_id: str
    pot_name: str
    layer: Layer
    name: str
    common_type: str
    colour: str
    colour_hex: str
    height_cm: float
    scent: int
    harm: int


Facts = tuple[str, str, Layer, str, str, str, str, float, int, int]


def facts_of(pot: Pot, layer: Layer, kind: Cultivar) -> Facts:
    """What `Proposed` begins with, in its order."""
    return (
        pot.id,
        pot.name,
        layer,
        kind.name,
        kind.common_type,
        kind.colour,
        kind.colour_hex,
        kind.height_cm,
        kind.scent,
        kind.toxic_pets,
    )
