from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_report import N_DAYS, layer, report_of, sample_report

from bloomline.draw.base.marks import hatch_lines, marks_along, marks_over
from bloomline.draw.season.axis import month_ticks, week_ticks
from bloomline.draw.season.bars import FADE_TONE, FAINTEST, fade_tones
from bloomline.draw.season.days import DayScale, bar_chance, shown_days
from bloomline.draw.season.legend import flow
from bloomline.draw.season.rows import clear_room
from bloomline.draw.season.stretches import place_labels, place_stretches
from bloomline.draw.season.strip import band_outlines, stack_bands
from bloomline.plan.forecast.report import Stretch
from bloomline.words import short_month_words

SCALE = DayScale.of(date(2026, 11, 9), date(2027, 8, 15), 400.0, 1120.0)
JAN = date(2027, 1, 1).toordinal()


def test_days_to_x() -> None:
    assert SCALE.x_of(date(2026, 11, 9)) == 400.0
    assert SCALE.x_of(date(2026, 11, 19)) == 440.0
    assert SCALE.end_of(SCALE.last_day) == SCALE.right == 1520.0
    assert SCALE.span(date(2026, 1, 1), date(2026, 11, 9)) == (400.0, 404.0)
    assert SCALE.span(date(2026, 1, 1), date(2026, 11, 8)) is None


def test_months_carry_the_year_where_it_changes() -> None:
    labels = [tick.label for tick in month_ticks(SCALE, measure=lambda text: 7.0 * len(text))]
    assert labels == [
        "Nov 2026", "Dec", "Jan 2027", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug",
    ]  # fmt: skip
    first = month_ticks(SCALE, measure=len)[0]
    assert first.left == SCALE.left > SCALE.x_of(first.first)


def test_months_without_room_become_letters() -> None:
    narrow = DayScale.of(date(2026, 11, 1), date(2027, 10, 31), 0.0, 240.0)
    labels = [tick.label for tick in month_ticks(narrow, measure=lambda text: 7.0 * len(text))]
    assert "".join(labels) == "NDJFMAMJJASO"


def test_week_numbers_follow_iso_8601() -> None:
    ticks = week_ticks(SCALE)
    # ISO 8601: 2026 begins on a Thursday and so has 53 weeks; week 1 of 2027 begins 4 January.
    by_monday = {tick.first: tick.label for tick in ticks}
    assert by_monday[date(2026, 12, 28)] == "53"
    assert by_monday[date(2027, 1, 4)] == "1"
    assert all(tick.first.weekday() == 0 for tick in ticks)


def test_thinned_weeks_keep_clear_of_week_53() -> None:
    narrow = DayScale.of(date(2026, 11, 9), date(2027, 8, 15), 0.0, 440.0)
    labels = [tick.label for tick in week_ticks(narrow) if tick.label]
    assert "53" not in labels
    assert labels[:5] == ["47", "49", "51", "1", "3"]


def test_shown_days_reach_a_week_beyond_the_five_per_cent_chance() -> None:
    report = sample_report()
    first, last = shown_days(report, report.layers)
    showing = np.flatnonzero(np.max([one.chance for one in report.layers], axis=0) >= 0.05)
    assert first == report.first_day + timedelta(days=int(showing[0]) - 7)
    assert last == report.first_day + timedelta(days=int(showing[-1]) + 7)


def test_shown_days_with_planting() -> None:
    report = sample_report()
    first, _ = shown_days(report, report.layers, show_planted=True)
    assert first == date(2026, 10, 18) - timedelta(days=7)


def test_shown_days_without_any_flower_are_the_season() -> None:
    barren = layer("a", "a", "Tulipa 'Purissima'", "tulip", "white", "#FBF9EE", None, None)
    report = report_of([("Pot", "plastic", [barren])])
    assert shown_days(report, report.layers) == (report.first_day, report.last_day)


@given(st.integers(1, 6), st.integers(2, 40), st.integers(0, 2**31))
def test_stacked_bands_touch_and_sum_up(n_layers: int, n_days: int, seed: int) -> None:
    chances = np.random.default_rng(seed).random((n_layers, n_days))
    lower, upper = stack_bands(chances)
    np.testing.assert_allclose(lower[0], 0.0, atol=1e-12)
    np.testing.assert_allclose(lower[1:], upper[:-1])
    np.testing.assert_allclose(upper[-1], chances.sum(axis=0))


def test_band_outline_leaves_out_closed_parts() -> None:
    xs = np.arange(7.0)
    lower = np.zeros(7)
    upper = np.array([0.0, 0.0, 1.0, 0.0, 0.0, 2.0, 1.0])
    first, second = band_outlines(xs, lower, upper)
    assert first.tolist() == [[1, 0], [2, 1], [3, 0], [3, 0], [2, 0], [1, 0]]
    assert second[:, 0].tolist() == [4, 5, 6, 6, 5, 4]
    assert band_outlines(xs, lower, lower) == []


def test_fade_follows_the_chance_and_never_turns_back() -> None:
    chance = np.array([0.1, 0.2, 0.15, 0.4, 0.5])
    rising = fade_tones(chance, is_rising=True)
    assert rising[0] == pytest.approx(FAINTEST)
    assert rising[-1] == pytest.approx(FADE_TONE)
    assert (np.diff(rising) >= 0).all()
    falling = fade_tones(chance[::-1], is_rising=False)
    np.testing.assert_allclose(falling, rising[::-1])
    assert rising[1] == pytest.approx(FAINTEST + (FADE_TONE - FAINTEST) * 0.25)


def test_bar_chance_outside_the_report_is_zero() -> None:
    report = sample_report()
    one = report.layers[0]
    assert not bar_chance(report, one, date(2020, 1, 1), date(2020, 1, 9)).any()
    whole = bar_chance(
        report, one, report.first_day - timedelta(days=3), report.last_day + timedelta(days=2)
    )
    assert len(whole) == N_DAYS + 5
    np.testing.assert_array_equal(whole[3:-2], one.chance)


@given(st.lists(st.tuples(st.floats(0, 900), st.floats(5, 200)), max_size=12))
def test_labels_never_cover_each_other(labels: list[tuple[float, float]]) -> None:
    centres = [centre for centre, _ in labels]
    widths = [width for _, width in labels]
    places = place_labels(centres, widths, left=0.0, right=900.0)
    boxes = [(line, x, x + width) for (x, line), width in zip(places, widths, strict=True)]
    for line, left, right in boxes:
        assert left >= -1e-9
        assert right <= 900.0 + 1e-9
        others = [box for box in boxes if box is not (line, left, right) and box[0] == line]
        overlaps = [box for box in others if box[1] < right - 1e-6 and left < box[2] - 1e-6]
        assert len(overlaps) == 1  # itself


def test_items_flow_into_lines() -> None:
    assert flow([40, 40, 40], room=100, gap=10) == [(0, 0), (50, 0), (0, 1)]
    assert flow([500], room=100, gap=10) == [(0, 0)]


def test_marks_stay_inside_a_bar() -> None:
    centres = marks_along(100.0, 160.0, radius=3.0, pitch=12.0)
    assert len(centres) == 5
    assert min(centres) - 3.0 >= 100.0
    assert max(centres) + 3.0 <= 160.0
    assert sum(centres) / 5 == pytest.approx(130.0)
    assert marks_along(100.0, 106.0, radius=3.0, pitch=12.0) == []
    assert marks_along(100.0, 109.0, radius=3.0, pitch=12.0) == [104.5]
    seen = marks_along(100.0, 160.0, radius=3.0, pitch=12.0, seen=(110.0, 130.0))
    assert seen == [x for x in centres if 107.0 <= x <= 133.0]


def test_marks_stay_inside_a_hill() -> None:
    xs = np.linspace(0.0, 400.0, 200)
    bottoms = np.full(200, 100.0)
    tops = 100.0 - 60.0 * np.exp(-(((xs - 200.0) / 70.0) ** 2))
    centres = marks_over(xs, tops, bottoms, radius=2.5, pitch=13.0)
    assert len(centres) > 20
    for x, y in centres:
        assert float(np.interp(x, xs, tops)) + 2.5 <= y <= 100.0 - 2.5
    part = marks_over(xs, tops, bottoms, radius=2.5, pitch=13.0, seen=(150, 200))
    # Those seen stand where they stand when all are seen, so that nothing moves in a pan.
    assert 0 < len(part) < len(centres)
    assert set(map(tuple, part.tolist())) < set(map(tuple, centres.tolist()))
    assert part[:, 0].min() >= 150 and part[:, 0].max() <= 200


def year_scale(width: float = 730.0) -> DayScale:
    return DayScale.of(date(2027, 1, 1), date(2027, 12, 31), left=100.0, width=width)


def test_days_lie_at_their_pixels_and_back() -> None:
    days = year_scale()
    assert days.per_day == 2.0
    assert days.x_of(date(2027, 1, 1)) == 100.0
    assert days.x_of(date(2027, 2, 1)) == 100.0 + 31 * 2
    assert days.middle_of(date(2027, 1, 1)) == 101.0
    for number in range(0, 365, 17):
        day = date(2027, 1, 1) + timedelta(days=number)
        assert days.day_at(days.middle_of(day)) == day


def test_a_scale_may_cut_its_first_and_last_day() -> None:
    days = DayScale(JAN + 0.5, JAN + 10.25, left=10.0, width=390.0)
    assert (days.first_day, days.last_day) == (date(2027, 1, 1), date(2027, 1, 11))
    assert days.per_day == 40.0
    assert days.x_of(date(2027, 1, 2)) == 10.0 + 20.0
    assert days.span(date(2026, 12, 1), date(2027, 1, 1)) == (10.0, 30.0)
    assert days.shows(date(2027, 1, 1)) and not days.shows(date(2027, 1, 11))


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

    wide = month_ticks(year_scale(1200), measure=measure)
    assert [tick.first.month for tick in wide] == list(range(1, 13))
    assert wide[0].label == "Jan 2027"
    assert [tick.label for tick in wide[1:]] == [short_month_words(month) for month in range(2, 13)]
    narrow = month_ticks(year_scale(300), measure=measure)
    assert "".join(tick.label for tick in narrow) == "JFMAMJJASOND"
    short = month_ticks(year_scale(12 * 64), measure=measure)
    assert short[0].label == "Jan ’27"
    tight = month_ticks(year_scale(125), measure=measure)
    assert "".join(tick.label for tick in tight) == "JFMAMJJASOND"
    assert all(tick.left <= tick.label_x <= tick.right - 7.0 for tick in tight)
    none = month_ticks(year_scale(90), measure=measure)
    assert all(tick.label == "" for tick in none)


def test_a_month_cut_off_at_the_left_is_named_at_the_edge() -> None:
    days = DayScale(JAN + 20.0, JAN + 60.0, left=0.0, width=800.0)
    ticks = month_ticks(days, measure=lambda text: 7.0 * len(text))
    assert ticks[0].left == 0.0
    assert ticks[0].label == "Jan 2027"
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
    places = place_stretches(
        stretches, words, scale=year_scale(), measure=lambda text: 7.0 * len(text)
    )
    assert [place.left for place in places] == [
        year_scale().x_of(stretch.first) for stretch in stretches
    ]
    for line in (0, 1):
        said = sorted((p.x, p.x + 7.0 * len(p.words)) for p in places if p.line == line)
        assert all(end <= start for (_, end), (start, _) in pairwise(said))
    assert places[-1].line == 0


def test_a_stretch_out_of_view_is_left_out() -> None:
    days = DayScale(JAN + 100.0, JAN + 130.0, left=0.0, width=300.0)
    stretch = Stretch(date(2027, 2, 1), date(2027, 2, 3))
    assert place_stretches([stretch], [("3 bare days", "3 d")], scale=days, measure=len) == ()


def test_words_keep_off_the_planting_marker() -> None:
    assert clear_room(10, 490, None, keep_off=12) == (10, 490)
    assert clear_room(10, 490, 700, keep_off=12) == (10, 490)
    assert clear_room(10, 490, 100, keep_off=12) == (112, 490)
    assert clear_room(10, 490, 400, keep_off=12) == (10, 388)
