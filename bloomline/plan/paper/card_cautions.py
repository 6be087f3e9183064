"""What to heed before a pot is planted: short on its card, in full on the last sheet of a set."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from bloomline.model.advice import Advice, Severity
from bloomline.model.yard import Pot, Yard
from bloomline.plan.forecast.report import LayerForecast
from bloomline.plan.paper.card_words import CardSentence
from bloomline.plan.pot.advice import Writing
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.pot.lifting import Handling, handling_of, lifting_advice
from bloomline.plan.pot.safety import bulb_frost_advice, pot_frost_advice
from bloomline.plan.pot.weight import PotWeight
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.words.units import Units
from bloomline.reference.rules import load_rules
from bloomline.words import full_day_words, plural, tr

_MOST_AMISS = 3
_ASIDE = re.compile(r" \([^)]*\)")


def cautions(
    pot: Pot,
    forecasts: Sequence[LayerForecast],
    *,
    weight: PotWeight,
    yard: Yard,
    cultivar_of: CultivarOf,
    units: Units,
    lows_c: NDArray[np.float64] | None,
) -> tuple[CardSentence, ...]:
    """Poison, skin, weight, frost, layers that can't lie so; `why` is for the last sheet."""
    return (
        *_poison(pot, cultivar_of),
        *_weight(weight, units),
        *_frost_on_bulbs(
            bulb_frost_advice(forecasts, cultivar_of=cultivar_of, degrees=units.temperature)
        ),
        *_frost_on_pot(pot, yard=yard, units=units, lows_c=lows_c),
        *_amiss(pot, cultivar_of, units),
    )


def _poison(pot: Pot, cultivar_of: CultivarOf) -> tuple[CardSentence, ...]:
    rules = load_rules()
    kinds = [cultivar_of(each) for each in dict.fromkeys(x.cultivar_id for x in pot.layers)]
    toxic = [kind for kind in kinds if kind.toxic_pets > 0]
    entries = [(kind.genus, rules.toxicity(kind.genus, kind.group)) for kind in toxic]
    why = [f"{genus}: {_ASIDE.sub('', tr(entry.what))}." for genus, entry in entries if entry]
    found = []
    if any(kind.genus == "Lilium" for kind in kinds):
        found.append(tr(rules.caution("lily-cats").message))
    if severe := _names(kind.genus for kind in toxic if kind.toxic_pets >= 2):
        found.append(
            tr(
                "Can be severe or fatal if eaten: {severe}. Keep from pets and "
                "children; if eaten, call a vet or poisons line at once.",
                severe=severe,
            )
        )
    elif toxic:
        found.append(tr("Harmful if eaten: keep from pets, children and the kitchen."))
    for companion in dict.fromkeys(each.companion_id for each in pot.companions):
        plant = companion_of(companion)
        if plant.toxic_pets > 0:
            why.append(f"{plant.name}: {plant.toxic_note}.")
            found.append(
                tr("Keep pets and children from eating {plant_name}.", plant_name=plant.name)
            )
    gloves = _names(genus for genus, entry in entries if entry is not None and entry.gloves)
    if gloves:
        found.append(tr("Wear gloves, nitrile rather than latex: {gloves}.", gloves=gloves))
    told = tuple(dict.fromkeys(why))
    return tuple(
        CardSentence(text, why=() if at else told, topic="Poison") for at, text in enumerate(found)
    )


def _names(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names))


_LIFTING: dict[Handling, str] = {
    "one-close": "lift it close to the body, from the knees.",
    "two": "lift with two people or use a trolley.",
    "two-or-trolley": "lift with two people, better use a trolley.",
    "fill-in-place": "fill it where it stays; move it only on a trolley.",
    "stays": "too heavy even when empty: fill it where it is to stay, and protect it there.",
}


def _weight(weight: PotWeight, units: Units) -> Iterator[CardSentence]:
    low = units.mass(weight.wet_kg.low, decimals=0)
    high = units.mass(weight.wet_kg.high, decimals=0)
    for each in lifting_advice(weight, mass=lambda kg: units.mass(kg, decimals=0)):
        yield CardSentence(
            tr(
                "{low} to {high} when watered: {lifting}",
                low=low,
                high=high,
                lifting=_LIFTING[handling_of(weight)],
            ),
            strong=(high,),
            why=(each.reason,),
            topic="Weight",
        )


def _frost_on_bulbs(found: Sequence[Advice]) -> Iterator[CardSentence]:
    """Frost on bulbs, the kinds that die of the same cold named together."""
    kinds: dict[str, list[str]] = {}
    for each in found:
        name, _, rest = each.message.partition(": ")
        kinds.setdefault(rest, []).append(name)
    for rest, names in kinds.items():
        yield CardSentence(f"{_names(names)}: {rest}", why=(found[0].reason,), topic="Frost")


def _frost_on_pot(
    pot: Pot, *, yard: Yard, units: Units, lows_c: NDArray[np.float64] | None
) -> Iterator[CardSentence]:
    if lows_c is None:
        return
    here = lows_c + yard.site_offsets.get(pot.site, 0.0)
    found = pot_frost_advice(pot, lows_c=here, degrees=units.temperature)
    grave = [each for each in found if each.severity is not Severity.NOTE]
    if grave:
        yield CardSentence(
            tr("Hard frost can split this pot: raise it on feet, shelter it in hard spells."),
            why=tuple(f"{each.message} {each.reason}" for each in grave),
            topic="Frost",
        )


def _amiss(pot: Pot, cultivar_of: CultivarOf, units: Units) -> Iterator[CardSentence]:
    """Layers that can't lie as they are drawn, or shouldn't: no room, in the crocks, too deep."""
    places = 2 if units.imperial else 1
    writing = Writing(length=lambda cm: units.length(cm, decimals=places), day=full_day_words)
    wrong = [
        each
        for each in pot_findings(pot, cultivar_of=cultivar_of, writing=writing)
        if each.severity is not Severity.NOTE or not each.layer_ids
    ]
    wrong.sort(key=lambda each: each.severity is not Severity.WARNING)
    for each in wrong[:_MOST_AMISS]:
        mend = "" if each.mending is None else f" {each.mending.words}."
        yield CardSentence(f"{each.advice.message}{mend}", why=(each.advice.reason,), topic="Depth")
    if len(wrong) > _MOST_AMISS:
        more = len(wrong) - _MOST_AMISS
        yield CardSentence(
            plural(
                "And {n} more thing is amiss with its layers: see the details of "
                "the pot before planting.",
                "And {n} more things are amiss with its layers: see the details of "
                "the pot before planting.",
                more,
            )
        )
