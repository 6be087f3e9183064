"""From a set of kinds to layers: their depths, and as many bulbs as the money buys."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

import numpy as np

from bloomline.engine.layers import DepthRules
from bloomline.engine.stacking import covers_of
from bloomline.model.advice import Severity
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot
from bloomline.plan.fill.choices import PotChoices, room_in
from bloomline.plan.fill.money import Purse
from bloomline.plan.fill.room import staying
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.pot.layout import proper_covers
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.choices import least_count

_MOST_STEPS = 2_000


@dataclass(frozen=True, slots=True)
class Laid:
    """A layer that is to be planted. room : bulbs that lie well there; least : make a show.

    copies : equal pots that it goes into each.
    """

    pot_id: str
    kind: Cultivar
    cover_cm: float
    room: int
    least: int
    layer: Layer
    copies: int = 1

    def with_count(self, count: int) -> Laid:
        """The same with another number of bulbs."""
        return replace(self, layer=self.layer.model_copy(update={"count": count}))


def laid(outlook: Outlook, choices: PotChoices, members: Sequence[int]) -> list[Laid]:
    """Layers of candidates of a pot at their depths, each with the least that makes a show.

    members : numbers of candidates, from the top down.
    """
    if not members:
        return []
    pot, found = choices.pot, choices.found
    kinds = [found.kinds[k] for k in members]
    covers = _covers(choices, members)
    layers = [
        Layer(
            id=f"new-{at}",
            cultivar_id=kind.id,
            count=1,
            cover_cm=cover,
            planted=choices.planted,
        )
        for at, (kind, cover) in enumerate(zip(kinds, covers, strict=True))
    ]
    if not staying(outlook, pot, on=choices.planted):
        # A pot of its own is laid out as a proper pot is, unless that lays one too deep.
        alone = pot.model_copy(update={"layers": tuple(reversed(layers))})
        opens = {layer.id: float(found.opens[k]) for layer, k in zip(layers, members, strict=True)}
        depths = proper_covers(alone, cultivar_of=outlook.cultivar_of, flowering_days=opens)
        proper = [each.model_copy(update={"cover_cm": depths[each.id]}) for each in layers]
        as_proper = alone.model_copy(update={"layers": tuple(reversed(proper))})
        if not _is_amiss(outlook, as_proper, opens) or _is_amiss(outlook, alone, opens):
            layers = proper
    done = []
    for kind, layer in zip(kinds, layers, strict=True):
        room = max(room_in(pot, kind, layer.cover_cm), 1)
        least = min(least_count(room), room)
        new = layer.model_copy(update={"count": least})
        done.append(Laid(pot.id, kind, layer.cover_cm, room, least, new, pot.copies))
    return done


def _is_amiss(outlook: Outlook, pot: Pot, opens: Mapping[str, float]) -> bool:
    """Whether the layers of a pot lie so that there is a caution."""
    found = pot_findings(
        pot, cultivar_of=outlook.cultivar_of, flowering_days=opens, with_mending=False
    )
    return any(each.severity is not Severity.NOTE for each in found)


def _covers(choices: PotChoices, members: Sequence[int]) -> list[float]:
    """Covers from the top down, each as near to the usual one as the free compost allows. [cm]"""
    rules = DepthRules()
    bulbs = choices.bulbs()
    highest = covers_of(
        np.array([list(members)], dtype=np.int64), bulbs=bulbs, intervals=list(choices.intervals)
    )[0]
    covers = [float(each) for each in highest]
    below = np.inf
    for at in range(len(members) - 1, -1, -1):
        height, liked = float(bulbs.height_cm[members[at]]), float(bulbs.liked_cm[members[at]])
        bottom = next(
            each.bottom_cm
            for each in choices.intervals
            if each.top_cm <= covers[at] + 1e-6 and covers[at] + height <= each.bottom_cm + 1e-6
        )
        deepest = min(rules.max_cover_in_heights * height, rules.max_base_cm - height)
        lowest = min(bottom - height, below - height - rules.between_cm, deepest)
        # Rounded down, so that it never comes to lie in what is below it.
        covers[at] = np.floor(max(covers[at], min(liked, lowest)) * 10.0 + 1e-6) / 10.0
        below = covers[at]
    return [float(each) for each in covers]


def filled_up(
    layers: Sequence[Laid], purse: Purse, *, money: Decimal | None
) -> tuple[list[Laid], Decimal | None]:
    """The same layers with more bulbs while there is room and money, and what the bulbs cost.

    The show of a layer is the root of its share of the bulbs that lie well (`shop.choices`); each
    time the pack is bought that brings most of it for its money. money : for bulbs; None without
    limit. Returns None where not even the least can be paid, or a price is unknown though money
    is limited; the cost is None where some price is unknown.
    """
    counts = [each.layer.count for each in layers]
    kinds: dict[str, list[int]] = {}
    for at, each in enumerate(layers):
        kinds.setdefault(each.kind.id, []).append(at)
    costs: dict[str, list[Decimal] | None] = {
        name: _costs_of(layers, counts, mine, purse) for name, mine in kinds.items()
    }
    unknown = any(each is None for each in costs.values())
    spent = sum(
        (each[_total(counts, kinds[name])] for name, each in costs.items() if each is not None),
        Decimal(0),
    )
    if money is not None and (unknown or spent > money):
        return [], None
    for name, mine in kinds.items():
        prices = costs[name]
        if prices is None or money is None:
            counts = _spread(layers, counts, mine, sum(layers[at].room for at in mine))
            if prices is not None:
                spent += prices[-1] - prices[_total([x.layer.count for x in layers], mine)]
        else:
            counts = _spread(layers, counts, mine, _free(prices, _total(counts, mine)))
    for _ in range(_MOST_STEPS if money is not None else 0):
        best: tuple[float, str, int, Decimal] | None = None
        for name, mine in kinds.items():
            prices = costs[name]
            now = _total(counts, mine)
            if prices is None or now + 1 >= len(prices):
                continue
            then = _free(prices, now + 1)
            price = prices[then] - prices[now]
            if money is None or spent + price > money:
                continue
            more = _show(layers, _spread(layers, counts, mine, then)) - _show(layers, counts)
            rate = more / float(price) if price > 0 else np.inf
            if best is None or rate > best[0]:
                best = (rate, name, then, price)
        if best is None:
            break
        counts = _spread(layers, counts, kinds[best[1]], best[2])
        spent += best[3]
    done = [each.with_count(count) for each, count in zip(layers, counts, strict=True)]
    return done, None if unknown else spent


def _costs_of(
    layers: Sequence[Laid], counts: Sequence[int], mine: Sequence[int], purse: Purse
) -> list[Decimal] | None:
    """What layers of one kind cost by their bulbs, those of one pot of each bench counted.

    From the number they have on, filled up as `_spread` does; below it nothing is asked.
    """
    kind, most = layers[mine[0]].kind, sum(layers[at].room for at in mine)
    copies = {layers[at].copies for at in mine}
    if len(copies) == 1:
        return purse.costs(kind, most, copies=copies.pop())
    price = purse.price(kind)
    if price is None:
        return None
    now, full = list(counts), [Decimal(0)] * _total(counts, mine)
    for total in range(len(full), most + 1):
        now = _spread(layers, now, mine, total)
        full.append(price(sum(now[at] * layers[at].copies for at in mine)))
    return full


def _show(layers: Sequence[Laid], counts: Sequence[int]) -> float:
    return float(sum((n / each.room) ** 0.5 for each, n in zip(layers, counts, strict=True)))


def _total(counts: Sequence[int], mine: Sequence[int]) -> int:
    return sum(counts[at] for at in mine)


def _free(costs: Sequence[Decimal], now: int) -> int:
    """The most bulbs for the money of so many."""
    most = now
    while most + 1 < len(costs) and costs[most + 1] <= costs[now]:
        most += 1
    return most


def _spread(
    layers: Sequence[Laid], counts: Sequence[int], mine: Sequence[int], total: int
) -> list[int]:
    """Counts with so many bulbs of a kind in all, the emptiest layer first."""
    new = list(counts)
    left = total - _total(new, mine)
    while left > 0:
        open_ = [at for at in mine if new[at] < layers[at].room]
        if not open_:
            break
        at = min(open_, key=lambda k: (new[k] / layers[k].room, k))
        new[at] += 1
        left -= 1
    return new
