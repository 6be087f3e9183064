"""What could be bought instead of a line: other kinds, other numbers of bulbs.

A choice says what it costs and how much of the show it keeps. The measure of the show is stated
here and nowhere else; it is a taste, no source. A layer counts 1 with all its bulbs, and the root
of their share with fewer: half the bulbs are seven tenths of the show, since the first ones show
most. Another kind counts nine tenths. A pot filled with another mix than was wanted takes a
quarter off, one without its top dressing a tenth. No layer is thinned below a quarter of its
bulbs, nor below three.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from itertools import combinations

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.pot.packs import pack_costs
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.buying import offers_for, planned_layers
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
    """Some bulbs of a kind. counts : of each layer kept. cost : of their packs."""

    counts: tuple[int, ...]
    cost: Decimal
    show: float


@dataclass(frozen=True, slots=True)
class Line:
    """Layers of one cultivar that are to be bought, and the kinds that could stand there.

    kinds : the cultivar itself first.
    """

    cultivar: Cultivar
    places: tuple[tuple[Pot, Layer], ...]
    kinds: tuple[Cultivar, ...]

    @property
    def everything(self) -> frozenset[str]:
        """Ids of all its layers."""
        return frozenset(layer.id for _, layer in self.places)

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
        needed = sum(layer.count for _, layer in places)
        others = _other_kinds(cultivar, needed, outlook=outlook, taken=taken)
        taken.update(other.id for other in others)
        lines.append(Line(cultivar, tuple(places), (cultivar, *others)))
    return lines


def _other_kinds(
    old: Cultivar, needed: int, *, outlook: Outlook, taken: set[str]
) -> list[Cultivar]:
    """Cheaper kinds for the same place in the season; those in the cupboard in any colour."""
    days = load_rules().figure("swap_within_days").middle
    yard = outlook.yard
    stock = {item.cultivar_id for item in yard.cupboard}
    costs = costs_of(old, needed, yard)
    if costs is None:
        return []
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
        theirs = costs_of(other, needed, yard)
        if theirs is not None and theirs[-1] < costs[-1]:
            options.append((theirs[-1], other.id, other))
    return [other for _, _, other in sorted(options, key=lambda option: option[:2])[:_KINDS]]


def costs_of(cultivar: Cultivar, most: int, yard: Yard) -> list[Decimal] | None:
    """What 0, 1, … `most` bulbs in the ground cost, after those in the cupboard; None unpriced."""
    stock = next((i.count for i in yard.cupboard if i.cultivar_id == cultivar.id), 0)
    costs = pack_costs(max(most - stock, 0), offers_for(cultivar, yard)[0])
    return None if costs is None else [costs[max(n - stock, 0)] for n in range(most + 1)]


def least_count(count: int) -> int:
    """The fewest bulbs that a layer of so many is thinned to."""
    return min(count, max(-int(-count * LEAST_SHARE // 1), LEAST_BULBS))


def levels_of(line: Line, kept: frozenset[str], kind: Cultivar, yard: Yard) -> list[Level]:
    """Numbers of bulbs worth a look, the most first, each cheaper than the one before."""
    wanted = [layer.count for _, layer in line.places if layer.id in kept]
    if not wanted:
        return [Level((), Decimal(0), 0.0)]
    worth = 1.0 if kind.id == line.cultivar.id else OTHER_KIND_SHARE
    costs = costs_of(kind, sum(wanted), yard)
    if costs is None:  # fewer bulbs would save nothing that is known
        return [Level(tuple(wanted), Decimal(0), worth * len(wanted))]
    totals: list[int] = []
    for total in range(sum(wanted), sum(map(least_count, wanted)) - 1, -1):
        if not totals or costs[total] < costs[totals[-1]]:
            totals.append(total)
    if len(totals) > _LEVELS:
        step = (len(totals) - 1) / (_LEVELS - 1)
        totals = [totals[round(k * step)] for k in range(_LEVELS)]
    make = partial(_level, wanted, worth=worth)
    return [make(total, costs[total]) for total in totals]


def _level(wanted: Sequence[int], total: int, cost: Decimal, *, worth: float) -> Level:
    counts = shared_out(wanted, total)
    show = sum((n / most) ** 0.5 for n, most in zip(counts, wanted, strict=True))
    return Level(counts, cost, worth * show)


def shared_out(wanted: Sequence[int], total: int) -> tuple[int, ...]:
    """So many bulbs for layers, each thinned alike, and none below its least."""
    least = [least_count(count) for count in wanted]
    spare = [count - low for count, low in zip(wanted, least, strict=True)]
    rest, room = total - sum(least), sum(spare)
    if room == 0:
        return tuple(least)
    given = [rest * each // room for each in spare]
    parts = sorted(range(len(spare)), key=lambda k: (-(rest * spare[k] % room), k))
    for k in parts[: rest - sum(given)]:
        given[k] += 1
    return tuple(low + more for low, more in zip(least, given, strict=True))
