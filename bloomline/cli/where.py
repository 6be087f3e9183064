"""Which garden a place, a position or both mean, and a word where that is not plain."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from bloomline.cli.output import say
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.model.garden_place import PlaceChoice
    from bloomline.plan.climate.finding import Found
    from bloomline.plan.climate.garden import Garden

_ANOTHER_PLACE_KM = 150.0
"""A place named that far from the position given can't be meant."""


def add_country(parser: argparse.ArgumentParser | argparse._ArgumentGroup) -> None:
    """`--country`: where a place by name is."""
    parser.add_argument(
        "--country",
        metavar="NAME|CODE",
        help=tr("the country of the place, where several have one of that name"),
    )


def garden_meant(
    place: str | None,
    *,
    country: str | None = None,
    home: PlaceChoice | None = None,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
    elevation_m: float | None = None,
) -> Garden:
    """The garden meant by a place, a position, or both.

    country : leave out places elsewhere. home : the place of the yard asked about; of several
    places of one name that of its country is meant, else of the system's.
    With both, a station named says which climate the garden has and the position where it lies.
    A place that is unknown, or far from the position, gives way to the position, with a word
    about it. Raises UnknownNameError, UsageError.
    """
    from bloomline.errors import UnknownNameError, UsageError
    from bloomline.plan.climate.finding import country_here
    from bloomline.plan.climate.garden import garden_at, garden_of, great_circle_km

    if country is not None and place is None:
        raise UsageError(tr("--country goes with a place by name"))
    if latitude_deg is None or longitude_deg is None:
        if latitude_deg is not None or longitude_deg is not None:
            raise UsageError(tr("latitude and longitude go together; one is missing"))
        if place is None:
            raise UsageError(tr("no place given; name one, or give latitude and longitude"))
        found = _found(place, country=country, home=home)
        garden = _at(found, elevation_m=elevation_m)
        known = country is not None or country_here(home) in ("", found.country_code)
        _tell(place, found, garden, is_expected=known)
        return garden
    by_position = garden_at(latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m)
    if place is None:
        return by_position
    taken = tr(
        "the climate of the position is taken, mostly of the station {station_name}",
        station_name=by_position.station_name,
    )
    try:
        found = _found(place, country=country, home=home)
    except UnknownNameError:
        say(tr("no single place is called “{place}”; {taken}", place=place, taken=taken))
        return by_position
    apart_km = great_circle_km(latitude_deg, longitude_deg, found.latitude_deg, found.longitude_deg)
    if apart_km > _ANOTHER_PLACE_KM:
        say(
            tr(
                "{name} is {distance_km:.0f} km from the position given; {taken}",
                name=_at(found, elevation_m=None).label,
                distance_km=apart_km,
                taken=taken,
            )
        )
        return by_position
    position = {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg}
    moved = found.choice.model_copy(update={**position, "elevation_m": elevation_m})
    return garden_of(moved)


def _found(place: str, *, country: str | None, home: PlaceChoice | None) -> Found:
    from bloomline.plan.climate.finding import country_here, place_meant
    from bloomline.reference.towns import load_towns

    if country is not None:
        return place_meant(place, country_code=load_towns().country_code(country), only=True)
    return place_meant(place, country_code=country_here(home))


def _at(found: Found, *, elevation_m: float | None) -> Garden:
    from bloomline.plan.climate.garden import check_elevation, garden_named, garden_of

    if found.station_id is not None:
        return garden_named(found.station_id, elevation_m=elevation_m)
    check_elevation(elevation_m)
    return garden_of(found.choice.model_copy(update={"elevation_m": elevation_m}))


def _tell(place: str, found: Found, garden: Garden, *, is_expected: bool) -> None:
    """Say what was taken, where more was found out than was given.

    is_expected : it lies in the country one is in, where that is known.
    """
    from bloomline.reference.folding import fold
    from bloomline.reference.places import load_places

    if found.station_id is not None:
        station = load_places().get(found.station_id)
        known = (fold(station.name), fold(station.submitted_name), station.station_id)
        exact = is_expected and fold(place) in known
        if "," in place or exact or place.strip() == station.station_id:
            return
        say(
            tr(
                "“{place}” is taken as {station_label} ({station_id})",
                place=place,
                station_label=garden.label,
                station_id=station.station_id,
            )
        )
    elif fold(place) != fold(found.name):
        say(tr("“{place}” is taken as {label}", place=place, label=garden.label))
