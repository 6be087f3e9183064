"""The sentences of a planting card; their figures come from the use cases that all views share."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bloomline.model.advice import Advice, Severity
from bloomline.model.yard import SHELTERED_SITES, Layer, Pot, Yard
from bloomline.plan.forecast.report import LayerForecast
from bloomline.plan.pot.advice import Writing
from bloomline.plan.pot.compost import PotCompost, bag_lines, crocks_advice
from bloomline.plan.pot.fill_marks import FillMark
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.pot.fitting import CultivarOf, LayerFit
from bloomline.plan.pot.lifting import LIMITS, handling_of, lifting_advice
from bloomline.plan.pot.safety import (
    bulb_frost_advice,
    feet_advice,
    pot_frost_advice,
)
from bloomline.plan.pot.weight import pot_weight
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.words.day_words import day_words, full_day_words, span_words
from bloomline.plan.words.units import Units
from bloomline.reference.rules import load_rules
from bloomline.reference.sites import load_sites

_MOST_AMISS = 3
_HEIGHT = re.compile(r", -?\d+ m$")
_LITRES = re.compile(r"([\d.]+) L\b")
_KILOS = re.compile(r"([\d.]+) kg\b")
_ISO_DAY = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
_ASIDE = re.compile(r" \([^)]*\)")


@dataclass(frozen=True, slots=True)
class CardSentence:
    """A sentence or two. strong : figures in it that are printed bold. why : for larger paper."""

    text: str
    strong: tuple[str, ...] = ()
    why: str = ""


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


# First of all


def cautions(
    pot: Pot,
    forecasts: Sequence[LayerForecast],
    *,
    yard: Yard,
    cultivar_of: CultivarOf,
    units: Units,
    lows_c: NDArray[np.float64] | None,
) -> tuple[CardSentence, ...]:
    """What to heed before the work: poison, skin, weight, frost, layers that can't lie so."""
    weight = pot_weight(pot, yard=yard, cultivar_of=cultivar_of)
    heavy = lifting_advice(weight, mass=lambda kg: units.mass(kg, decimals=0))
    frost = bulb_frost_advice(forecasts, cultivar_of=cultivar_of, degrees=units.temperature)
    split: tuple[Advice, ...] = ()
    if lows_c is not None:
        here = lows_c + yard.site_offsets.get(pot.site, 0.0)
        split = pot_frost_advice(pot, lows_c=here, degrees=units.temperature)
    return (
        *_poison(pot, cultivar_of),
        *(
            CardSentence(f"{each.message} {LIMITS}", why=each.reason.removesuffix(LIMITS).strip())
            for each in heavy
        ),
        *_frost_by_limit(frost),
        *(
            CardSentence(each.message, why=each.reason)
            for each in split
            if each.severity is not Severity.NOTE
        ),
        *_amiss(pot, cultivar_of, units),
    )


def _poison(pot: Pot, cultivar_of: CultivarOf) -> Iterator[CardSentence]:
    rules = load_rules()
    kinds = [cultivar_of(each) for each in dict.fromkeys(x.cultivar_id for x in pot.layers)]
    if any(kind.genus == "Lilium" for kind in kinds):
        yield CardSentence(rules.caution("lily-cats").message)
    toxic = [kind for kind in kinds if kind.toxic_pets > 0]
    entries = [(kind.genus, rules.toxicity(kind.genus, kind.group)) for kind in toxic]
    what = "; ".join(
        dict.fromkeys(f"{genus}: {_ASIDE.sub('', entry.what)}" for genus, entry in entries if entry)
    )
    if severe := _listed(kind.genus for kind in toxic if kind.toxic_pets >= 2):
        yield CardSentence(
            f"Can be severe or fatal if eaten: {severe}. Keep from pets and children; call a vet "
            "or poisons line at once.",
            why=f"{what}." if what else "",
        )
    elif toxic:
        yield CardSentence(
            "Harmful if eaten: keep bulbs from pets, children and the kitchen.",
            why=f"{what}." if what else "",
        )
    for companion in dict.fromkeys(each.companion_id for each in pot.companions):
        plant = companion_of(companion)
        if plant.toxic_pets > 0:
            yield CardSentence(
                f"Keep pets and children from eating {plant.name}: {plant.toxic_note}."
            )
    gloves = _listed(genus for genus, entry in entries if entry is not None and entry.gloves)
    if gloves:
        yield CardSentence(f"Wear gloves, nitrile rather than latex: {gloves}.")


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names))


def _frost_by_limit(found: Sequence[Advice]) -> Iterator[CardSentence]:
    """Frost on bulbs, the kinds that die of the same cold named together."""
    kinds: dict[str, list[str]] = {}
    for each in found:
        name, _, rest = each.message.partition(": ")
        kinds.setdefault(rest, []).append(name)
    for rest, names in kinds.items():
        yield CardSentence(f"{_listed(names)}: {rest}", why=found[0].reason)


def _amiss(pot: Pot, cultivar_of: CultivarOf, units: Units) -> Iterator[CardSentence]:
    """Layers that can't be planted as they are drawn: no room, in one another, in the crocks."""
    places = 2 if units.imperial else 1
    writing = Writing(length=lambda cm: units.length(cm, decimals=places), day=full_day_words)
    wrong = [
        each
        for each in pot_findings(pot, cultivar_of=cultivar_of, writing=writing)
        if each.severity is Severity.WARNING or not each.layer_ids
    ]
    for each in wrong[:_MOST_AMISS]:
        mend = "" if each.mending is None else f" {each.mending.words}."
        yield CardSentence(f"{each.advice.message}{mend}", why=each.advice.reason)
    if len(wrong) > _MOST_AMISS:
        more = len(wrong) - _MOST_AMISS
        yield CardSentence(
            f"And {more} more {'thing is' if more == 1 else 'things are'} amiss with its layers: "
            "see the details of the pot before planting."
        )


# The work


def ready(compost: PotCompost, *, yard: Yard, units: Units) -> tuple[CardSentence, ...]:
    """Compost and bags for this pot."""
    amount = units.volume(compost.loose_l)
    found = [
        CardSentence(
            f"{amount} of {compost.recipe.label}.",
            strong=(amount,),
            why=", ".join(
                f"{units.volume(litres)} of {load_rules().compost(material).label}"
                for material, litres in compost.parts_l
            )
            + " before mixing; the loose compost settles."
            if len(compost.parts_l) > 1
            else "",
        )
    ]
    bags = "; ".join(
        f"{count} × {_bag(label, units)}"
        for line in bag_lines((compost,), yard=yard)
        for label, count in line.bags
    )
    if bags:
        found.append(CardSentence(f"Bags, for this pot alone: {bags}."))
    return tuple(found)


def _bag(label: str, units: Units) -> str:
    """A bag as it is marked, its size in the gardener's own units before that."""
    words = label.removeprefix("bag of ")
    if not units.imperial:
        return words
    words = _LITRES.sub(lambda size: units.volume(float(size[1])), words)
    return _KILOS.sub(lambda size: f"{units.mass(float(size[1]), decimals=0)} ({size[0]})", words)


def before(
    pot: Pot, *, yard: Yard, cultivar_of: CultivarOf, units: Units
) -> tuple[CardSentence, ...]:
    """What is done before the first layer."""
    feet = ", on feet so that the holes stay free" if feet_advice(pot) else ""
    place = f"Stand the empty pot {_where(pot)}{feet}."
    weight = pot_weight(pot, yard=yard, cultivar_of=cultivar_of)
    by_hand = handling_of(weight) in ("one", "one-close", "stays")
    if not by_hand and (pot.sheltered_until is not None or pot.display_place is not None):
        place += " It is to be moved later and will be heavy: put it on a wheeled base now."
    why = crocks_advice(pot)[0].reason
    if pot.crocks_cm > 0:
        deep = units.tape(pot.crocks_cm)
        crocks = CardSentence(
            f"Lay crocks over the holes, {deep}; no gravel layer: a fine mix stays wet above it.",
            strong=(deep,),
            why=why,
        )
    else:
        crocks = CardSentence("Lay one curved crock over each hole, hollow side down.", why=why)
    return CardSentence(place), crocks


def _where(pot: Pot) -> str:
    label = load_sites()[pot.site].label
    if pot.site not in SHELTERED_SITES:
        return f"in its place {label}"
    until = "" if pot.sheltered_until is None else f", until {full_day_words(pot.sheltered_until)}"
    return f"in the {label}{until}"


def layer_work(
    fit: LayerFit,
    *,
    loose_l: float,
    placed: int,
    spacing_cm: float | None,
    has_flat_side: bool,
    units: Units,
) -> tuple[CardSentence, ...]:
    """How one layer is planted. placed : bulbs that have room there."""
    base, tip = units.tape(fit.base_from_rim_cm), units.tape(fit.tip_from_rim_cm)
    bulbs = "1 bulb" if placed == 1 else f"{placed} bulbs"
    apart = "" if spacing_cm is None else f", about {units.tape(spacing_cm)} from middle to middle"
    flat = " Flat sides outwards at the rim." if has_flat_side and placed > 1 else ""
    amount = f" with {units.volume(loose_l)}" if loose_l >= 0.05 else ""
    found = [CardSentence(f"Fill to {base} below the rim{amount}; firm lightly.", strong=(base,))]
    if placed:
        found.append(
            CardSentence(
                f"Set {bulbs} tip up, as drawn{apart}; tips {tip} below the rim.{flat}",
                strong=(bulbs,),
            )
        )
    short = fit.count - placed
    if short > 0:
        left = f"{short} of {fit.count} have no room here: leave them out."
        well = f" {fit.room.usual} fit well." if fit.room.usual else ""
        found.append(CardSentence(f"{left}{well}", strong=(left,)))
    return tuple(found)


def expected(layer: Layer, forecast: LayerForecast | None) -> str:
    """When a layer was or is to be planted, when it flowers, and when it is lifted."""
    planned = layer.state == "planned"
    day = f"{'To plant on' if planned else 'Planted'} {full_day_words(layer.planted)}."
    lift = (
        "" if layer.lifted_on is None else f" Lift the bulbs on {full_day_words(layer.lifted_on)}."
    )
    if forecast is None or forecast.start is None or forecast.end is None:
        reason = (forecast.reason if forecast is not None else None) or "no flower this season"
        reason = _ISO_DAY.sub(lambda day: full_day_words(date.fromisoformat(day[0])), reason)
        return f"{day} {reason[0].upper()}{reason[1:].removesuffix('.')}.{lift}"
    start, end = forecast.start, forecast.end.p50
    over = day_words(end) if end.year == start.p50.year else full_day_words(end)
    return (
        f"{day} Opens about {full_day_words(start.p50)} ({span_words(start.p10, start.p90)}), "
        f"over about {over}.{lift}"
    )


def after(
    pot: Pot, compost: PotCompost, mark: FillMark, *, units: Units
) -> tuple[CardSentence, ...]:
    """What is done above the last layer."""
    deep = units.tape(mark.depth_cm)
    amount = f" with {units.volume(mark.loose_l)}" if mark.loose_l >= 0.05 else ""
    found = [CardSentence(f"Fill to {deep} below the rim{amount}.", strong=(deep,))]
    for each in pot.companions:
        plant = companion_of(each.companion_id)
        many = f"{each.count} {'plant' if each.count == 1 else 'plants'}"
        apart = f", {units.tape(plant.spacing_cm)} apart" if each.count > 1 else ""
        found.append(
            CardSentence(
                f"Set {many} of {plant.name} on top{apart}, on {full_day_words(each.planted)}.",
                strong=(many,),
            )
        )
    if pot.top_dressing_cm > 0:
        thick = units.tape(pot.top_dressing_cm)
        found.append(
            CardSentence(
                f"Spread {thick} of {pot.top_dressing or 'top dressing'}, "
                f"{units.volume(compost.dressing_l)}; the {units.tape(pot.rim_gap_cm)} above "
                "it stay free for water.",
                strong=(thick,),
            )
        )
    found.append(CardSentence("Water until it runs out below. Put the label in now, not later."))
    return tuple(found)


# Afterwards


def standing(
    pot: Pot, forecasts: Sequence[LayerForecast], *, yard: Yard
) -> tuple[CardSentence, ...]:
    """Where the pot goes later: out of its shelter, and to the place where it is shown."""
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
    for each in pot.companions:
        if each.taken_out is not None:
            day = full_day_words(each.taken_out)
            found.append(
                CardSentence(
                    f"Take {companion_of(each.companion_id).name} out on {day}.", strong=(day,)
                )
            )
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
