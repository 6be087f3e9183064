"""What a filling costs on top of what is on the shopping list already, by the list's own rules."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import MAX_BULBS, Pot, Yard
from bloomline.plan.pot.compost import COMPOSTS, bags_for, pot_compost
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.buying import ShoppingList, planned_layers, shopping_list
from bloomline.plan.shop.choices import price_of

_MANY_L = 5_000.0
_LEAST_SHARE = 0.85  # of a need that is paid for: some may be missing, bulbs take room


@dataclass(slots=True)
class Purse:
    """Reckons what more bulbs of a kind cost, and what filling pots costs."""

    outlook: Outlook
    before: ShoppingList = field(init=False)
    _needed: dict[str, int] = field(init=False, default_factory=dict)
    _costs: dict[tuple[str, int, int], list[Decimal] | None] = field(
        init=False, default_factory=dict
    )

    def __post_init__(self) -> None:
        """Count what is on the list."""
        self.outlook = self.outlook.usual
        self.before = shopping_list(self.outlook)
        for pot, layer in planned_layers(self.outlook.yard, garden=self.outlook.garden):
            known = self._needed.get(layer.cultivar_id, 0)
            self._needed[layer.cultivar_id] = known + layer.count * pot.copies

    def costs(self, kind: Cultivar, most: int, *, copies: int = 1) -> list[Decimal] | None:
        """What 0, 1, … `most` more bulbs cost, whole packs; None where the price is unknown.

        copies : equal pots that so many go into each.

        Bulbs that lie in the cupboard, or are spare in packs that are bought anyway, cost nothing.
        """
        most = min(most, MAX_BULBS)
        key = (kind.id, most, copies)
        if key not in self._costs:
            price = self.price(kind)
            self._costs[key] = (
                None if price is None else [price(copies * n) for n in range(most + 1)]
            )
        return self._costs[key]

    def price(self, kind: Cultivar) -> Callable[[int], Decimal] | None:
        """What so many more bulbs cost, as `costs` has it."""
        price, needed = price_of(kind, self.outlook.yard), self._needed.get(kind.id, 0)
        if price is None:
            return None
        now = price(needed)
        return lambda more: price(needed + more) - now

    def spare(self, kind: Cultivar) -> int:
        """Bulbs that lie in the cupboard and no layer takes."""
        stock = next((i.count for i in self.outlook.yard.cupboard if i.cultivar_id == kind.id), 0)
        return max(stock - self._needed.get(kind.id, 0), 0)

    def free(self, kind: Cultivar) -> int:
        """Bulbs that cost nothing: from the cupboard, or spare in packs that are bought anyway."""
        needed = self._needed.get(kind.id, 0)
        bought = next((b.spare for b in self.before.bulbs if b.cultivar_id == kind.id), None)
        if not needed or bought is None:
            return self.spare(kind)
        return max(bought, self.spare(kind))

    def least_filling(self, pot: Pot) -> float:
        """No less than this is paid for compost to fill a pot, or all of a bench, whatever else is.

        The composts of its mix, by the litre at the lowest price, less what may be missing of a
        need and what is at hand; materials that are bought by the handful don't count.
        """
        yard = self.outlook.yard
        fill = pot_compost(
            pot.model_copy(update={"layers": ()}), yard=yard, cultivar_of=self.outlook.cultivar_of
        )
        if yard.supplies.at_hand_l:
            return 0.0
        total = 0.0
        for material, litres in fill.parts_l:
            (line,) = bags_for({material: _MANY_L}, yard=yard)
            if material in COMPOSTS and line.cost is not None and line.bought_l > 0.0:
                paid = litres * fill.copies * float(line.cost) / line.bought_l
                total += _LEAST_SHARE * paid
        return total

    def filling(self, yard: Yard, *, bulbs_only: bool) -> tuple[Decimal, ShoppingList]:
        """What a yard costs more than the one as it is, and its list."""
        after = shopping_list(self.outlook.what_if(yard=yard))
        if bulbs_only:
            return after.bulbs_total - self.before.bulbs_total, after
        return after.total - self.before.total, after

    def unpriced(self, after: ShoppingList) -> tuple[str, ...]:
        """What was added that has no price."""
        return tuple(each for each in after.unpriced if each not in self.before.unpriced)


def plain_pot(pot: Pot) -> tuple[object, ...]:
    """What of a pot decides which bulbs fit, how they grow, and what filling it costs.

    Equal for pots that are alike.
    """
    values = pot.model_dump(
        include={
            "shape",
            "top_width_cm",
            "bottom_width_cm",
            "top_length_cm",
            "bottom_length_cm",
            "inside_height_cm",
            "wall_cm",
            "material",
            "site",
            "sheltered_from",
            "sheltered_until",
            "crocks_cm",
            "top_dressing",
            "top_dressing_cm",
            "rim_gap_cm",
            "successive",
            "compost_recipe",
            "copies",
        }
    )
    return tuple(values.values())
