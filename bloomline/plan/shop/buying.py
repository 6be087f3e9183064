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

from bloomline.model.advice import Advice, Severity
from bloomline.model.money import exact, rounded
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.pot.compost import BagLine, PotCompost, bag_lines, composts_of
from bloomline.plan.pot.findings import findings_of
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.shop.bulb_lines import BulbLine, bulb_lines
from bloomline.plan.tops.plants_to_buy import PlantLine, plant_lines
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.days import as_date
from bloomline.plan.words.shapes import shape_words
from bloomline.reference.rules import load_rules
from bloomline.reference.supplies import CURRENCY
from bloomline.words import tr

# The planting season runs from the first of the axis (June in the north) to the end of the
# next summer, which holds the kinds that flower in the autumn of the year shown.
_SEASON_DAYS = 456


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


@dataclass(frozen=True, slots=True)
class PlantingSeason:
    """The days on which what is bought is planted, the last not among them."""

    first: date
    last: date

    @classmethod
    def of(cls, yard: Yard, *, garden: Garden) -> PlantingSeason:
        """That of the season a yard shows."""
        first = as_date(yard_axis_start(yard.season_year, garden=garden))
        return cls(first, first + timedelta(days=_SEASON_DAYS))

    def plans(self, layer: Layer) -> bool:
        """Whether a layer is planned to be planted then."""
        return layer.state == "planned" and self.first <= layer.planted < self.last

    def fills(self, layers: Sequence[Layer]) -> bool:
        """Whether a pot with such layers is filled then, as `pots_to_fill` says."""
        planned = [layer.planted for layer in layers if self.plans(layer)]
        if not planned or len(planned) == len(layers):
            return bool(planned)
        filled_on = min(planned)
        return all(self.plans(each) or self._is_away(each, on=filled_on) for each in layers)

    def _is_away(self, layer: Layer, *, on: date) -> bool:
        gone = layer.lifted_on is not None and layer.lifted_on <= on
        later = layer.state == "planned" and layer.planted >= self.last
        return layer.state == "lifted" or gone or later


def planned_layers(yard: Yard, *, garden: Garden) -> Iterator[tuple[Pot, Layer]]:
    """The layers that are planned to be planted in the season shown."""
    season = PlantingSeason.of(yard, garden=garden)
    return ((pot, layer) for pot, layer in yard.layers() if season.plans(layer))


@kept
def shopping_list(outlook: Outlook) -> ShoppingList:
    """What to buy for a yard's season, and what should have been ordered by `today`.

    Raises UnknownNameError for a cultivar or a mix that no table holds.
    """
    planned = list(planned_layers(outlook.yard, garden=outlook.garden))
    found = _amounts(outlook, planned)
    advice = (
        *_without_room(planned, cultivar_of=outlook.cultivar_of),
        *_advice(
            outlook.yard, found.bulbs, found.bags, unpriced=found.unpriced, today=outlook.today
        ),
    )
    return replace(found, advice=advice)


def amounts_to_buy(outlook: Outlook) -> ShoppingList:
    """The list without advice, for who only counts."""
    return _amounts(outlook, list(planned_layers(outlook.yard, garden=outlook.garden)))


def _amounts(outlook: Outlook, planned: Sequence[tuple[Pot, Layer]]) -> ShoppingList:
    yard, here = outlook.yard, outlook.garden
    bulbs = bulb_lines(outlook, planned)
    fills = tuple(
        composts_of(pots_to_fill(yard, garden=here), yard=yard, cultivar_of=outlook.cultivar_of)
    )
    bags = bag_lines(fills, yard=yard)
    pots = _pot_lines(yard)
    season = PlantingSeason.of(yard, garden=here)
    plants = plant_lines(yard, first=season.first, last=season.last - timedelta(days=1))
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


def _sum(costs: Iterable[Decimal | None]) -> Decimal:
    return sum((cost for cost in costs if cost is not None), Decimal(0))


def pots_to_fill(yard: Yard, *, garden: Garden) -> tuple[Pot, ...]:
    """Pots to be filled this season: something is planned in them and nothing else stands there.

    What was lifted, or will have left by the day of planting, stands there no more; what is
    planned for a later season does not yet. A pot that stands planted keeps its compost.
    """
    season = PlantingSeason.of(yard, garden=garden)
    return tuple(pot for pot in yard.pots if season.fills(pot.layers))


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
