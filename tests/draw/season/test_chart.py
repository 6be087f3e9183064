from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import date

import pytest
from PySide6.QtGui import QColor, QImage
from sample_report import large_report, layer, report_of, sample_report

from bloomline.draw.base.ink import Ruler
from bloomline.draw.base.petals import DARK, LIGHT
from bloomline.draw.season.chart import ChartOptions, plan_season
from bloomline.draw.season.chart_export import render_image
from bloomline.draw.season.frame import _figures
from bloomline.draw.season.page import LANE_LINE, LEAST_WIDTH
from bloomline.draw.season.wish_lane import WishSpan
from bloomline.errors import UnknownNameError, UsageError
from bloomline.plan.forecast.report import SeasonReport

GREEN = "#2E8B57"


def solid_report() -> SeasonReport:
    """One layer in a colour that occurs nowhere else in the chart."""
    one = layer(
        "a", "a", "Tulipa 'Trial'", "tulip", "green", GREEN, date(2027, 4, 2), date(2027, 4, 22)
    )
    return report_of([("Pot", "plastic", [one])])


def colours(image: QImage) -> set[int]:
    return {
        image.pixel(x, y) for x in range(0, image.width(), 7) for y in range(0, image.height(), 5)
    }


@pytest.mark.parametrize("dpi", [96, 192])
def test_bars_lie_at_the_pixel_of_their_dates(dpi: int) -> None:
    plan = plan_season(solid_report(), ChartOptions())
    image = render_image(plan, dpi=dpi)
    factor = dpi / 96
    row = plan.page.blocks[0].rows[0]
    # Between the outline and the marks, which stand in the middle of the bar.
    y = round((row.top + row.height / 2 - plan.page.sizes.bar * 0.36) * factor)
    solid = [x for x in range(image.width()) if image.pixelColor(x, y) == QColor(GREEN)]
    left = plan.page.scale.x_of(date(2027, 4, 2)) * factor
    right = plan.page.scale.end_of(date(2027, 4, 22)) * factor
    assert min(solid) == pytest.approx(left, abs=5 * factor)
    assert max(solid) == pytest.approx(right, abs=5 * factor)
    # Outside the 80 % band there is only ground (or a thin line of a month or week).
    before = round((plan.page.scale.x_of(date(2027, 3, 20))) * factor) + 2
    assert image.pixelColor(before, y) == QColor(LIGHT.ground)


def test_soft_ends_grow_fainter_outward() -> None:
    plan = plan_season(solid_report(), ChartOptions())
    image = render_image(plan)
    row = plan.page.blocks[0].rows[0]
    y = round(row.top + row.height / 2)
    scale = plan.page.scale
    ground = QColor(LIGHT.ground)
    distances = []
    for day in (date(2027, 3, 25), date(2027, 3, 28), date(2027, 3, 31)):
        colour = image.pixelColor(round(scale.middle_of(day)), y)
        distances.append(abs(colour.red() - ground.red()) + abs(colour.blue() - ground.blue()))
    assert 0 < distances[0] < distances[1] < distances[2]


def test_figures_in_the_heading_are_those_of_the_season() -> None:
    report = sample_report()
    ruler = Ruler("sans-serif")
    told = [words[:2] for words in _figures(ruler, report)]
    single = [words[1] for words in _figures(ruler, replace(report, weather_year=3))]
    bare = report.bare_days
    assert told[2] == (
        f"{round(bare.expected)} bare days",
        f"{round(bare.p10)}–{round(bare.p90)} in 8 years of 10",
    )
    assert told[0][0] == f"{round(report.weeks_of_colour.expected)} weeks of colour"
    assert single == ["this year alone"] * 3


def test_bare_stretch_is_hatched_and_says_its_days() -> None:
    report = sample_report()
    plan = plan_season(report, ChartOptions())
    assert len(report.bare) == 2
    assert [label.words for label in plan.bare] == [
        f"bare · {one.days} days" for one in report.bare
    ]
    image = render_image(plan)
    label = plan.bare[0]
    y = round(plan.page.rows_top - 2)

    def rusty(left: float, right: float) -> int:
        """Count runs of hatching, which is much redder than the washed ground."""
        line = [image.pixelColor(x, y) for x in range(round(left), round(right))]
        is_rusty = [colour.red() - colour.blue() > 45 for colour in line]
        return sum(now and not before for before, now in itertools.pairwise(is_rusty))

    assert rusty(label.left, label.right) >= (label.right - label.left) / 9 - 2
    assert rusty(label.right + 3, plan.bare[1].left - 3) == 0


def test_wishes_have_lanes_of_their_own_where_the_whole_yard_is_shown() -> None:
    report = sample_report()
    wishes = (
        WishSpan("a", date(2027, 3, 1), date(2027, 4, 20), "2 pots in colour: missed", False),
        WishSpan("b", date(2027, 4, 1), date(2027, 4, 30), "1 pot with scent: kept", True),
    )
    plain, wished = (plan_season(report, ChartOptions(wishes=some)) for some in ((), wishes))
    assert wished.page.rows_top - plain.page.rows_top == 2 * LANE_LINE
    assert wished.page.height - plain.page.height == 2 * LANE_LINE
    image, page = render_image(wished), wished.page
    for lane, (span, colour) in enumerate(zip(wishes, (LIGHT.bare_text, LIGHT.ink), strict=True)):
        first, last = page.scale.span(span.first, span.last)
        top = round(page.wish_top + lane * LANE_LINE)
        found = [
            x
            for x in range(round(first) - 3, round(last) + 3)
            if any(
                image.pixelColor(x, y) == QColor(colour) for y in range(top, top + round(LANE_LINE))
            )
        ]
        assert len(found) > 40  # its ends, its line and its words
    few = plan_season(report, ChartOptions(wishes=wishes, pot_ids=("d", "b")))
    assert few.wishes == ()


def test_crowded_stretch_is_bracketed() -> None:
    report = sample_report()
    plan = plan_season(report, ChartOptions())
    (label,) = plan.crowded
    assert label.words == f"crowded · {report.crowded[0].days} days"
    image = render_image(plan)
    y = round(plan.page.strip_top - 7)
    found = [x for x in range(image.width()) if image.pixelColor(x, y) == QColor(LIGHT.crowd)]
    assert min(found) == pytest.approx(label.left, abs=2)
    assert max(found) == pytest.approx(label.right, abs=2)


def test_today_is_drawn_only_when_asked() -> None:
    report = sample_report()
    for today, expected in ((None, False), (date(2027, 4, 3), True), (date(2025, 1, 1), False)):
        plan = plan_season(report, ChartOptions(today=today))
        image = render_image(plan)
        found = {
            x
            for x in range(image.width())
            for y in (round(plan.page.axis_top + 40), round(plan.page.lane_top + 4))
            if image.pixelColor(x, y) == QColor(LIGHT.today)
        }
        plate = [image.pixelColor(x, round(plan.page.axis_top - 14)) for x in range(image.width())]
        assert (QColor(LIGHT.today) in plate) is bool(found) is expected
        if expected and today is not None:
            x = plan.page.scale.middle_of(today)
            assert all(one == pytest.approx(x, abs=2) for one in found)


def test_dark_theme_has_dark_ground() -> None:
    image = render_image(plan_season(sample_report(), ChartOptions(theme="dark")))
    assert image.pixelColor(2, 2) == QColor(DARK.ground)
    assert len(colours(image)) > 40


def test_pots_stand_in_order_of_first_flower_or_of_the_yard() -> None:
    report = sample_report()
    sorted_by_flower = plan_season(report, ChartOptions(by_first_flower=True))
    names = [block.pot.pot_id for block in sorted_by_flower.page.blocks]
    assert names == ["f", "a", "b", "c", "d", "e", "g"]
    plan = plan_season(report, ChartOptions())
    assert [block.pot.pot_id for block in plan.page.blocks] == ["a", "b", "c", "d", "e", "f", "g"]
    starts = [row.plant.start.p50 for row in plan.page.blocks[2].rows if row.plant.start]
    assert starts == sorted(starts)


def test_chosen_pots_only() -> None:
    plan = plan_season(sample_report(), ChartOptions(pot_ids=("d", "b")))
    assert [block.pot.pot_id for block in plan.page.blocks] == ["b", "d"]
    # What is bare or crowded is known of the yard as a whole only.
    assert plan.bare == plan.crowded == ()
    with pytest.raises(UnknownNameError, match="zz"):
        plan_season(sample_report(), ChartOptions(pot_ids=("zz",)))
    with pytest.raises(UsageError, match="no pot"):
        plan_season(sample_report(), ChartOptions(pot_ids=()))


def test_layer_without_flower_says_why_in_full() -> None:
    report = sample_report()
    reason = next(one.reason for one in report.layers if one.start is None)
    for width in (700, 1600):
        plan = plan_season(report, ChartOptions(width=width))
        (row,) = [row for block in plan.page.blocks for row in block.rows if row.reason]
        assert " ".join(row.reason) == reason


@pytest.mark.parametrize("n_pots", [1, 30])
def test_rows_never_overlap(n_pots: int) -> None:
    page = plan_season(large_report(n_pots), ChartOptions()).page
    edges = []
    for block in page.blocks:
        edges.append((block.top, block.top + page.sizes.pot))
        edges += [(row.top, row.top + row.height) for row in block.rows]
    for (_, bottom), (top, _) in itertools.pairwise(edges):
        assert top >= bottom - 1e-9
    assert edges[-1][1] <= page.legend_top < page.footer_top < page.height


def test_given_height_is_kept() -> None:
    report = sample_report()
    for height in (800.0, 1105.0, 1800.0):
        page = plan_season(report, ChartOptions(height=height)).page
        assert page.height == height
        assert page.rows_bottom < page.legend_top < page.footer_top < height


def test_too_small_pages_are_refused_with_the_least_size() -> None:
    report = sample_report()
    with pytest.raises(UsageError, match="at least") as caught:
        plan_season(report, ChartOptions(height=300))
    least = float(str(caught.value).split("at least ")[1].split(" px")[0])
    plan_season(report, ChartOptions(height=least))
    with pytest.raises(UsageError, match=f"{LEAST_WIDTH:.0f}"):
        plan_season(report, ChartOptions(width=100))


def test_nothing_in_flower_still_gives_a_chart() -> None:
    barren = layer(
        "a", "a", "Tulipa 'Purissima'", "tulip", "white", "#FBF9EE", None, None, reason="late"
    )
    plan = plan_season(report_of([("Pot", "plastic", [barren])]), ChartOptions())
    assert not plan.items
    assert len(colours(render_image(plan))) > 3


def test_many_short_stretches_are_named_briefly() -> None:
    report = sample_report()
    few = report.bare[0]
    some = tuple(
        replace(few, first=date(2027, month, day), last=date(2027, month, day + 2))
        for month in (1, 2, 3, 4, 5)
        for day in (3, 12, 21)
    )
    plan = plan_season(replace(report, bare=some), ChartOptions(width=800))
    assert {label.words for label in plan.bare} == {"3 d"}


def test_legend_names_only_the_colours_shown() -> None:
    plan = plan_season(solid_report(), ChartOptions())
    words = [item.words for item in plan.items]
    assert "green" in words
    assert "yellow" not in words
    assert not any("bare" in one for one in words)
