"""How much of what goes into each pot, and the bags that hold it.

Compost is counted net of crocks, bulbs, top dressing and rim gap. The mix's parts are taken
to fill their shares of the volume; that a fine mix and grit settle into one another is part of
the allowance for settling (a figure of the rules).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial

from bloomline.engine.potshape import BulbLot, FillVolumes, fill_volumes
from bloomline.engine.weight import Range
from bloomline.model.advice import Advice, Severity
from bloomline.model.money import exact, rounded
from bloomline.model.yard import Pot, Yard
from bloomline.plan.pot.alike import MEASURES, Kinds
from bloomline.plan.pot.fitting import CultivarOf, shape_of
from bloomline.plan.pot.packs import Offer, best_packs
from bloomline.reference.rules import load_rules
from bloomline.reference.supplies import CURRENCY, DEFAULT_RECIPE, Recipe, load_supplies
from bloomline.words import tr

_TENTHS = 10  # bags are matched in tenths of a litre
_SPARE_SHARE = 0.05  # of a need that may be missing
_HANDFUL_L = 2.0  # of grit or perlite that is not worth a bag


@dataclass(frozen=True, slots=True)
class PotCompost:
    """What fills a pot; of a bench of equal ones, what fills one of them.

    copies : how many equal pots are filled so. volumes : of the pot as it stands, settled. [L]
    loose_l : compost to have at hand, with the allowance for settling. [L]
    parts_l : that compost by material. [L]
    dressing : material of the top dressing, None without one.
    dressing_kg : what it weighs.
    """

    pot_id: str
    pot_name: str
    recipe: Recipe
    volumes: FillVolumes
    loose_l: float
    parts_l: tuple[tuple[str, float], ...]
    dressing: str | None
    dressing_kg: Range
    copies: int = 1

    @property
    def dressing_l(self) -> float:
        """Volume of the top dressing. [L]"""
        return self.volumes.top_dressing_l


@dataclass(frozen=True, slots=True)
class BagLine:
    """Bags of one material.

    need_l : to fill the pots. at_hand_l : what of it lies there already. bags : (words for one
    bag, how many); none where what lies there is enough, or where all that is wanted is a handful
    or two. left_l : beyond the need, below zero where a handful is missing. keys : what the price
    of each of the bags is kept under, prices : what one of each costs. cost : None where a price
    is unknown. basis : own, typical or unknown.
    """

    material: str
    label: str
    need_l: float
    bags: tuple[tuple[str, int], ...]
    bought_l: float
    left_l: float
    cost: Decimal | None
    basis: str
    source: str
    at_hand_l: float = 0.0
    keys: tuple[str, ...] = ()
    prices: tuple[Decimal | None, ...] = ()

    @property
    def is_handful(self) -> bool:
        """Whether so little is wanted that no bag of it is bought."""
        return not self.bags and self.at_hand_l < self.need_l


def recipe_of(yard: Yard, pot: Pot) -> Recipe:
    """The mix of a pot: its own, else the yard's, else the usual one.

    Raises UnknownNameError.
    """
    return load_supplies().recipe(pot.compost_recipe or yard.supplies.recipe or DEFAULT_RECIPE)


def pot_compost(pot: Pot, *, yard: Yard, cultivar_of: CultivarOf) -> PotCompost:
    """What fills a pot, with the bulbs that are planned in it.

    Raises UnknownNameError for a cultivar or a mix.
    """
    rules, supplies = load_rules(), load_supplies()
    lots = []
    for layer in pot.layers:
        if layer.state == "lifted":
            continue
        cultivar = cultivar_of(layer.cultivar_id)
        lots.append(BulbLot(cultivar.bulb_diameter_cm, cultivar.bulb_height_cm, layer.count))
    volumes = fill_volumes(
        shape_of(pot),
        crocks_cm=pot.crocks_cm,
        top_dressing_cm=pot.top_dressing_cm,
        rim_gap_cm=pot.rim_gap_cm,
        bulbs=lots,
    )
    recipe = recipe_of(yard, pot)
    loose_l = volumes.compost_l * (1.0 + rules.figure("settling_share").middle)
    dressing = None
    dressing_kg = Range(0.0, 0.0)
    if volumes.top_dressing_l > 0.0:
        dressing = supplies.material_named(pot.top_dressing or "")
        stuff = rules.compost(dressing)
        each = Range(stuff.dry_low_kg_per_l, stuff.dry_high_kg_per_l)
        dressing_kg = each * volumes.top_dressing_l
    return PotCompost(
        pot_id=pot.id,
        pot_name=pot.name,
        recipe=recipe,
        volumes=volumes,
        loose_l=loose_l,
        parts_l=tuple((material, loose_l * share) for material, share in recipe.shares.items()),
        dressing=dressing,
        dressing_kg=dressing_kg,
        copies=pot.copies,
    )


_OF_POT = (*MEASURES, "top_dressing", "compost_recipe", "copies")
_OF_LAYER = ("cultivar_id", "count", "state")


def kinds_of_compost(*, yard: Yard, cultivar_of: CultivarOf) -> Kinds[PotCompost]:
    """What fills pots of the yard, once for those alike, called nothing."""
    ask = partial(pot_compost, yard=yard, cultivar_of=cultivar_of)
    return Kinds(ask, of_pot=_OF_POT, of_layer=_OF_LAYER)


def composts_of(
    pots: Iterable[Pot], *, yard: Yard, cultivar_of: CultivarOf
) -> Iterator[PotCompost]:
    """What `pot_compost` says of each pot; only those that differ are reckoned."""
    kinds = kinds_of_compost(yard=yard, cultivar_of=cultivar_of)
    for pot in pots:
        yield replace(kinds.of(pot, pot.layers), pot_id=pot.id, pot_name=pot.name)


def material_needs(pots: Iterable[PotCompost]) -> dict[str, float]:
    """Litres of every material that pots need, every copy filled, top dressing with compost."""
    needs: dict[str, float] = {}
    for pot in pots:
        for material, litres in pot.parts_l:
            needs[material] = needs.get(material, 0.0) + litres * pot.copies
        if pot.dressing is not None:
            needs[pot.dressing] = needs.get(pot.dressing, 0.0) + pot.dressing_l * pot.copies
    return {material: litres for material, litres in needs.items() if litres > 0.0}


def bag_lines(pots: Sequence[PotCompost], *, yard: Yard) -> tuple[BagLine, ...]:
    """The bags that cover what pots need, the cheapest way, and what is left over.

    The yard's own bag size holds for what is sold by volume as compost (multipurpose and
    loam-based). Own prices count in the yard's currency, typical ones only in theirs.
    """
    return bags_for(material_needs(pots), yard=yard)


def bags_for(needs: Mapping[str, float], *, yard: Yard) -> tuple[BagLine, ...]:
    """The bags that cover some litres of materials, less what lies there already.

    A need a hair above whole bags buys no further one: one part in twenty is within what the
    allowance for settling may be off by. And no bag is bought for a handful or two of what only
    opens a mix (common practice, no source).
    """
    whole = sum(litres for material, litres in needs.items() if material in COMPOSTS)
    return tuple(
        _bag_line(material, litres, yard=yard, beside_l=whole) for material, litres in needs.items()
    )


@dataclass(frozen=True, slots=True)
class _Choice:
    key: str
    label: str
    volume_l: float
    price: Decimal | None
    basis: str
    usual: Decimal | None  # to choose between sizes where no price is known
    source: str


COMPOSTS = frozenset({"multipurpose", "loam-based"})
"""Materials that are sold as compost; the others only open a mix."""


def _bag_line(material: str, need_l: float, *, yard: Yard, beside_l: float) -> BagLine:
    choices = _choices(material, yard=yard)
    if any(choice.basis == "own" for choice in choices):
        choices = [choice for choice in choices if choice.basis == "own"]
    at_hand_l = min(yard.supplies.at_hand_l.get(material, 0.0), need_l)
    missing_l = need_l - at_hand_l
    handful = material not in COMPOSTS and beside_l > 0.0 and missing_l <= _HANDFUL_L
    enough_l = 0.0 if handful else max(missing_l - _SPARE_SHARE * need_l, 0.0)
    # A hair of slack: a need of exactly two bags is two bags.
    wanted = max(-int(-(enough_l * _TENTHS - 1e-6) // 1), 0)
    offers = [
        Offer(max(int(c.volume_l * _TENTHS), 1), c.usual if c.price is None else c.price)
        for c in choices
    ]
    counts = best_packs(wanted, offers)
    taken = [(choice, n) for choice, n in zip(choices, counts, strict=True) if n]
    bought = sum(choice.volume_l * n for choice, n in taken)
    cost: Decimal | None = Decimal(0)
    for choice, n in taken:
        cost = None if cost is None or choice.price is None else cost + choice.price * n
    if cost is not None:
        cost = rounded(cost, currency=yard.money.currency)
    shown = taken[0][0] if taken else choices[0]
    return BagLine(
        material=material,
        label=tr(load_rules().compost(material).label),
        need_l=need_l,
        bags=tuple((choice.label, n) for choice, n in taken),
        bought_l=bought,
        left_l=bought + at_hand_l - need_l,
        cost=cost,
        basis="nothing to buy" if not taken else "unknown" if cost is None else shown.basis,
        source=shown.source,
        at_hand_l=at_hand_l,
        keys=tuple(choice.key for choice, _ in taken),
        prices=tuple(choice.price for choice, _ in taken),
    )


def _choices(material: str, *, yard: Yard) -> list[_Choice]:
    own = yard.supplies.bag_prices
    bags = load_supplies().bags_of(material)
    size = yard.supplies.bag_l
    if size is not None and material in COMPOSTS:
        price = own.get(material)
        same = [bag for bag in bags if bag.volume_l == size]
        if not same or price is not None:
            return [
                _Choice(
                    key=material,
                    label=tr(
                        "bag of {label}, {size:g} L",
                        label=tr(load_rules().compost(material).label),
                        size=size,
                    ),
                    volume_l=size,
                    price=None if price is None else exact(price),
                    basis="unknown" if price is None else "own",
                    usual=None,
                    source=tr("own size of bag"),
                )
            ]
        bags = tuple(same)
    found: list[_Choice] = []
    for bag in bags:
        mine = own.get(bag.id)
        price_now = None if mine is None else exact(mine)
        basis = "own"
        if price_now is None:
            typical = yard.money.currency == CURRENCY and bag.typical_price is not None
            price_now = bag.typical_price if typical else None
            basis = "typical" if typical else "unknown"
        found.append(
            _Choice(
                bag.id, tr(bag.label), bag.volume_l, price_now, basis, bag.typical_price, bag.source
            )
        )
    return found


def crocks_advice(pot: Pot) -> tuple[Advice, ...]:
    """Crocks over the hole, not a layer of gravel; and why."""
    rules = load_rules()
    depth = rules.figure("crocks_depth_cm")
    drainage = rules.figure("drainage")
    most = depth.high or 0.0
    if pot.crocks_cm <= most:
        return (
            Advice(
                severity=Severity.NOTE,
                topic="drainage",
                message=tr("Lay one curved piece of crock over each drainage hole, and no gravel."),
                reason=tr("It keeps the compost in and the hole open; that is all a crock can do."),
                source=f"{drainage.source}; {depth.source}",
            ),
        )
    return (
        Advice(
            severity=Severity.CAUTION,
            topic="drainage",
            message=(
                tr(
                    "{crocks_cm:g} cm of crocks: one piece over each hole is "
                    "enough, {most:g} cm at most. The rest is room for roots.",
                    crocks_cm=pot.crocks_cm,
                    most=most,
                )
            ),
            reason=(
                tr(
                    "Water hangs in the lowest part of a fine compost until that is full, whatever "
                    "lies under it: a coarse layer lifts the wet zone up to the roots instead of "
                    "draining it."
                )
            ),
            source=f"{drainage.source}; {depth.source}",
        ),
    )
