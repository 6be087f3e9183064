"""What lies in the cupboard, what the yard's plans take of it, and what is left."""

from __future__ import annotations

from dataclasses import dataclass

from bloomline.model.yard import Yard
from bloomline.plan.climate.garden import Garden
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.shop.buying import planned_layers
from bloomline.words import plural, tr


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


def stock_of(outlook: Outlook) -> dict[str, Stock]:
    """The cupboard of the yard that is looked at, counted once for all its weather years."""
    return _stock(outlook.usual)


@kept
def _stock(outlook: Outlook) -> dict[str, Stock]:
    return cupboard_of(outlook.yard, garden=outlook.garden)


def cupboard_of(yard: Yard, *, garden: Garden) -> dict[str, Stock]:
    """What lies in the cupboard by cultivar id, as the shopping list counts it."""
    planned: dict[str, int] = {}
    for pot, layer in planned_layers(yard, garden=garden):
        wanted = layer.count * pot.copies
        planned[layer.cultivar_id] = planned.get(layer.cultivar_id, 0) + wanted
    return {
        item.cultivar_id: Stock(item.count, planned.get(item.cultivar_id, 0))
        for item in yard.cupboard
    }


def left_words(stock: Stock) -> str:
    """What the plans leave of a kind in the cupboard, in one sentence."""
    if stock.left:
        return plural(
            "{n} bulb of this kind is left in the cupboard",
            "{n} bulbs of this kind are left in the cupboard",
            stock.left,
        )
    if stock.to_buy:
        return plural(
            "None is left in the cupboard, and {n} bulb is still to be bought",
            "None is left in the cupboard, and {n} bulbs are still to be bought",
            stock.to_buy,
        )
    return tr("That takes the last of this kind out of the cupboard")
