"""What could be bought instead of a line: other kinds, other numbers of bulbs.

A choice says what it costs and how much of the show it keeps. The measure of the show is stated
here and nowhere else; it is a taste, no source. A layer counts 1 with all its bulbs, and the root
of their share with fewer: half the bulbs are seven tenths of the show, since the first ones show
most. In a bench of equal pots it counts in each, and all of them are thinned alike. Another kind
counts nine tenths. A pot filled with another mix than was wanted takes a quarter off, one without
its top dressing a tenth. No layer is thinned below a quarter of its bulbs, nor below three.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from itertools import combinations, repeat
from operator import mul, truediv

import numpy as np

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.pot.packs import Offer, cost_of_pieces
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.bulb_lines import offers_for
from bloomline.plan.shop.buying import planned_layers
from bloomline.reference.rules import load_rules

LEAST_SHARE = 0.25
LEAST_BULBS = 3
OTHER_KIND_SHARE = 0.9
_KINDS = 2  # cheaper kinds that are looked at for a line
_LEVELS = 12  # numbers of bulbs that are looked at for a line
_SAME_HEIGHT_CM = 10.0
_SAME_HEIGHT_SHARE = 1 / 3


@dataclass(frozen=True, slots=True)
class Level:
    """Some bulbs of a kind. counts : of each layer kept, in one pot. cost : of their packs."""

    counts: tuple[int, ...]
    cost: Decimal
    show: float


@dataclass(frozen=True, slots=True)
class Line:
    """Layers of one cultivar that are to be bought, and the kinds that could stand there.

    kinds : the cultivar itself first. everything : ids of all its layers.
    """

    cultivar: Cultivar
    places: tuple[tuple[Pot, Layer], ...]
    kinds: tuple[Cultivar, ...]
    everything: frozenset[str]

    @classmethod
    def of(cls, kinds: Sequence[Cultivar], places: Sequence[tuple[Pot, Layer]]) -> Line:
        """The line of some layers, which are of the first of the kinds."""
        ids = frozenset(layer.id for _, layer in places)
        return cls(kinds[0], tuple(places), tuple(kinds), ids)

    def places_of(self, kept: frozenset[str]) -> list[tuple[Pot, Layer]]:
        """The places of some of its layers."""
        return [(pot, layer) for pot, layer in self.places if layer.id in kept]

    def layers_in(self, kept: frozenset[str]) -> int:
        """How many layers some of its are, each counted in every copy of its pot."""
        return sum(pot.copies for pot, _ in self.places_of(kept))

    def kept_sets(self) -> list[frozenset[str]]:
        """Every set of layers that could be kept, all of them first and none of them last."""
        ids = [layer.id for _, layer in self.places]
        return [frozenset(some) for n in range(len(ids), -1, -1) for some in combinations(ids, n)]


def lines_of(outlook: Outlook) -> list[Line]:
    """What is to be bought, cultivar by cultivar, with the kinds that would be cheaper."""
    yard = outlook.yard
    found: dict[str, list[tuple[Pot, Layer]]] = {}
    for pot, layer in planned_layers(yard, garden=outlook.garden):
        found.setdefault(layer.cultivar_id, []).append((pot, layer))
    # A kind stands in one line only, so that every line's packs are its own.
    taken = {layer.cultivar_id for _, layer in yard.layers()}
    lines = []
    for cultivar_id, places in found.items():
        cultivar = outlook.cultivar_of(cultivar_id)
        needed = sum(layer.count * pot.copies for pot, layer in places)
        others = _other_kinds(cultivar, needed, outlook=outlook, taken=taken)
        taken.update(other.id for other in others)
        lines.append(Line.of((cultivar, *others), places))
    return lines


def _other_kinds(
    old: Cultivar, needed: int, *, outlook: Outlook, taken: set[str]
) -> list[Cultivar]:
    """Cheaper kinds for the same place in the season; those in the cupboard in any colour."""
    days = load_rules().figure("swap_within_days").middle
    yard = outlook.yard
    stock = {item.cultivar_id for item in yard.cupboard}
    price = price_of(old, yard)
    if price is None:
        return []
    cost = price(needed)
    options: list[tuple[Decimal, str, Cultivar]] = []
    for other in outlook.kinds:
        if other.id in taken or other.common_type != old.common_type:
            continue
        if other.colour != old.colour and other.id not in stock:
            continue
        apart = abs(other.ref_start.day_of_year - old.ref_start.day_of_year)
        taller = abs(other.height_cm - old.height_cm)
        high = taller <= max(_SAME_HEIGHT_CM, _SAME_HEIGHT_SHARE * old.height_cm)
        fits = other.bulb_diameter_cm <= old.bulb_diameter_cm
        if not (high and fits and min(apart, 365 - apart) <= days):
            continue
        theirs = price_of(other, yard)
        if theirs is not None and theirs(needed) < cost:
            options.append((theirs(needed), other.id, other))
    return [other for _, _, other in sorted(options, key=lambda option: option[:2])[:_KINDS]]


@dataclass(frozen=True, slots=True)
class Price:
    """What so many bulbs in the ground cost, after those in the cupboard. Every offer is priced."""

    stock: int
    offers: tuple[Offer, ...]

    def __call__(self, bulbs: int) -> Decimal:
        """What they cost."""
        return cost_of_pieces(max(bulbs - self.stock, 0), self.offers)

    def cheaper_than(self, bulbs: int) -> int:
        """A number of bulbs below this, above which none is cheaper."""
        if bulbs <= self.stock:
            return 0
        if len(self.offers) > 1:
            return bulbs - 1
        size = self.offers[0].size
        return self.stock + (bulbs - self.stock - 1) // size * size  # whole packs


def price_of(cultivar: Cultivar, yard: Yard) -> Price | None:
    """The price of a kind; None where it has none."""
    stock = next((i.count for i in yard.cupboard if i.cultivar_id == cultivar.id), 0)
    offers = offers_for(cultivar, yard)[0]
    return None if any(offer.price is None for offer in offers) else Price(stock, offers)


def least_count(count: int) -> int:
    """The fewest bulbs that a layer of so many is thinned to."""
    return min(count, max(-int(-count * LEAST_SHARE // 1), LEAST_BULBS))


def worth_of(line: Line, kind: Cultivar) -> float:
    """What a layer of a line counts as one of its kinds, with all its bulbs."""
    return 1.0 if kind.id == line.cultivar.id else OTHER_KIND_SHARE


def levels_of(line: Line, kept: frozenset[str], kind: Cultivar, yard: Yard) -> list[Level]:
    """Numbers of bulbs worth a look, the most first, each cheaper than the one before."""
    places = line.places_of(kept)
    if not places:
        return [Level((), Decimal(0), 0.0)]
    wanted = [layer.count for _, layer in places]
    copies = [pot.copies for pot, _ in places]
    worth = worth_of(line, kind)
    price = price_of(kind, yard)
    if price is None:  # fewer bulbs would save nothing that is known
        return [Level(tuple(wanted), Decimal(0), worth * sum(copies))]
    alone = max(copies) == 1
    shares = _Shares(wanted)
    found: list[tuple[int, Decimal]] = []
    total, fewest = sum(wanted), sum(shares.least)
    while total >= fewest:
        cost = price(total if alone else _times(shares.of(total), copies))
        if not found or cost < found[-1][1]:
            found.append((total, cost))
        total = price.cheaper_than(total) if alone else total - 1
    if len(found) > _LEVELS:
        step = (len(found) - 1) / (_LEVELS - 1)
        found = [found[round(k * step)] for k in range(_LEVELS)]
    make = partial(_level, shares, copies, worth=worth)
    return [make(total, cost) for total, cost in found]


def least_level(places: Sequence[tuple[Pot, Layer]], price: Price | None, *, worth: float) -> Level:
    """The cheapest numbers of bulbs for some layers, the most bulbs for that money.

    price : of their kind, None where it has none; worth : what a layer of it counts.
    """
    wanted = [layer.count for _, layer in places]
    copies = [pot.copies for pot, _ in places]
    if not places or price is None:
        return Level(tuple(wanted), Decimal(0), worth * sum(copies))
    shares = _Shares(wanted)
    least = price(_times(shares.least, copies))
    low, high = sum(shares.least), sum(wanted)
    while low < high:  # more bulbs never cost less
        total = (low + high + 1) // 2
        if price(_times(shares.of(total), copies)) > least:
            high = total - 1
        else:
            low = total
    return _level(shares, copies, low, least, worth=worth)


def _times(counts: Sequence[int], copies: Sequence[int]) -> int:
    return sum(count * n for count, n in zip(counts, copies, strict=True))


def _level(
    shares: _Shares, copies: Sequence[int], total: int, cost: Decimal, *, worth: float
) -> Level:
    counts = shares.of(total)
    roots = map(pow, map(truediv, counts, shares.wanted), repeat(0.5))  # of the shares left
    return Level(counts, cost, worth * sum(map(mul, copies, roots)))


def shared_out(wanted: Sequence[int], total: int) -> tuple[int, ...]:
    """So many bulbs for layers, each thinned alike, and none below its least."""
    return _Shares(wanted).of(total)


class _Shares:
    """How bulbs are shared out between layers, asked for one total after another."""

    def __init__(self, wanted: Sequence[int]) -> None:
        self.wanted = wanted
        self.least = [least_count(count) for count in wanted]
        self._spare = np.array(wanted, dtype=np.int64) - np.array(self.least, dtype=np.int64)
        self._room = int(self._spare.sum())

    def of(self, total: int) -> tuple[int, ...]:
        if len(self.least) == 1:
            return (total,)
        if self._room == 0:
            return tuple(self.least)
        rest = total - sum(self.least)
        given, over = np.divmod(rest * self._spare, self._room)
        # Those that miss most by rounding down get what is left, the first among equals.
        more = np.argsort(-over, kind="stable")[: rest - int(given.sum())]
        given[more] += 1
        return tuple((given + self.least).tolist())
