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


def fill_marks(pot: Pot, layers: Sequence[LayerFit], compost: PotCompost) -> tuple[FillMark, ...]:
    """Marks at the base of each layer, deepest first, and at last at the compost's surface.

    The litres add up to `compost.loose_l`: bulbs are taken off the fill that covers them, and
    what settles is added in the same share everywhere. [L]
    """
    shape = shape_of(pot)
    floor = pot.inside_height_cm - pot.crocks_cm
    surface = pot.rim_gap_cm + pot.top_dressing_cm
    settled = compost.volumes.compost_l
    share = compost.loose_l / settled if settled > 0.0 else 0.0
    marks: list[FillMark] = []
    below, bulbs_l = floor, 0.0
    ends = [
        (layer.base_from_rim_cm, layer.bulb_diameter_cm, layer.bulb_height_cm, layer.count)
        for layer in layers
    ]
    for depth, wide, high, count in [*ends, (surface, 0.0, 0.0, 0)]:
        level = min(max(depth, surface), below)
        room = shape.volume_between(pot.inside_height_cm - below, pot.inside_height_cm - level)
        # Bulbs that are higher than the next fill leave their rest to the one after it.
        taken = min(room, bulbs_l)
        marks.append(FillMark(depth, (room - taken) * share))
        bulbs_l += BulbLot(wide, high, count).volume_l - taken
        below = level
    return tuple(marks)
