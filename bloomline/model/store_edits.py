"""Changes to the cupboard, the prices, the compost, and to the depths of a whole pot.

Pure functions as in `bloomline.model.edits`; a pot's own mix and whether it is still to be
bought are fields of the pot (`edits.change_pot`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bloomline.errors import EditRefusedError
from bloomline.model.revising import pot_index, revise, with_pot
from bloomline.model.store import InStock, Price
from bloomline.model.yard import Yard, unknown


def set_cupboard(yard: Yard, stock: Sequence[InStock]) -> Yard:
    """Replace what lies in the cupboard."""
    return revise(yard, {"cupboard": tuple(stock)})


def set_stock(yard: Yard, cultivar_id: str, count: int, *, note: str | None = None) -> Yard:
    """Say how many bulbs of a cultivar lie in the cupboard; none takes it out.

    A note of None keeps the one that is there. Raises EditRefusedError for a count below zero.
    """
    if count < 0:
        raise EditRefusedError(f"there can't be {count} bulbs in the cupboard")
    stock = list(yard.cupboard)
    at = next((i for i, item in enumerate(stock) if item.cultivar_id == cultivar_id), None)
    if count == 0:
        kept = [item for item in stock if item.cultivar_id != cultivar_id]
        return set_cupboard(yard, kept)
    if at is None:
        made = InStock.model_construct(cultivar_id=cultivar_id, count=1, note="")
        stock.append(revise(made, {"cultivar_id": cultivar_id, "count": count, "note": note or ""}))
    else:
        changes: dict[str, object] = {"count": count}
        if note is not None:
            changes["note"] = note
        stock[at] = revise(stock[at], changes)
    return set_cupboard(yard, stock)


def set_prices(yard: Yard, prices: Sequence[Price]) -> Yard:
    """Replace the price list."""
    return revise(yard, {"prices": tuple(prices)})


def set_price(yard: Yard, price: Price) -> Yard:
    """Say what a pack of a cultivar costs, in place of what it cost before."""
    prices = list(yard.prices)
    for at, old in enumerate(prices):
        if (old.cultivar_id, old.pack) == (price.cultivar_id, price.pack):
            prices[at] = price
            return set_prices(yard, prices)
    return set_prices(yard, [*prices, price])


def remove_price(yard: Yard, cultivar_id: str, pack: int) -> Yard:
    """Take a price out of the list. Raises UnknownNameError."""
    wanted = (cultivar_id, pack)
    kept = [price for price in yard.prices if (price.cultivar_id, price.pack) != wanted]
    if len(kept) == len(yard.prices):
        known = [f"{price.pack} × {price.cultivar_id}" for price in yard.prices]
        raise unknown("price", f"{pack} × {cultivar_id}", known)
    return set_prices(yard, kept)


def change_supplies(yard: Yard, **fields: object) -> Yard:
    """Change the usual mix, the size of compost bags or the prices of bags."""
    return revise(yard, {"supplies": revise(yard.supplies, fields)}, links=False)


def set_bag_price(yard: Yard, bag_id: str, price: float | None) -> Yard:
    """Say what a bag costs; None takes the price back."""
    return change_supplies(yard, bag_prices=_with(yard.supplies.bag_prices, {bag_id: price}))


def set_pot_prices(yard: Yard, pot_ids: Sequence[str], price: float | None) -> Yard:
    """Say what each of some pots costs that are to be bought; None takes the prices back."""
    prices = _with(yard.supplies.pot_prices, dict.fromkeys(pot_ids, price))
    return change_supplies(yard, pot_prices=prices)


def set_plant_price(yard: Yard, companion_id: str, price: float | None) -> Yard:
    """Say what one plant of a companion costs; None takes the price back."""
    prices = _with(yard.supplies.plant_prices, {companion_id: price})
    return change_supplies(yard, plant_prices=prices)


def set_at_hand(yard: Yard, material: str, litres: float | None) -> Yard:
    """Say how much of a material lies there already [L]; None or 0 for nothing."""
    return change_supplies(
        yard, at_hand_l=_with(yard.supplies.at_hand_l, {material: litres or None})
    )


def _with(kept: Mapping[str, float], changes: Mapping[str, float | None]) -> dict[str, float]:
    both = {**kept, **changes}
    return {name: value for name, value in both.items() if value is not None}


def set_covers(yard: Yard, pot_id: str, covers: Mapping[str, float]) -> Yard:
    """Lay all layers of a pot at new depths, the deepest first in its list.

    Layers left out keep their depth. Raises UnknownNameError for a layer that isn't there.
    """
    at = pot_index(yard, pot_id)
    pot = yard.pots[at]
    ids = [layer.id for layer in pot.layers]
    for layer_id in covers:
        if layer_id not in ids:
            raise unknown("layer", layer_id, ids)
    laid = [
        revise(layer, {"cover_cm": covers.get(layer.id, layer.cover_cm)}) for layer in pot.layers
    ]
    # Layers told together lie in the order told where their depths are the same.
    told = {layer_id: place for place, layer_id in enumerate(covers)}
    laid.sort(key=lambda layer: (-layer.cover_cm, told.get(layer.id, len(told))))
    return with_pot(yard, at, revise(pot, {"layers": tuple(laid)}))
