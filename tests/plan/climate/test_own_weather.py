"""Recorded days as facts: what is bridged, what is left to the weather years, what is told."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from bloomline.errors import DataError
from bloomline.files.yardfile import load_yard
from bloomline.model.weather_edits import own_weather, set_weather
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.climate.own_weather import bridge, bridged, import_for, recorded_of, until

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"


def demo_yard():
    return load_yard(DEMO).yard


def _days(*offsets, first=date(2026, 12, 1)):
    return {first + timedelta(days=i): (float(i), float(i) + 6) for i in offsets}


def test_gaps_of_three_days_are_bridged_and_longer_ones_left():
    found = bridged(own_weather(_days(0, 4, 9, 10), label="mine"))
    assert found.n_recorded == 4
    assert found.n_bridged == 3
    assert found.gaps == ((date(2026, 12, 6), date(2026, 12, 9)),)
    assert found.n_missing == 4
    assert found.recorded.tmin_c.tolist() == [0, 1, 2, 3, 4, 9, 10]
    assert found.words() == (
        "4 recorded days from 2026-12-01 to 2026-12-11, 3 missing days bridged, "
        "4 days left to the weather years"
    )


def test_a_single_day_has_no_gaps():
    day = np.array(["2026-12-01"], dtype="datetime64[D]")
    found = bridge(day, tmin_c=np.array([1.0]), tmax_c=np.array([5.0]), label="mine")
    assert (found.n_bridged, found.gaps) == (0, ())
    assert found.words() == "1 recorded day from 2026-12-01 to 2026-12-01"


def test_equal_weather_is_worked_out_once():
    yard = set_weather(demo_yard(), own_weather(_days(0, 1), label="mine"))
    again = set_weather(demo_yard(), own_weather(_days(0, 1), label="mine"))
    assert recorded_of(yard) is recorded_of(again)
    assert recorded_of(demo_yard()) is None


def test_until_keeps_the_days_up_to_one():
    recorded = bridged(own_weather(_days(0, 1, 2), label="mine")).recorded
    kept = until(recorded, date(2026, 12, 2))
    assert kept is not None
    assert kept.days.astype(str).tolist() == ["2026-12-01", "2026-12-02"]
    assert until(recorded, date(2026, 11, 30)) is None


def _import(tmp_path, rows):
    table = tmp_path / "days.csv"
    table.write_text("date,tmin_c,tmax_c\n" + "".join(f"{d},{a},{b}\n" for d, a, b in rows))
    garden = garden_of(demo_yard().place)
    return import_for(table, choices=None, garden=garden, today=date(2026, 11, 20))


def _usual(n, *, warmer=0.0, first=date(2026, 11, 1)):
    return [(first + timedelta(days=i), 4.0 + warmer, 10.0 + warmer) for i in range(n)]


def test_days_that_cannot_be_at_the_place_are_refused_with_their_lines(tmp_path):
    rows = _usual(9)
    rows[3] = (rows[3][0], -60.0, 8.0)
    rows[5] = (rows[5][0], 2.0, 58.0)
    with pytest.raises(DataError) as caught:
        _import(tmp_path, rows)
    assert [each.split(":")[0] for each in caught.value.problems] == ["line 5", "line 7"]
    assert "Church Lawford" in caught.value.problems[0]


def test_one_absurd_day_is_left_out_and_the_others_kept(tmp_path):
    rows = _usual(12)
    rows[3] = (rows[3][0], -60.0, 8.0)
    got = _import(tmp_path, rows)
    assert len(got.daily.days) == len(got.lines) == 11
    (words,) = got.daily.bad
    assert words.startswith("line 5: the minimum -60 °C of 2026-11-04 is ")
    # Where all the others stray as well, the whole table is wrong.
    rows = _usual(12, warmer=15.0)
    rows[3] = (rows[3][0], 2.0, 59.0)
    with pytest.raises(DataError, match="line 5"):
        _import(tmp_path, rows)


def test_records_of_cold_and_heat_are_let_through(tmp_path):
    """Met Office, UK climate extremes: 40.3 °C at Coningsby on 2022-07-19, and −26.1 °C at
    Newport (Shropshire) on 1982-01-10, both in the country of the demo yard."""
    rows = [(date(2022, 7, 19), 20.0, 40.3), (date(1982, 1, 10), -26.1, -11.0)]
    assert _import(tmp_path, rows).notes == ()


def test_days_of_another_place_or_unit_are_questioned(tmp_path):
    assert _import(tmp_path, _usual(10)).notes == ()
    (note,) = _import(tmp_path, _usual(10, warmer=15.0)).notes
    assert "warmer than usual at Church Lawford" in note
    (note,) = _import(tmp_path, _usual(10, warmer=-18.0)).notes
    assert "colder" in note
    # A day or two of extremes says nothing about the table.
    assert _import(tmp_path, _usual(3, warmer=15.0)).notes == ()


def test_days_that_are_still_to_come_are_questioned(tmp_path):
    (note,) = _import(tmp_path, _usual(25)).notes
    assert note.startswith("5 days lie after today, 2026-11-20")
    assert _import(tmp_path, _usual(20)).notes == ()
