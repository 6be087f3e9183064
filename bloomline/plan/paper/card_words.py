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
from bloomline.plan.words.shapes import shape_words
from bloomline.plan.words.units import Units
from bloomline.reference.rules import load_rules
from bloomline.reference.sites import load_sites
from bloomline.words import day_words, full_day_words, listed, number_words, plural, span_words, tr

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
    return tr(
        "{yard_name} · {sub} · season\xa0{season_year}",
        yard_name=yard_name,
        sub=_HEIGHT.sub("", place_label),
        season_year=season_year,
    )


def measures(pot: Pot, *, units: Units) -> str:
    """What the pot is made of, its shape and its inside measures; how many a bench has."""
    material = tr(load_rules().material(pot.material).label)
    wide = tr("{top_width} wide", top_width=units.tape(pot.top_width_cm))
    if pot.top_length_cm is not None:
        wide = tr("{top_length} long, {wide}", top_length=units.tape(pot.top_length_cm), wide=wide)
    told = tr(
        "{material}{material2}; {shape}, inside {wide} and {inside_height} deep",
        material=material[0].upper(),
        material2=material[1:],
        shape=shape_words(pot.shape),
        wide=wide,
        inside_height=units.tape(pot.inside_height_cm),
    )
    if pot.copies == 1:
        return told
    return tr(
        "{n} pots alike, what follows is for each. {measures}",
        n=number_words(pot.copies),
        measures=told,
    )


def missing(*, was_planted: bool) -> str:
    """Why a card has no work on it."""
    if was_planted:
        return tr("All its bulbs are lifted: choose new ones, then print again.")
    return tr("No bulbs are planned here: choose some, then print again.")


# The work


def ready(compost: PotCompost, *, yard: Yard, units: Units) -> tuple[CardSentence, ...]:
    """Compost and bags for this pot."""
    amount = units.volume(compost.loose_l)
    parts = listed(
        tr(
            "{litres} of {label}",
            litres=units.volume(litres),
            label=tr(load_rules().compost(material).label),
        )
        for material, litres in compost.parts_l
    )
    mixed = plural(
        "{parts} as compost.",
        "{amount} of compost: {parts}.",
        len(compost.parts_l),
        parts=parts,
        amount=amount,
    )
    bags = "; ".join(
        f"{count} × {_bag(label, units)}"
        for line in bag_lines((compost,), yard=yard)
        for label, count in line.bags
    )
    why = (tr("Bags for one pot: {bags}.", bags=bags),) if bags else ()
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
    feet = tr(", on feet so that the holes stay free") if feet_advice(pot) else ""
    place = tr("Stand the empty pot {where_words}{feet}.", where_words=_where(pot), feet=feet)
    if has_wheels:
        place = tr(
            "Stand the empty pot {where_words} on a wheeled base: it is moved later.",
            where_words=_where(pot),
        )
    advice = crocks_advice(pot)[0]
    why = (f"{advice.message} {advice.reason}",)
    if pot.crocks_cm > 0:
        deep = units.tape(pot.crocks_cm)
        crocks = tr("Lay crocks over the holes, {deep}; no gravel layer.", deep=deep)
        return CardSentence(place), CardSentence(crocks, strong=(deep,), why=why, topic="Crocks")
    crocks = tr("Lay one curved crock over each hole, hollow side down.")
    return CardSentence(place), CardSentence(crocks, why=why, topic="Crocks")


def _where(pot: Pot) -> str:
    label = tr(load_sites()[pot.site].label)
    if pot.site not in SHELTERED_SITES:
        return tr("in its place {label}", label=label)
    came, goes = pot.sheltered_from, pot.sheltered_until
    if came is not None and goes is not None:
        span = span_words(came, goes)
        return tr("outside, and in the {label} in winter, {span}", label=label, span=span)
    if came is not None:
        day = full_day_words(came)
        return tr("outside, and in the {label} from {day} on", label=label, day=day)
    until = (
        ""
        if goes is None
        else tr(", until {sheltered_until}", sheltered_until=full_day_words(goes))
    )
    return tr("in the {label}{until}", label=label, until=until)


def bulbs_words(count: int) -> str:
    """So many bulbs."""
    return plural("{n} bulb", "{n} bulbs", count)


def layer_mark(fit: LayerFit, *, placed: int, units: Units) -> str:
    """What is read at an arm's length: to where the pot is filled, and how many bulbs go in."""
    return tr(
        "{base_from_rim} below the rim: {bulbs_words}",
        base_from_rim=units.tape(fit.base_from_rim_cm),
        bulbs_words=bulbs_words(placed),
    )


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
    parts: str = "",
) -> tuple[CardSentence, ...]:
    """How one layer is planted. placed : bulbs that have room there. parts : of a mixture.

    loose_l : compost that goes in up to the mark; None where compost comes out down to it.
    is_dug : the pot was dug out for it, and is filled with what came out.
    beside : names of what stays over it.
    """
    found: list[CardSentence] = []
    if parts:
        found.append(CardSentence(tr("A mixture of {parts}: mingle them.", parts=parts)))
    if loose_l is None:
        found.append(CardSentence(tr("Take compost out down to this mark, and keep it at hand.")))
    elif loose_l < _LEAST_L:
        found.append(CardSentence(tr("It is filled to this mark already: firm lightly.")))
    elif is_dug:
        found.append(CardSentence(tr("Fill to this mark with what came out; firm lightly.")))
    else:
        found.append(
            CardSentence(
                tr("Fill to this mark with {loose}; firm lightly.", loose=units.volume(loose_l))
            )
        )
    if beside:
        found.append(
            CardSentence(
                tr(
                    "Don't cut into {beside} above it: dig beside, or lift out "
                    "with the soil and set back.",
                    beside=listed(beside),
                )
            )
        )
    if placed:
        apart = (
            ""
            if spacing_cm is None
            else tr(", middles {spacing} apart", spacing=units.tape(spacing_cm))
        )
        flat = tr(", flat sides outwards") if has_flat_side and placed > 1 else ""
        over = units.over_tips(layer.cover_cm, count=placed)
        found.append(CardSentence(tr("Tips up, as drawn{apart}{flat}.", apart=apart, flat=flat)))
        found.append(CardSentence(tr("Depth: {over}.", over=over), strong=(over,)))
    short = layer.count - placed
    if short > 0:
        left = tr(
            "{short} of {count} have no room here: leave them out.", short=short, count=layer.count
        )
        found.append(CardSentence(left, strong=(left,)))
    return tuple(found)


def expected(layer: Layer, forecast: LayerForecast | None) -> str:
    """When a layer flowers, and when it is lifted."""
    lift = (
        ""
        if layer.lifted_on is None
        else tr(" Lift the bulbs on {lifted_on}.", lifted_on=full_day_words(layer.lifted_on))
    )
    if forecast is None or forecast.start is None or forecast.end is None:
        reason = (forecast.reason if forecast is not None else None) or tr("no flower this season")
        reason = _ISO_DAY.sub(lambda day: full_day_words(date.fromisoformat(day[0])), reason)
        return f"{reason[0].upper()}{reason[1:].removesuffix('.')}.{lift}"
    start, end = forecast.start, forecast.end.p50
    over = day_words(end) if end.year == start.p50.year else full_day_words(end)
    return tr(
        "Opens about {start} ({early}), over about {over}.{lift}",
        start=full_day_words(start.p50),
        early=span_words(start.p10, start.p90),
        over=over,
        lift=lift,
    )


# Days of planting


def day_head(day: date, layers: Sequence[Layer]) -> str:
    """The heading of a day of planting; a day of companions alone says nothing of its state."""
    if any(layer.state == "planned" for layer in layers):
        return tr("To plant on {day}", day=full_day_words(day))
    return f"{(tr('Planted on') if layers else 'On')} {full_day_words(day)}"


def layer_out(
    layer: Layer, name: str, *, day: date, forecast: LayerForecast | None
) -> CardSentence:
    """Bulbs that leave the pot for those of a later day."""
    end = None if forecast is None or forecast.end is None else forecast.end.p50
    late = (
        tr(" It flowers until about {end}.", end=full_day_words(end))
        if end is not None and end > day and layer.lifted_on is None
        else ""
    )
    return CardSentence(
        tr("Take out {name}: dig out all its bulbs.{late}", name=name, late=late), strong=(name,)
    )


def companion_out(plant: CompanionPlanting, *, on: date | None = None) -> CardSentence:
    """Plants on top that leave on a set day. on : the day under whose heading it stands."""
    name = companion_of(plant.companion_id).name
    if plant.taken_out is None or plant.taken_out == on:
        return CardSentence(tr("Take {name} out.", name=name))
    day = full_day_words(plant.taken_out)
    return CardSentence(tr("Take {name} out on {day}.", name=name, day=day), strong=(day,))


def left_open(
    depth_cm: float, *, loose_l: float, surface_cm: float, day: date, names: str, units: Units
) -> CardSentence:
    """How far a pot is filled until the bulbs of a day soon after go in."""
    deep, when = units.tape(depth_cm), full_day_words(day)
    amount = tr(" with {loose}", loose=units.volume(loose_l)) if loose_l >= _LEAST_L else ""
    return CardSentence(
        tr(
            "Fill to {deep} below the rim{amount}, and leave the {surface} over "
            "that unfilled until {when}, for {names}.",
            deep=deep,
            amount=amount,
            surface=units.tape(depth_cm - surface_cm),
            when=when,
            names=names,
        ),
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
        tr(" again with what came out")
        if loose_l is None
        else tr(" with {loose}", loose=units.volume(loose_l))
        if loose_l >= _LEAST_L
        else ""
    )
    later = (
        ""
        if day is None
        else tr(" Next in: {waiting}, on {day}.", waiting=waiting, day=full_day_words(day))
    )
    return CardSentence(
        tr("Fill to {deep} below the rim{amount}.{later}", deep=deep, amount=amount, later=later),
        strong=(deep,),
    )


def companion_in(each: CompanionPlanting, *, units: Units) -> CardSentence:
    """Plants that are set on top."""
    plant = companion_of(each.companion_id)
    many = f"{each.count} {plural('plant', 'plants', each.count)}"
    apart = tr(", {spacing} apart", spacing=units.tape(plant.spacing_cm)) if each.count > 1 else ""
    return CardSentence(
        tr(
            "Set {many_words} of {plant_name} on top{apart}.",
            many_words=many,
            plant_name=plant.name,
            apart=apart,
        ),
        strong=(many,),
    )


def dressed(pot: Pot, compost: PotCompost, *, again: bool, units: Units) -> CardSentence:
    """The top dressing."""
    thick, stuff = units.tape(pot.top_dressing_cm), pot.top_dressing or tr("top dressing")
    if again:
        return CardSentence(
            tr("Spread the {stuff} over it again, {thick}.", stuff=stuff, thick=thick),
            strong=(thick,),
        )
    return CardSentence(
        tr(
            "Spread {thick} of {stuff}, {dressing}; the {rim_gap} above it stay free for water.",
            thick=thick,
            stuff=stuff,
            dressing=units.volume(compost.dressing_l),
            rim_gap=units.tape(pot.rim_gap_cm),
        ),
        strong=(thick,),
    )


def watered(*, has_labels: bool) -> CardSentence:
    """What ends a day of planting."""
    label = tr(" Put the label in now, not later.") if has_labels else ""
    return CardSentence(tr("Water until it runs out below.{label}", label=label))


def meshed(noses: date | None) -> CardSentence:
    """Wire mesh over fresh bulbs. noses : when the first are expected under it."""
    until = (
        tr("noses show")
        if noses is None
        else tr("noses show, about {noses}", noses=full_day_words(noses))
    )
    return CardSentence(
        tr("Pin wire mesh over it until {until}: mice and squirrels dig.", until=until),
        strong=(tr("wire mesh"),),
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
        label = tr(load_sites()[pot.site].label)
        if pot.sheltered_from is not None:
            day = full_day_words(pot.sheltered_from)
            found.append(
                CardSentence(
                    tr("Carry it into the {label} on {day}.", label=label, day=day), strong=(day,)
                )
            )
        if pot.sheltered_until is None:
            found.append(
                CardSentence(tr("No day is set for taking it out of the {label}.", label=label))
            )
        else:
            day = full_day_words(pot.sheltered_until)
            found.append(
                CardSentence(
                    tr(
                        "Take it out of the {label} on {day}: for a week before, "
                        "out on mild days and in at night.",
                        label=label,
                        day=day,
                    ),
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
        when = tr("when it flowers")
        if shown:
            first, last = min(start for start, _ in shown), max(end for _, end in shown)
            first = min(max(first, pot.sheltered_until or first), last)
            when = tr("while it flowers, about {first}", first=span_words(first, last))
        found.append(
            CardSentence(
                tr("Show it here {when}: {where_words}.", when=when, where_words=where),
                strong=(where,),
            )
        )
    return tuple(found)
