"""The sentences of a planting card; their figures come from the use cases that all views share."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import SHELTERED_SITES, Layer, Pot, Yard
from bloomline.plan.forecast.report import LayerForecast
from bloomline.plan.pot.compost import PotCompost, bag_lines, crocks_advice
from bloomline.plan.pot.fitting import LayerFit
from bloomline.plan.pot.safety import feet_advice
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.words.day_words import day_words, full_day_words, span_words
from bloomline.plan.words.listing import listed
from bloomline.plan.words.units import Units
from bloomline.reference.rules import load_rules
from bloomline.reference.sites import load_sites

_LEAST_L = 0.05
_HEIGHT = re.compile(r", -?\d+ m$")
_LITRES = re.compile(r"([\d.]+) L\b")
_KILOS = re.compile(r"([\d.]+) kg\b")
_ISO_DAY = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")


@dataclass(frozen=True, slots=True)
class CardSentence:
    """A sentence or two. strong : figures in it that are printed bold.

    why : told once, on the last sheet of a set of cards, under the heading `topic`.
    """

    text: str
    strong: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    topic: str = ""


# Head


def about(yard_name: str, place_label: str, season_year: int) -> str:
    """Whose pot it is, where and when."""
    # A hard space keeps the word with its year.
    return f"{yard_name} · {_HEIGHT.sub('', place_label)} · season\u00a0{season_year}"


def measures(pot: Pot, *, units: Units) -> str:
    """What the pot is made of, its shape and its inside measures."""
    material = load_rules().material(pot.material).label
    wide = f"{units.tape(pot.top_width_cm)} wide"
    if pot.top_length_cm is not None:
        wide = f"{units.tape(pot.top_length_cm)} long, {wide}"
    return (
        f"{material[0].upper()}{material[1:]}; {pot.shape}, inside {wide} and "
        f"{units.tape(pot.inside_height_cm)} deep"
    )


def missing(*, was_planted: bool) -> str:
    """Why a card has no work on it."""
    if was_planted:
        return "All its bulbs are lifted: choose new ones, then print again."
    return "No bulbs are planned here: choose some, then print again."


# The work


def ready(compost: PotCompost, *, yard: Yard, units: Units) -> tuple[CardSentence, ...]:
    """Compost and bags for this pot."""
    amount = units.volume(compost.loose_l)
    parts = listed(
        f"{units.volume(litres)} of {load_rules().compost(material).label}"
        for material, litres in compost.parts_l
    )
    mixed = f"{amount} of compost: {parts}." if len(compost.parts_l) > 1 else f"{parts} as compost."
    bags = "; ".join(
        f"{count} × {_bag(label, units)}"
        for line in bag_lines((compost,), yard=yard)
        for label, count in line.bags
    )
    why = (f"Bags for one pot: {bags}.",) if bags else ()
    return (CardSentence(mixed, strong=(amount,), why=why, topic="Compost"),)


def _bag(label: str, units: Units) -> str:
    """A bag as it is marked, its size in the gardener's own units before that."""
    words = label.removeprefix("bag of ")
    if not units.imperial:
        return words
    words = _LITRES.sub(lambda size: units.volume(float(size[1])), words)
    return _KILOS.sub(lambda size: f"{units.mass(float(size[1]), decimals=0)} ({size[0]})", words)


def before(pot: Pot, *, has_wheels: bool, units: Units) -> tuple[CardSentence, ...]:
    """What is done before the first layer."""
    feet = ", on feet so that the holes stay free" if feet_advice(pot) else ""
    place = f"Stand the empty pot {_where(pot)}{feet}."
    if has_wheels:
        place = f"Stand the empty pot {_where(pot)} on a wheeled base: it is moved later."
    advice = crocks_advice(pot)[0]
    why = (f"{advice.message} {advice.reason}",)
    if pot.crocks_cm > 0:
        deep = units.tape(pot.crocks_cm)
        crocks = f"Lay crocks over the holes, {deep}; no gravel layer."
        return CardSentence(place), CardSentence(crocks, strong=(deep,), why=why, topic="Crocks")
    crocks = "Lay one curved crock over each hole, hollow side down."
    return CardSentence(place), CardSentence(crocks, why=why, topic="Crocks")


def _where(pot: Pot) -> str:
    label = load_sites()[pot.site].label
    if pot.site not in SHELTERED_SITES:
        return f"in its place {label}"
    until = "" if pot.sheltered_until is None else f", until {full_day_words(pot.sheltered_until)}"
    return f"in the {label}{until}"


def bulbs_words(count: int) -> str:
    """So many bulbs."""
    return "1 bulb" if count == 1 else f"{count} bulbs"


def layer_mark(fit: LayerFit, *, placed: int, units: Units) -> str:
    """What is read at an arm's length: to where the pot is filled, and how many bulbs go in."""
    return f"{units.tape(fit.base_from_rim_cm)} below the rim: {bulbs_words(placed)}"


def layer_work(
    layer: Layer,
    *,
    loose_l: float | None,
    is_dug: bool,
    placed: int,
    spacing_cm: float | None,
    has_flat_side: bool,
    beside: Sequence[str],
    units: Units,
) -> tuple[CardSentence, ...]:
    """How one layer is planted. placed : bulbs that have room there.

    loose_l : compost that goes in up to the mark; None where compost comes out down to it.
    is_dug : the pot was dug out for it, and is filled with what came out.
    beside : names of what stays over it.
    """
    found: list[CardSentence] = []
    if loose_l is None:
        found.append(CardSentence("Take compost out down to this mark, and keep it at hand."))
    elif loose_l < _LEAST_L:
        found.append(CardSentence("It is filled to this mark already: firm lightly."))
    elif is_dug:
        found.append(CardSentence("Fill to this mark with what came out; firm lightly."))
    else:
        found.append(CardSentence(f"Fill to this mark with {units.volume(loose_l)}; firm lightly."))
    if beside:
        found.append(
            CardSentence(
                f"Don't cut into {listed(beside)} above it: dig beside, or lift out with the soil "
                "and set back."
            )
        )
    if placed:
        apart = "" if spacing_cm is None else f", middles {units.tape(spacing_cm)} apart"
        flat = ", flat sides outwards" if has_flat_side and placed > 1 else ""
        over = units.over_tips(layer.cover_cm, count=placed)
        found.append(CardSentence(f"Tips up, as drawn{apart}{flat}."))
        found.append(CardSentence(f"Depth: {over}.", strong=(over,)))
    short = layer.count - placed
    if short > 0:
        left = f"{short} of {layer.count} have no room here: leave them out."
        found.append(CardSentence(left, strong=(left,)))
    return tuple(found)


def expected(layer: Layer, forecast: LayerForecast | None) -> str:
    """When a layer flowers, and when it is lifted."""
    lift = (
        "" if layer.lifted_on is None else f" Lift the bulbs on {full_day_words(layer.lifted_on)}."
    )
    if forecast is None or forecast.start is None or forecast.end is None:
        reason = (forecast.reason if forecast is not None else None) or "no flower this season"
        reason = _ISO_DAY.sub(lambda day: full_day_words(date.fromisoformat(day[0])), reason)
        return f"{reason[0].upper()}{reason[1:].removesuffix('.')}.{lift}"
    start, end = forecast.start, forecast.end.p50
    over = day_words(end) if end.year == start.p50.year else full_day_words(end)
    return (
        f"Opens about {full_day_words(start.p50)} ({span_words(start.p10, start.p90)}), "
        f"over about {over}.{lift}"
    )


# Days of planting


def day_head(day: date, layers: Sequence[Layer]) -> str:
    """The heading of a day of planting; a day of companions alone says nothing of its state."""
    if any(layer.state == "planned" for layer in layers):
        return f"To plant on {full_day_words(day)}"
    return f"{'Planted on' if layers else 'On'} {full_day_words(day)}"


def layer_out(
    layer: Layer, name: str, *, day: date, forecast: LayerForecast | None
) -> CardSentence:
    """Bulbs that leave the pot for those of a later day."""
    end = None if forecast is None or forecast.end is None else forecast.end.p50
    late = (
        f" It flowers until about {full_day_words(end)}."
        if end is not None and end > day and layer.lifted_on is None
        else ""
    )
    return CardSentence(f"Take out {name}: dig out all its bulbs.{late}", strong=(name,))


def companion_out(plant: CompanionPlanting, *, on: date | None = None) -> CardSentence:
    """Plants on top that leave on a set day. on : the day under whose heading it stands."""
    name = companion_of(plant.companion_id).name
    if plant.taken_out is None or plant.taken_out == on:
        return CardSentence(f"Take {name} out.")
    day = full_day_words(plant.taken_out)
    return CardSentence(f"Take {name} out on {day}.", strong=(day,))


def left_open(
    depth_cm: float, *, loose_l: float, surface_cm: float, day: date, names: str, units: Units
) -> CardSentence:
    """How far a pot is filled until the bulbs of a day soon after go in."""
    deep, when = units.tape(depth_cm), full_day_words(day)
    amount = f" with {units.volume(loose_l)}" if loose_l >= _LEAST_L else ""
    return CardSentence(
        f"Fill to {deep} below the rim{amount}, and leave the {units.tape(depth_cm - surface_cm)} "
        f"over that unfilled until {when}, for {names}.",
        strong=(deep, when),
    )


def filled_up(
    depth_cm: float, *, loose_l: float | None, waiting: str, day: date | None, units: Units
) -> CardSentence:
    """The last fill. loose_l : None where what was dug out goes back.

    waiting : what goes in on a later `day`; it has its own section.
    """
    deep = units.tape(depth_cm)
    amount = (
        " again with what came out"
        if loose_l is None
        else f" with {units.volume(loose_l)}"
        if loose_l >= _LEAST_L
        else ""
    )
    later = "" if day is None else f" Next in: {waiting}, on {full_day_words(day)}."
    return CardSentence(f"Fill to {deep} below the rim{amount}.{later}", strong=(deep,))


def companion_in(each: CompanionPlanting, *, units: Units) -> CardSentence:
    """Plants that are set on top."""
    plant = companion_of(each.companion_id)
    many = f"{each.count} {'plant' if each.count == 1 else 'plants'}"
    apart = f", {units.tape(plant.spacing_cm)} apart" if each.count > 1 else ""
    return CardSentence(f"Set {many} of {plant.name} on top{apart}.", strong=(many,))


def dressed(pot: Pot, compost: PotCompost, *, again: bool, units: Units) -> CardSentence:
    """The top dressing."""
    thick, stuff = units.tape(pot.top_dressing_cm), pot.top_dressing or "top dressing"
    if again:
        return CardSentence(f"Spread the {stuff} over it again, {thick}.", strong=(thick,))
    return CardSentence(
        f"Spread {thick} of {stuff}, {units.volume(compost.dressing_l)}; the "
        f"{units.tape(pot.rim_gap_cm)} above it stay free for water.",
        strong=(thick,),
    )


def watered(*, has_labels: bool) -> CardSentence:
    """What ends a day of planting."""
    label = " Put the label in now, not later." if has_labels else ""
    return CardSentence(f"Water until it runs out below.{label}")


def meshed(noses: date | None) -> CardSentence:
    """Wire mesh over fresh bulbs. noses : when the first are expected under it."""
    until = "noses show" if noses is None else f"noses show, about {full_day_words(noses)}"
    return CardSentence(
        f"Pin wire mesh over it until {until}: mice and squirrels dig.", strong=("wire mesh",)
    )


# Afterwards


def standing(
    pot: Pot,
    forecasts: Sequence[LayerForecast],
    *,
    yard: Yard,
    leaving: Sequence[CompanionPlanting],
) -> tuple[CardSentence, ...]:
    """Where the pot goes later: out of its shelter, and to the place where it is shown.

    leaving : companions that are taken out when nothing more is planted.
    """
    found: list[CardSentence] = []
    if pot.site in SHELTERED_SITES:
        label = load_sites()[pot.site].label
        if pot.sheltered_until is None:
            found.append(CardSentence(f"It stays in the {label}: no day is set for taking it out."))
        else:
            day = full_day_words(pot.sheltered_until)
            found.append(
                CardSentence(
                    f"Take it out of the {label} on {day}: for a week before, out on mild days "
                    "and in at night.",
                    strong=(day,),
                )
            )
    found += [companion_out(each) for each in leaving]
    if pot.display_place is not None:
        exposure = next(
            (each.exposure for each in yard.display_places if each.name == pot.display_place), ""
        )
        where = f"{pot.display_place} ({exposure})" if exposure else pot.display_place
        shown = [(each.start.p50, each.end.p50) for each in forecasts if each.start and each.end]
        when = "when it flowers"
        if shown:
            first, last = min(start for start, _ in shown), max(end for _, end in shown)
            first = min(max(first, pot.sheltered_until or first), last)
            when = f"while it flowers, about {span_words(first, last)}"
        found.append(CardSentence(f"Show it here {when}: {where}.", strong=(where,)))
    return tuple(found)
