"""What typing into the lists does to the yard: pure functions from a yard to a new one."""

from __future__ import annotations

from bloomline.errors import EditRefusedError
from bloomline.model.money import without_sign
from bloomline.model.store import Price
from bloomline.model.store_edits import (
    remove_price,
    set_at_hand,
    set_bag_price,
    set_plant_price,
    set_pot_prices,
    set_price,
    set_stock,
)
from bloomline.model.yard import Yard
from bloomline.plan.pot.compost import BagLine
from bloomline.plan.pot.packs import Offer
from bloomline.plan.season.outlook import find_cultivar
from bloomline.plan.shop.bulb_lines import Basis, BulbLine, offers_for
from bloomline.plan.shop.buying import PotLine
from bloomline.plan.tops.plants_to_buy import PlantLine
from bloomline.reference.catalogue import Catalogue

_TYPICAL = "typical, from memory"


def offer_of(line: BulbLine, yard: Yard, *, catalogue: Catalogue) -> tuple[Offer, Basis]:
    """The pack that a line is about: the largest one taken, else the first that can be had."""
    cultivar = find_cultivar(yard, line.cultivar_id, catalogue=catalogue)
    offers, basis = offers_for(cultivar, yard)
    taken = line.packs[0][0] if line.packs else None
    return next((offer for offer in offers if offer.size == taken), offers[0]), basis


def type_stock(yard: Yard, line: BulbLine, text: str) -> Yard:
    """Say how many bulbs lie in the cupboard; nothing typed is none."""
    return set_stock(yard, line.cultivar_id, whole(text) if text else 0)


def type_pack(yard: Yard, line: BulbLine, text: str, *, catalogue: Catalogue) -> Yard:
    """Say how many bulbs are in a pack, at the price of the pack before."""
    offer, basis = offer_of(line, yard, catalogue=catalogue)
    if offer.price is None:
        raise EditRefusedError("enter the price of a pack first, then how many bulbs are in it")
    note = _TYPICAL
    if basis == "own":
        note = _note(yard, line, offer.size)
        yard = remove_price(yard, line.cultivar_id, offer.size)
    return set_price(yard, _price(line, whole(text), float(offer.price), note))


def type_price(yard: Yard, line: BulbLine, text: str, *, catalogue: Catalogue) -> Yard:
    """Say what a pack costs; nothing typed takes one's own price back."""
    offer, basis = offer_of(line, yard, catalogue=catalogue)
    if not text:
        return remove_price(yard, line.cultivar_id, offer.size) if basis == "own" else yard
    # What the price was before says nothing about the one that is typed now.
    note = _note(yard, line, offer.size) if basis == "own" else ""
    return set_price(
        yard,
        _price(
            line, offer.size, amount(text, currency=yard.money.currency), note.replace(_TYPICAL, "")
        ),
    )


def type_bag_price(yard: Yard, line: BagLine, text: str) -> Yard:
    """Say what bags cost, one amount a size: "4.50 + 8.50". Nothing typed takes them back."""
    currency = yard.money.currency
    told = [part.strip() for part in text.split("+")] if text else [""] * len(line.keys)
    if len(told) != len(line.keys):
        sizes = " + ".join(label for label, _ in line.bags)
        raise EditRefusedError(f"one price for each of these is wanted: {sizes}")
    for key, part in zip(line.keys, told, strict=True):
        yard = set_bag_price(yard, key, amount(part, currency=currency) if part else None)
    return yard


def type_at_hand(yard: Yard, line: BagLine, text: str) -> Yard:
    """Say how many litres of a material lie there already; nothing typed is none."""
    return set_at_hand(yard, line.material, amount(text) if text else None)


def type_plant_price(yard: Yard, line: PlantLine, text: str) -> Yard:
    """Say what one plant costs; nothing typed takes the price back."""
    price = amount(text, currency=yard.money.currency) if text else None
    return set_plant_price(yard, line.companion_id, price)


def type_pot_price(yard: Yard, line: PotLine, text: str) -> Yard:
    """Say what one pot of a make costs; nothing typed takes the price back."""
    price = amount(text, currency=yard.money.currency) if text else None
    return set_pot_prices(yard, line.pot_ids, price)


def whole(text: str) -> int:
    """A whole number as typed. Raises EditRefusedError."""
    try:
        return int(text.replace(" ", "").replace("\u202f", ""))
    except ValueError:
        raise EditRefusedError(f"“{text[:20]}” is not a whole number") from None


def amount(text: str, *, currency: str = "GBP") -> float:
    """An amount as typed, with a point or a comma and with or without its currency: £4.95.

    Raises EditRefusedError.
    """
    plain = without_sign(text, currency=currency).replace(" ", "")
    if "," in plain and "." not in plain:
        plain = plain.replace(",", ".")
    try:
        value = float(plain)
    except ValueError:
        raise EditRefusedError(f"“{text[:20]}” is not an amount like 4.95") from None
    if not 0 <= value <= 1_000_000 or round(value, 4) != value:
        raise EditRefusedError(f"“{text[:20]}” is not an amount from 0 to 1,000,000")
    return value


def _note(yard: Yard, line: BulbLine, pack: int) -> str:
    wanted = (line.cultivar_id, pack)
    found = (each.note for each in yard.prices if (each.cultivar_id, each.pack) == wanted)
    return next(found, "")


def _price(line: BulbLine, pack: int, price: float, note: str) -> Price:
    if not 1 <= pack <= 10_000:
        raise EditRefusedError("a pack holds 1 to 10,000 bulbs")
    return Price(cultivar_id=line.cultivar_id, pack=pack, price=price, note=note)
