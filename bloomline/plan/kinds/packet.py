"""What stands on a packet, as it is typed and as the kind made from it tells it."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache

from bloomline.errors import UnknownNameError, UsageError
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import OwnCultivar, PlaceChoice
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.kinds.classes import Usual, bulb_types, usual_of
from bloomline.plan.kinds.dates import PacketDates, packet_dates
from bloomline.plan.kinds.window import Span, flowering_window, window_words
from bloomline.reference.places import load_places
from bloomline.words import day_words, tr


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


def usual_for(entry: PacketEntry) -> Usual:
    """What is usual of the class that an entry names."""
    span = span_of(entry)
    known = any(each.genus == entry.genus for each in bulb_types())
    return usual_of(entry.genus, entry.group, month=None if known or not span else span[0].month)


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
    """The country that a place names after its comma, else that of the station nearest to it."""
    places = load_places()
    named = place.name.rpartition(",")[2].strip()
    if named in places.countries():
        return named
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


def span_of(entry: PacketEntry) -> Span | None:
    """The months of an entry; None where there are none, or none that can be read."""
    if not entry.flowers.strip():
        return None
    try:
        return flowering_window(entry.flowers)
    except UsageError:
        return None


@lru_cache(maxsize=64)
def told_dates(span: Span, country: str, usual: Usual, forecaster: Forecaster) -> PacketDates:
    """The dates of a packet, kept since each letter that is typed asks for them anew.

    Raises what `packet_dates` does.
    """
    return packet_dates(span, country=country, usual=usual, forecaster=forecaster)
