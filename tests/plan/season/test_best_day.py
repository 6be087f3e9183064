"""The day worth looking at, and the days worth running through."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import asking
import numpy as np
import pytest

from bloomline.files.yardfile import load_yard
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.best_day import best_day, days_of_colour
from bloomline.plan.season.yard import season_report


@pytest.fixture(scope="module")
def report() -> SeasonReport:
    demo = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
    return season_report(asking.outlook(load_yard(demo).yard, today=asking.TODAY))


def test_the_best_day_has_most_in_flower(report: SeasonReport) -> None:
    day = best_day(report)
    assert day is not None
    at = (day - report.first_day).days
    assert report.expected_layers[at] == report.expected_layers.max()
    season = days_of_colour(report)
    assert season is not None
    assert season[0] <= day <= season[1]


def test_of_days_alike_the_middle_one(report: SeasonReport) -> None:
    expected = np.zeros_like(report.expected_layers)
    expected[100:111] = 2.0
    found = best_day(replace(report, expected_layers=expected))
    assert found == report.first_day + timedelta(days=105)


def test_where_nothing_flowers_there_is_none(report: SeasonReport) -> None:
    empty = replace(report, expected_layers=np.zeros(400), usual_season=None)
    assert best_day(empty) is None
    assert days_of_colour(empty) is None
