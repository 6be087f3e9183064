from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.plan.forecast.report import PotForecast, Spread
from bloomline.ui.season.geometry import (
    LEAST_DAYS,
    RowTable,
    brought_into,
    kept_within,
    panned,
    zoomed,
)

JAN = date(2027, 1, 1).toordinal()
LIMITS = (float(JAN), float(JAN + 365))


@given(
    around=st.floats(0, 1),
    factor=st.floats(0.05, 20),
    first=st.floats(0, 200),
    span=st.floats(LEAST_DAYS, 150),
)
def test_zoom_keeps_the_day_under_the_pointer_and_the_limits(
    around: float, factor: float, first: float, span: float
) -> None:
    window = kept_within((JAN + first, JAN + first + span), LIMITS)
    number = window[0] + around * (window[1] - window[0])
    new = zoomed(window, factor, around=number, limits=LIMITS)
    assert LIMITS[0] - 1e-6 <= new[0] < new[1] <= LIMITS[1] + 1e-6
    assert new[1] - new[0] >= LEAST_DAYS - 1e-6
    assert new[0] - 1e-6 <= number <= new[1] + 1e-6
    is_free = new[0] > LIMITS[0] + 1e-6 and new[1] < LIMITS[1] - 1e-6
    if is_free:
        assert (number - new[0]) / (new[1] - new[0]) == pytest.approx(around, abs=1e-6)


def test_pan_stops_at_the_limits_without_changing_the_zoom() -> None:
    window = (JAN + 10.0, JAN + 40.0)
    assert panned(window, -100, limits=LIMITS) == (JAN, JAN + 30)
    assert panned(window, 1000, limits=LIMITS) == (JAN + 335, JAN + 365)
    assert panned(window, 5, limits=LIMITS) == (JAN + 15, JAN + 45)


def test_a_day_outside_is_brought_into_view_and_one_inside_moves_nothing() -> None:
    window = (JAN + 100.0, JAN + 130.0)
    assert brought_into(window, date.fromordinal(JAN + 115), limits=LIMITS) == window
    for number in (20, 300):
        new = brought_into(window, date.fromordinal(JAN + number), limits=LIMITS)
        assert new[0] < JAN + number < new[1]
        assert new[1] - new[0] == pytest.approx(30)


def pot(number: int) -> PotForecast:
    none = Spread(0, 0, 0, 0, 0)
    return PotForecast(f"pot-{number}", f"Pot {number}", "", (), none, none)


@given(
    kinds=st.lists(st.booleans(), max_size=40),
    top=st.floats(-50, 2000),
    height=st.floats(0, 500),
)
def test_visible_rows_are_those_that_a_slow_look_finds(
    kinds: list[bool], top: float, height: float
) -> None:
    rows = RowTable([pot(i) for i, _ in enumerate(kinds)], pot_height=30)
    expected = [
        index
        for index in range(len(kinds))
        if rows.span(index)[1] > top and rows.span(index)[0] < top + height
    ]
    found = list(rows.visible(top, top + height))
    if height > 0:
        assert set(expected) <= set(found)
    assert len(found) <= len(expected) + 2


def test_a_thousand_rows_show_only_a_screenful() -> None:
    rows = RowTable([pot(i) for i in range(1000)], pot_height=30)
    assert rows.height == 30_000
    assert rows.visible(3000, 3300) == range(100, 110)
    assert rows.at(3010) == 100
    assert rows.at(-1) is None
    assert rows.at(30_000) is None
