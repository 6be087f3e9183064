"""Lowest nights of the weather years against published ones.

Sources: lowest daily minima, WMO normals 1991-2020, parameter 23; mean annual minima, hardiness
map of the United States 2023 (shared/climate-checks/README.md). Only the halves that the law was
not fitted on judge it (winters.py).
"""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from numpy.typing import NDArray
from winters import (
    LOWEST_JUDGED_C,
    MEANS_OF_LOWEST,
    MapPlace,
    map_places,
    rows,
    station_winters,
    weather_of,
)

from bloomline.engine.climate import annual_minima_c, lowest_c
from bloomline.reference.places import load_places
from bloomline.reference.rules import load_rules
from bloomline.reference.weather import load_reference_weather


@pytest.fixture(scope="module")
def lowest_errors() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lowest minimum of 21 years less that of 30 published ones, and coldest month's normal."""
    judged = [s for s in station_winters()[1::2] if s.lowest_c is not None]
    errors = [lowest_c(weather_of(s.station)).min() - s.lowest_c.min() for s in judged]
    return np.array(errors), np.array([min(s.station.tmin_c) for s in judged])


def test_the_lowest_night_is_that_of_thirty_years(lowest_errors) -> None:
    errors, _ = lowest_errors
    assert len(errors) > 170
    # 21 years reach less low than 30 do, by a degree or so.
    assert -1.0 <= np.median(errors) <= 2.0
    assert np.mean(np.abs(errors) <= 4.0) >= 0.75


def test_the_lowest_night_is_right_where_winters_are_mild_and_where_they_are_not(
    lowest_errors,
) -> None:
    errors, coldest = lowest_errors
    for low, high in ((-60.0, -15.0), (-15.0, -6.0), (-6.0, 0.0), (0.0, 6.0)):
        inside = (coldest >= low) & (coldest < high)
        assert inside.sum() >= 15
        assert abs(np.median(errors[inside])) <= 3.0


def test_sheets_that_give_means_of_lowest_minima_are_known_by_their_frost() -> None:
    # Where three years of thirty have frost in a month, its lowest minimum cannot be above zero.
    stations: Counter[str] = Counter()
    contradicted: Counter[str] = Counter()
    for row in rows("frost_days.csv"):
        country = load_places().get(row["station_id"]).country
        lowest = {m: row[f"lowest_tmin_{m:02d}_c"] for m in range(1, 13)}
        stations[country] += all(lowest.values())
        contradicted[country] += sum(
            float(value) > 0.0 and float(row[f"frost_days_{m:02d}"]) >= 0.1
            for m, value in lowest.items()
            if value
        )
    found = {c for c, months in contradicted.items() if months > 0.2 * stations[c]}
    assert found == set(MEANS_OF_LOWEST)


@pytest.fixture(scope="module")
def places() -> list[MapPlace]:
    return [p for p in map_places() if p.is_judged]


def _off_band(place: MapPlace) -> float:
    """How far the mean annual minimum lies below (-) or above its band. [°C]"""
    mean = float(annual_minima_c(weather_of(place.station)).mean())
    return min(mean - place.lowest_c, 0.0) + max(mean - place.highest_c, 0.0)


def test_mean_annual_minima_lie_within_a_band_of_the_map(places: list[MapPlace]) -> None:
    off = np.array([_off_band(p) for p in places[1::2]])
    assert len(off) >= 70
    assert np.mean(np.abs(off) <= 2.8) >= 0.8
    assert abs(np.median(off)) <= 1.0


def test_all_places_of_the_map_even_mountains_far_from_a_station() -> None:
    # No heights in the table, so a valley's station may stand for a pass: still four in five.
    off = np.array([_off_band(p) for p in map_places()])
    assert len(off) == 479
    assert np.mean(np.abs(off) <= 2.8) >= 0.8


# From memory, each to a degree or two: mean of the lowest minimum of each year around 1991-2020.
# Japan Meteorological Agency (Tokyo), Met Office (Heathrow; hardiness ratings put the lowland
# around Edinburgh at H4 to H5, so Leuchars and Drumalbin between -10 and -6), Bureau of
# Meteorology (Melbourne), KNMI (De Bilt, also our own record, below), National Weather Service
# (Minneapolis; zone 5a of the map of 2023, -28.9 to -26.1).
@pytest.mark.parametrize(
    ("name", "published_c", "within_c"),
    [
        ("Tokyo", -3.0, 2.0),
        ("Heathrow", -5.5, 1.5),
        ("Leuchars", -8.0, 2.0),
        ("Drumalbin", -8.5, 2.0),
        ("Melbourne Airport", 0.5, 1.5),
        ("De Bilt", -9.3, 2.0),
        ("Minneapolis", -27.5, 2.0),
    ],
)
def test_mean_annual_minimum_of_known_places(name: str, published_c: float, within_c: float):
    mean = annual_minima_c(weather_of(load_places().find(name))).mean()
    assert mean == pytest.approx(published_c, abs=within_c)


def test_lowest_nights_of_cities() -> None:
    # Heathrow 1991-2020: some -9.6 °C, December 2010, Met Office, from memory.
    places = load_places()
    known = {places.find("Heathrow").station_id: -9.6, **LOWEST_JUDGED_C}
    for station_id, published_c in known.items():
        lowest = annual_minima_c(weather_of(places.get(station_id))).min()
        assert lowest == pytest.approx(published_c, abs=4.0)


def test_melbourne_seldom_freezes() -> None:
    # Common knowledge of the place, no source; it froze in 81 % of years once.
    minima = annual_minima_c(weather_of(load_places().find("Melbourne Airport")))
    assert (minima < 0.0).mean() <= 0.4


def _longest(below: NDArray[np.bool_]) -> int:
    longest = run = 0
    for day in below:
        run = run + 1 if day else 0
        longest = max(longest, run)
    return longest


def test_cold_spells_are_as_long_as_those_of_the_record() -> None:
    # KNMI, daily record of De Bilt, winters 2000/01 to 2020/21: on end below -5 °C.
    record = load_reference_weather()
    first = np.datetime64(record.first_day, "D")
    starts = [int((np.datetime64(f"{y}-07-01") - first).astype(int)) for y in range(2000, 2021)]
    winters = np.stack([record.tmin_c[a : a + 365] for a in starts])
    weather = weather_of(load_places().find("De Bilt"))
    reckoned = weather.tmin_c[:, 30:395]
    mean_recorded = np.mean([_longest(w < -5.0) for w in winters])
    mean_reckoned = np.mean([_longest(w < -5.0) for w in reckoned])
    assert mean_reckoned == pytest.approx(mean_recorded, abs=0.5)
    assert (reckoned < -5.0).sum() / 21 == pytest.approx((winters < -5.0).sum() / 21, abs=1.5)


# Standard deviation between the years 1991-2020 of monthly mean minimum and maximum, December to
# March, and of the maximum in June to August. [°C] Met Office historic station data; contains
# public sector information licensed under the Open Government Licence v3.0.
@pytest.mark.parametrize(
    ("name", "winter_low_c", "winter_high_c", "summer_high_c"),
    [("Heathrow", 1.46, 1.70, 1.66), ("Shawbury", 1.58, 1.66, 1.45)],
)
def test_months_differ_from_year_to_year_as_they_do(
    name: str, winter_low_c: float, winter_high_c: float, summer_high_c: float
) -> None:
    weather = weather_of(load_places().find(name))
    months = weather.days[:365].astype("datetime64[M]").astype(int) % 12

    def spread(daily: NDArray[np.float64], wanted: list[int]) -> float:
        means = [daily[:, :365][:, months == m].mean(axis=1) for m in wanted]
        return float(np.mean([np.std(m, ddof=1) for m in means]))

    winter, summer = [11, 0, 1, 2], [5, 6, 7]
    assert spread(weather.tmin_c, winter) == pytest.approx(winter_low_c, abs=0.4)
    assert spread(weather.tmax_c, winter) == pytest.approx(winter_high_c, abs=0.4)
    assert spread(weather.tmax_c, summer) == pytest.approx(summer_high_c, abs=0.4)


def test_every_station_keeps_its_months_and_its_order() -> None:
    for station in list(load_places())[::7]:
        weather = weather_of(station)
        assert np.isfinite(weather.tmin_c).all()
        assert (weather.tmax_c > weather.tmin_c).all()
        months = weather.days[:365].astype("datetime64[M]").astype(int) % 12
        for month in range(12):
            at = np.flatnonzero(months == month)
            low, high = weather.tmin_c[:, at].mean(), weather.tmax_c[:, at].mean()
            assert low == pytest.approx(station.tmin_c[month], abs=0.05)
            assert high == pytest.approx(station.tmax_c[month], abs=0.05)


def test_zones_of_the_map_are_those_of_the_zone_table() -> None:
    # The map's own zone of each place against the zone that its band's middle falls into.
    rules = load_rules()
    for row in rows("us_annual_minimum.csv"):
        middle = (float(row["lowest_c"]) + float(row["highest_c"])) / 2
        assert rules.hardiness_zone(middle) == row["zone"].rstrip("ab")
    assert rules.hardiness_zone(-60.0) == "1"
    assert rules.hardiness_zone(30.0) == "13"
