"""Gardens: which station stands for a place, and what is refused."""

from __future__ import annotations

import pytest
from asking import STATIONS, garden

from bloomline.errors import BloomlineError, UnknownNameError, UsageError
from bloomline.model.yard import OwnNormals, PlaceChoice
from bloomline.plan.climate.garden import garden_at, garden_named, garden_of, great_circle_km
from bloomline.reference.places import load_places

HEATHROW = load_places().get(STATIONS["London"])


def test_a_named_garden_is_its_station():
    here = garden_named("Heathrow")
    assert here == garden("London")
    assert (here.rise_m, here.distance_km) == (0.0, 0.0)
    assert here.tmin_c == tuple(HEATHROW.tmin_c) and len(here.tmax_c) == 12
    assert not here.is_southern and not here.station_is_far


def test_a_higher_garden_keeps_the_stations_normals_and_says_its_rise():
    here = garden_named("Heathrow", elevation_m=325.0)
    assert here.rise_m == pytest.approx(325.0 - HEATHROW.elevation_m)
    assert here.elevation_m == 325.0
    assert here.tmin_c == tuple(HEATHROW.tmin_c)


def test_an_unknown_place_is_refused_with_near_names():
    with pytest.raises(UnknownNameError) as caught:
        garden_named("Heathrwo")
    assert caught.value.near


def test_a_position_takes_the_nearest_station():
    here = garden_at(HEATHROW.latitude_deg, longitude_deg=HEATHROW.longitude_deg + 0.01)
    assert here.station_id == HEATHROW.station_id
    # A hundredth of a degree of longitude at this latitude: 111.2 km × cos(lat)/100.
    assert here.distance_km == pytest.approx(0.69, abs=0.05)
    assert here.longitude_deg == HEATHROW.longitude_deg + 0.01
    assert garden_at(-37.8, longitude_deg=144.9).is_southern


@pytest.mark.parametrize(
    ("latitude", "longitude", "elevation", "word"),
    [
        (90.1, 0.0, None, "latitude"),
        (float("nan"), 0.0, None, "latitude"),
        (0.0, 181.0, None, "longitude"),
        (50.0, 0.0, 9999.0, "elevation"),
        (50.0, 0.0, -1000.0, "elevation"),
    ],
)
def test_a_position_off_the_map_is_refused(latitude, longitude, elevation, word):
    with pytest.raises(UsageError, match=word):
        garden_at(latitude, longitude_deg=longitude, elevation_m=elevation)


def test_an_absurd_height_is_refused_for_a_named_place_too():
    with pytest.raises(UsageError, match="elevation"):
        garden_named("Heathrow", elevation_m=20_000.0)


def choice(**fields):
    usual = {"name": "Home", "latitude_deg": 51.5, "longitude_deg": -0.4}
    return PlaceChoice(**{**usual, **fields})


def test_a_yards_garden_is_its_own_normals_its_station_or_the_nearest():
    normals = OwnNormals(tmax_c=[15.0] * 12, tmin_c=[5.0] * 12)
    own = garden_of(choice(own_normals=normals, elevation_m=80.0))
    assert (own.tmin_c, own.rise_m, own.label) == ((5.0,) * 12, 0.0, "Home")
    chosen = garden_of(choice(station_id=STATIONS["Miami"]))
    assert chosen.station_id == STATIONS["Miami"] and chosen.station_is_far
    near = garden_of(choice())
    assert near == garden_at(51.5, longitude_deg=-0.4, name="Home")
    with pytest.raises(BloomlineError):
        garden_of(choice(station_id="no-such-station"))


def test_great_circles_against_known_distances():
    # A quarter of the meridian on a sphere of 6371 km, and the antipode.
    assert great_circle_km(0, 0, 90, 0) == pytest.approx(10007.5, abs=0.1)
    assert great_circle_km(12, 34, -12, -146) == pytest.approx(20015.1, abs=0.1)
    assert great_circle_km(48, 11, 48, 11) == 0.0
    # London Heathrow to New York JFK: 5540 km by published airport distances (from memory).
    assert great_circle_km(51.4706, -0.4619, 40.6398, -73.7789) == pytest.approx(5540, abs=15)
