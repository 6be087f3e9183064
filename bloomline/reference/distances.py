"""Distances over ground."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

EARTH_RADIUS_KM = 6371.0088  # mean radius R1, IUGG (GRS 80)


def great_circles_km(
    latitude_deg: float,
    longitude_deg: float,
    latitudes_deg: ArrayLike,
    longitudes_deg: ArrayLike,
) -> NDArray[np.float64]:
    """Great-circle distances from one position to others, of their shape. [km]

    Source: haversine formula on a sphere of the mean Earth radius (IUGG).
    """
    here, there = np.radians(latitude_deg), np.radians(latitudes_deg)
    d_lon = np.radians(np.asarray(longitudes_deg) - longitude_deg)
    half = np.sin((there - here) / 2) ** 2 + np.cos(here) * np.cos(there) * np.sin(d_lon / 2) ** 2
    distances: NDArray[np.float64] = np.asarray(
        2 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(np.minimum(half, 1.0)))
    )
    return distances
