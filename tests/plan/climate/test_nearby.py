"""The climate of a place from the stations around: weights, heights, one at a station alone."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.engine.climate import LAPSE_C_PER_M
from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.finding import place_meant
from bloomline.plan.climate.garden import garden_at, garden_of
from bloomline.plan.climate.nearby import (
    AT_STATION_KM,
    NearbyRule,
    height_around,
    shares_at,
    shares_of,
)
from bloomline.plan.forecast.climate_report import climate_report
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.reference import town_heights
from bloomline.reference.coast import sea_share
from bloomline.reference.distances import great_circles_km
from bloomline.reference.places import load_places
from bloomline.reference.town_heights import towns_around

PLACES = load_places()
BATH = {"latitude_deg": 51.375, "longitude_deg": -2.362}


def _km(a_lat: float, a_lon: float, b_lat: float, b_lon: float) -> float:
    # The angle between two directions from the middle of the earth, by their cross product.
    def direction(lat: float, lon: float) -> np.ndarray:
        north, east = math.radians(lat), math.radians(lon)
        return np.array(
            [math.cos(north) * math.cos(east), math.cos(north) * math.sin(east), math.sin(north)]
        )

    a, b = direction(a_lat, a_lon), direction(b_lat, b_lon)
    return 6371.0088 * math.atan2(float(np.linalg.norm(np.cross(a, b))), float(a @ b))


def test_weights_by_a_plain_loop():
    rule, height = NearbyRule(), 120.0
    here = float(sea_share(BATH["latitude_deg"], BATH["longitude_deg"]))
    squares = {}
    for station in PLACES:
        km = _km(*BATH.values(), station.latitude_deg, station.longitude_deg)
        up = rule.km_per_100_m * (station.elevation_m - height) / 100.0
        sea = float(sea_share(station.latitude_deg, station.longitude_deg)) - here
        squares[station.station_id] = km**2 + up**2 + (rule.km_per_sea * sea) ** 2 + 1.0
    nearest = sorted(squares, key=squares.__getitem__)[: rule.n]
    total = sum(1.0 / squares[each] for each in nearest)
    found = shares_at(*BATH.values(), height)
    assert [each.station.station_id for each in found] == nearest
    for each in found:
        weight = 1.0 / squares[each.station.station_id] / total
        assert each.weight == pytest.approx(weight, rel=1e-6)
        km = _km(*BATH.values(), each.station.latitude_deg, each.station.longitude_deg)
        assert each.distance_km == pytest.approx(km, abs=0.01)


@given(
    latitude_deg=st.floats(-60, 68),
    longitude_deg=st.floats(-180, 180),
    elevation_m=st.none() | st.floats(0, 3000),
)
def test_a_garden_is_between_its_stations(latitude_deg, longitude_deg, elevation_m):
    shares = shares_at(latitude_deg, longitude_deg, elevation_m)
    assert sum(each.weight for each in shares) == pytest.approx(1.0)
    assert [s.weight for s in shares] == sorted((s.weight for s in shares), reverse=True)
    garden = garden_at(latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m)
    change = LAPSE_C_PER_M * garden.rise_m
    for month in range(12):
        # Each station's mean lowered to the garden's height, then weighted.
        lowered = sum(
            s.weight
            * (
                s.station.tmin_c[month]
                + LAPSE_C_PER_M * (garden.elevation_m - s.station.elevation_m)
            )
            for s in shares
        )
        assert garden.tmin_c[month] + change == pytest.approx(lowered, abs=0.006)
        assert garden.tmax_c[month] > garden.tmin_c[month]
    if elevation_m is not None:
        assert not garden.height_is_guessed and garden.elevation_m == elevation_m


def test_a_place_at_a_station_has_that_one_alone():
    station = PLACES.find("Rothamsted")
    near = garden_at(station.latitude_deg + 0.012, longitude_deg=station.longitude_deg)
    assert 1.0 < near.distance_km < AT_STATION_KM
    assert [each.station_id for each in near.stations] == [station.station_id]
    assert (near.rise_m, near.height_is_guessed) == (0.0, False)
    assert near.tmin_c == station.tmin_c
    beyond = garden_at(station.latitude_deg + 0.1, longitude_deg=station.longitude_deg)
    assert len(beyond.stations) > 1
    # A hill beside it is another place.
    hill = garden_at(station.latitude_deg, longitude_deg=station.longitude_deg, elevation_m=400.0)
    assert len(hill.stations) > 1


def test_a_station_chosen_stands_alone_as_ever():
    station = PLACES.find("Church Lawford")
    choice = PlaceChoice(station_id=station.station_id, name="Home", **BATH, elevation_m=300.0)
    garden = garden_of(choice)
    assert [each.station_id for each in garden.stations] == [station.station_id]
    assert garden.rise_m == 300.0 - station.elevation_m
    assert garden.station_is_far and garden.distance_km == pytest.approx(130, abs=5)


def test_a_height_that_is_not_given_is_guessed_and_said_so():
    garden = garden_at(**{"latitude_deg": 51.375}, longitude_deg=-2.362, name="Bath")
    assert garden.height_is_guessed and garden.label == "Bath, about 96 m"
    assert garden.guess == height_around(51.375, -2.362)
    assert garden.elevation_m == garden.guess.height_m
    assert garden.guess.low_m <= garden.elevation_m <= garden.guess.high_m
    typed = garden_at(51.375, longitude_deg=-2.362, elevation_m=200.0, name="Bath")
    assert not typed.height_is_guessed and typed.label == "Bath, 200 m"


def test_far_stations_and_heights_are_warned_of():
    forecaster = Forecaster()

    def topics(**fields):
        garden = garden_of(PlaceChoice(name="X", **fields))
        report = climate_report(garden, forecaster=forecaster, today=date(2026, 9, 1))
        return [each.message for each in report.advice]

    (far,) = topics(latitude_deg=52.481, longitude_deg=-1.9, elevation_m=140.0)  # Birmingham
    assert "41 km away" in far
    high = topics(latitude_deg=53.0, longitude_deg=-4.0, elevation_m=900.0)
    assert any("above the stations" in message for message in high)
    # Between Bolzano, 262 m, and the villages on the hills above it.
    unsure = topics(latitude_deg=46.45, longitude_deg=11.42)
    assert any("towns around lie at 303 to 1354 m: give the height" in each for each in unsure)
    assert topics(latitude_deg=48.137, longitude_deg=11.575, elevation_m=520.0) == []  # Munich


def test_all_of_a_report_comes_from_the_same_blend():
    garden = garden_of(place_meant("Bath").choice)
    report = climate_report(garden, forecaster=Forecaster(), today=date(2026, 9, 1))
    weather = Forecaster().weather(garden, first_day=np.datetime64("2026-06-01"))
    months = weather.days.astype("datetime64[M]").astype(np.int64) % 12
    months[365:] = -1  # a part of a month is not the month
    change = LAPSE_C_PER_M * garden.rise_m
    for month in report.months:
        at = months == month.month - 1
        # The weather years keep the blended means, and frost and extremes come from them.
        assert weather.tmin_c[:, at].mean() == pytest.approx(month.tmin_c, abs=0.06)
        assert month.tmin_c == round(garden.tmin_c[month.month - 1] + change, 1)
    assert report.mean_annual_minimum_c < min(m.tmin_c for m in report.months)


def test_a_town_in_a_deep_valley_lies_as_low_as_it_does():
    # The stations around lie between 1,078 and 1,594 m; an alpine winter is not the town's.
    garden = garden_of(place_meant("Bolzano").choice)
    assert garden.elevation_m == pytest.approx(262, abs=15) and not garden.height_is_unsure
    around = height_around(garden.latitude_deg + 0.006, garden.longitude_deg)
    assert around.height_m == pytest.approx(262, abs=30)


def test_heights_of_left_out_stations_follow_from_the_towns_near_them():
    rows = np.flatnonzero(np.abs(PLACES.latitudes_deg) > 30)[::25]
    off, held = [], []
    for row in rows:
        station = PLACES.at(int(row))
        _, ground_km = towns_around(station.latitude_deg, station.longitude_deg, n=1)
        if ground_km[0] < 8:
            guess = height_around(station.latitude_deg, station.longitude_deg)
            off.append(abs(guess.height_m - station.elevation_m))
            held.append(off[-1] <= guess.margin_m)
    assert len(off) > 80
    assert np.median(off) < 20 and np.quantile(off, 0.9) < 110
    assert 0.74 < np.mean(held) < 0.92  # eight in ten, of a hundred and more


def test_one_left_out_is_no_part_of_its_own_place():
    station = PLACES.find("Rothamsted")
    ground = PLACES.distances_km(station.latitude_deg, station.longitude_deg)
    shares = shares_of(np.where(ground < 1.0, np.inf, ground), station.elevation_m, sea=0.0)
    assert station.station_id not in [each.station.station_id for each in shares]
    assert sum(each.weight for each in shares) == pytest.approx(1.0)


@pytest.mark.parametrize("latitude_deg", [-89.5, -55.0, -35.6, 0.0, 12.3, 51.8, 70.2, 89.0])
@pytest.mark.parametrize("longitude_deg", [-179.9, -30.0, 3.7, 100.1, 179.9])
def test_no_town_is_nearer_than_those_looked_at(latitude_deg, longitude_deg):
    latitudes_deg, longitudes_deg, elevations_m = town_heights._table()
    every_km = great_circles_km(latitude_deg, longitude_deg, latitudes_deg, longitudes_deg)
    heights, ground_km = towns_around(latitude_deg, longitude_deg, n=3)
    np.testing.assert_allclose(ground_km, np.sort(every_km)[:3], rtol=1e-12)
    for height, near_km in zip(heights, ground_km, strict=True):
        assert height in elevations_m[np.abs(every_km - near_km) < 1e-6]
