"""Where a garden is, which stations stand for it, and what its normals are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bloomline.errors import UsageError
from bloomline.model.garden_place import HIGHEST_M, LOWEST_M, PlaceChoice
from bloomline.model.place import Station
from bloomline.plan.climate.nearby import (
    Height,
    Share,
    height_around,
    is_at_station,
    shares_at,
)
from bloomline.reference.distances import great_circles_km
from bloomline.reference.places import load_places
from bloomline.words import tr

FAR_STATION_KM = 40.0
FAR_HEIGHT_M = 200.0
"""From here on a word of warning: dates err by more than elsewhere. See DEVELOPERS.md."""


@dataclass(frozen=True, slots=True)
class ClimateShare:
    """A station with its weight in a garden's climate; the weights of all make 1."""

    station_id: str
    name: str
    distance_km: float
    elevation_m: float
    weight: float


@dataclass(frozen=True, slots=True)
class Garden:
    """A place with its climate. Normals are those of the stations, weighted; `rise_m` above them.

    tmin_c, tmax_c : monthly means of January to December. [°C]
    station_id, station_name, distance_km : of the weightiest station of `stations`; these are
    empty where the gardener gave normals of the garden itself.
    guess : where nobody gave the height: what the towns around say of it.
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
    stations: tuple[ClimateShare, ...] = ()
    guess: Height | None = None

    @property
    def is_southern(self) -> bool:
        """Whether the seasons are those of the southern half of the earth."""
        return self.latitude_deg < 0

    @property
    def station_is_far(self) -> bool:
        """Whether the stations are so far away that the answer should be taken with care."""
        return self.distance_km >= FAR_STATION_KM

    @property
    def height_is_far(self) -> bool:
        """Whether the garden lies so much higher or lower than its stations."""
        return abs(self.rise_m) >= FAR_HEIGHT_M

    @property
    def height_is_guessed(self) -> bool:
        """Whether nobody gave the height, and it comes from the towns around."""
        return self.guess is not None

    @property
    def height_is_unsure(self) -> bool:
        """Whether the height is guessed from towns that lie at very different heights."""
        return self.guess is not None and self.guess.high_m - self.guess.low_m >= FAR_HEIGHT_M

    @property
    def source(self) -> str:
        """Where the climate comes from, in a few words: which stations, with what weight."""
        if not self.stations:
            return self.station_name
        if len(self.stations) == 1:
            return tr("station {station_id}", station_id=self.station_id)
        return ", ".join(
            tr("{name} {share:.0f} %", name=each.name, share=100 * each.weight)
            for each in self.stations
        )


def garden_from_shares(
    shares: tuple[Share, ...],
    *,
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float | None,
    guess: Height | None = None,
    name: str | None,
) -> Garden:
    """A garden on one or several stations, lowered to its height.

    The lapse rate is a straight line, so that lowering each station's means and weighting them is
    the same as lowering the weighted means from the weighted height. elevation_m : None for that
    of the one station, or the `guess`.
    """
    lead = shares[0]
    base_m = sum(each.weight * each.station.elevation_m for each in shares)
    if elevation_m is not None:
        height, guess = elevation_m, None
    else:
        height = base_m if guess is None else guess.height_m
    # A hundredth of a degree: what weights make of tenths.
    tmin_c, tmax_c = lead.station.tmin_c, lead.station.tmax_c
    if len(shares) > 1:
        tmin_c = _weighted([(each.weight, each.station.tmin_c) for each in shares])
        tmax_c = _weighted([(each.weight, each.station.tmax_c) for each in shares])
    label = lead.station.label
    if not name and len(shares) > 1:
        name = tr("near {station}", station=lead.station.name)
    if name:
        label = (
            tr("{name}, about {height:.0f} m", name=name, height=height)
            if guess is not None
            else tr("{name}, {height:.0f} m", name=name, height=height)
        )
    return Garden(
        label=label,
        station_id=lead.station.station_id,
        station_name=lead.station.name,
        distance_km=lead.distance_km,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=height,
        rise_m=height - base_m,
        tmin_c=tmin_c,
        tmax_c=tmax_c,
        stations=tuple(
            ClimateShare(
                station_id=each.station.station_id,
                name=each.station.name,
                distance_km=each.distance_km,
                elevation_m=each.station.elevation_m,
                weight=each.weight,
            )
            for each in shares
        ),
        guess=guess,
    )


def _weighted(months: Sequence[tuple[float, tuple[float, ...]]]) -> tuple[float, ...]:
    return tuple(round(sum(weight * each[m] for weight, each in months), 2) for m in range(12))


def _from_station(
    station: Station,
    *,
    distance_km: float = 0.0,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
    elevation_m: float | None = None,
    name: str | None = None,
) -> Garden:
    return garden_from_shares(
        (Share(station, distance_km, 1.0),),
        latitude_deg=station.latitude_deg if latitude_deg is None else latitude_deg,
        longitude_deg=station.longitude_deg if longitude_deg is None else longitude_deg,
        elevation_m=elevation_m,
        name=name,
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
    check_elevation(elevation_m)


def check_elevation(elevation_m: float | None) -> None:
    """Raise UsageError for a height at which no garden lies."""
    if elevation_m is not None and not LOWEST_M <= elevation_m <= HIGHEST_M:
        raise UsageError(
            tr(
                "elevation {elevation_m:g} m is outside {low:g} to {high:g} m",
                elevation_m=elevation_m,
                low=LOWEST_M,
                high=HIGHEST_M,
            )
        )


def garden_named(place: str, *, elevation_m: float | None = None) -> Garden:
    """The garden at a station, by its name or id.

    Raises UnknownNameError with near names, UsageError for an absurd elevation.
    """
    check_elevation(elevation_m)
    return _from_station(load_places().find(place), elevation_m=elevation_m)


def garden_at(
    latitude_deg: float,
    *,
    longitude_deg: float,
    elevation_m: float | None = None,
    name: str | None = None,
) -> Garden:
    """The garden at a position, with the climate of the stations around it.

    At a station (AT_STATION_KM, of its height) that one alone counts. Raises UsageError when the
    position is not on the map.
    """
    _check_position(latitude_deg, longitude_deg, elevation_m)
    shares = shares_at(latitude_deg, longitude_deg, elevation_m)
    return garden_from_shares(
        shares,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=elevation_m,
        guess=None if is_at_station(shares) else height_around(latitude_deg, longitude_deg),
        name=name,
    )


def garden_of(choice: PlaceChoice) -> Garden:
    """The garden of a yard: its own normals, its chosen station, or those around it."""
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
    """Great-circle distance between two positions. [km]"""
    return float(
        great_circles_km(latitude_deg, longitude_deg, other_latitude_deg, other_longitude_deg)
    )
