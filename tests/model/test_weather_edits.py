"""The weather that a yard keeps: rows that people can read, exact to a tenth of a degree."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from bloomline.errors import EditRefusedError
from bloomline.files.yardfile import dump_yard, parse_yard
from bloomline.model.weather import OwnWeather, WeatherMonth
from bloomline.model.weather_edits import (
    add_weather,
    clear_weather,
    own_weather,
    recorded_days,
    set_weather,
)
from bloomline.model.yard import PlaceChoice, Yard


def _yard():
    return Yard(
        name="Small yard",
        place=PlaceChoice(name="Ottermere", latitude_deg=52.4, longitude_deg=-1.3),
        season_year=2027,
    )


_tenths = st.integers(-900, 600)
_days = st.dictionaries(
    st.dates(date(2019, 11, 1), date(2021, 3, 31)),
    st.tuples(_tenths, _tenths).map(lambda pair: (min(pair) / 10, max(pair) / 10)),
    min_size=1,
    max_size=40,
)


@given(_days)
def test_days_come_back_as_they_were_kept(days):
    assert recorded_days(own_weather(days, label="mine")) == days


@given(_days)
def test_a_yard_file_keeps_them(days):
    yard = set_weather(_yard(), own_weather(days, label="mine", note="thermometer by the door"))
    assert parse_yard(dump_yard(yard), name="x") == yard


def test_a_month_is_one_row_that_can_be_read():
    days = {date(2027, 2, 1) + timedelta(days=i): (-0.04, 4.0 + i / 10) for i in range(3)}
    row = own_weather(days, label="mine").months[0]
    assert row.tmin_c == "0 0 0" + " -" * 25
    assert row.tmax_c == "4 4.1 4.2" + " -" * 25


def test_new_days_join_old_ones_and_count_where_both_have_a_day():
    old = own_weather({date(2027, 1, 1): (0, 5), date(2027, 1, 2): (1, 6)}, label="old")
    new = own_weather({date(2027, 1, 2): (2, 7), date(2027, 2, 1): (3, 8)}, label="new")
    kept = add_weather(set_weather(_yard(), old), new).weather
    assert kept is not None
    assert kept.label == "new"
    assert recorded_days(kept) == {
        date(2027, 1, 1): (0, 5),
        date(2027, 1, 2): (2, 7),
        date(2027, 2, 1): (3, 8),
    }


def test_kept_weather_can_be_forgotten():
    kept = set_weather(_yard(), own_weather({date(2027, 1, 1): (0, 5)}, label="mine"))
    assert clear_weather(kept) == _yard()


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        ("1 " * 27 + "1", "5 " * 26 + "5", "27 figures for 28 days"),
        ("9 " * 27 + "9", "5 " * 27 + "5", "2027-02-01"),
        ("1 " * 27 + "-", "5 " * 27 + "5", "2027-02-28"),
        ("1 " * 27 + "x", "5 " * 27 + "5", "“x” is no temperature"),
        ("1 " * 27 + "1", "5 " * 27 + "61", "outside -90 to 60"),
    ],
)
def test_a_row_that_does_not_fit_its_month_is_refused(low, high, told):
    with pytest.raises(ValidationError, match=told):
        WeatherMonth(month="2027-02", tmin_c=low, tmax_c=high)


def test_months_ascend():
    row = WeatherMonth(month="2027-02", tmin_c="1 " * 27 + "1", tmax_c="5 " * 27 + "5")
    with pytest.raises(ValidationError, match="each once"):
        OwnWeather(label="mine", months=(row, row))


def test_nothing_and_too_much_are_refused():
    with pytest.raises(EditRefusedError, match="no recorded day"):
        own_weather({}, label="mine")
    century = {date(1950 + i // 12, i % 12 + 1, 1): (1.0, 2.0) for i in range(601)}
    with pytest.raises(EditRefusedError):
        own_weather(century, label="mine")
