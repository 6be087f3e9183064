"""Which garden a place, a position or both mean, and a word where that is not plain."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bloomline.cli.output import say
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.plan.climate.garden import Garden


def garden_meant(
    place: str | None,
    *,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
    elevation_m: float | None = None,
) -> Garden:
    """The garden meant by a place, a position, or both.

    With both, the place says which station stands for the garden and the position where the
    garden lies. A place that no station has, or one that is far from the position, gives way
    to the position, with a word about it. Raises UnknownNameError, UsageError.
    """
    from bloomline.errors import UnknownNameError, UsageError
    from bloomline.plan.climate.garden import garden_at, garden_named, garden_of

    if latitude_deg is None or longitude_deg is None:
        if latitude_deg is not None or longitude_deg is not None:
            raise UsageError(tr("latitude and longitude go together; one is missing"))
        if place is None:
            raise UsageError(tr("no place given; name one, or give latitude and longitude"))
        found = garden_named(place, elevation_m=elevation_m)
        _tell_other_name(place, found)
        return found
    by_position = garden_at(latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m)
    if place is None:
        return by_position
    taken = tr(
        "the station {station_name} near the position is taken",
        station_name=by_position.station_name,
    )
    try:
        named = garden_named(place)
    except UnknownNameError:
        say(tr("no single place is called {place!r}; {taken}", place=place, taken=taken))
        return by_position
    from bloomline.model.yard import PlaceChoice

    chosen = garden_of(
        PlaceChoice(
            station_id=named.station_id,
            name=named.label,
            latitude_deg=latitude_deg,
            longitude_deg=longitude_deg,
            elevation_m=elevation_m,
        )
    )
    if chosen.station_is_far:
        say(
            tr(
                "{named_label} is {distance_km:.0f} km from the position given; {taken}",
                named_label=named.label,
                distance_km=chosen.distance_km,
                taken=taken,
            )
        )
        return by_position
    return chosen


def _tell_other_name(place: str, garden: Garden) -> None:
    """Say which station was taken where it has another name than the one given."""
    if "," in place or place.strip() == garden.station_id:
        return
    from bloomline.reference.folding import fold
    from bloomline.reference.places import load_places

    station = load_places().get(garden.station_id)
    if fold(place) not in (fold(station.name), fold(station.submitted_name)):
        say(
            tr(
                "{place!r} is taken as {station_label} ({station_id})",
                place=place,
                station_label=station.label,
                station_id=station.station_id,
            )
        )
