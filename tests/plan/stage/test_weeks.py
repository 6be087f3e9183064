from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from bloomline.model.stage import DisplayPlace
from bloomline.plan.stage.weeks import Weeks, easter, looked_at

# Easter Sundays: U.S. Naval Observatory / Census Bureau tables "Easter Dates from 1600 to 2099";
# these from memory of them, among them the earliest and the latest there can be.
PUBLISHED = (
    "1818-03-22", "1943-04-25", "1954-04-18", "1961-04-02", "1981-04-19", "2000-04-23",
    "2008-03-23", "2011-04-24", "2019-04-21", "2024-03-31", "2025-04-20", "2026-04-05",
    "2027-03-28", "2028-04-16", "2038-04-25", "2049-04-18", "2076-04-19",
)  # fmt: skip


@pytest.mark.parametrize("sunday", PUBLISHED)
def test_easter_falls_on_the_published_sundays(sunday):
    day = date.fromisoformat(sunday)
    assert easter(day.year) == day


def test_easter_agrees_with_a_general_library():
    """python-dateutil's own computus, every year that a yard can have."""
    library = pytest.importorskip("dateutil.easter")
    for year in range(1900, 2200):
        assert easter(year) == library.easter(year)


def test_weeks_count_as_much_as_their_days_are_wanted():
    weeks = Weeks(date(2027, 3, 1), 10)
    place = DisplayPlace.model_validate(
        {
            "name": "Door",
            "view_weight": 2.0,
            "wanted": [{"feast": "easter", "weight": 3.0}, {"first": "04-26", "last": "04-28"}],
        }
    )
    seen = looked_at(place, weeks)
    # Easter is 28 March: 21 March to 4 April, of which the first is a Sunday.
    assert seen[[0, 1]] == pytest.approx([2.0, 2.0])
    assert seen[2] == pytest.approx(2.0 * (6 + 3) / 7)
    assert seen[[3, 4]] == pytest.approx([6.0, 6.0])
    assert seen[8] == pytest.approx(2.0 * (4 + 3 * 2.0) / 7)
    assert seen[9] == pytest.approx(2.0)


def test_what_is_wanted_may_run_over_new_year_and_may_be_nothing():
    weeks = Weeks(date(2026, 12, 7), 8)
    place = DisplayPlace.model_validate(
        {"name": "Door", "wanted": [{"first": "12-21", "last": "01-10", "weight": 0.0}]}
    )
    assert looked_at(place, weeks).tolist() == [1, 1, 0, 0, 0, 1, 1, 1]


def test_a_day_has_its_week():
    weeks = Weeks(date(2027, 3, 1), 2)
    assert [weeks.of(date(2027, 3, day)) for day in (1, 7, 8, 14, 15)] == [0, 0, 1, 1, None]
    assert weeks.of(date(2027, 2, 28)) is None
    assert weeks.carried(1) == date(2027, 3, 6)
    assert np.all([weeks.first(k).weekday() == 0 for k in range(2)])
