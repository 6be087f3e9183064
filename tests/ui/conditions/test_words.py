"""Heights, distances and days as the strip writes them."""

from __future__ import annotations

import pytest

from bloomline.reference.places import load_places
from bloomline.ui.conditions.strip import columns_for
from bloomline.ui.conditions.words import (
    choice_of,
    distance_text,
    height_text,
)
from bloomline.ui.units import Units


def test_heights_and_distances() -> None:
    assert height_text(1000.0, Units()) == "1,000 m"
    # 3,048 m are 10,000 international feet exactly; 1.609344 km are one mile.
    assert height_text(3048.0, Units(imperial=True)) == "10,000 ft"
    assert distance_text(160.9344, Units(imperial=True)) == "100 mi"


def test_a_station_becomes_a_place() -> None:
    station = load_places().get("00003772")
    choice = choice_of(station)
    assert choice.station_id == "00003772"
    assert choice.name == "London Heathrow, United Kingdom" or "Heathrow" in choice.name
    assert choice.elevation_m is None


@pytest.mark.parametrize(
    ("room", "columns"),
    [(540.0, 5), (539.0, 4), (430.0, 4), (429.0, 3), (210.0, 2), (209.0, 1), (10.0, 1)],
)
def test_columns(room: float, columns: int) -> None:
    assert columns_for([100.0] * 5, room=room, gap=10.0) == columns
