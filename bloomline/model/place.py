"""A weather station: where it stands and its twelve normal months."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Station:
    """A weather station with monthly means of the daily extremes, 1991–2020. [°C]

    `tmax_c` and `tmin_c` hold January to December. South and west are negative.
    `submitted_name` is the name as the weather service wrote it; `note` tells where the normals
    here differ from those submitted, and why.
    """

    station_id: str
    name: str
    country: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    tmax_c: tuple[float, ...]
    tmin_c: tuple[float, ...]
    region: str = ""
    submitted_name: str = ""
    note: str = ""

    @property
    def label(self) -> str:
        """Name, state or province where known, country and height, for people."""
        parts = [self.name, self.region, self.country, f"{self.elevation_m:.0f} m"]
        return ", ".join(part for part in parts if part)
