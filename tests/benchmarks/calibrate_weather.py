"""Fits the law of day-to-day weather: `python tests/benchmarks/calibrate_weather.py`.

Least squares over frost days, lowest minima and mean annual minima of every other published row
(tests/outside/winters.py); prints the law and how it does on the rows left out, then the same
for four groups of stations by position, each left out in turn. Takes about three minutes; run by
hand when the law is to change.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "outside"))

from winters import (
    LOWEST_FITTED_C,
    MapPlace,
    StationWinter,
    map_places,
    station_winters,
    weather_of,
)

from bloomline.engine.climate import annual_minima_c, frost_days, lowest_c
from bloomline.engine.variability import VariabilityLaw
from bloomline.reference.places import load_places

Floats = NDArray[np.float64]

# What is fitted, with a step that moves counts of days visibly. Turns and bounds are set by hand.
STEPS = {
    "base": 0.02,
    "per_range": 0.001,
    "per_degree": 0.002,
    "per_mild_degree": 0.0025,
    "calm": 0.02,
    "stormy": 0.02,
    "bend_c": 0.8,
    "bend_per_degree": 0.008,
    "bend_calm": 0.04,
    "bend_stormy": 0.04,
}
# Where the search starts; its own steps are parts of what it moves, which must not be 0.
START = 10.0
# Thirty published years reach lower than 21 reckoned ones.
LONGER_RECORD_C = 0.7
# Weights of a day of frost a month and of 1 °C of the lowest, a month's lowest, the map's mean
# annual minimum, two cities' lowest and the reference station's own; gardens stand where winters
# are mild, but most stations with lowest minima do not, so mild ones count three times.
FROST, LOWEST, MONTH_LOWEST, MAP, CITY, OWN, MILD = 1.0, 0.25, 0.12, 0.25, 0.05, 0.05, 3.0
MILD_FROM_C = -4.0
# De Bilt's own record, 2000-2021: mean annual minimum and lowest.
OWN_RECORD_C = np.array([-9.1, -19.5])
WINTER = [10, 11, 0, 1, 2, 3]


def law_of(steps: Floats) -> VariabilityLaw:
    """The law so many steps from the one in use, which is START steps."""
    used, moved_by = VariabilityLaw(), steps - START
    moved = {k: getattr(used, k) + n * STEPS[k] for k, n in zip(STEPS, moved_by, strict=True)}
    return VariabilityLaw(**moved)


def robust(errors: Floats) -> Floats:
    """Errors of more than 3 °C count less and less: some are of the table."""
    return np.asarray(
        np.sign(errors) * 3.0 * np.sqrt(2.0 * (np.sqrt(1.0 + (errors / 3.0) ** 2) - 1.0))
    )


def residuals(steps: Floats, stations: list[StationWinter], places: list[MapPlace]) -> Floats:
    """All weighted errors of a law."""
    law = law_of(steps)
    frost, lowest, months, mild = [], [], [], []
    for each in stations:
        weather = weather_of(each.station, law)
        frost.append(frost_days(weather) - each.frost_days)
        if each.lowest_c is not None:
            reckoned = lowest_c(weather) - LONGER_RECORD_C
            lowest.append(reckoned.min() - each.lowest_c.min())
            months.append(reckoned - each.lowest_c)
            mild.append(MILD if min(each.station.tmin_c) > MILD_FROM_C else 1.0)
    share = np.sqrt(np.array(mild) / np.mean(mild))
    on_map = [
        annual_minima_c(weather_of(p.station, law)).mean() - (p.lowest_c + p.highest_c) / 2
        for p in places
    ]
    cities = [
        annual_minima_c(weather_of(load_places().get(i), law)).min() - LONGER_RECORD_C - published
        for i, published in LOWEST_FITTED_C.items()
    ]
    own = annual_minima_c(weather_of(load_places().find("De Bilt"), law))
    off = np.array([own.mean(), own.min()]) - OWN_RECORD_C
    return np.concatenate(
        [
            FROST * np.ravel(frost) / np.sqrt(np.size(frost)),
            LOWEST * share * robust(np.array(lowest)) / np.sqrt(len(lowest)),
            np.ravel(MONTH_LOWEST * share[:, None] * robust(np.array(months)))
            / np.sqrt(np.size(months)),
            MAP * robust(np.array(on_map)) / np.sqrt(len(on_map)),
            CITY * robust(np.array(cities)),
            OWN * off * (1.0, 0.5),
            0.004 * (steps - START),
        ]
    )


def fitted(stations: list[StationWinter], places: list[MapPlace]) -> VariabilityLaw:
    """The law that does best on them."""
    found = least_squares(
        residuals,
        np.full(len(STEPS), START),
        args=(stations, places),
        diff_step=1.0 / START,
        x_scale=5.0,
        max_nfev=8,
        xtol=1e-3,
        ftol=1e-3,
    )
    return law_of(found.x)


def score(law: VariabilityLaw, stations: list[StationWinter], places: list[MapPlace]) -> str:
    """How a law does, in a row of a table."""
    frost, lowest = [], []
    for each in stations:
        weather = weather_of(each.station, law)
        frost.append(frost_days(weather) - each.frost_days)
        if each.lowest_c is not None:
            lowest.append(lowest_c(weather).min() - each.lowest_c.min())
    errors, off = np.array(frost), np.array(lowest)
    on_map = np.array(
        [
            annual_minima_c(weather_of(p.station, law)).mean() - (p.lowest_c + p.highest_c) / 2
            for p in places
        ]
    )
    return (
        f"{np.sqrt((errors**2).mean()):.2f} | {np.sqrt((errors[:, WINTER] ** 2).mean()):.2f} | "
        f"{np.median(off):+.1f} | {np.mean(np.abs(off) <= 4):.0%} | "
        f"{np.median(on_map):+.1f} | {np.mean(np.abs(on_map) <= 4.2):.0%}"
    )


def main() -> None:
    """Fit, print the law and the tables."""
    stations = station_winters()
    places = [p for p in map_places() if p.is_judged]
    law = fitted(stations[::2], places[::2])
    print(", ".join(f"{k} {getattr(law, k):.4g}" for k in STEPS))
    print("| law, rows | frost days RMSE | Nov-Apr | lowest: median | in 4 °C | map | in a band |")
    print("|---|---|---|---|---|---|---|")
    print("| fitted, own half |", score(law, stations[::2], places[::2]), "|")
    print("| fitted, other half |", score(law, stations[1::2], places[1::2]), "|")
    print("| in use, other half |", score(VariabilityLaw(), stations[1::2], places[1::2]), "|")
    # Whole regions left out: squares of 10 degrees, dealt to four groups.
    for fold in range(4):
        inside = [
            _square(s.station.latitude_deg, s.station.longitude_deg) == fold for s in stations
        ]
        on_map = [_square(p.station.latitude_deg, p.station.longitude_deg) == fold for p in places]
        law = fitted(
            [s for s, out in zip(stations, inside, strict=True) if not out],
            [p for p, out in zip(places, on_map, strict=True) if not out],
        )
        left_out = score(
            law,
            [s for s, out in zip(stations, inside, strict=True) if out],
            [p for p, out in zip(places, on_map, strict=True) if out],
        )
        print(f"| without group {fold + 1}, on it |", left_out, "|", flush=True)


def _square(latitude_deg: float, longitude_deg: float) -> int:
    return (int(latitude_deg // 10) + 3 * int(longitude_deg // 10)) % 4


if __name__ == "__main__":
    main()
