"""Places, heights and days as the strip writes and chooses them."""

from __future__ import annotations

from bloomline.engine.climate import lapse_c
from bloomline.model.place import Station
from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.garden import Garden
from bloomline.ui.units import Units
from bloomline.words import number_words, percent_words, tr

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
    """A garden's climate as a station, for a yard with no one station to stand for it."""
    change = float(lapse_c(garden.rise_m))
    return Station(
        station_id=garden.station_id,
        name=garden.station_name,
        country="",
        latitude_deg=garden.latitude_deg,
        longitude_deg=garden.longitude_deg,
        elevation_m=garden.elevation_m,
        tmax_c=tuple(each + change for each in garden.tmax_c),
        tmin_c=tuple(each + change for each in garden.tmin_c),
    )


def height_text(height_m: float, units: Units) -> str:
    """A height above the sea with its unit."""
    if units.imperial:
        return f"{number_words(height_m / M_PER_FOOT)} ft"
    return f"{number_words(height_m)} m"


def margin_text(margin_m: float, units: Units) -> str:
    """How far off a guessed height may be, to tens: no more is known of it."""
    per = M_PER_FOOT if units.imperial else 1.0
    return height_text(max(round(margin_m / per, -1), 10.0) * per, units)


def distance_text(distance_km: float, units: Units) -> str:
    """A distance over ground with its unit."""
    if units.imperial:
        return f"{number_words(distance_km / KM_PER_MILE)} mi"
    return f"{number_words(distance_km)} km"


def climate_words(garden: Garden, units: Units) -> str:
    """In one line: which stations a garden's climate is from, and how far away."""
    if not garden.stations:
        return tr("own temperatures")
    distance = distance_text(garden.distance_km, units)
    height = height_text(garden.stations[0].elevation_m, units)
    if len(garden.stations) == 1 and garden.distance_km < 0.5:
        words = tr(
            "by the weather station {station}, {height}", station=garden.station_name, height=height
        )
    elif len(garden.stations) == 1:
        words = tr(
            "by {station}, {height}, {distance} away",
            station=garden.station_name,
            height=height,
            distance=distance,
        )
    else:
        words = tr(
            "by {n} stations, mostly {station}, {height}, {distance} away",
            n=len(garden.stations),
            station=garden.station_name,
            height=height,
            distance=distance,
        )
    if garden.station_is_far:
        return tr("far from a station: {words}", words=words)
    if garden.height_is_far:
        rise = height_text(abs(garden.rise_m), units)
        return (
            tr("{rise} above its stations: {words}", rise=rise, words=words)
            if garden.rise_m > 0
            else tr("{rise} below its stations: {words}", rise=rise, words=words)
        )
    return words


def climate_lines(garden: Garden, units: Units) -> str:
    """Every station of a garden's climate with its weight, one a line; for a tooltip."""
    lines = [climate_words(garden, units)]
    if len(garden.stations) > 1:
        lines += [
            tr(
                "{share}: {station}, {height}, {distance} away",
                share=percent_words(each.weight),
                station=each.name,
                height=height_text(each.elevation_m, units),
                distance=distance_text(each.distance_km, units),
            )
            for each in garden.stations
        ]
    if garden.guess is not None:
        lines.append(
            tr(
                "Its height is guessed from the towns around, and may be {margin} off.",
                margin=margin_text(garden.guess.margin_m, units),
            )
        )
    return "\n".join(lines)


def place_words(garden: Garden, units: Units) -> str:
    """A sentence or two on a place that may be chosen: its climate, its height, what to mind."""
    height = height_text(garden.elevation_m, units)
    words = tr("Climate: {words}.", words=climate_words(garden, units))
    if garden.guess is None:
        return words
    margin = margin_text(garden.guess.margin_m, units)
    told = (
        tr(
            "Its height is guessed as {height}, from towns at very different heights, and may "
            "be {margin} off: put it right under Height.",
            height=height,
            margin=margin,
        )
        if garden.height_is_unsure
        else tr(
            "Its height is guessed as {height}, from the towns around, and may be {margin} off.",
            height=height,
            margin=margin,
        )
    )
    return f"{words} {told}"
