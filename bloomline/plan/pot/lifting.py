"""Who can lift a pot and how, by its one weight: for card, shopping list, details and work alike.

The lifting figures are a guide for occasional lifts, not a safe limit: local rules and one's
own strength come first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from bloomline.model.advice import Advice, Severity
from bloomline.model.yard import Pot
from bloomline.plan.pot.weight import PotWeight
from bloomline.plan.words.benches import times_words
from bloomline.reference.rules import LiftingBox, load_rules
from bloomline.reference.tasks import load_task_rules
from bloomline.words import marked, tr

Handling = Literal["one", "one-close", "two", "two-or-trolley", "fill-in-place", "stays"]
"""Who can move a pot once it is watered, from the easiest to what nobody can carry.

`fill-in-place` is too heavy for two once filled; `stays` is too heavy for two even when empty.
"""

CarriedBy = Literal["hand", "trolley", "nobody"]

LIMITS = marked("No safe limit: local rules and your own strength come first.")


def _in_kg(mass_kg: float) -> str:
    return tr("{mass_kg:.0f} kg", mass_kg=mass_kg)


@dataclass(frozen=True, slots=True)
class _Guide:
    """Figures of the lifting filter for one and for two people. [kg]"""

    floor: LiftingBox
    best: LiftingBox
    pair_low_kg: float
    pair_high_kg: float


@lru_cache(maxsize=1)
def _guide() -> _Guide:
    rules = load_rules()
    best = max(rules.lifting, key=lambda box: box.women_close_kg)
    share = rules.figure("team_lift_share").middle
    return _Guide(
        floor=next(box for box in rules.lifting if box.hands_at == "floor to mid lower leg"),
        best=best,
        pair_low_kg=2.0 * best.women_close_kg * share,
        pair_high_kg=2.0 * best.men_close_kg * share,
    )


def handling_of(weight: PotWeight) -> Handling:
    """Who can move a pot, by its weight when watered and, for the heaviest, when empty."""
    guide, heavy = _guide(), weight.wet_kg.high
    if heavy <= guide.floor.women_close_kg:
        return "one"
    if heavy <= guide.floor.men_close_kg:
        return "one-close"
    if heavy <= guide.pair_low_kg:
        return "two"
    if heavy <= guide.pair_high_kg:
        return "two-or-trolley"
    return "stays" if weight.empty_kg.high > guide.pair_high_kg else "fill-in-place"


def carried_by(weight: PotWeight) -> CarriedBy:
    """How a filled pot is moved for show: by hand, on a trolley, or not at all.

    Above the limit of the work rules for bringing a pot forward it stays, trolley or not.
    """
    handling = handling_of(weight)
    if handling == "stays" or weight.wet_kg.high > load_task_rules().rule("forward").limit:
        return "nobody"
    return "hand" if handling in ("one", "one-close", "two") else "trolley"


def wants_wheels(pot: Pot, weight: PotWeight) -> bool:
    """Whether a pot is moved on a set day or to be shown, and is too heavy to be carried then.

    What nobody carries is not moved to be shown: it stands where it is shown all year round.
    """
    is_shown = pot.display_place is not None and carried_by(weight) != "nobody"
    is_moved = pot.sheltered_until is not None or is_shown
    return is_moved and handling_of(weight) not in ("one", "one-close", "stays")


def out_of_frost_words(weight: PotWeight) -> str:
    """How a filled pot in the open gets away from hard frost: carried, rolled, or not at all."""
    if handling_of(weight) == "stays":
        return tr("It is too heavy to be moved: wrap it where it stands.")
    if carried_by(weight) != "nobody":
        return tr("Move the pot against the house, into a shed or garage, or wrap it.")
    return tr(
        "It is too heavy to carry: roll it on a trolley against the house, into a shed or garage, "
        "or wrap it where it stands."
    )


def moving_words(weight: PotWeight, *, mass: Callable[[float], str] = _in_kg) -> str:
    """What to mind when a filled pot is to be moved; nothing for one that a person lifts easily.

    The one sentence on weight of every view: advice on lifting and tasks that move a pot.
    """
    handling = handling_of(weight)
    if handling == "one":
        return ""
    heavy = mass(weight.wet_kg.high)
    weighs = tr("It weighs {low} to {heavy} when watered", low=mass(weight.wet_kg.low), heavy=heavy)
    if handling == "one-close":
        return tr("{weighs}: lift it close to the body, from the knees.", weighs=weighs)
    if handling in ("two", "two-or-trolley"):
        caution = tr(load_rules().caution("two-people").message)
        if handling == "two":
            return f"{caution} {weighs}."
        return tr(
            "{caution} {weighs}, near the guide figure for two: prefer the trolley.",
            caution=caution,
            weighs=weighs,
        )
    if handling == "fill-in-place":
        return tr(
            "{weighs}, more than the guide figure for two people: set the "
            "empty pot in its place and fill it there, and move it only on a "
            "trolley.",
            weighs=weighs,
        )
    empty = tr("{low} to {high}", low=mass(weight.empty_kg.low), high=mass(weight.empty_kg.high))
    return tr(
        "{weighs}, and even empty {empty}, more than the guide figure for "
        "two people: it can't be carried. Fill it where it is to stay, and "
        "protect it there.",
        weighs=weighs,
        empty=empty,
    )


def lifting_advice(
    weight: PotWeight, *, mass: Callable[[float], str] = _in_kg
) -> tuple[Advice, ...]:
    """One person, two, a trolley, or nobody, by the weight when watered."""
    rules, guide, handling = load_rules(), _guide(), handling_of(weight)
    if handling == "one":
        return ()
    severity = Severity.CAUTION
    if handling == "one-close":
        severity = Severity.NOTE
    elif handling in ("fill-in-place", "stays"):
        severity = Severity.WARNING
    floor, best = guide.floor, guide.best
    return (
        Advice(
            severity=severity,
            topic="weight",
            message=moving_words(weight, mass=mass),
            reason=(
                tr(
                    "A guide for occasional lifts, close to the body: from the "
                    "floor {women_close} for women and {men_close} for men, at the "
                    "best height {women_close2} and {men_close2}, two people "
                    "{pair_low} to {pair_high}. {limits}",
                    women_close=mass(floor.women_close_kg),
                    men_close=mass(floor.men_close_kg),
                    women_close2=mass(best.women_close_kg),
                    men_close2=mass(best.men_close_kg),
                    pair_low=mass(guide.pair_low_kg),
                    pair_high=mass(guide.pair_high_kg),
                    limits=tr(LIMITS),
                )
            ),
            source=f"{rules.caution('two-people').source}; "
            f"{rules.figure('team_lift_share').source}",
        ),
    )


def load_advice(
    weights: Sequence[PotWeight], *, mass: Callable[[float], str] = _in_kg
) -> tuple[Advice, ...]:
    """What all pots of a yard ask of whoever lifts them, and of a balcony or roof.

    weights : of every pot of the yard, whether it is filled afresh or not.
    """
    if not weights:
        return ()
    heaviest = max(weights, key=lambda weight: weight.wet_kg.high)
    lifting = (
        Advice(
            severity=each.severity,
            topic=each.topic,
            message=f"{times_words(heaviest.pot_name, heaviest.copies)}: {each.message}",
            reason=each.reason,
            source=each.source,
        )
        for each in lifting_advice(heaviest, mass=mass)
    )
    return (*lifting, *floor_advice(weights, mass=mass))


def floor_advice(
    weights: Sequence[PotWeight], *, mass: Callable[[float], str] = _in_kg
) -> tuple[Advice, ...]:
    """What a whole group of pots asks of a balcony or roof."""
    if not weights:
        return ()
    caution = load_rules().caution("balcony-load")
    total = sum(weight.wet_kg.high * weight.copies for weight in weights)
    worst = max(weights, key=lambda weight: weight.press_kg_per_m2)
    return (
        Advice(
            severity=Severity.NOTE,
            topic="weight",
            message=(
                tr(
                    "{message_words} Together up to {total} when watered; "
                    "{pot_name} presses hardest, with {press_kg_per_m2} on a "
                    "square metre of its foot.",
                    message_words=tr(caution.message),
                    total=mass(total),
                    pot_name=times_words(worst.pot_name, worst.copies),
                    press_kg_per_m2=mass(worst.press_kg_per_m2),
                )
            ),
            reason=tr("Floors differ in what they carry; only who knows the building can say."),
            source=caution.source,
        ),
    )
