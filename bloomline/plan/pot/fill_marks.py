"""How much compost goes in up to each mark of a pot, from the crocks to the surface."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bloomline.engine.potshape import BulbLot
from bloomline.model.yard import Pot
from bloomline.plan.pot.compost import PotCompost
from bloomline.plan.pot.fitting import LayerFit, shape_of


@dataclass(frozen=True, slots=True)
class FillMark:
    """A level to fill to. `depth_cm` lies below the rim; `loose_l` goes in since the last one."""

    depth_cm: float
    loose_l: float


class Filling:
    """A pot as it is filled step by step. `depth_cm` : of its compost below the rim so far."""

    def __init__(self, pot: Pot, compost: PotCompost) -> None:
        self._shape, self._height_cm = shape_of(pot), pot.inside_height_cm
        self.floor_cm = pot.inside_height_cm - pot.crocks_cm
        self.surface_cm = pot.rim_gap_cm + pot.top_dressing_cm
        self.depth_cm = self.floor_cm
        settled = compost.volumes.compost_l
        self._share = compost.loose_l / settled if settled > 0.0 else 0.0
        self._bulbs_l = 0.0

    def fill_to(self, depth_cm: float) -> float:
        """Fill up to a depth below the rim; returns the loose compost that goes in. [L]

        Bulbs are taken off the fill that covers them, and what settles is added in the same
        share everywhere.
        """
        level = min(max(depth_cm, self.surface_cm), self.depth_cm)
        room = self._shape.volume_between(self._height_cm - self.depth_cm, self._height_cm - level)
        # Bulbs that are higher than the next fill leave their rest to the one after it.
        taken = min(room, self._bulbs_l)
        self._bulbs_l -= taken
        self.depth_cm = level
        return (room - taken) * self._share

    def lay(self, layer: LayerFit) -> None:
        """Set a layer's bulbs on the compost as it is."""
        lot = BulbLot(layer.bulb_diameter_cm, layer.bulb_height_cm, layer.count)
        self._bulbs_l += lot.volume_l

    def dig_to(self, depth_cm: float) -> None:
        """Take compost out down to a depth below the rim."""
        self.depth_cm = max(self.depth_cm, min(depth_cm, self.floor_cm))


def fill_marks(pot: Pot, layers: Sequence[LayerFit], compost: PotCompost) -> tuple[FillMark, ...]:
    """Marks at the base of each layer, deepest first, and at last at the compost's surface.

    The litres add up to `compost.loose_l`. [L]
    """
    filling = Filling(pot, compost)
    marks: list[FillMark] = []
    for layer in layers:
        marks.append(FillMark(layer.base_from_rim_cm, filling.fill_to(layer.base_from_rim_cm)))
        filling.lay(layer)
    marks.append(FillMark(filling.surface_cm, filling.fill_to(filling.surface_cm)))
    return tuple(marks)
