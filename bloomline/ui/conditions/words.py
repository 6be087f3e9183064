"""Places, heights and days as the strip writes and chooses them."""

from __future__ import annotations

from bloomline.model.place import Station
from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.garden import Garden
from bloomline.ui.units import Units
from bloomline.words import number_words

M_PER_FOOT = 0.3048  # exact, by definition (international foot)
KM_PER_MILE = 1.609344  # exact, by definition (international mile)


def choice_of(station: Station) -> PlaceChoice:
    """The yard's place when it stands at a station."""
    return PlaceChoice(
        station_id=station.station_id,
        name=place_name(station),
        latitude_deg=station.latitude_deg,
        longitude_deg=station.longitude_deg,
    )


def place_name(station: Station) -> str:
    """A station's name with its state and country."""
    parts = (station.name, station.region, station.country)
    return ", ".join(part for part in parts if part)


def station_of(garden: Garden) -> Station:
    """A garden's climate as a station, for a yard with normals of its own."""
    return Station(
        station_id=garden.station_id,
        name=garden.station_name,
        country="",
        latitude_deg=garden.latitude_deg,
        longitude_deg=garden.longitude_deg,
        elevation_m=garden.elevation_m,
        tmax_c=garden.tmax_c,
        tmin_c=garden.tmin_c,
    )


def height_text(height_m: float, units: Units) -> str:
    """A height above the sea with its unit."""
    if units.imperial:
        return f"{number_words(height_m / M_PER_FOOT)} ft"
    return f"{number_words(height_m)} m"


def distance_text(distance_km: float, units: Units) -> str:
    """A distance over ground with its unit."""
    if units.imperial:
        return f"{number_words(distance_km / KM_PER_MILE)} mi"
    return f"{number_words(distance_km)} km"
