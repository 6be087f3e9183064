"""Recorded days as facts: what is bridged, what is left to the weather years, what is told."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np

from bloomline.files.yardfile import load_yard
from bloomline.model.weather_edits import own_weather, set_weather
from bloomline.plan.own_weather import bridge, bridged, recorded_of, until

DEMO = Path(__file__).parent.parent.parent / "demo" / "hollyhock-lane.bloomline"


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
