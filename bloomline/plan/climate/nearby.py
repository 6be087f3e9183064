"""Which stations stand for a place, each with what weight, and how high the place lies.

Measured by leaving stations out: tests/benchmarks/places.py, table in DEVELOPERS.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.model.place import Station
from bloomline.reference.coast import sea_share
from bloomline.reference.places import load_places
from bloomline.reference.town_heights import towns_around

Floats = NDArray[np.float64]

AT_STATION_KM = 2.0
"""A place this near a station of its height is at it; positions are known to two decimals."""
SAME_HEIGHT_M = 50.0


@dataclass(frozen=True, slots=True)
class NearbyRule:
    """How stations are weighted: by 1 / (d² + height² + sea²) of the `n` that come nearest so.

    km_per_100_m : how far away 100 m of height make a station. km_per_sea : how far away it makes
    a station to be on an islet where the place has no sea within 15 km. least_km : how near a
    station can count at most.
    """

    n: int = 6
    km_per_100_m: float = 30.0
    km_per_sea: float = 400.0
    least_km: float = 1.0


@dataclass(frozen=True, slots=True)
class Share:
    """A station with its weight in a place's climate; the weights of all make 1."""

    station: Station
    distance_km: float
    weight: float


# Less than this changes no month by a tenth of a degree where stations are a few degrees apart,
# and no height by ten metres where towns lie a thousand apart.
_LEAST_WEIGHT = 0.01


@lru_cache(maxsize=64)
def shares_at(
    latitude_deg: float, longitude_deg: float, elevation_m: float | None
) -> tuple[Share, ...]:
    """The stations of a place, the weightiest first; one alone where the place is at it.

    elevation_m : None where nobody gave it; `height_around` tells what is taken then.
    """
    places = load_places()
    station, distance_km = places.nearest(latitude_deg, longitude_deg)[0]
    same_height = elevation_m is None or abs(station.elevation_m - elevation_m) <= SAME_HEIGHT_M
    if distance_km <= AT_STATION_KM and same_height:
        return (Share(station, distance_km, 1.0),)
    return shares_of(
        places.distances_km(latitude_deg, longitude_deg),
        height_around(latitude_deg, longitude_deg).height_m if elevation_m is None else elevation_m,
        sea=float(sea_share(latitude_deg, longitude_deg)),
    )


def is_at_station(shares: tuple[Share, ...]) -> bool:
    """Whether a place is at a station, which then is its whole climate."""
    return len(shares) == 1 and shares[0].distance_km <= AT_STATION_KM


def shares_of(
    ground_km: Floats, elevation_m: float, *, sea: float, rule: NearbyRule | None = None
) -> tuple[Share, ...]:
    """The stations by their distances over ground, shape (n_stations,), infinite to leave one out.

    elevation_m : height of the place. sea : share of sea around it.
    """
    law = rule or NearbyRule()
    places = load_places()
    up_km = (places.elevations_m - elevation_m) * (law.km_per_100_m / 100.0)
    sea_km = (_sea_of_stations() - sea) * law.km_per_sea
    square = ground_km**2 + up_km**2 + sea_km**2 + law.least_km**2
    order = np.argsort(square, kind="stable")[: law.n]
    weights = 1.0 / square[order]
    weights /= weights.sum()
    kept = weights >= _LEAST_WEIGHT
    weights = weights[kept] / weights[kept].sum()
    return tuple(
        Share(places.at(int(i)), float(ground_km[i]), float(weight))
        for i, weight in zip(order[kept], weights, strict=True)
    )


@lru_cache(maxsize=1)
def _sea_of_stations() -> Floats:
    places = load_places()
    return sea_share(places.latitudes_deg, places.longitudes_deg)


@dataclass(frozen=True, slots=True)
class Height:
    """How high a place lies that nobody gave the height of, by the towns around. [m]

    low_m, high_m : the lowest and highest of the towns that it follows from.
    """

    height_m: float
    low_m: float
    high_m: float

    @property
    def margin_m(self) -> float:
        """How far off it is at most, for eight places in ten; tests/benchmarks/places.py."""
        return _MARGIN_M + _MARGIN_OF_SPAN * (self.high_m - self.low_m)


_MARGIN_M, _MARGIN_OF_SPAN = 20.0, 0.7  # chosen on the even rows of the stations
_TOWNS = 3
_LEAST_KM = 0.1  # a town's own position is known to some hundred metres


@lru_cache(maxsize=64)
def height_around(latitude_deg: float, longitude_deg: float) -> Height:
    """How high a place is likely to lie: as the nearest towns, weighted by 1 / d².

    Of 4,000 towns left out half were within 14 m and nine in ten within 80 m (by the stations
    around 37 and 230 m); of 2,500 stations with a town within 8 km half within 12 m, nine in ten
    within 75.
    """
    heights, ground_km = towns_around(latitude_deg, longitude_deg, n=_TOWNS)
    weights = 1.0 / np.maximum(ground_km, _LEAST_KM) ** 2
    weights /= weights.sum()
    speak = heights[weights >= _LEAST_WEIGHT]
    return Height(
        height_m=float(round(float(weights @ heights))),
        low_m=float(speak.min()),
        high_m=float(speak.max()),
    )
