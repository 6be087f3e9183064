"""What a part of the yard adds to the shopping list: the list with it less the list without it.

Packs and bags are shared between pots, so that a part has no price by itself; what the list would
be without it is what its price means, and the sums are the list's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from bloomline.model.companion_edits import remove_companion
from bloomline.model.edits import remove_layer, remove_pot
from bloomline.model.money import written
from bloomline.model.yard import Yard
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.shop.budget_words import state_words
from bloomline.plan.shop.buying import ShoppingList, shopping_list
from bloomline.words import listed, tr

_MOST_NAMED = 2


@dataclass(frozen=True, slots=True)
class PartPrice:
    """What a part adds to the list.

    cost : in the currency of `shopping`, which is the list with the part. unpriced : what of it
    has no known price, and so is not in the cost. is_typical : some of its prices are typical ones.
    """

    cost: Decimal
    unpriced: tuple[str, ...]
    is_typical: bool
    shopping: ShoppingList


def price_between(without: ShoppingList, shopping: ShoppingList) -> PartPrice:
    """What the second list has more than the first."""
    before = {(line.cultivar_id, line.packs) for line in without.bulbs}
    bags = {(line.material, line.bags) for line in without.bags}
    is_typical = any(
        line.basis == "typical" and (line.cultivar_id, line.packs) not in before
        for line in shopping.bulbs
    ) or any(
        line.basis == "typical" and (line.material, line.bags) not in bags for line in shopping.bags
    )
    known = set(without.unpriced)
    return PartPrice(
        cost=shopping.total - without.total,
        unpriced=tuple(name for name in shopping.unpriced if name not in known),
        is_typical=is_typical,
        shopping=shopping,
    )


@kept
def part_price(outlook: Outlook, part_id: str) -> PartPrice:
    """What a pot, a layer or companions add to the list. Raises UnknownNameError."""
    without = outlook.what_if(yard=_without(outlook.yard, part_id))
    return price_between(shopping_list(without), shopping_list(outlook))


def _without(yard: Yard, part_id: str) -> Yard:
    if any(pot.id == part_id for pot in yard.pots):
        return remove_pot(yard, part_id)
    if any(layer.id == part_id for _, layer in yard.layers()):
        return remove_layer(yard, part_id)
    return remove_companion(yard, part_id)


def price_words(price: PartPrice) -> str:
    """What a part adds: "£4.50 (typical price)"; what has no price is named."""
    shopping = price.shopping
    amount = written(price.cost, currency=shopping.currency)
    if price.unpriced:
        names = [*price.unpriced[:_MOST_NAMED]]
        if len(price.unpriced) > _MOST_NAMED:
            names.append(tr("others"))
        if not price.cost:
            return tr("no price is known for {names}", names=listed(names))
        return tr("{amount}, and no price is known for {names}", amount=amount, names=listed(names))
    if not price.cost:
        return tr("nothing more to buy")
    return tr("{amount} (typical price)", amount=amount) if price.is_typical else amount


def money_words(shopping: ShoppingList) -> str:
    """The whole list against the budget, in one line."""
    total = written(shopping.total, currency=shopping.currency)
    if shopping.budget is None:
        return tr("Shopping list {total}; no budget is set", total=total)
    return tr(
        "Shopping list {total} of {budget}: {state}",
        total=total,
        budget=written(shopping.budget, currency=shopping.currency),
        state=state_words(shopping),
    )
