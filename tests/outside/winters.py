"""Published winters: stations and places that the law of weather years is fitted on and judged by.

The halves are explicit: every other row of a table, in its own order, was fitted on
(tests/benchmarks/calibrate_weather.py), the rows between judge.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.data import data_root
from bloomline.engine.climate import WeatherYears, season_start, weather_years
from bloomline.engine.variability import VariabilityLaw
from bloomline.model.place import Station
from bloomline.plan.climate.weather import reference_departures
from bloomline.reference.places import load_places

PLANTED = np.datetime64("2010-09-01")

# Their sheets give the mean of each month's lowest minima, not the lowest of 30 years: months
# with frost in three years of thirty have a "lowest" above 0 °C, as in no other country but for
# one month of one Spanish station. test_winter_extremes.py tells them by that.
MEANS_OF_LOWEST = ("Belarus", "Montenegro")

# The nearest station stands for a place of the map where it is near and the land is level: the
# table of places has no heights.
NEAR_KM, LEVEL_KM, LEVEL_M = 50.0, 100.0, 300.0

# Lowest minimum of 1991-2020 at cities of North America, for which the table has none: National
# Weather Service, records by day, in whole °F; from memory. Two were fitted on, two judge.
LOWEST_FITTED_C = {"0-20000-0-72658": -35.6, "0-20000-0-72506": -18.9}
LOWEST_JUDGED_C = {"0-20000-0-72530": -30.6, "0-20000-0-72509": -22.8}


@dataclass(frozen=True, slots=True)
class StationWinter:
    """Published counts of a station: days below 0 °C and lowest minimum [°C] of each month.

    lowest_c is None where any month is not published or the sheet gives another thing.
    """

    station: Station
    frost_days: NDArray[np.float64]
    lowest_c: NDArray[np.float64] | None


@dataclass(frozen=True, slots=True)
class MapPlace:
    """A place of the hardiness map with the bounds of its mean annual minimum. [°C]"""

    station: Station
    distance_km: float
    is_level: bool
    lowest_c: float
    highest_c: float

    @property
    def is_judged(self) -> bool:
        """Whether the nearest station may stand for it."""
        return self.is_level and self.distance_km <= NEAR_KM


def rows(name: str) -> Iterator[dict[str, str]]:
    """Rows of a table of shared/climate-checks."""
    table = data_root("shared").joinpath("climate-checks", name).read_text("utf-8")
    yield from csv.DictReader(table.splitlines())


def station_winters() -> list[StationWinter]:
    """All rows of frost_days.csv."""
    places = load_places()
    found = []
    for row in rows("frost_days.csv"):
        station = places.get(row["station_id"])
        lowest = [row[f"lowest_tmin_{m:02d}_c"] for m in range(1, 13)]
        known = all(lowest) and station.country not in MEANS_OF_LOWEST
        found.append(
            StationWinter(
                station=station,
                frost_days=np.array([float(row[f"frost_days_{m:02d}"]) for m in range(1, 13)]),
                lowest_c=np.array([float(v) for v in lowest]) if known else None,
            )
        )
    return found


def map_places() -> list[MapPlace]:
    """All rows of us_annual_minimum.csv."""
    places = load_places()
    found = []
    for row in rows("us_annual_minimum.csv"):
        latitude, longitude = float(row["latitude_deg"]), float(row["longitude_deg"])
        [(station, km)] = places.nearest(latitude, longitude)
        heights = [s.elevation_m for s, _ in places.within(latitude, longitude, LEVEL_KM)]
        is_level = bool(heights) and max(heights) - min(heights) <= LEVEL_M
        found.append(
            MapPlace(station, km, is_level, float(row["lowest_c"]), float(row["highest_c"]))
        )
    return found


def weather_of(station: Station, law: VariabilityLaw | None = None) -> WeatherYears:
    """Weather years of a station."""
    return weather_years(
        station.tmin_c,
        tmax_c=station.tmax_c,
        latitude_deg=station.latitude_deg,
        longitude_deg=station.longitude_deg,
        first_day=season_start(PLANTED, latitude_deg=station.latitude_deg),
        departures=reference_departures(),
        law=law,
    )
