from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.draw.layout import band_outline
from bloomline.draw.marks import marks_in_area, marks_in_bar
from bloomline.plan.report import PotForecast, Spread, Stretch
from bloomline.ui.season.geometry import (
    LEAST_DAYS,
    DayView,
    RowTable,
    SeasonRow,
    brought_into,
    hatch_lines,
    kept_within,
    marks_along,
    marks_over,
    month_marks,
    panned,
    zoomed,
)
from bloomline.ui.season.rows_part import clear_room
from bloomline.ui.season.strip import band_edges, place_stretches

JAN = date(2027, 1, 1).toordinal()
LIMITS = (float(JAN), float(JAN + 365))
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def year_view(width: float = 730.0) -> DayView:
    return DayView(*LIMITS, left=100.0, width=width)


def test_days_lie_at_their_pixels_and_back() -> None:
    days = year_view()
    assert days.per_day == 2.0
    assert days.x_of(date(2027, 1, 1)) == 100.0
    assert days.x_of(date(2027, 2, 1)) == 100.0 + 31 * 2
    assert days.middle_of(date(2027, 1, 1)) == 101.0
    for number in range(0, 365, 17):
        day = date(2027, 1, 1) + timedelta(days=number)
        assert days.day_at(days.middle_of(day)) == day


def test_a_view_of_parts_of_days_hands_whole_days_to_the_chart_painters() -> None:
    days = DayView(JAN + 0.5, JAN + 10.25, left=10.0, width=400.0)
    scale = days.scale()
    assert scale.first == date(2027, 1, 1)
    assert scale.days == 11
    for number in range(11):
        day = date(2027, 1, 1) + timedelta(days=number)
        assert scale.x(day) == pytest.approx(days.x_of(day))


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
    rows = RowTable([SeasonRow(pot(i), None) for i, _ in enumerate(kinds)], pot_height=30)
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
    rows = RowTable([SeasonRow(pot(i), None) for i in range(1000)], pot_height=30)
    assert rows.height == 30_000
    assert rows.visible(3000, 3300) == range(100, 110)
    assert rows.at(3010) == 100
    assert rows.at(-1) is None
    assert rows.at(30_000) is None


@pytest.mark.parametrize(("left", "right"), [(0.0, 200.0), (13.3, 90.1), (5.0, 9.0), (5.0, 15.0)])
def test_marks_along_a_bar_are_the_chart_s(left: float, right: float) -> None:
    chart = [x for x, _ in marks_in_bar(left, right, 7.0, radius=3.0, pitch=12.0)]
    assert marks_along(left, right, radius=3.0, pitch=12.0, seen=(-99, 999)) == chart
    some = marks_along(left, right, radius=3.0, pitch=12.0, seen=(40, 60))
    assert some == [x for x in chart if 37 <= x <= 63]


def test_marks_over_an_area_are_the_chart_s() -> None:
    xs = np.linspace(20.0, 400.0, 180)
    swell = 35 * np.exp(-(((xs - 200) / 70) ** 2))
    bottoms = 90 - 10 * np.exp(-(((xs - 150) / 60) ** 2))
    tops = bottoms - swell
    chart = set(marks_in_area(xs, tops, bottoms, radius=2.3, pitch=13.0))
    ours = marks_over(xs, tops, bottoms, radius=2.3, pitch=13.0, seen=(0, 999))
    assert len(chart) > 20
    assert sorted(map(tuple, np.round(ours, 6).tolist())) == sorted(
        (round(x, 6), round(y, 6)) for x, y in chart
    )
    part = marks_over(xs, tops, bottoms, radius=2.3, pitch=13.0, seen=(150, 200))
    assert 0 < len(part) < len(ours)
    assert part[:, 0].min() >= 150
    assert part[:, 0].max() <= 200


def test_band_edges_are_the_chart_s() -> None:
    xs = np.arange(60) + 0.5
    lower = np.full(60, 0.5)
    upper = lower + np.where((xs > 10) & (xs < 20) | (xs > 40), 0.7, 0.0)
    chart = band_outline(xs, lower, upper)
    ours = band_edges(xs, lower, upper)
    assert len(ours) == len(chart) == 2
    for (x, y), outline in zip(ours, chart, strict=True):
        assert list(zip(x.tolist(), y.tolist(), strict=True)) == list(outline)


def test_hatching_stays_within_its_rectangle_and_stands_still_as_it_grows() -> None:
    small = hatch_lines(50, 90, 10, 60, pitch=9)
    large = hatch_lines(50, 130, 10, 60, pitch=9)
    assert small
    for x0, y0, x1, y1 in large:
        assert 50 <= x0 < x1 <= 130
        assert 10 <= y1 < y0 <= 60
        assert x1 - x0 == pytest.approx(y0 - y1)
    feet = {round(x0 + y0, 6) for x0, y0, _, _ in large}
    assert {round(x0 + y0, 6) for x0, y0, _, _ in small} <= feet


def test_months_are_named_where_there_is_room_and_shrink_together() -> None:
    def measure(text: str) -> float:
        return 7.0 * len(text)

    wide = month_marks(year_view(1200), names=MONTHS, measure=measure)
    assert [tick.first.month for tick in wide] == list(range(1, 13))
    assert wide[0].label == "Jan 2027"
    assert [tick.label for tick in wide[1:]] == list(MONTHS[1:])
    narrow = month_marks(year_view(300), names=MONTHS, measure=measure)
    assert "".join(tick.label for tick in narrow) == "JFMAMJJASOND"
    short = month_marks(year_view(12 * 64), names=MONTHS, measure=measure)
    assert short[0].label == "Jan ’27"
    tight = month_marks(year_view(125), names=MONTHS, measure=measure)
    assert "".join(tick.label for tick in tight) == "JFMAMJJASOND"
    assert all(tick.left <= tick.label_x <= tick.right - 7.0 for tick in tight)
    none = month_marks(year_view(90), names=MONTHS, measure=measure)
    assert all(tick.label == "" for tick in none)


def test_a_month_cut_off_at_the_left_is_named_at_the_edge() -> None:
    days = DayView(JAN + 20.0, JAN + 60.0, left=0.0, width=800.0)
    ticks = month_marks(days, names=MONTHS, measure=lambda text: 7.0 * len(text))
    assert not ticks[0].is_whole
    assert ticks[0].left == 0.0
    assert ticks[0].label == "Jan 2027"
    assert ticks[1].is_whole
    assert ticks[1].left == days.x_of(date(2027, 2, 1))
    # The two days of March that are seen have no room for its name, and no letter in its place.
    assert [tick.label for tick in ticks] == ["Jan 2027", "Feb", ""]


def test_words_of_stretches_never_cover_one_another() -> None:
    stretches = [
        Stretch(date(2027, 2, 1), date(2027, 2, 3)),
        Stretch(date(2027, 2, 8), date(2027, 2, 9)),
        Stretch(date(2027, 6, 1), date(2027, 6, 20)),
    ]
    words = [("3 bare days", "3 d"), ("2 bare days", "2 d"), ("20 bare days", "20 d")]
    widths = {one: 7.0 * len(one) for pair in words for one in pair}
    places = place_stretches(stretches, words, days=year_view(), width_of=widths)
    assert [place.left for place in places] == [
        year_view().x_of(stretch.first) for stretch in stretches
    ]
    said = sorted((p.words_x, p.words_x + widths[p.words]) for p in places if p.words)
    assert all(end <= start for (_, end), (start, _) in pairwise(said))
    assert places[-1].words


def test_a_stretch_out_of_view_is_left_out() -> None:
    days = DayView(JAN + 100.0, JAN + 130.0, left=0.0, width=300.0)
    stretch = Stretch(date(2027, 2, 1), date(2027, 2, 3))
    words = [("3 bare days", "3 d")]
    assert (
        place_stretches([stretch], words, days=days, width_of={"3 bare days": 70, "3 d": 20}) == ()
    )


def test_words_keep_off_the_planting_marker() -> None:
    assert clear_room(500, None, keep_off=12) == (10, 490)
    assert clear_room(500, 700, keep_off=12) == (10, 490)
    assert clear_room(500, 100, keep_off=12) == (112, 490)
    assert clear_room(500, 400, keep_off=12) == (10, 388)
