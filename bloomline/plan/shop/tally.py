"""What a list comes to while its layers change one after the other, without a new list each time.

What a layer adds is reckoned as `buying` does it, kind by kind and pot by pot; only kinds and pots
that a change touches are reckoned anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from bloomline.model.revising import given
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.pot.compost import PotCompost, bag_lines, kinds_of_compost
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.bulb_lines import cost_of_bulbs
from bloomline.plan.shop.buying import PlantingSeason, ShoppingList

LayerChange = Mapping[str, str | int] | None
"""Kind or number of bulbs that a layer is to have; None leaves it out."""


def with_layers(yard: Yard, changes: Mapping[str, Mapping[str, str | int]]) -> Yard:
    """A yard with other kinds and numbers in layers, as `edits.change_layers` makes it.

    For values that need no check: kinds that are known, and fewer bulbs than there were.
    """

    def changed(pot: Pot) -> Pot:
        if not any(layer.id in changes for layer in pot.layers):
            return pot
        layers = [
            given(layer, changes[layer.id]) if layer.id in changes else layer
            for layer in pot.layers
        ]
        return given(pot, {"layers": tuple(layers)})

    return yard.model_copy(update={"pots": tuple(map(changed, yard.pots))})


class Tally:
    """The total of a list and its bulbs, kept up with every change."""

    def __init__(self, outlook: Outlook, shopping: ShoppingList) -> None:
        """Begin with the list of the outlook's yard."""
        yard = outlook.yard
        self._outlook = outlook
        self._season = PlantingSeason.of(yard, garden=outlook.garden)
        self._stock = {item.cultivar_id: item.count for item in yard.cupboard}
        self._fixed = shopping.plants_total + shopping.pots_total
        self._needed = {line.cultivar_id: line.needed for line in shopping.bulbs}
        self._costs = {line.cultivar_id: line.cost for line in shopping.bulbs}
        self._composts = kinds_of_compost(yard=yard, cultivar_of=outlook.cultivar_of)
        self._fills: dict[str, PotCompost | None] = dict.fromkeys(pot.id for pot in yard.pots)
        self._fills |= {fill.pot_id: fill for fill in shopping.fills}
        self._pots = {layer.id: pot for pot, layer in yard.layers()}
        self._layers = {pot.id: {layer.id: layer for layer in pot.layers} for pot in yard.pots}

    @property
    def bulbs(self) -> int:
        """Bulbs that are wanted."""
        return sum(self._needed.values())

    def total(self) -> Decimal:
        """What everything costs that has a price."""
        fills = [fill for fill in self._fills.values() if fill is not None]
        costs = [line.cost for line in bag_lines(fills, yard=self._outlook.yard)]
        costs += self._costs.values()
        return self._fixed + sum((cost for cost in costs if cost is not None), Decimal(0))

    def change(self, changes: Mapping[str, LayerChange]) -> None:
        """Give layers other values, by their ids, or leave them out."""
        pots: dict[str, Pot] = {}
        kinds: set[str] = set()
        for layer_id, values in changes.items():
            pot = pots[self._pots[layer_id].id] = self._pots[layer_id]
            layers = self._layers[pot.id]
            old = layers[layer_id]
            kinds.add(self._count(old, -pot.copies))
            if values is None:
                del layers[layer_id]
            else:
                layers[layer_id] = given(old, values)
                kinds.add(self._count(layers[layer_id], pot.copies))
        for cultivar_id in kinds:
            to_buy = max(self._needed[cultivar_id] - self._stock.get(cultivar_id, 0), 0)
            cultivar = self._outlook.cultivar_of(cultivar_id)
            self._costs[cultivar_id] = cost_of_bulbs(cultivar, to_buy, yard=self._outlook.yard)
        for pot_id, pot in pots.items():
            now = tuple(self._layers[pot_id].values())
            self._fills[pot_id] = self._composts.of(pot, now) if self._season.fills(now) else None

    def _count(self, layer: Layer, times: int) -> str:
        wanted = layer.count * times if self._season.plans(layer) else 0
        self._needed[layer.cultivar_id] = self._needed.get(layer.cultivar_id, 0) + wanted
        return layer.cultivar_id
