"""The words for what is amiss in a pot: depth, order and number of its bulbs, its measures."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from bloomline.engine.layers import FindingCode, LayerFinding
from bloomline.model.advice import Advice
from bloomline.model.yard import Layer, Pot
from bloomline.plan.pot.finding import SEVERITIES, PotFindingCode
from bloomline.plan.pot.fitting import LayerFit
from bloomline.reference.rules import load_rules
from bloomline.words import full_day_words, listed, marked, plural, tr

_SLACK_CM = 0.5  # nobody plants more exactly


def _in_cm(length_cm: float) -> str:
    return tr("{length:g} cm", length=round(length_cm, 1))


def _in_kg(mass_kg: float) -> str:
    return tr("{mass_kg:.0f} kg", mass_kg=mass_kg)


@dataclass(frozen=True, slots=True)
class Writing:
    """How figures are written into advice: metric and ISO dates unless told otherwise."""

    length: Callable[[float], str] = _in_cm
    mass: Callable[[float], str] = _in_kg
    day: Callable[[date], str] = full_day_words


PLAIN = Writing()


def room_advice(code: PotFindingCode, fit: LayerFit, name: str, pot: Pot) -> Advice:
    """More bulbs than the level they lie at holds, or one that is too wide for it."""
    rule = load_rules().figure("single_layer_gap_bulb_widths")
    if code == "no_room":
        return Advice(
            severity=SEVERITIES[code],
            topic="room",
            message=too_wide_words(name, pot.name),
            reason=tr("Pots taper: lower down there is less room."),
            source=tr("geometry of the pot"),
        )
    figures = {"usual": fit.room.usual, "tight": fit.room.tight}
    if code == "too_many":
        message = tr(
            "{count} bulbs of {name} don't fit: at this depth {usual} fit "
            "well and {tight} at most. Take fewer, or lay them higher.",
            count=fit.count,
            name=name,
            **figures,
        )
    else:
        message = tr(
            "{count} bulbs of {name} stand tight: {usual} is usual here, "
            "{tight} the most. Good for one season; water and feed more.",
            count=fit.count,
            name=name,
            **figures,
        )
    return Advice(
        severity=SEVERITIES[code],
        topic="room",
        message=message,
        reason=f"{tr(rule.rule)}.",
        source=rule.source,
    )


def too_wide_words(name: str, pot_name: str) -> str:
    """A bulb that is wider than the level it lies at."""
    return tr("{name} is too wide for {pot_name} at this depth.", name=name, pot_name=pot_name)


def is_worth_telling(finding: LayerFinding) -> bool:
    """Whether it is more than a few millimetres that are missing."""
    small = finding.code in ("layers_close", "little_compost_under", "shallower_than_usual")
    return not small or finding.limit - finding.value >= _SLACK_CM


# Code of the finding: key of the rule.
_RULES: Mapping[FindingCode, str] = {
    "too_shallow": "least_cover_cm",
    "shallower_than_usual": "hole_bulb_heights",
    "too_deep": "deepest_layer_cm",
    "little_compost_under": "compost_below_cm",
    "in_crocks": "compost_below_cm",
    "layers_collide": "compost_between_layers_cm",
    "layers_close": "compost_between_layers_cm",
    "later_above_earlier": "large_late_deep",
    "taller_above_shorter": "large_late_deep",
}


_MESSAGES: Mapping[str, str] = {
    "too_shallow": marked("{name} lies too shallow: {value} under the surface; at least {limit}."),
    "shallower_than_usual": marked(
        "{name} lies shallower than usual: {value} under the surface; "
        "{limit} is usual. That does for one season in a layered pot."
    ),
    "too_deep": marked("{name} lies too deep: {value} under the surface; at most {limit}."),
    "little_compost_under": marked(
        "Little compost under {name}: {value}; about {limit} feed the roots."
    ),
    "in_crocks": marked(
        "{name} would lie in the crocks: its base needs {value} of compost, the pot holds {limit}."
    ),
    "layers_collide": marked(
        "{name} and {other} lie in one another, by {value}: one of the "
        "layers must be higher or lower."
    ),
    "layers_close": marked(
        "Only {value} of compost between {name} and {other}; about {limit} is good."
    ),
    "later_above_earlier": marked(
        "{name} flowers later but lies above {other}: its shoots come "
        "through the flowers that are over, and the earlier ones push past "
        "its bulbs."
    ),
    "taller_above_shorter": marked("{name} grows taller but lies above {other}."),
}


def finding_advice(
    finding: LayerFinding,
    pot: Pot,
    names: Mapping[str, str],
    *,
    writing: Writing,
) -> Advice:
    """What is amiss with where a layer lies, in words; `names` are by layer id."""
    rule = load_rules().figure(_RULES[finding.code])
    name = names[pot.layers[finding.index].id]
    other = "" if finding.other is None else names[pot.layers[finding.other].id]
    filled = {
        "name": name,
        "other": other,
        "value": writing.length(abs(finding.value)),
        "limit": writing.length(finding.limit),
    }
    return Advice(
        severity=SEVERITIES[finding.code],
        topic="depth" if finding.other is None or "layers_" in finding.code else "order",
        message=tr(_MESSAGES[finding.code], **filled),
        reason=f"{tr(rule.rule)}.",
        source=rule.source,
    )


def many_layers_advice(pot: Pot, *, writing: Writing) -> Advice | None:
    """More layers than so low a pot should hold."""
    rules = load_rules()
    small = rules.figure("small_pot_depth_cm").middle
    most = rules.figure("layers_small_pot")
    if pot.inside_height_cm >= small or len(pot.layers) <= most.middle:
        return None
    return Advice(
        severity=SEVERITIES["too_many_layers"],
        topic="depth",
        message=(
            tr(
                "{count} layers in a pot {inside_height} high; {middle:.0f} are "
                "the most for a pot under {small}.",
                count=len(pot.layers),
                inside_height=writing.length(pot.inside_height_cm),
                middle=most.middle,
                small=writing.length(small),
            )
        ),
        reason=f"{tr(most.rule)}.",
        source=most.source,
    )


def order_advice(
    uppers: Sequence[Layer], lower: Layer, names: Mapping[str, str], *, writing: Writing
) -> Advice:
    """Layers that would have to be planted before one that lies under them."""
    rooted = [layer for layer in uppers if layer.state != "planned"]
    name = names[lower.id]
    day = writing.day(lower.planted)
    if rooted:
        message = tr(
            "{listed} {is_words} in the ground already, and {name} is to lie "
            "deeper, planted on {day}: that can't be done without digging up "
            "what lies above.",
            listed=_listed(rooted, names),
            is_words=_is(rooted),
            name=name,
            day=day,
        )
    else:
        first = writing.day(min(layer.planted for layer in uppers))
        message = tr(
            "{listed} {is_words} to be planted on {first}, but {name}, which "
            "is to lie deeper, only on {day}: what lies lower goes in first.",
            listed=_listed(uppers, names),
            is_words=_is(uppers),
            first=first,
            name=name,
            day=day,
        )
    return Advice(
        severity=SEVERITIES["planted_before_lower"],
        topic="order",
        message=message,
        reason=tr(
            "A pot is filled from the bottom: a lower layer that comes later turns up the rest."
        ),
        source=tr("common practice, no source"),
    )


def size_advice(slips: Sequence[tuple[str, float, float]], *, writing: Writing) -> Advice:
    """Measures that look like a slip: each as (where, as typed, as perhaps meant). [cm]"""
    typed = listed([f"{writing.length(was)} {where}" for where, was, _ in slips])
    meant = listed([writing.length(perhaps) for _, _, perhaps in slips])
    return Advice(
        severity=SEVERITIES["size_doubtful"],
        topic="size",
        message=plural(
            "{typed}: was {meant} meant?",
            "{typed}: were {meant} meant?",
            len(slips),
            typed=typed,
            meant=meant,
        ),
        reason=tr("Hardly any pot is as large as that; a figure too many is a common slip."),
        source=tr("judgement, no source"),
    )


def _listed(layers: Sequence[Layer], names: Mapping[str, str]) -> str:
    return listed(list(dict.fromkeys(names[layer.id] for layer in layers)))


def _is(layers: Sequence[Layer]) -> str:
    return plural("is", "are", len(layers))
