"""Records and recorded weather stay those of the place at which they were made."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bloomline.errors import EditRefusedError
from bloomline.files.yardfile import dump_yard, load_yard, parse_yard
from bloomline.model.edits import change_place, set_place
from bloomline.model.spot import ONE_GARDEN_KM, Spot, is_one_garden
from bloomline.model.weather import OwnWeather
from bloomline.model.weather_edits import add_weather, own_weather, set_weather
from bloomline.model.yard import PlaceChoice, Yard

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"
FAR = PlaceChoice(name="Far", latitude_deg=57.0, longitude_deg=-3.0, station_id=None)


@pytest.fixture(scope="module")
def yard() -> Yard:
    return load_yard(DEMO).yard


def weather(day: date) -> OwnWeather:
    return own_weather({day: (1.0, 8.0)}, label="garden", note="")


def test_a_degree_of_latitude_is_sixty_sea_miles() -> None:
    # The nautical mile, 1.852 km by definition, is about a minute of latitude.
    here = Spot(latitude_deg=50.0, longitude_deg=0.0)
    minutes = ONE_GARDEN_KM / 1.852
    near, far = (
        Spot(latitude_deg=50.0 + share * minutes / 60.0, longitude_deg=0.0)
        for share in (0.97, 1.03)
    )
    assert is_one_garden(here, near) and not is_one_garden(here, far)
    # At 60° a degree of longitude is half as long.
    north = Spot(latitude_deg=60.0, longitude_deg=10.0)
    beside = Spot(latitude_deg=60.0, longitude_deg=10.0 + 1.9 * minutes / 60.0)
    assert is_one_garden(north, beside)
    assert is_one_garden(
        Spot(latitude_deg=0.0, longitude_deg=179.99), Spot(latitude_deg=0.0, longitude_deg=-179.99)
    )


def test_moving_stamps_records_and_weather_once_and_undo_is_the_old_yard(yard: Yard) -> None:
    kept = set_weather(yard, weather(date(2026, 11, 1)))
    moved = set_place(kept, FAR)
    spots = {(r.seen_at.latitude_deg, r.seen_at.longitude_deg) for r in moved.records if r.seen_at}
    assert spots == {(yard.place.latitude_deg, yard.place.longitude_deg)}
    assert all(record.seen_at for record in moved.records)
    assert moved.weather is not None and moved.weather.recorded_at is not None
    back = set_place(moved, yard.place)
    assert [r.seen_at for r in back.records] == [r.seen_at for r in moved.records]
    assert parse_yard(dump_yard(moved), name="moved") == moved


def test_a_height_put_right_is_the_same_garden(yard: Yard) -> None:
    assert change_place(yard, elevation_m=130.0).records == yard.records


def test_days_of_two_places_are_not_mixed(yard: Yard) -> None:
    moved = set_place(set_weather(yard, weather(date(2026, 11, 1))), FAR)
    with pytest.raises(EditRefusedError, match="another place"):
        add_weather(moved, weather(date(2026, 11, 2)))
