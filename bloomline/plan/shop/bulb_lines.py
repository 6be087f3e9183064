"""The bulbs on a shopping list: which packs of each kind, for how much, and when.

Packs are taken the cheapest way and their spare bulbs are counted. Prices are the gardener's own
where there are any, else typical ones from the catalogue.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

import numpy as np

from bloomline.model.cultivar import Cultivar
from bloomline.model.money import exact, rounded
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.reference_garden import axis_day
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.planting_day import order_by, usual_planting_day
from bloomline.plan.pot.packs import Offer, best_packs
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.words.days import as_date
from bloomline.reference.rules import PlantingWindow, load_rules
from bloomline.reference.supplies import CURRENCY

Basis = Literal["own", "typical", "unknown", "nothing to buy"]

_REFERENCE_AXIS = np.datetime64("2009-06-01", "D")
_NEAR_DAYS = 31  # a usual day further than this from a window belongs to another season


@dataclass(frozen=True, slots=True)
class BulbLine:
    """Bulbs of one cultivar.

    packs : (bulbs in a pack, how many packs). spare : bulbs beyond what is needed, bought or
    in the cupboard. cost : None where the price is unknown; typical and own ones by `basis`.
    usual_day : usual planting day here. window : the weeks in which the kind may be planted here.
    """

    cultivar_id: str
    name: str
    needed: int
    in_cupboard: int
    to_buy: int
    packs: tuple[tuple[int, int], ...]
    bought: int
    spare: int
    cost: Decimal | None
    basis: Basis
    planned_day: date
    usual_day: date
    window: tuple[date, date]
    order_by: date
    pot_ids: tuple[str, ...]


def offers_for(cultivar: Cultivar, yard: Yard) -> tuple[tuple[Offer, ...], Basis]:
    """The packs a cultivar comes in and what they cost: own prices, else typical ones in GBP."""
    own = tuple(
        Offer(price.pack, exact(price.price))
        for price in yard.prices
        if price.cultivar_id == cultivar.id
    )
    if own:
        return own, "own"
    if yard.money.currency == CURRENCY and cultivar.typical_price_gbp is not None:
        return (Offer(cultivar.typical_pack, exact(cultivar.typical_price_gbp)),), "typical"
    return (Offer(cultivar.typical_pack, None),), "unknown"


def cost_of(counts: tuple[int, ...], offers: tuple[Offer, ...], *, currency: str) -> Decimal | None:
    """What packs cost together, to the smallest coin; None when one that is taken has no price."""
    total = Decimal(0)
    for n, offer in zip(counts, offers, strict=True):
        if n and offer.price is None:
            return None
        total += n * (offer.price or Decimal(0))
    return rounded(total, currency=currency)


def cost_of_bulbs(cultivar: Cultivar, to_buy: int, *, yard: Yard) -> Decimal | None:
    """What the packs for so many bulbs cost; None where that is unknown."""
    return _packed(cultivar, to_buy, yard=yard)[2]


def _packed(
    cultivar: Cultivar, to_buy: int, *, yard: Yard
) -> tuple[list[tuple[Offer, int]], Basis, Decimal | None]:
    offers, basis = offers_for(cultivar, yard)
    counts = best_packs(to_buy, offers)
    cost = cost_of(counts, offers, currency=yard.money.currency)
    return list(zip(offers, counts, strict=True)), basis, cost


def bulb_lines(outlook: Outlook, planned: Sequence[tuple[Pot, Layer]]) -> tuple[BulbLine, ...]:
    """The lines for layers that are planned, by the day of planting.

    Raises UnknownNameError for a cultivar.
    """
    yard, garden = outlook.yard, outlook.garden
    first_day = yard_axis_start(yard.season_year, garden=garden)
    stock = {item.cultivar_id: item.count for item in yard.cupboard}
    by_cultivar: dict[str, list[tuple[Pot, Layer]]] = {}
    for pot, layer in planned:
        by_cultivar.setdefault(layer.cultivar_id, []).append((pot, layer))
    lines = [
        _bulb_line(
            outlook.cultivar_of(cultivar_id),
            places,
            yard=yard,
            in_cupboard=stock.get(cultivar_id, 0),
            garden=garden,
            first_day=first_day,
        )
        for cultivar_id, places in by_cultivar.items()
    ]
    return tuple(sorted(lines, key=lambda line: (line.planned_day, line.name)))


def _bulb_line(
    cultivar: Cultivar,
    places: list[tuple[Pot, Layer]],
    *,
    yard: Yard,
    in_cupboard: int,
    garden: Garden,
    first_day: np.datetime64,
) -> BulbLine:
    needed = sum(layer.count * pot.copies for pot, layer in places)
    to_buy = max(needed - in_cupboard, 0)
    packs, basis, cost = _packed(cultivar, to_buy, yard=yard)
    bought = sum(n * offer.size for offer, n in packs)
    usual = usual_planting_day(cultivar, garden=garden, first_day=first_day)
    planned_day = min(layer.planted for _, layer in places)
    return BulbLine(
        cultivar_id=cultivar.id,
        name=cultivar.name,
        needed=needed,
        in_cupboard=in_cupboard,
        to_buy=to_buy,
        packs=tuple((offer.size, n) for offer, n in sorted(packs, key=_big) if n),
        bought=bought,
        spare=bought + in_cupboard - needed,
        cost=cost,
        basis=basis if to_buy else "nothing to buy",
        planned_day=planned_day,
        usual_day=usual,
        window=planting_window(cultivar, usual_day=usual, first_day=first_day),
        order_by=order_by(planned=planned_day, usual=usual),
        pot_ids=tuple(dict.fromkeys(pot.id for pot, _ in places)),
    )


def _big(pack: tuple[Offer, int]) -> int:
    return -pack[0].size


def planting_window(
    cultivar: Cultivar, *, usual_day: date, first_day: np.datetime64
) -> tuple[date, date]:
    """The weeks in which a kind may be planted here: those near London, moved as its usual day is.

    A cultivar that is planted in another season than its genus (a dwarf gladiolus in autumn)
    gets the weeks of any hardy bulb.
    Source: planting windows of the rules; moving them is common practice, no source.
    """
    rules = load_rules()
    there = axis_day(cultivar.ref_planted, first_day=_REFERENCE_AXIS)
    start, end = _window_days(rules.planting_window(cultivar.genus, cultivar.group), near=there)
    if not start - _NEAR_DAYS <= there <= end + _NEAR_DAYS:
        start, end = _window_days(rules.planting_window(""), near=there)
    moved = (usual_day - as_date(first_day)).days - there
    begin = as_date(first_day) + timedelta(days=start + moved)
    return begin, begin + timedelta(days=end - start)


def _window_days(window: PlantingWindow, *, near: int) -> tuple[int, int]:
    """First and last day of a window on the reference axis, in the year that holds `near`."""
    start = axis_day(window.from_md, first_day=_REFERENCE_AXIS)
    end = axis_day(window.to_md, first_day=_REFERENCE_AXIS, after=start)
    # A window that opens just before the axis does was found a year late.
    return (start - 365, end - 365) if start - near > 183 and end - 365 >= 0 else (start, end)
