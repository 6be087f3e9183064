"""How high the towns around a position lie: what a garden's height is guessed from."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.reference.distances import EARTH_RADIUS_KM, great_circles_km
from bloomline.reference.town_table import town_table

Floats = NDArray[np.float64]

NO_HEIGHT = -9999
"""A town whose height the source does not have."""

_BAND_DEG = 1.0  # of latitude on either side, in which the nearest towns mostly are
_BAND_KM = math.radians(_BAND_DEG) * EARTH_RADIUS_KM * 0.999


def towns_around(latitude_deg: float, longitude_deg: float, *, n: int) -> tuple[Floats, Floats]:
    """Heights [m] of the `n` towns nearest to a position and their distances [km], nearest first.

    Source: shared/places/towns.bin. Names stay packed: this is quick without a search before it.
    """
    latitudes_deg, longitudes_deg, elevations_m = _table()

    def ground_of(towns: NDArray[np.int64] | slice) -> Floats:
        there = (latitudes_deg[towns], longitudes_deg[towns])
        return great_circles_km(latitude_deg, longitude_deg, *there)

    # No way is shorter than its part along the meridian: what lies outside the band is further.
    band = np.flatnonzero(np.abs(latitudes_deg - latitude_deg) <= _BAND_DEG)
    ground_km = ground_of(band)
    if np.count_nonzero(ground_km <= _BAND_KM) > n:
        elevations_m = elevations_m[band]
    else:
        ground_km = ground_of(slice(None))
    near = np.argpartition(ground_km, n)[:n]
    near = near[np.argsort(ground_km[near], kind="stable")]
    return elevations_m[near], ground_km[near]


@lru_cache(maxsize=1)
def _table() -> tuple[Floats, Floats, Floats]:
    """Latitudes and longitudes [degrees] and heights [m] of all towns that have one."""
    table = town_table()
    heights = table.numbers("elevation_m").astype(np.float64)
    known = heights != NO_HEIGHT
    return (
        table.numbers("latitude_mdeg")[known] / 1000.0,
        table.numbers("longitude_mdeg")[known] / 1000.0,
        heights[known],
    )
