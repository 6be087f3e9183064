"""What a yard still needs for this season: bulbs, compost, grit, top dressing, pots; what it costs.

Bulbs are counted for layers that are planned to be planted within the season shown; what is in
the ground already, or planned for another season, is not. What lies in the cupboard comes off
first. Packs are taken the cheapest way and their spare bulbs are counted.

Prices are the gardener's own where there are any, else typical ones from the catalogue, which
are in GBP and from memory; in another currency a price without an own entry is unknown, and
nothing is converted. Money is exact (decimals, not doubles).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

import numpy as np

from bloomline.model.advice import Advice, Severity
from bloomline.model.cultivar import Cultivar
from bloomline.model.money import exact, rounded
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.reference_garden import axis_day
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.planting_day import order_by, usual_planting_day
from bloomline.plan.pot.compost import BagLine, PotCompost, bag_lines, pot_compost
from bloomline.plan.pot.findings import findings_of
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.pot.packs import Offer, best_packs
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.tops.plants_to_buy import PlantLine, plant_lines
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.days import as_date
from bloomline.plan.words.shapes import shape_words
from bloomline.reference.rules import PlantingWindow, load_rules
from bloomline.reference.supplies import CURRENCY
from bloomline.words import tr

Basis = Literal["own", "typical", "unknown", "nothing to buy"]

# The planting season runs from the first of the axis (June in the north) to the end of the
# next summer, which holds the kinds that flower in the autumn of the year shown.
_SEASON_DAYS = 456
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


@dataclass(frozen=True, slots=True)
class PotLine:
    """Pots of one make that are still to be bought.

    price : of one, None where the gardener has told none; there are no typical prices of pots.
    """

    label: str
    count: int
    pot_ids: tuple[str, ...]
    price: Decimal | None = None

    @property
    def cost(self) -> Decimal | None:
        """What they cost together."""
        return None if self.price is None else self.price * self.count


@dataclass(frozen=True, slots=True)
class ShoppingList:
    """Everything to buy. `total` adds what has a price; `unpriced` names what has none.

    Every line's cost is rounded to the smallest coin, so that totals are the sums of what is shown.
    """

    yard_name: str
    season_year: int
    currency: str
    bulbs: tuple[BulbLine, ...]
    bags: tuple[BagLine, ...]
    crocks_l: float
    plants: tuple[PlantLine, ...]
    pots: tuple[PotLine, ...]
    fills: tuple[PotCompost, ...]
    total: Decimal
    bulbs_total: Decimal
    bags_total: Decimal
    plants_total: Decimal
    pots_total: Decimal
    unpriced: tuple[str, ...]
    budget: Decimal | None
    advice: tuple[Advice, ...]

    @property
    def over(self) -> Decimal:
        """How much the total lies above the budget; zero within it or without one."""
        if self.budget is None:
            return Decimal(0)
        return max(self.total - self.budget, Decimal(0))


def _span(yard: Yard, *, garden: Garden) -> tuple[date, date]:
    start = as_date(yard_axis_start(yard.season_year, garden=garden))
    return start, start + timedelta(days=_SEASON_DAYS)


def planned_layers(yard: Yard, *, garden: Garden) -> Iterator[tuple[Pot, Layer]]:
    """The layers that are planned to be planted in the season shown."""
    start, last = _span(yard, garden=garden)
    for pot, layer in yard.layers():
        if _is_planned(layer, start=start, last=last):
            yield pot, layer


Fills = dict[tuple[int, str | None], tuple[Pot, PotCompost]]
"""What fills pots that were looked at: by the pot as an object, and the yard's mix."""


@kept
def shopping_list(outlook: Outlook) -> ShoppingList:
    """What to buy for a yard's season, and what should have been ordered by `today`.

    Raises UnknownNameError for a cultivar or a mix that no table holds.
    """
    found = amounts_to_buy(outlook, {})
    planned = list(planned_layers(outlook.yard, garden=outlook.garden))
    advice = (
        *_without_room(planned, cultivar_of=outlook.cultivar_of),
        *_advice(
            outlook.yard, found.bulbs, found.bags, unpriced=found.unpriced, today=outlook.today
        ),
    )
    return replace(found, advice=advice)


def amounts_to_buy(outlook: Outlook, known: Fills) -> ShoppingList:
    """The list without advice, for who only counts; `known` serves from one yard to the next."""
    yard, here = outlook.yard, outlook.garden
    planned = list(planned_layers(yard, garden=here))
    bulbs = _bulb_lines(outlook, planned)
    fills = tuple(_fill(outlook, pot, known) for pot in pots_to_fill(yard, garden=here))
    bags = bag_lines(fills, yard=yard)
    pots = _pot_lines(yard)
    start, last = _span(yard, garden=here)
    plants = plant_lines(yard, first=start, last=last - timedelta(days=1))
    totals = [_sum(line.cost for line in lines) for lines in (bulbs, bags, plants, pots)]
    unpriced = (
        *(line.name for line in bulbs if line.cost is None),
        *(line.label for line in bags if line.cost is None),
        *(f"{line.label} ({line.count})" for line in plants if line.cost is None),
        *(f"{line.label} ({line.count})" for line in pots if line.cost is None),
    )
    return ShoppingList(
        yard_name=yard.name,
        season_year=yard.season_year,
        currency=yard.money.currency,
        bulbs=bulbs,
        bags=bags,
        crocks_l=sum(fill.volumes.crocks_l * fill.copies for fill in fills),
        plants=plants,
        pots=pots,
        fills=fills,
        total=sum(totals, Decimal(0)),
        bulbs_total=totals[0],
        bags_total=totals[1],
        plants_total=totals[2],
        pots_total=totals[3],
        unpriced=tuple(unpriced),
        budget=None if yard.money.budget is None else exact(yard.money.budget),
        advice=(),
    )


def _fill(outlook: Outlook, pot: Pot, known: Fills) -> PotCompost:
    key = (id(pot), outlook.yard.supplies.recipe)  # the pot is kept with it, so its id stays its
    if key not in known:
        fill = pot_compost(pot, yard=outlook.yard, cultivar_of=outlook.cultivar_of)
        known[key] = pot, fill
    return known[key][1]


def _sum(costs: Iterable[Decimal | None]) -> Decimal:
    return sum((cost for cost in costs if cost is not None), Decimal(0))


def pots_to_fill(yard: Yard, *, garden: Garden) -> tuple[Pot, ...]:
    """Pots to be filled this season: something is planned in them and nothing else stands there.

    What was lifted, or will have left by the day of planting, stands there no more; what is
    planned for a later season does not yet. A pot that stands planted keeps its compost.
    """
    start, last = _span(yard, garden=garden)
    found = []
    for pot in yard.pots:
        planned = [each for each in pot.layers if _is_planned(each, start=start, last=last)]
        if not planned:
            continue
        filled_on = min(layer.planted for layer in planned)
        others = (each for each in pot.layers if not _is_planned(each, start=start, last=last))
        if all(_is_away(layer, on=filled_on, last=last) for layer in others):
            found.append(pot)
    return tuple(found)


def _is_planned(layer: Layer, *, start: date, last: date) -> bool:
    return layer.state == "planned" and start <= layer.planted < last


def _is_away(layer: Layer, *, on: date, last: date) -> bool:
    gone = layer.lifted_on is not None and layer.lifted_on <= on
    return layer.state == "lifted" or gone or (layer.state == "planned" and layer.planted >= last)


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


def _bulb_lines(outlook: Outlook, planned: list[tuple[Pot, Layer]]) -> tuple[BulbLine, ...]:
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
    offers, basis = offers_for(cultivar, yard)
    counts = best_packs(to_buy, offers)
    bought = sum(n * offer.size for n, offer in zip(counts, offers, strict=True))
    usual = usual_planting_day(cultivar, garden=garden, first_day=first_day)
    planned_day = min(layer.planted for _, layer in places)
    return BulbLine(
        cultivar_id=cultivar.id,
        name=cultivar.name,
        needed=needed,
        in_cupboard=in_cupboard,
        to_buy=to_buy,
        packs=tuple(
            (offer.size, n) for n, offer in sorted(zip(counts, offers, strict=True), key=_big) if n
        ),
        bought=bought,
        spare=bought + in_cupboard - needed,
        cost=cost_of(counts, offers, currency=yard.money.currency),
        basis=basis if to_buy else "nothing to buy",
        planned_day=planned_day,
        usual_day=usual,
        window=planting_window(cultivar, usual_day=usual, first_day=first_day),
        order_by=order_by(planned=planned_day, usual=usual),
        pot_ids=tuple(dict.fromkeys(pot.id for pot, _ in places)),
    )


def _big(pair: tuple[int, Offer]) -> int:
    return -pair[1].size


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


def _pot_lines(yard: Yard) -> tuple[PotLine, ...]:
    rules = load_rules()
    prices = yard.supplies.pot_prices
    found: dict[tuple[str, Decimal | None], list[Pot]] = {}
    for pot in yard.pots:
        if pot.to_buy:
            long = "" if pot.top_length_cm is None else f"{pot.top_length_cm:g} × "
            label = tr(
                "{label} pot, {shape}, inside {long}{top_width_cm:g} cm wide, "
                "{inside_height_cm:g} cm high",
                label=tr(rules.material(pot.material).label),
                shape=shape_words(pot.shape),
                long=long,
                top_width_cm=pot.top_width_cm,
                inside_height_cm=pot.inside_height_cm,
            )
            told = prices.get(pot.id)
            price = None
            if told is not None:
                price = rounded(exact(told), currency=yard.money.currency)
            found.setdefault((label, price), []).append(pot)
    return tuple(
        PotLine(label, sum(pot.copies for pot in pots), tuple(pot.id for pot in pots), price)
        for (label, price), pots in found.items()
    )


def _without_room(
    planned: Sequence[tuple[Pot, Layer]], *, cultivar_of: CultivarOf
) -> Iterator[Advice]:
    """Bulbs on the list that do not fit where they are to lie, and what mends it."""
    bought = {layer.id for _, layer in planned}
    pots = list({pot.id: pot for pot, _ in planned}.values())
    found = findings_of(pots, cultivar_of=cultivar_of, about_room=True)
    for pot, findings in zip(pots, found, strict=True):
        for finding in findings:
            if bought.intersection(finding.layer_ids):
                mend = "" if finding.mending is None else f" {finding.mending.words}."
                yield replace(
                    finding.advice, message=f"{pot_words(pot)}: {finding.advice.message}{mend}"
                )


def _advice(
    yard: Yard,
    bulbs: tuple[BulbLine, ...],
    bags: tuple[BagLine, ...],
    *,
    unpriced: tuple[str, ...],
    today: date,
) -> Iterator[Advice]:
    if unpriced:
        foreign = (
            ""
            if yard.money.currency == CURRENCY
            else (
                tr(
                    " Typical prices are known in {currency} only and are not "
                    "converted to {currency2}.",
                    currency=CURRENCY,
                    currency2=yard.money.currency,
                )
            )
        )
        yield Advice(
            severity=Severity.CAUTION,
            topic="price",
            message=(
                tr(
                    "No price is known for {count} of the things to buy, and the "
                    "total is without them.{foreign} Enter your own prices.",
                    count=len(unpriced),
                    foreign=foreign,
                )
            ),
            reason=tr("A total that leaves things out looks cheaper than it is."),
        )
    bases = {line.basis for line in bulbs} | {line.basis for line in bags}
    if "typical" in bases:
        yield Advice(
            severity=Severity.NOTE,
            topic="price",
            message=tr("Prices marked typical are from memory; enter what you pay."),
            source=tr("typical prices in GBP, from memory"),
        )
    wanted = [line for line in bulbs if line.to_buy]
    late = [line.name for line in wanted if line.order_by < today]
    if late:
        what = tr("all bulbs") if len(late) == len(wanted) else ", ".join(late)
        yield Advice(
            severity=Severity.NOTE,
            topic="order",
            message=tr("The usual time to order is past for {what}: order now.", what=what),
            source=load_rules().figure("order_weeks_before").source,
        )
