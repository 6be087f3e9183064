"""Heights, distances and days as the strip writes them."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QLocale

from bloomline.reference.places import load_places
from bloomline.ui.conditions.strip import columns_for
from bloomline.ui.conditions.words import (
    choice_of,
    day_text,
    distance_text,
    height_text,
    span_text,
)
from bloomline.ui.units import Units


@pytest.mark.parametrize(
    ("locale", "short", "full"),
    [
        ("en_GB", "7 Mar", "7 Mar 2027"),
        ("en_US", "Mar 7", "Mar 7, 2027"),
        ("de_DE", "7. März", "7. März 2027"),
        ("es_ES", "7 de mar", "7 de mar de 2027"),
    ],
)
def test_days_follow_the_locale(locale: str, short: str, full: str) -> None:
    QLocale.setDefault(QLocale(locale))
    assert day_text(date(2027, 3, 7)) == short
    assert day_text(date(2027, 3, 7), with_year=True) == full


def test_spans() -> None:
    QLocale.setDefault(QLocale("en_GB"))
    assert span_text(date(2026, 10, 3), date(2026, 10, 3)) == "3 Oct 2026"
    assert span_text(date(2026, 10, 3), date(2026, 11, 14)) == "3 Oct – 14 Nov 2026"
    assert span_text(date(2026, 10, 3), date(2027, 1, 4)) == "3 Oct 2026 – 4 Jan 2027"


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
