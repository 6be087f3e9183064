"""Where a garden is, which station stands for it, and what its normals are."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bloomline.errors import UsageError
from bloomline.model.place import Station
from bloomline.model.yard import PlaceChoice
from bloomline.reference.places import load_places
from bloomline.words import tr

_FAR_STATION_KM = 150.0
_EARTH_RADIUS_KM = 6371.0


@dataclass(frozen=True, slots=True)
class Garden:
    """A place with its climate. Normals are those of the station; `rise_m` lies above it.

    tmin_c, tmax_c : monthly means of January to December. [°C]
    """

    label: str
    station_id: str
    station_name: str
    distance_km: float
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    rise_m: float
    tmin_c: tuple[float, ...]
    tmax_c: tuple[float, ...]

    @property
    def is_southern(self) -> bool:
        """Whether the seasons are those of the southern half of the earth."""
        return self.latitude_deg < 0

    @property
    def station_is_far(self) -> bool:
        """Whether the station is so far away that the answer should be taken with care."""
        return self.distance_km > _FAR_STATION_KM


def _from_station(
    station: Station,
    *,
    distance_km: float = 0.0,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
    elevation_m: float | None = None,
    name: str | None = None,
) -> Garden:
    height = station.elevation_m if elevation_m is None else elevation_m
    return Garden(
        label=tr("{name}, {height:.0f} m", name=name, height=height) if name else station.label,
        station_id=station.station_id,
        station_name=station.name,
        distance_km=distance_km,
        latitude_deg=station.latitude_deg if latitude_deg is None else latitude_deg,
        longitude_deg=station.longitude_deg if longitude_deg is None else longitude_deg,
        elevation_m=height,
        rise_m=height - station.elevation_m,
        tmin_c=tuple(station.tmin_c),
        tmax_c=tuple(station.tmax_c),
    )


def _check_position(latitude_deg: float, longitude_deg: float, elevation_m: float | None) -> None:
    if not -90.0 <= latitude_deg <= 90.0:
        raise UsageError(
            tr("latitude {latitude_deg:g} is outside -90 to 90", latitude_deg=latitude_deg)
        )
    if not -180.0 <= longitude_deg <= 180.0:
        raise UsageError(
            tr("longitude {longitude_deg:g} is outside -180 to 180", longitude_deg=longitude_deg)
        )
    _check_elevation(elevation_m)


def _check_elevation(elevation_m: float | None) -> None:
    if elevation_m is not None and not -450.0 <= elevation_m <= 6000.0:
        raise UsageError(
            tr("elevation {elevation_m:g} m is outside -450 to 6000 m", elevation_m=elevation_m)
        )


def garden_named(place: str, *, elevation_m: float | None = None) -> Garden:
    """The garden at a station, by its name or id.

    Raises UnknownNameError with near names, UsageError for an absurd elevation.
    """
    _check_elevation(elevation_m)
    return _from_station(load_places().find(place), elevation_m=elevation_m)


def garden_at(
    latitude_deg: float,
    *,
    longitude_deg: float,
    elevation_m: float | None = None,
    name: str | None = None,
) -> Garden:
    """The garden at a position, with the nearest station (height counts as distance).

    Raises UsageError when the position is not on the map.
    """
    _check_position(latitude_deg, longitude_deg, elevation_m)
    station, distance_km = load_places().nearest(
        latitude_deg, longitude_deg, elevation_m=elevation_m
    )[0]
    return _from_station(
        station,
        distance_km=distance_km,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=elevation_m,
        name=name,
    )


def garden_of(choice: PlaceChoice) -> Garden:
    """The garden of a yard: its own normals, its chosen station, or the nearest one."""
    if choice.own_normals is not None:
        return Garden(
            label=choice.name,
            station_id="",
            station_name=tr("own normals"),
            distance_km=0.0,
            latitude_deg=choice.latitude_deg,
            longitude_deg=choice.longitude_deg,
            elevation_m=choice.elevation_m or 0.0,
            rise_m=0.0,
            tmin_c=tuple(choice.own_normals.tmin_c),
            tmax_c=tuple(choice.own_normals.tmax_c),
        )
    if choice.station_id is None:
        return garden_at(
            choice.latitude_deg,
            longitude_deg=choice.longitude_deg,
            elevation_m=choice.elevation_m,
            name=choice.name,
        )
    station = load_places().get(choice.station_id)
    return _from_station(
        station,
        distance_km=great_circle_km(
            choice.latitude_deg,
            choice.longitude_deg,
            station.latitude_deg,
            station.longitude_deg,
        ),
        latitude_deg=choice.latitude_deg,
        longitude_deg=choice.longitude_deg,
        elevation_m=choice.elevation_m,
        name=choice.name,
    )


def great_circle_km(
    latitude_deg: float, longitude_deg: float, other_latitude_deg: float, other_longitude_deg: float
) -> float:
    """Great-circle distance between two positions by the haversine formula. [km]"""
    here, there = math.radians(latitude_deg), math.radians(other_latitude_deg)
    half = (
        math.sin((there - here) / 2) ** 2
        + math.cos(here)
        * math.cos(there)
        * math.sin(math.radians(other_longitude_deg - longitude_deg) / 2) ** 2
    )
    return 2 * _EARTH_RADIUS_KM * math.asin(min(1.0, math.sqrt(half)))
