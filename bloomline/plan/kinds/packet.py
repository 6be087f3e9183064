"""A kind made from what stands on its packet, and what is questioned while it is typed."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from pydantic import ValidationError

from bloomline.errors import BloomlineError, UnknownNameError, UsageError
from bloomline.model.cultivar import Cultivar
from bloomline.model.kind_edits import free_kind_id
from bloomline.model.problems import describe
from bloomline.model.yard import OwnCultivar, Packet, PlaceChoice
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.kinds.classes import Range, Usual, bulb_types, usual_of
from bloomline.plan.kinds.dates import NoSuchTimeError, PacketDates, class_dates, packet_dates
from bloomline.plan.kinds.window import Span, flowering_window, window_words
from bloomline.plan.words.units import Units
from bloomline.reference.places import load_places
from bloomline.reference.rules import load_rules
from bloomline.words import day_words, tr

Field = Literal["genus", "name", "flowers", "country", "height", "cover", "size", "colour"]

HEIGHTS_CM, COVERS_CM, SIZES_CM = (3.0, 250.0), (0.0, 40.0), (2.0, 80.0)
"""What a bulb can be at all, as the model takes it."""
_ODD = 1.6  # this many times beside what its class has is asked about; judgement, no source
_MOST_NAME = 100


@dataclass(frozen=True, slots=True)
class PacketEntry:
    """What is typed of a packet; None and "" where the packet doesn't say.

    flowers : the words of the time of flowers; country : where they hold, "" near London.
    height_cm, cover_cm, size_cm : height in flower, soil over the tip, circumference.
    """

    genus: str
    group: str = ""
    name: str = ""
    flowers: str = ""
    country: str = ""
    colour: str = ""
    colour_hex: str = ""
    second_hex: str | None = None
    height_cm: float | None = None
    cover_cm: float | None = None
    size_cm: float | None = None
    scent: int = 0


@dataclass(frozen=True, slots=True)
class Question:
    """What is to be said of a field. grave : it can't be so, and is to be corrected."""

    words: str
    grave: bool


Questions = Mapping[Field, Question]
METRIC = Units()


def usual_for(entry: PacketEntry) -> Usual:
    """What is usual of the class that an entry names."""
    span = _span_of(entry)
    known = any(each.genus == entry.genus for each in bulb_types())
    return usual_of(entry.genus, entry.group, month=None if known or not span else span[0].month)


def questions(
    entry: PacketEntry,
    *,
    forecaster: Forecaster | None = None,
    taken: Iterable[Cultivar] = (),
    units: Units = METRIC,
) -> dict[Field, Question]:
    """What is odd or impossible in an entry, by field; the months only with a forecaster.

    taken : kinds that there are already, by whose names a second of the same is told.
    """
    found: dict[Field, Question] = {}
    if not _is_genus(entry.genus):
        found["genus"] = Question(
            tr("choose a type, or write its botanical genus, such as Triteleia"), True
        )
        return found
    usual = usual_for(entry)
    if not entry.name.strip():
        found["name"] = Question(tr("how is it called on the packet?"), True)
    elif len(entry.name) > _MOST_NAME:
        found["name"] = Question(tr("at most {n} letters", n=_MOST_NAME), True)
    elif any(each.name == full_name(entry.genus, entry.name) for each in taken):
        found["name"] = Question(tr("there is one of this name already"), False)
    figures: tuple[tuple[Field, float | None, Range, Range, Callable[[str], str]], ...] = (
        ("height", entry.height_cm, HEIGHTS_CM, usual.heights, _height_words),
        ("cover", entry.cover_cm, COVERS_CM, usual.covers, _cover_words),
        ("size", entry.size_cm, SIZES_CM, usual.sizes, _size_words),
    )
    for field, value, limits, usually, words in figures:
        asked = _of_figure(value, limits, usually, words, units)
        if asked is not None:
            found[field] = asked
    of_months = _of_months(entry, usual, forecaster)
    if of_months is not None:
        found[of_months[0]] = of_months[1]
    return found


def kind_of(
    entry: PacketEntry,
    *,
    forecaster: Forecaster,
    taken: Iterable[str] = (),
    kept: OwnCultivar | None = None,
) -> OwnCultivar:
    """The kind of an entry: what the packet doesn't say is that of its class.

    taken : ids that are in use. kept : the kind that is edited; its id stays, and so do its
    dates while it has no packet and none is given, or the packet and the class are the same.
    Raises UsageError for what can't be, with the words of its field.
    """
    grave = [each.words for each in questions(entry).values() if each.grave]
    if grave:
        raise UsageError(grave[0])
    usual = usual_for(entry)
    typical = usual.typical
    span = _span_of(entry)
    size = entry.size_cm or typical.bulb_circumference_cm
    height = entry.height_cm or typical.height_cm
    known = any(each.genus == entry.genus for each in bulb_types())
    fields: dict[str, object] = dict(typical) | {
        "id": kept.id if kept else free_kind_id(entry.genus, entry.name, taken),
        "genus": entry.genus,
        "group": entry.group,
        "division": _division(entry.genus, entry.group),
        "name": full_name(entry.genus, entry.name),
        "common_type": typical.common_type if known else entry.genus.lower(),
        "colour": entry.colour or "mixed",
        "colour_hex": entry.colour_hex or typical.colour_hex,
        "second_colour_hex": entry.second_hex,
        "height_cm": float(height),
        "cover_cm": float(typical.cover_cm if entry.cover_cm is None else entry.cover_cm),
        "bulb_circumference_cm": float(size),
        "spacing_cm": float(max(typical.spacing_cm, math.ceil(size / math.pi))),
        "grams_per_bulb": _grams(typical, size),
        "scent": entry.scent,
        "typical_pack": kept.typical_pack if kept else typical.typical_pack,
        "typical_price_gbp": None,
        "chill_basis": "class-typical" if known else "memory",
        "parts": (),
        **_harm(entry, typical),
        **_dates(entry, span, usual, forecaster, kept),
    }
    if kept is not None:
        fields["synonyms"] = kept.synonyms
    try:
        return OwnCultivar.model_validate(fields)
    except ValidationError as error:
        raise UsageError("; ".join(describe(error)[:3])) from None


def entry_of(kind: OwnCultivar) -> PacketEntry:
    """The entry that a kind was made from, or could have been, to be edited."""
    packet = kind.packet
    return PacketEntry(
        genus=kind.genus,
        group=kind.group,
        name=_bare_name(kind),
        flowers="" if packet is None else window_words(packet.first, packet.last),
        country="" if packet is None else packet.country,
        colour=kind.colour,
        colour_hex=kind.colour_hex,
        second_hex=kind.second_colour_hex,
        height_cm=kind.height_cm,
        cover_cm=kind.cover_cm,
        size_cm=kind.bulb_circumference_cm,
        scent=kind.scent,
    )


def country_of(place: PlaceChoice) -> str:
    """The country of the station that stands for a place."""
    places = load_places()
    if place.station_id is not None and place.own_normals is None:
        with suppress(UnknownNameError):
            return places.get(place.station_id).country
    return places.nearest(place.latitude_deg, place.longitude_deg)[0][0].country


def full_name(genus: str, name: str) -> str:
    """A name as the ICNCP writes it: the genus, and the epithet in single quotes.

    What already begins with the genus or holds a quoted epithet is left as it was typed.
    """
    text = " ".join(name.replace("‘", "'").replace("`", "'").split())
    if text.casefold().startswith(f"{genus.casefold()} ") or text.casefold() == genus.casefold():
        return genus + text[len(genus) :]
    bare = text.strip("'’\"“”")
    if bare.startswith("(") or bare.casefold() in ("mixed", "mix", "mixture"):
        return f"{genus} ({bare.strip('()')})"
    return f"{genus} '{bare.replace(chr(39), '’')}'"


def dates_words(kind: Cultivar) -> str:
    """When a kind opens near London, and how sure that is."""
    return tr(
        "opens about {day} near London, give or take {n} days",
        day=day_words(kind.ref_start.in_year(2001)),
        n=round(kind.ref_sd_days),
    )


def _bare_name(kind: Cultivar) -> str:
    rest = kind.name.removeprefix(f"{kind.genus} ")
    inner = rest[1:-1]
    quoted = len(rest) > 2 and rest[0] == rest[-1] == "'" and "'" not in inner
    return inner if quoted else kind.name


def _grams(typical: Cultivar, size_cm: float) -> float:
    """Weight of a bulb of another size and the same build."""
    grams = typical.grams_per_bulb * (size_cm / typical.bulb_circumference_cm) ** 3
    return min(max(round(grams, 2), 0.05), 3000.0)


def _is_genus(text: str) -> bool:
    return text.isalpha() and text.isascii() and text == text.capitalize() and 2 < len(text) <= 40


def _division(genus: str, group: str) -> int | None:
    for each in bulb_types():
        if each.genus == genus:
            return dict(each.groups).get(group)
    return None


def _span_of(entry: PacketEntry) -> Span | None:
    if not entry.flowers.strip():
        return None
    try:
        return flowering_window(entry.flowers)
    except UsageError:
        return None


def _harm(entry: PacketEntry, typical: Cultivar) -> dict[str, object]:
    """What it does to pets; what isn't known is treated as harmful."""
    harm = load_rules().toxicity(entry.genus, entry.group)
    if harm is not None:
        return {"toxic_pets": harm.level, "toxic_note": harm.what}
    if typical.genus == entry.genus:
        return {}
    return {"toxic_pets": 1, "toxic_note": "not known: treat it as harmful"}


def _dates(
    entry: PacketEntry,
    span: Span | None,
    usual: Usual,
    forecaster: Forecaster,
    kept: OwnCultivar | None,
) -> dict[str, object]:
    same_class = kept is not None and (kept.genus, kept.group) == (entry.genus, entry.group)
    packet = None if span is None else Packet(first=span[0], last=span[1], country=entry.country)
    if kept is not None and same_class and packet == kept.packet:
        names = ("ref_start", "ref_end", "ref_sd_days", "date_basis", "date_note", "packet")
        return {name: getattr(kept, name) for name in names}
    if packet is None or span is None:
        dates, basis = class_dates(usual), "class-typical"
        note = tr("usual time of its class; the packet names none")
    else:
        dates = _told_dates(span, entry.country, usual.typical.id, usual, forecaster)
        basis = "packet"
        note = window_words(*span)
        if entry.country:
            note = tr("{months}, for {country}", months=note, country=entry.country)
    return {
        "ref_start": dates.start,
        "ref_end": dates.end,
        "ref_sd_days": float(round(dates.sd_days, 1)),
        "date_basis": basis,
        "date_note": note,
        "packet": packet,
    }


@lru_cache(maxsize=64)
def _told_dates(
    span: Span, country: str, _typical: str, usual: Usual, forecaster: Forecaster
) -> PacketDates:
    return packet_dates(span, country=country, usual=usual, forecaster=forecaster)


def _of_months(
    entry: PacketEntry, usual: Usual, forecaster: Forecaster | None
) -> tuple[Field, Question] | None:
    if not entry.flowers.strip():
        if all(each.genus != entry.genus for each in bulb_types()):
            words = tr("of a type that isn't listed, the months are needed")
            return "flowers", Question(words, True)
        return None
    try:
        span = flowering_window(entry.flowers)
    except UsageError as error:
        return "flowers", Question(str(error), True)
    if forecaster is None:
        return None
    try:
        dates = _told_dates(span, entry.country, usual.typical.id, usual, forecaster)
    except NoSuchTimeError as error:
        return "flowers", Question(str(error), True)
    except BloomlineError as error:
        return "country", Question(str(error), True)
    if dates.agrees:
        return None
    return "flowers", Question(
        tr(
            "{n} days later than is usual for its class: right?",
            n=round(dates.apart_days),
        )
        if dates.apart_days > 0
        else tr("{n} days earlier than is usual for its class: right?", n=-round(dates.apart_days)),
        False,
    )


def _of_figure(
    value: float | None,
    limits: Range,
    usually: Range,
    words: Callable[[str], str],
    units: Units,
) -> Question | None:
    if value is None:
        return None
    if not limits[0] <= value <= limits[1]:
        return Question(tr("{span} are possible", span=_span_words(limits, units)), True)
    if usually[0] / _ODD <= value <= usually[1] * _ODD:
        return None
    return Question(words(_span_words(usually, units)), False)


def _span_words(span: Range, units: Units) -> str:
    low, high = (units.length(each, decimals=1) for each in span)
    return low if low == high else tr("{low} to {high}", low=low, high=high)


def _height_words(span: str) -> str:
    return tr("kinds of its class are {span} tall: right?", span=span)


def _cover_words(span: str) -> str:
    return tr("kinds of its class lie {span} deep: right?", span=span)


def _size_words(span: str) -> str:
    return tr("bulbs of its class measure {span} round: right?", span=span)
