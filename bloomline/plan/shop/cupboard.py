"""What lies in the cupboard, what the yard's plans take of it, and what is left."""

from __future__ import annotations

from dataclasses import dataclass

from bloomline.model.yard import Yard
from bloomline.plan.climate.garden import Garden
from bloomline.plan.shop.buying import planned_layers


@dataclass(frozen=True, slots=True)
class Stock:
    """Bulbs of a kind: how many lie in the cupboard, and how many of this season's plans want."""

    count: int
    planned: int

    @property
    def left(self) -> int:
        """Bulbs in the cupboard that no plan takes."""
        return max(self.count - self.planned, 0)

    @property
    def to_buy(self) -> int:
        """Bulbs that are planned and don't lie there."""
        return max(self.planned - self.count, 0)


def cupboard_of(yard: Yard, *, garden: Garden) -> dict[str, Stock]:
    """What lies in the cupboard by cultivar id, as the shopping list counts it."""
    planned: dict[str, int] = {}
    for _, layer in planned_layers(yard, garden=garden):
        planned[layer.cultivar_id] = planned.get(layer.cultivar_id, 0) + layer.count
    return {
        item.cultivar_id: Stock(item.count, planned.get(item.cultivar_id, 0))
        for item in yard.cupboard
    }
