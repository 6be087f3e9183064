"""How far the climate of a place is off, by leaving out: `python tests/benchmarks/places.py`.

Every station between 30 and 68 degrees of latitude is worked out from the others (those within
2 km, which would stand for it alone, left out too) and held against its own normals: by the rule
in use (plan/climate/nearby.py) and by the nearest station alone, with its height known and not.
Even rows of the table were used to choose the rule's numbers, odd ones only to measure: the
tables are of the odd ones. `--choose` prints the even ones' errors for other numbers. Winters and
flowering dates come from the forecaster, on every so many stations (`--each`, 3). Takes half a
minute.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import annual_minima_c, lapse_c
from bloomline.model.place import Station
from bloomline.plan.climate.garden import Garden, garden_from_shares
from bloomline.plan.climate.nearby import (
    AT_STATION_KM,
    NearbyRule,
    Share,
    height_around,
    shares_of,
)
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.one_planting import Request, forecast
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.coast import sea_share
from bloomline.reference.places import KM_PER_100_M, load_places

Floats = NDArray[np.float64]

CLASSES_KM = ((2, 10), (10, 20), (20, 40), (40, 80), (80, 150), (150, 20_000))
COAST = (0.05, 0.95)  # shares of sea between which a place counts as by the sea
KINDS = ("galanthus-nivalis", "narcissus-tete-a-tete", "tulipa-queen-of-night")
TODAY = date(2026, 9, 1)
# The coldest months, and those in which spring bulbs come; of the north.
WINTER, SPRING = [11, 0, 1], [0, 1, 2, 3]


@dataclass(frozen=True)
class Left:
    """A station that was left out."""

    row: int
    station: Station
    ground_km: Floats  # to all others; infinite for itself and its like

    @property
    def nearest_km(self) -> float:
        """How far the nearest other station is."""
        return float(self.ground_km.min())

    @property
    def sea(self) -> float:
        """Share of sea around it."""
        return float(sea_share(self.station.latitude_deg, self.station.longitude_deg))


def left_out(*, odd: bool, each: int = 1) -> Iterator[Left]:
    """The stations, every so many of one half."""
    places = load_places()
    rows = [
        row for row in range(odd, len(places), 2) if 30 <= abs(places.at(row).latitude_deg) <= 68
    ]
    for row in rows[::each]:
        station = places.at(row)
        ground_km = places.distances_km(station.latitude_deg, station.longitude_deg)
        yield Left(row, station, np.where(ground_km <= AT_STATION_KM, np.inf, ground_km))


def by_rule(left: Left, *, height_known: bool, rule: NearbyRule | None = None) -> Garden:
    """The garden where a station is, as the rule makes it."""
    height = left.station.elevation_m if height_known else _height_m(left.station)
    shares = shares_of(left.ground_km, height, sea=left.sea, rule=rule)
    return _garden(left, shares, height)


def _height_m(station: Station) -> float:
    return height_around(station.latitude_deg, station.longitude_deg).height_m


def by_nearest(left: Left, *, height_known: bool) -> Garden:
    """The garden where a station is, by the nearest other one, as it was before."""
    places = load_places()
    up_km = (places.elevations_m - left.station.elevation_m) * (KM_PER_100_M / 100.0)
    near = np.hypot(left.ground_km, up_km) if height_known else left.ground_km
    row = int(np.argmin(near))
    share = Share(places.at(row), float(left.ground_km[row]), 1.0)
    height = left.station.elevation_m if height_known else share.station.elevation_m
    return _garden(left, (share,), height)


def _garden(left: Left, shares: tuple[Share, ...], height: float) -> Garden:
    return garden_from_shares(
        shares,
        latitude_deg=left.station.latitude_deg,
        longitude_deg=left.station.longitude_deg,
        elevation_m=height,
        name="",
    )


def errors_c(left: Left, garden: Garden) -> Floats:
    """How far the months of a garden are off, shape (2, 12), minima first, from midwinter on."""
    change = float(lapse_c(garden.rise_m))
    off = np.array([garden.tmin_c, garden.tmax_c]) + change
    off -= np.array([left.station.tmin_c, left.station.tmax_c])
    return np.roll(off, 6, axis=1) if left.station.latitude_deg < 0 else off


def rms(values: Floats) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(np.square(values))))


def summary(errors: Floats) -> tuple[float, float, float]:
    """Errors of the means of January to April, of the minima of winter, of the whole table."""
    return rms(errors.mean(axis=1)[:, SPRING]), rms(errors[:, 0][:, WINTER]), rms(errors)


def months_table() -> None:
    """Monthly means by distance of the nearest station."""
    ways = {
        "nearest, height known": lambda left: by_nearest(left, height_known=True),
        "rule, height known": lambda left: by_rule(left, height_known=True),
        "nearest, height unknown": lambda left: by_nearest(left, height_known=False),
        "rule, height unknown": lambda left: by_rule(left, height_known=False),
    }
    stations = list(left_out(odd=True))
    errors = {name: np.array([errors_c(s, way(s)) for s in stations]) for name, way in ways.items()}
    km = np.array([s.nearest_km for s in stations])
    sea = np.array([s.sea for s in stations])
    groups = [(f"{a}-{b} km", (km >= a) & (km < b)) for a, b in CLASSES_KM]
    groups += [("by the sea", (sea > COAST[0]) & (sea < COAST[1])), ("all", km > 0)]
    print("RMS error, °C: January-April means / minima of the three winter months / all 24 values")
    print("| nearest station | n |", " | ".join(ways), "|")
    for name, chosen in groups:
        cells = (" / ".join(f"{v:.2f}" for v in summary(errors[way][chosen])) for way in ways)
        print(f"| {name} | {chosen.sum()} |", " | ".join(cells), "|")
    guesses = [height_around(s.station.latitude_deg, s.station.longitude_deg) for s in stations]
    margin = np.array([guess.margin_m for guess in guesses])
    guessed = np.array([guess.height_m for guess in guesses])
    guessed -= [s.station.elevation_m for s in stations]
    print(
        f"height guessed: median off {np.median(np.abs(guessed)):.0f} m, "
        f"bias {guessed.mean():.0f} m, within the margin {np.mean(np.abs(guessed) <= margin):.0%}"
    )


def dates_table(each: int) -> None:
    """Winter minima and flowering dates by distance, heights known."""
    catalogue, forecaster = load_catalogue(), Forecaster()
    kinds = [catalogue.get(kind) for kind in KINDS]

    def answers(garden: Garden) -> tuple[float, list[float]]:
        weather = forecaster.weather(garden, first_day=np.datetime64(_first_day(garden)))
        days = []
        for kind in kinds:
            request = Request(
                id="", garden=garden, cultivar=kind, standing=Standing(where="ground")
            )
            start = forecast(request, forecaster=forecaster, today=TODAY).start
            days.append(float("nan") if start is None else float(start.p50.toordinal()))
        return float(annual_minima_c(weather).mean()), days

    rows = []
    for left in left_out(odd=True, each=each):
        truth = garden_from_shares(
            (Share(left.station, 0.0, 1.0),),
            latitude_deg=left.station.latitude_deg,
            longitude_deg=left.station.longitude_deg,
            elevation_m=None,
            name="",
        )
        low, days = answers(truth)
        found = [left.nearest_km]
        for garden in (by_nearest(left, height_known=True), by_rule(left, height_known=True)):
            other_low, other_days = answers(garden)
            found += [other_low - low, *np.subtract(other_days, days)]
        rows.append(found)
    table = np.array(rows)
    print("\nMean annual minimum, RMS °C, and first flower, mean absolute days (n of dates)")
    print("| nearest station | n | minimum: nearest | rule | dates: nearest | rule |")
    n = len(kinds)
    for a, b in (*CLASSES_KM, (0, 20_000)):
        some = table[(table[:, 0] >= a) & (table[:, 0] < b)]
        lows = some[:, 1], some[:, 2 + n]
        dates = some[:, 2 : 2 + n], some[:, 3 + n :]
        known = np.isfinite(dates[0]) & np.isfinite(dates[1])
        cells = [f"{rms(low):.2f}" for low in lows]
        cells += [f"{np.abs(date[known]).mean():.1f}" for date in dates]
        print(f"| {a}-{b} km | {len(some)} ({known.sum()}) |", " | ".join(cells), "|")


def _first_day(garden: Garden) -> str:
    return "2026-12-01" if garden.is_southern else "2026-06-01"


def choose() -> None:
    """Errors on the half that the numbers were chosen on, one number moved at a time."""
    stations = list(left_out(odd=False))
    used = NearbyRule()
    moves: list[NearbyRule] = [used]
    moves += [replace(used, n=n) for n in (1, 3, 4, 5, 8, 12)]
    moves += [replace(used, km_per_100_m=km) for km in (12.0, 20.0, 45.0)]
    moves += [replace(used, km_per_sea=km) for km in (0.0, 200.0, 800.0)]
    for rule in moves:
        errors = np.array([errors_c(s, by_rule(s, height_known=True, rule=rule)) for s in stations])
        print(" / ".join(f"{v:.3f}" for v in summary(errors)), rule)


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--choose", action="store_true", help="other numbers, on the even rows")
    parser.add_argument("--each", type=int, default=3, metavar="N", help="dates at every Nth")
    args = parser.parse_args()
    if args.choose:
        choose()
        return
    months_table()
    dates_table(args.each)


if __name__ == "__main__":
    main()
