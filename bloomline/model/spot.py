"""A spot on the earth, and whether two of them are one garden."""

from __future__ import annotations

import math
from typing import Annotated, Protocol

from pydantic import Field

from bloomline.model.parts import Number, Part

_EARTH_KM = 6371.0
ONE_GARDEN_KM = 15.0
"""A yard moved by less is still the same garden, with a station or a height put right."""


class Located(Protocol):
    """What has a position. [degrees, south and west negative]"""

    @property
    def latitude_deg(self) -> float:
        """Latitude."""

    @property
    def longitude_deg(self) -> float:
        """Longitude."""


class Spot(Part):
    """A position on the earth."""

    latitude_deg: Annotated[Number, Field(ge=-90, le=90)]
    longitude_deg: Annotated[Number, Field(ge=-180, le=180)]


def is_one_garden(a: Located, b: Located) -> bool:
    """Whether two positions are so near that what was seen at one holds at the other."""
    north = math.radians(b.latitude_deg - a.latitude_deg)
    east = math.radians(b.longitude_deg - a.longitude_deg)
    # The haversine formula, as in any textbook of navigation.
    half = math.sin(north / 2.0) ** 2 + (
        math.cos(math.radians(a.latitude_deg))
        * math.cos(math.radians(b.latitude_deg))
        * math.sin(east / 2.0) ** 2
    )
    return 2.0 * _EARTH_KM * math.asin(min(1.0, math.sqrt(half))) <= ONE_GARDEN_KM
