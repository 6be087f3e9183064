from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_report import N_DAYS, layer, report_of, sample_report

from bloomline.draw.layout import (
    FADE_TONE,
    FAINTEST,
    DayScale,
    band_outline,
    bar_chance,
    fade_tones,
    flow,
    month_ticks,
    place_labels,
    shown_days,
    stack_bands,
    week_ticks,
)
from bloomline.draw.marks import marks_in_area, marks_in_bar

SCALE = DayScale(date(2026, 11, 9), 280, 400.0, 1120.0)


def test_days_to_x() -> None:
    assert SCALE.x(date(2026, 11, 9)) == 400.0
    assert SCALE.x(date(2026, 11, 19)) == 440.0
    assert SCALE.x_end(SCALE.last) == SCALE.right == 1520.0
    assert SCALE.span(date(2026, 1, 1), date(2026, 11, 9)) == (400.0, 404.0)
    assert SCALE.span(date(2026, 1, 1), date(2026, 11, 8)) is None


def test_months_carry_the_year_where_it_changes() -> None:
    labels = [tick.label for tick in month_ticks(SCALE, measure=lambda text: 7.0 * len(text))]
    assert labels == [
        "Nov 2026", "Dec", "Jan 2027", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug",
    ]  # fmt: skip
    first = month_ticks(SCALE, measure=len)[0]
    assert not first.is_whole
    assert first.left == SCALE.left


def test_months_without_room_become_letters() -> None:
    narrow = DayScale(date(2026, 11, 1), 365, 0.0, 240.0)
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
    narrow = DayScale(date(2026, 11, 9), 280, 0.0, 440.0)
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
    first, second = band_outline(xs, lower, upper)
    assert first == ((1, 0), (2, 1), (3, 0), (3, 0), (2, 0), (1, 0))
    assert [x for x, _ in second] == [4, 5, 6, 6, 5, 4]
    assert band_outline(xs, lower, lower) == []


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
    centres = list(marks_in_bar(100.0, 160.0, 50.0, radius=3.0, pitch=12.0))
    assert len(centres) == 5
    assert min(x for x, _ in centres) - 3.0 >= 100.0
    assert max(x for x, _ in centres) + 3.0 <= 160.0
    assert list(marks_in_bar(100.0, 106.0, 50.0, radius=3.0, pitch=12.0)) == []


def test_marks_stay_inside_a_hill() -> None:
    xs = np.linspace(0.0, 400.0, 200)
    bottoms = np.full(200, 100.0)
    tops = 100.0 - 60.0 * np.exp(-(((xs - 200.0) / 70.0) ** 2))
    centres = list(marks_in_area(xs, tops, bottoms, radius=2.5, pitch=13.0))
    assert len(centres) > 20
    for x, y in centres:
        assert float(np.interp(x, xs, tops)) + 2.5 <= y <= 100.0 - 2.5
