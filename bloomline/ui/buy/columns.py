"""The columns of the lists: bulbs, bags, pots to buy, and what every pot weighs."""

from __future__ import annotations

from decimal import Decimal

from bloomline.engine.weight import Range
from bloomline.model.money import plain, rounded, sign_of
from bloomline.plan.pot.compost import BagLine
from bloomline.plan.pot.lifting import Handling, handling_of, lifting_advice
from bloomline.plan.pot.weight import PotWeight
from bloomline.plan.shop.bulb_lines import BulbLine
from bloomline.plan.shop.buying import PotLine
from bloomline.plan.shop.words import bags_words, left_words
from bloomline.plan.tops.plants_to_buy import PlantLine
from bloomline.plan.words.benches import pot_words, times_words
from bloomline.reference.catalogue import Catalogue
from bloomline.ui.buy.changes import offer_of
from bloomline.ui.buy.jobs import ListedNeeds
from bloomline.ui.buy.model import Column
from bloomline.ui.units import Units, units_of
from bloomline.words import number_words, short_day_words, short_span_words, tr


def basis_words(basis: str) -> str:
    """Where a price comes from, in words."""
    return {
        "own": tr("yours"),
        "typical": tr("typical ~"),
        "unknown": tr("not known"),
        "nothing to buy": tr("nothing to buy"),
    }.get(basis, basis)


def money_words(cost: Decimal | None, currency: str) -> str:
    """An amount without its currency, or a question mark."""
    if cost is None:
        return "?"
    return plain(rounded(cost, currency=currency), currency=currency)


def _count(number: int) -> str:
    return number_words(number) if number else "–"


def _litres(volume_l: float) -> str:
    return number_words(volume_l, 0 if volume_l >= 10 else 1)


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
        return short_day_words(line.order_by) if line.to_buy else "–"

    def plant(line: BulbLine) -> str:
        return short_span_words(*line.window)

    names = {pot.id: pot_words(pot) for pot in yard.pots}

    def where(line: BulbLine) -> str:
        return f"{line.name}: {', '.join(names[pot_id] for pot_id in line.pot_ids)}"

    return (
        Column("name", tr("Bulbs"), lambda line: line.name, tip=where),
        Column("needed", tr("Wanted"), lambda line: _count(line.needed), right=True),
        Column(
            "stock",
            tr("Cupboard"),
            lambda line: _count(line.in_cupboard),
            right=True,
            editable=_always,
            typed=lambda line: str(line.in_cupboard or ""),
            tip=lambda _line: tr("How many are there already; type to change"),
        ),
        Column("to_buy", tr("To buy"), lambda line: _count(line.to_buy), right=True),
        Column("packs", tr("Packs"), packs, right=True),
        Column("spare", tr("Spare"), lambda line: _count(line.spare), right=True),
        Column(
            "pack",
            tr("In a pack"),
            pack,
            right=True,
            editable=_always,
            tip=lambda _line: tr("Bulbs in a pack; type to change"),
        ),
        Column(
            "price",
            tr("Price, {currency}", currency=sign_of(currency)),
            price,
            right=True,
            editable=_always,
            typed=typed_price,
            tip=lambda _line: tr("What a pack costs you; emptied, the typical price counts again"),
        ),
        Column(
            "cost",
            tr("Together"),
            lambda line: money_words(line.cost, currency),
            right=True,
        ),
        Column("basis", tr("Price is"), basis, muted=True),
        Column("order", tr("Order by"), order),
        Column("plant", tr("Plant"), plant, muted=True),
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
        Column("label", tr("Material"), lambda line: line.label),
        Column("need", tr("Needed, L"), lambda line: _litres(line.need_l), right=True),
        Column(
            "have",
            tr("At hand, L"),
            at_hand,
            right=True,
            editable=_always,
            typed=typed_at_hand,
            tip=lambda _line: tr("How much is there already; type to change"),
        ),
        Column("bags", tr("Bags"), bags_words),
        Column("left", tr("Left over, L"), left_words, right=True),
        Column(
            "price",
            tr("A bag, {currency}", currency=sign_of(currency)),
            price,
            right=True,
            editable=lambda line: bool(line.keys),
            typed=typed,
            tip=lambda _line: tr("What a bag costs you; for bags of several sizes as 4.50 + 8.50"),
        ),
        Column(
            "cost",
            tr("Together"),
            lambda line: money_words(line.cost, currency),
            right=True,
        ),
        Column(
            "basis",
            tr("Price is"),
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
        Column("count", tr("To buy"), lambda line: _count(line.count), right=True),
        Column(
            "price",
            tr("Price, {currency}", currency=sign_of(currency)),
            price,
            right=True,
            editable=_always,
            typed=typed,
            tip=lambda _line: price_tip,
        ),
        Column("cost", tr("Together"), cost, right=True),
    )


def plant_columns(currency: str) -> tuple[Column, ...]:
    """Columns of the companions for the tops of pots."""

    def label(line: PlantLine) -> str:
        return line.label

    tip = tr("What one plant costs you; type to change")
    return (
        Column("label", tr("Plants"), label),
        *_bought_columns(currency, tip),
        Column("set_out", tr("Set out"), lambda line: short_day_words(line.set_out)),
    )


def pot_columns(currency: str) -> tuple[Column, ...]:
    """Columns of the pots that are still to be bought."""

    def label(line: PotLine) -> str:
        return line.label

    tip = tr("What one pot costs you; type to change")
    return (Column("label", tr("Pots"), label), *_bought_columns(currency, tip))


def _span(mass: Range, units: Units) -> str:
    low, high = (units.mass(kg, decimals=0) for kg in (mass.low, mass.high))
    number, _, unit = low.rpartition(" ")
    return low if low == high else f"{number}–{high}" if high.endswith(unit) else f"{low}–{high}"


def lifting_words(weight: PotWeight) -> str:
    """Who can lift a pot when it is watered, in a few words."""
    words: dict[Handling, str] = {
        "one": tr("one person"),
        "one-close": tr("one person, close to the body, from the knees"),
        "two": tr("two people or a trolley"),
        "two-or-trolley": tr("two people or a trolley"),
        "fill-in-place": tr("fill it in its place; trolley only"),
        "stays": tr("can't be carried: fill it where it stays"),
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
        Column("pot", tr("Pot"), lambda weight: times_words(weight.pot_name, weight.copies)),
        Column(
            "compost",
            tr("Compost, L"),
            lambda weight: _litres(weight.compost.loose_l),
            right=True,
        ),
        Column(
            "mix",
            tr("Mix by volume"),
            lambda weight: tr(weight.compost.recipe.label),
            muted=True,
        ),
        Column("crocks", tr("Crocks, L"), crocks, right=True),
        Column("dry", tr("Dry"), lambda weight: _span(weight.dry_kg, units), right=True),
        Column(
            "wet",
            tr("Watered"),
            lambda weight: _span(weight.wet_kg, units),
            right=True,
        ),
        Column("lift", tr("Lifting"), lifting_words, tip=tip),
    )
