"""Companions in the printed chart: rows, dotted bars with hard ends, words, legend."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor
from sample_report import sample_report

from bloomline.draw.base.petals import LIGHT, petal
from bloomline.draw.season.chart import ChartOptions, ChartPlan, plan_season
from bloomline.draw.season.chart_export import render_image
from bloomline.draw.season.page import Row
from bloomline.draw.season.rows import fine_dots
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.forecast.report import CompanionForecast, SeasonReport


def companion(number: int, first: date | None, last: date | None, **fields) -> CompanionForecast:
    values = {
        "planting_id": f"companion-{number}",
        "pot_id": "pot-1",
        "companion_id": "winter-pansy",
        "name": "Viola × wittrockiana (winter pansy)",
        "colour": "mixed",
        "colour_hex": "#6B3FA0",
        "height_cm": 18.0,
        "spread_cm": 22.0,
        "scent": 1,
        "is_leaf": False,
        "count": 5,
        "planted": date(2026, 10, 20),
        "first": first,
        "last": last,
    }
    return CompanionForecast(**{**values, **fields})


def with_companions(*companions: CompanionForecast) -> SeasonReport:
    report = sample_report()
    pots = (replace(report.pots[0], companions=companions), *report.pots[1:])
    return replace(report, pots=pots)


PANSY = companion(1, date(2026, 10, 20), date(2027, 5, 31))
IVY = companion(2, date(2026, 10, 20), date(2027, 12, 1), is_leaf=True, colour_hex="#4E6B43")


def tops_of(plan: ChartPlan) -> list[Row]:
    """The rows of companions."""
    rows = [row for block in plan.page.blocks for row in block.rows]
    return [row for row in rows if isinstance(row.plant, CompanionForecast)]


def words(plan: ChartPlan) -> list[str]:
    return [item.words for item in plan.items]


def test_rows_lie_under_the_layers_and_the_page_grows() -> None:
    without = plan_season(sample_report(), ChartOptions())
    plan = plan_season(with_companions(PANSY, IVY), ChartOptions())
    rows = tops_of(plan)
    assert [row.plant for row in rows] == [PANSY, IVY]
    block = next(b for b in plan.page.blocks if rows[0] in b.rows)
    assert rows == list(block.rows[-2:])
    assert plan.page.height > without.page.height
    assert plan.page.scale.first_day <= date(2026, 10, 20)  # a pansy's season is shown whole
    assert plan.page.scale.last_day < date(2027, 12, 1)  # that of an evergreen is cut off


def test_the_legend_names_what_is_there() -> None:
    assert not any("on top" in each for each in words(plan_season(sample_report(), ChartOptions())))
    both = words(plan_season(with_companions(PANSY, IVY), ChartOptions()))
    assert "plants on top of a pot, season by date" in both and "leaf plants on top" in both
    assert "leaf plants on top" not in words(plan_season(with_companions(PANSY), ChartOptions()))


@pytest.mark.parametrize("dpi", [96, 192])
def test_the_bar_ends_hard_at_its_dates(dpi: int) -> None:
    plan = plan_season(with_companions(PANSY), ChartOptions())
    image = render_image(plan, dpi=dpi)
    factor = dpi / 96
    y = round((tops_of(plan)[0].top + plan.page.sizes.row / 2) * factor)
    outline = QColor(petal("#6B3FA0", theme=LIGHT).outline)
    right = plan.page.scale.end_of(date(2027, 5, 31)) * factor
    left = plan.page.scale.x_of(date(2026, 10, 20)) * factor
    solid = [x for x in range(image.width()) if image.pixelColor(x, y) == outline]
    assert min(solid) == pytest.approx(left, abs=2 * factor)
    assert max(solid) == pytest.approx(right, abs=2.5 * factor)


def conflict(*new_ids: str, due: date) -> Conflict:
    return Conflict(
        pot_id="pot-1",
        pot_name="Pot",
        kind="leaf",
        new_ids=new_ids,
        blocking_ids=("layer-1",),
        due=due,
        free=None,
        words="Pansies are due while tulips are in leaf.",
        choices=(),
    )


def test_a_planting_whose_pot_is_not_free_is_marked_on_its_day() -> None:
    due = date(2027, 3, 10)
    report = with_companions(replace(PANSY, planted=due, first=due))
    plain = plan_season(report, ChartOptions())
    marked = plan_season(report, ChartOptions(conflicts=(conflict("companion-1", due=due),)))
    sign = "to be planted while the pot isn’t free"
    assert sign in words(marked) and sign not in words(plain)
    elsewhere = ChartOptions(conflicts=(conflict("companion-9", due=due),))
    assert sign not in words(plan_season(report, elsewhere))
    y = round(tops_of(marked)[0].top + marked.page.sizes.row / 2)
    right = round(marked.page.scale.x_of(due))
    box = [(x, y + dy) for x in range(right - 12, right + 12) for dy in range(-8, 9)]
    before, after = render_image(plain, dpi=96), render_image(marked, dpi=96)
    changed = sum(before.pixel(*at) != after.pixel(*at) for at in box)
    assert changed > 20


def test_one_out_of_season_says_so_and_paints() -> None:
    plan = plan_season(with_companions(companion(1, None, None)), ChartOptions())
    render_image(plan, dpi=96)


def test_fine_dots_stand_still_while_a_bar_is_cut() -> None:
    whole = fine_dots(QRectF(0.0, 0.0, 200.0, 10.0), origin=0.0)
    cut = fine_dots(QRectF(50.0, 0.0, 60.0, 10.0), origin=0.0)
    assert {(p.x(), p.y()) for p in cut} < {(p.x(), p.y()) for p in whole}
    assert all(0.0 < p.y() < 10.0 for p in whole) and len(whole) > 60


def test_words_before_a_bar_keep_off_its_signs() -> None:
    """A sign beside the bar is whole, with words before it: the bar runs to the chart's end."""
    due = date(2027, 5, 2)
    flower = replace(PANSY, planted=due, first=date(2027, 5, 12), last=date(2027, 9, 30))
    marks = (conflict("companion-1", due=due),)
    options = ChartOptions(conflicts=marks, show_planted=True)
    named = plan_season(with_companions(flower), options)
    silent = plan_season(with_companions(flower), replace(options, show_dates=False))
    row = tops_of(named)[0]
    y, x = round(row.top + named.page.sizes.row / 2), round(named.page.scale.middle_of(due))
    box = [(x + dx, y + dy) for dx in range(-28, 8) for dy in range(-9, 10)]
    with_words, without = render_image(named), render_image(silent)
    ground = QColor(LIGHT.ground).rgb()
    assert sum(without.pixel(*at) != ground for at in box) > 60  # the signs are there
    assert sum(with_words.pixel(*at) != without.pixel(*at) for at in box) == 0
    before = [(x - 34 - dx, y + dy) for dx in range(100) for dy in range(-6, 7)]
    assert sum(with_words.pixel(*at) != without.pixel(*at) for at in before) > 100
