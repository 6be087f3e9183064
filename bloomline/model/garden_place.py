"""Where a yard is; apart from the yard itself, so that a single forecast needs no yard."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from bloomline.model.parts import Line, Name, Number, Part

LOWEST_M, HIGHEST_M = -450.0, 6000.0
"""Heights above the sea between which gardens lie that are asked about."""

Celsius = Annotated[Number, Field(ge=-90, le=60)]
YearMeans = Annotated[tuple[Celsius, ...], Field(min_length=12, max_length=12)]


class OwnNormals(Part):
    """A gardener's own mean daily highs and lows, January to December [°C]."""

    tmax_c: YearMeans
    tmin_c: YearMeans

    @model_validator(mode="after")
    def _highs_above_lows(self) -> Self:
        for month, (high, low) in enumerate(zip(self.tmax_c, self.tmin_c, strict=True), start=1):
            if high <= low:
                raise PydanticCustomError(
                    "high_below_low",
                    "month {month}: the mean high must lie above the mean low",
                    {"month": month},
                )
        return self


class PlaceChoice(Part):
    """Where the yard is. `elevation_m` overrides the station's height when given."""

    station_id: Annotated[Line, Field(min_length=1, max_length=40)] | None = None
    name: Name
    latitude_deg: Annotated[Number, Field(ge=-90, le=90)]
    longitude_deg: Annotated[Number, Field(ge=-180, le=180)]
    elevation_m: Annotated[Number, Field(ge=LOWEST_M, le=HIGHEST_M)] | None = None
    own_normals: OwnNormals | None = None
