"""A price list laid over a yard's own prices, and one made of the prices in use."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from bloomline.errors import BloomlineError
from bloomline.model.store import Price
from bloomline.model.store_edits import set_prices
from bloomline.model.yard import Yard
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.bulb_lines import offers_for
from bloomline.plan.shop.buying import shopping_list
from bloomline.words import tr


def id_finder(outlook: Outlook) -> Callable[[str], str]:
    """Finds the id of a cultivar by an id or a name; it raises UnknownNameError."""
    return lambda text: outlook.kinds.find(text).id


def name_finder(outlook: Outlook) -> Callable[[str], str]:
    """Finds the name of a cultivar by its id; nothing for one that is not known."""

    def name_of(cultivar_id: str) -> str:
        try:
            return outlook.cultivar_of(cultivar_id).name
        except BloomlineError:
            return ""

    return name_of


def with_prices(yard: Yard, prices: Iterable[Price]) -> Yard:
    """The yard with a price list laid over its own: all packs of a cultivar told are replaced."""
    told = tuple(prices)
    ids = {price.cultivar_id for price in told}
    kept = [price for price in yard.prices if price.cultivar_id not in ids]
    return set_prices(yard, [*kept, *told])


def prices_in_use(outlook: Outlook) -> tuple[list[Price], int]:
    """The yard's own prices and those in use of all on the list; how many are not known.

    A price that is not known stands as 0 and its note says so.
    """
    yard = outlook.yard
    prices = list(yard.prices)
    priced = {price.cultivar_id for price in prices}
    unknown = 0
    for line in shopping_list(outlook).bulbs:
        if line.cultivar_id in priced:
            continue
        offers, basis = offers_for(outlook.cultivar_of(line.cultivar_id), yard)
        for offer in offers:
            unknown += offer.price is None
            prices.append(
                Price(
                    cultivar_id=line.cultivar_id,
                    pack=offer.size,
                    price=float(offer.price or 0),
                    note=tr("typical, from memory")
                    if basis == "typical"
                    else tr("fill in the price"),
                )
            )
    return prices, unknown
