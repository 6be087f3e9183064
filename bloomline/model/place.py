"""Weather stations with their twelve normal months, and towns."""

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


@dataclass(frozen=True, slots=True)
class Town:
    """A town or village with its position and people. South and west are negative.

    `country_code` is that of ISO 3166-1 with two letters. `region` is the state, province or
    nation of the country, `county` the district below; either may be "". `elevation_m` is the
    height above the sea, None where it is not known. `found_as` is the other name by which it was
    found, "" where that was its first.
    """

    name: str
    county: str
    region: str
    country: str
    country_code: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None
    population: int
    found_as: str = ""

    @property
    def full_name(self) -> str:
        """The name with region and country, for people."""
        return ", ".join(part for part in (self.name, self.region, self.country) if part)

    @property
    def fullest_name(self) -> str:
        """The same with the county, where two towns of a region share a name."""
        parts = (self.name, self.county, self.region, self.country)
        return ", ".join(part for part in parts if part)
