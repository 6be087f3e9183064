"""The columns of the lists: bulbs, bags, pots to buy, and what every pot weighs."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import QCoreApplication, QLocale

from bloomline.engine.weight import Range
from bloomline.model.money import plain, rounded, sign_of
from bloomline.plan.pot.compost import BagLine
from bloomline.plan.pot.lifting import Handling, handling_of, lifting_advice
from bloomline.plan.pot.weight import PotWeight
from bloomline.plan.shop.buying import BulbLine, PotLine
from bloomline.plan.shop.words import bags_words, left_words
from bloomline.plan.tops.plants_to_buy import PlantLine
from bloomline.reference.catalogue import Catalogue
from bloomline.ui.buy.changes import offer_of
from bloomline.ui.buy.jobs import ListedNeeds
from bloomline.ui.buy.model import Column
from bloomline.ui.page_kit import day_words, span_words
from bloomline.ui.units import Units, units_of

translate = QCoreApplication.translate


def basis_words(basis: str) -> str:
    """Where a price comes from, in words."""
    return {
        "own": translate("buy", "yours"),
        "typical": translate("buy", "typical ~"),
        "unknown": translate("buy", "not known"),
        "nothing to buy": translate("buy", "nothing to buy"),
    }.get(basis, basis)


def money_words(cost: Decimal | None, currency: str) -> str:
    """An amount without its currency, or a question mark."""
    if cost is None:
        return "?"
    return plain(rounded(cost, currency=currency), currency=currency)


def _count(number: int) -> str:
    return QLocale().toString(number) if number else "–"


def _litres(volume_l: float) -> str:
    return QLocale().toString(volume_l, "f", 0 if volume_l >= 10 else 1)


def _always(_line: object) -> bool:
    return True


def bulb_columns(listed: ListedNeeds, *, catalogue: Catalogue) -> tuple[Column, ...]:
    """Columns of the bulbs."""
    yard, currency = listed.yard, listed.shopping.currency

    def pack(line: BulbLine) -> str:
        return str(offer_of(line, yard, catalogue=catalogue)[0].size)

    def price(line: BulbLine) -> str:
        return money_words(offer_of(line, yard, catalogue=catalogue)[0].price, currency)

    def typed_price(line: BulbLine) -> str:
        found = offer_of(line, yard, catalogue=catalogue)[0].price
        return "" if found is None else plain(found, currency=currency)

    def basis(line: BulbLine) -> str:
        return basis_words(offer_of(line, yard, catalogue=catalogue)[1])

    def packs(line: BulbLine) -> str:
        return " + ".join(f"{n} × {size}" for size, n in line.packs) or "–"

    def order(line: BulbLine) -> str:
        return day_words(line.order_by) if line.to_buy else "–"

    def plant(line: BulbLine) -> str:
        return span_words(*line.window)

    names = {pot.id: pot.name for pot in yard.pots}

    def where(line: BulbLine) -> str:
        return f"{line.name}: {', '.join(names[pot_id] for pot_id in line.pot_ids)}"

    return (
        Column("name", translate("buy", "Bulbs"), lambda line: line.name, tip=where),
        Column("needed", translate("buy", "Wanted"), lambda line: _count(line.needed), right=True),
        Column(
            "stock",
            translate("buy", "Cupboard"),
            lambda line: _count(line.in_cupboard),
            right=True,
            editable=_always,
            typed=lambda line: str(line.in_cupboard or ""),
            tip=lambda _line: translate("buy", "How many are there already; type to change"),
        ),
        Column("to_buy", translate("buy", "To buy"), lambda line: _count(line.to_buy), right=True),
        Column("packs", translate("buy", "Packs"), packs, right=True),
        Column("spare", translate("buy", "Spare"), lambda line: _count(line.spare), right=True),
        Column(
            "pack",
            translate("buy", "In a pack"),
            pack,
            right=True,
            editable=_always,
            tip=lambda _line: translate("buy", "Bulbs in a pack; type to change"),
        ),
        Column(
            "price",
            translate("buy", "Price, {currency}").format(currency=sign_of(currency)),
            price,
            right=True,
            editable=_always,
            typed=typed_price,
            tip=lambda _line: translate(
                "buy", "What a pack costs you; emptied, the typical price counts again"
            ),
        ),
        Column(
            "cost",
            translate("buy", "Together"),
            lambda line: money_words(line.cost, currency),
            right=True,
        ),
        Column("basis", translate("buy", "Price is"), basis, muted=True),
        Column("order", translate("buy", "Order by"), order),
        Column("plant", translate("buy", "Plant"), plant, muted=True),
    )


def bag_columns(listed: ListedNeeds) -> tuple[Column, ...]:
    """Columns of compost, grit and top dressing."""
    currency = listed.shopping.currency

    def price(line: BagLine) -> str:
        return " + ".join(money_words(each, currency) for each in line.prices) or "–"

    def typed(line: BagLine) -> str:
        known = ["" if each is None else plain(each, currency=currency) for each in line.prices]
        return " + ".join(known) if any(known) else ""

    def at_hand(line: BagLine) -> str:
        return _litres(line.at_hand_l) if line.at_hand_l else "–"

    def typed_at_hand(line: BagLine) -> str:
        return f"{line.at_hand_l:g}" if line.at_hand_l else ""

    return (
        Column("label", translate("buy", "Material"), lambda line: line.label),
        Column(
            "need", translate("buy", "Needed, L"), lambda line: _litres(line.need_l), right=True
        ),
        Column(
            "have",
            translate("buy", "At hand, L"),
            at_hand,
            right=True,
            editable=_always,
            typed=typed_at_hand,
            tip=lambda _line: translate("buy", "How much is there already; type to change"),
        ),
        Column("bags", translate("buy", "Bags"), bags_words),
        Column("left", translate("buy", "Left over, L"), left_words, right=True),
        Column(
            "price",
            translate("buy", "A bag, {currency}").format(currency=sign_of(currency)),
            price,
            right=True,
            editable=lambda line: bool(line.keys),
            typed=typed,
            tip=lambda _line: translate(
                "buy", "What a bag costs you; for bags of several sizes as 4.50 + 8.50"
            ),
        ),
        Column(
            "cost",
            translate("buy", "Together"),
            lambda line: money_words(line.cost, currency),
            right=True,
        ),
        Column(
            "basis",
            translate("buy", "Price is"),
            lambda line: basis_words(line.basis),
            muted=True,
            tip=lambda line: line.source,
        ),
    )


def _bought_columns(currency: str, price_tip: str) -> tuple[Column, ...]:
    """Number, price and cost of what has no typical price."""

    def price(line: PlantLine | PotLine) -> str:
        return money_words(line.price, currency)

    def typed(line: PlantLine | PotLine) -> str:
        return "" if line.price is None else plain(line.price, currency=currency)

    def cost(line: PlantLine | PotLine) -> str:
        return money_words(line.cost, currency)

    return (
        Column("count", translate("buy", "To buy"), lambda line: _count(line.count), right=True),
        Column(
            "price",
            translate("buy", "Price, {currency}").format(currency=sign_of(currency)),
            price,
            right=True,
            editable=_always,
            typed=typed,
            tip=lambda _line: price_tip,
        ),
        Column("cost", translate("buy", "Together"), cost, right=True),
    )


def plant_columns(currency: str) -> tuple[Column, ...]:
    """Columns of the companions for the tops of pots."""

    def label(line: PlantLine) -> str:
        return line.label

    tip = translate("buy", "What one plant costs you; type to change")
    return (
        Column("label", translate("buy", "Plants"), label),
        *_bought_columns(currency, tip),
        Column("set_out", translate("buy", "Set out"), lambda line: day_words(line.set_out)),
    )


def pot_columns(currency: str) -> tuple[Column, ...]:
    """Columns of the pots that are still to be bought."""

    def label(line: PotLine) -> str:
        return line.label

    tip = translate("buy", "What one pot costs you; type to change")
    return (Column("label", translate("buy", "Pots"), label), *_bought_columns(currency, tip))


def _span(mass: Range, units: Units) -> str:
    low, high = (units.mass(kg, decimals=0) for kg in (mass.low, mass.high))
    number, _, unit = low.rpartition(" ")
    return low if low == high else f"{number}–{high}" if high.endswith(unit) else f"{low}–{high}"


def lifting_words(weight: PotWeight) -> str:
    """Who can lift a pot when it is watered, in a few words."""
    words: dict[Handling, str] = {
        "one": translate("buy", "one person"),
        "one-close": translate("buy", "one person, close to the body, from the knees"),
        "two": translate("buy", "two people or a trolley"),
        "two-or-trolley": translate("buy", "two people or a trolley"),
        "fill-in-place": translate("buy", "fill it in its place; trolley only"),
        "stays": translate("buy", "can't be carried: fill it where it stays"),
    }
    return words[handling_of(weight)]


def weight_columns(listed: ListedNeeds) -> tuple[Column, ...]:
    """Columns of what the pots hold and weigh."""
    units = units_of(listed.yard)

    def tip(weight: PotWeight) -> str:
        found = lifting_advice(weight, mass=lambda kg: units.mass(kg, decimals=0))
        return "\n".join(f"{each.message} {each.reason}" for each in found)

    def crocks(weight: PotWeight) -> str:
        volume = weight.compost.volumes.crocks_l
        return _litres(volume) if volume else "–"

    return (
        Column("pot", translate("buy", "Pot"), lambda weight: weight.pot_name),
        Column(
            "compost",
            translate("buy", "Compost, L"),
            lambda weight: _litres(weight.compost.loose_l),
            right=True,
        ),
        Column(
            "mix",
            translate("buy", "Mix by volume"),
            lambda weight: weight.compost.recipe.label,
            muted=True,
        ),
        Column("crocks", translate("buy", "Crocks, L"), crocks, right=True),
        Column(
            "dry", translate("buy", "Dry"), lambda weight: _span(weight.dry_kg, units), right=True
        ),
        Column(
            "wet",
            translate("buy", "Watered"),
            lambda weight: _span(weight.wet_kg, units),
            right=True,
        ),
        Column("lift", translate("buy", "Lifting"), lifting_words, tip=tip),
    )
