"""All that could be laid into one pot: every set of kinds that goes together there, and its days.

A set has room when its layers lie the latest deepest, under their proper cover, with compost
between and below (`engine.stacking`), and goes together when its colours do and, in a pot whose
layers follow one another, no two flower together for longer than a hand-over. Fixed layers stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.covering import Cover, Go, Sets, all_sets
from bloomline.engine.stacking import Bulbs, Interval, covers_of, most_layers
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import MAX_BULBS, MAX_LAYERS, Layer, Pot
from bloomline.plan.fill.candidates import (
    Candidates,
    candidates,
    planting_days,
    stand_of,
)
from bloomline.plan.fill.colours import go_together
from bloomline.plan.fill.measure import taste_of
from bloomline.plan.fill.money import Purse
from bloomline.plan.fill.room import intervals_of, leaves_in_time, staying
from bloomline.plan.fill.standing import standing_dark
from bloomline.plan.fill.wishes import SCENT_WORTH, Wishes
from bloomline.plan.forecast.outcomes import bands_of
from bloomline.plan.pot.fitting import fill_of, room_at, shape_of
from bloomline.plan.season.colour import HANDOVER_DAYS
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.solve import learned_of, solve_yard
from bloomline.plan.shop.choices import least_count
from bloomline.reference.rules import load_rules

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_HAIR = 1e-6
_NEAR = 0.85  # of the best one's days that any set which is looked at may have
_NEAR_SURE = 0.97  # the same of days that must be sure, which take long to weigh


@dataclass(frozen=True, slots=True)
class Amount:
    """How many bulbs of a kind go into a pot. [bulbs]

    In one pot; costs are for all of a bench of equal ones. room : lie well. least : make a
    show. count : are bought for the money of the least, since packs are whole. cost : of
    `count`; None where no price is known. bulb_cost : the least that one of them costs.
    """

    room: int
    least: int
    count: int
    cost: float | None
    bulb_cost: float


@dataclass(frozen=True, slots=True, eq=False)
class PotChoices:
    """A pot and what could be laid into it on one day.

    cover : colour (and scent, where it counts) of the days of the wish. sets : of all candidates
    that go together, days with tastes in `score`. cost : of the bulbs of each set, shape
    (n_sets,), NaN where no price is known; `bags` what filling the pot costs beside them.
    scented : scent is wished for here. smells_already : a scented layer stays.
    """

    pot: Pot
    planted: date
    found: Candidates
    amounts: tuple[Amount, ...]
    taste: Floats
    cover: Cover
    sets: Sets
    score: Floats
    cost: Floats
    bags: float
    intervals: tuple[Interval, ...]
    scented: bool
    smells_already: bool
    priced: tuple[Amount, ...] = ()  # of all kinds that fit, those that can't be paid too

    def bulbs(self) -> Bulbs:
        """Sizes of the candidates."""
        return bulbs_of(self.found.kinds)

    def members(self, number: int) -> list[int]:
        """Candidates of a set, from the top down."""
        return [int(k) for k in self.sets.kinds[number] if k >= 0]


def bulbs_of(kinds: Sequence[Cultivar]) -> Bulbs:
    """Sizes of kinds for stacking."""
    return Bulbs(
        height_cm=np.array([k.bulb_height_cm for k in kinds], dtype=np.float64),
        liked_cm=np.array([k.cover_cm for k in kinds], dtype=np.float64),
    )


def room_in(pot: Pot, kind: Cultivar, cover_cm: float) -> int:
    """How many bulbs lie well under so much compost."""
    centre = fill_of(pot).surface_from_rim_cm + cover_cm + kind.bulb_height_cm / 2.0
    section = shape_of(pot).section_for_bulb(
        centre_from_rim_cm=min(centre, pot.inside_height_cm),
        bulb_diameter_cm=kind.bulb_diameter_cm,
        bulb_height_cm=kind.bulb_height_cm,
    )
    return min(room_at(section, kind.bulb_diameter_cm).usual, MAX_BULBS)


def choices_in(
    outlook: Outlook,
    wishes: Wishes,
    pot: Pot,
    purse: Purse,
    *,
    planted: date,
    most: int = MAX_LAYERS,
    go: Go | None = None,
) -> PotChoices:
    """Everything that could be laid into a pot on a day, up to `most` layers. wishes : settled."""
    shift = learned_of(outlook).offset_at(pot.site)
    found = candidates(outlook, wishes, stand_of(outlook, pot), shift, planted)
    intervals = intervals_of(outlook, pot, on=planted)
    amounts = tuple(_amount(pot, kind, intervals, purse) for kind in found.kinds)
    priced = tuple(each for each in amounts if each.room >= each.least)
    keep = [
        at
        for at, (kind, amount) in enumerate(zip(found.kinds, amounts, strict=True))
        if amount.room >= amount.least
        and (amount.cost is not None or wishes.budget is None)
        and (amount.cost is None or wishes.budget is None or amount.cost <= wishes.budget)
        and kind.id not in {layer.cultivar_id for layer in staying(outlook, pot, on=planted)}
        and _follows_what_stays(outlook, pot, found.opens[at], found.over[at], on=planted)
        and leaves_in_time(outlook, pot, kind, found.over[at], on=planted)
    ]
    keep = _one_of_equals(found, amounts, keep, wishes)
    found = Candidates(
        found.planted,
        tuple(found.kinds[at] for at in keep),
        found.opens[keep],
        found.over[keep],
        found.dark[keep],
        found.left_out,
    )
    amounts = tuple(amounts[at] for at in keep)
    scented = wishes.scent and (not wishes.scent_pots or pot.id in wishes.scent_pots)
    cover = _cover(outlook, wishes, pot, found, planted=planted, scented=scented)
    bulbs = bulbs_of(found.kinds)

    costs = np.array([np.nan if a.cost is None else a.cost for a in amounts], dtype=np.float64)
    bags = _bags(outlook, pot, purse, wishes, found, planted=planted)
    money = np.inf if wishes.budget is None else float(wishes.budget) - bags + _HAIR

    def fits(sets: Ints) -> Bools:
        covers = covers_of(sets, bulbs=bulbs, intervals=list(intervals))
        return np.asarray(~np.isnan(covers[:, 0]) & ~(costs[sets].sum(axis=1) > money))

    free = MAX_LAYERS - len(pot.layers)
    rules = load_rules()
    if pot.inside_height_cm < rules.figure("small_pot_depth_cm").middle:
        here = len(staying(outlook, pot, on=planted))
        free = min(free, int(rules.figure("layers_small_pot").middle) - here)
    taste = np.array(
        [taste_of(outlook, wishes, purse, kind) for kind in found.kinds], dtype=np.float64
    )
    sets = all_sets(
        cover,
        together=_together(outlook, wishes, pot, found, planted=planted),
        fits=fits,
        most=max(min(most_layers(bulbs=bulbs, intervals=list(intervals)), free, most), 0),
        bonus=taste,
        least_of_best=_NEAR_SURE if wishes.robust else _NEAR,
        go=go,
    )
    return PotChoices(
        pot=pot,
        planted=planted,
        found=found,
        amounts=amounts,
        taste=taste,
        cover=cover,
        sets=sets,
        score=sets.days + summed(sets.kinds, taste),
        cost=summed(sets.kinds, costs),
        bags=bags,
        intervals=intervals,
        scented=scented,
        smells_already=any(
            outlook.cultivar_of(layer.cultivar_id).scent > 0
            for layer in staying(outlook, pot, on=planted)
        ),
        priced=priced,
    )


def days_to_plant(outlook: Outlook, wishes: Wishes, pot: Pot) -> tuple[date, ...]:
    """Days on which a pot could be filled, those of its planned layers among them."""
    shift = learned_of(outlook).offset_at(pot.site)
    found = planting_days(outlook, wishes, stand_of(outlook, pot), shift)
    planned = {
        layer.planted
        for layer in pot.layers
        if layer.state == "planned" and layer.planted >= outlook.today
    }
    return tuple(sorted({*found, *planned}))


def summed(sets: Ints, each: Floats) -> Floats:
    """Sum of a figure over the kinds of sets, shape (n_sets,). sets : −1 where there is none."""
    return np.asarray(np.append(each, 0.0)[sets].sum(axis=1))


def _amount(pot: Pot, kind: Cultivar, intervals: tuple[Interval, ...], purse: Purse) -> Amount:
    single = covers_of(
        np.zeros((1, 1), dtype=np.int64), bulbs=bulbs_of([kind]), intervals=list(intervals)
    )[0, 0]
    if np.isnan(single):
        return Amount(0, 1, 0, None, 0.0)
    room = room_in(pot, kind, max(float(single), min(kind.cover_cm, _lowest(intervals, kind))))
    if room < 1:
        return Amount(0, 1, 0, None, 0.0)
    least = least_count(room)
    costs = purse.costs(kind, room, copies=pot.copies)
    if costs is None:
        return Amount(room, least, room, None, 0.0)
    count = least
    while count < room and costs[count + 1] == costs[least]:
        count += 1
    free = next((n for n, cost in enumerate(costs) if cost > 0), room + 1) - 1
    cheapest = min((float(costs[n]) / n for n in range(max(free, 1), room + 1) if n), default=0.0)
    return Amount(room, least, count, float(costs[count]), min(cheapest, float(costs[least])))


def _lowest(intervals: tuple[Interval, ...], kind: Cultivar) -> float:
    return max((each.bottom_cm for each in intervals), default=0.0) - kind.bulb_height_cm


def _one_of_equals(
    found: Candidates, amounts: Sequence[Amount], keep: list[int], wishes: Wishes
) -> list[int]:
    """One of kinds that flower alike, cost alike, lie alike and please alike."""
    chosen: dict[tuple[object, ...], int] = {}
    for at in keep:
        kind, amount = found.kinds[at], amounts[at]
        key = (
            found.dark[at].tobytes(),
            amount,
            round(kind.bulb_height_cm, 3),
            kind.scent > 0,
            kind.common_type,
            kind.colour_hex if wishes.colours != "any" else "",
            wishes.names(wishes.liked, cultivar_id=kind.id, common_type=kind.common_type),
        )
        chosen.setdefault(key, at)
    return sorted(chosen.values())


def _follows_what_stays(outlook: Outlook, pot: Pot, opens: float, over: float, *, on: date) -> bool:
    """Whether what flowers then follows the layers that stay, where the layers of a pot do."""
    if not pot.successive:
        return True
    spans = _standing_spans(outlook)
    theirs = [spans[each.id] for each in staying(outlook, pot, on=on) if each.id in spans]
    return all(min(over, end) - max(opens, start) <= HANDOVER_DAYS for start, end in theirs)


@kept
def _standing_spans(outlook: Outlook) -> dict[str, tuple[float, float]]:
    """Axis days of the median first and last flower of the layers that mostly flower, by id."""
    worked = solve_yard(outlook.usual)
    bands, flowers = bands_of(worked.solved), worked.solved.flowers()
    return {
        place.layer.id: (
            float(bands["start"].p50[place.row]),
            float(bands["end"].p50[place.row]),
        )
        for place in worked.places
        if place.row >= 0 and flowers[place.row]
    }


def _together(
    outlook: Outlook, wishes: Wishes, pot: Pot, found: Candidates, *, planted: date
) -> Bools:
    """Which candidates may stand in the pot together."""
    n = len(found)
    allowed = np.ones((n, n), dtype=bool)
    if wishes.colours != "any":
        for a in range(n):
            for b in range(a):
                good = go_together(found.kinds[a], found.kinds[b], wishes.colours)
                allowed[a, b] = allowed[b, a] = good
    if pot.successive and n:
        first = np.maximum(found.opens[:, None], found.opens[None, :])
        last = np.minimum(found.over[:, None], found.over[None, :])
        allowed &= last - first <= HANDOVER_DAYS
    np.fill_diagonal(allowed, False)
    return allowed


def _cover(
    outlook: Outlook,
    wishes: Wishes,
    pot: Pot,
    found: Candidates,
    *,
    planted: date,
    scented: bool,
) -> Cover:
    base, scent = standing_dark(outlook, wishes, [pot.id])
    n_days = len(base)
    weight = np.ones(n_days)
    dark = found.dark
    if not len(found):
        dark = np.ones((0, *base.shape))
    if scented:
        smells = np.array([kind.scent > 0 for kind in found.kinds], dtype=bool)
        dark = np.concatenate([dark, np.where(smells[:, None, None], dark, 1.0)], axis=1)
        base = np.concatenate([base, scent])
        weight = np.concatenate([weight, np.full(n_days, SCENT_WORTH)])
    return Cover(dark, base=base, weight=weight, least_share=wishes.least_share)


def _bags(
    outlook: Outlook,
    pot: Pot,
    purse: Purse,
    wishes: Wishes,
    found: Candidates,
    *,
    planted: date,
) -> float:
    """What compost for a pot costs that is not filled yet; nothing where bulbs alone count."""
    if wishes.bulbs_only or not len(found) or staying(outlook, pot, on=planted):
        return 0.0
    trial = Layer(id="trial", cultivar_id=found.kinds[0].id, count=1, cover_cm=0.0, planted=planted)
    filled = pot.model_copy(update={"layers": (*pot.layers, trial)})
    pots = tuple(filled if each.id == pot.id else each for each in outlook.yard.pots)
    after = purse.filling(outlook.yard.model_copy(update={"pots": pots}), bulbs_only=False)[1]
    return float(after.bags_total - purse.before.bags_total)
