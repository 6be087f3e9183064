"""The year at the place: its figures are those of `bloomline climate`, in plots and table."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtTest import QTest

from bloomline.model.edits import change_settings
from bloomline.model.weather_edits import own_weather, set_weather
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.forecast.climate_report import climate_report
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.ui.plots import DayPlot
from bloomline.ui.weather.page import WeatherPage


@pytest.fixture
def page(document, service, qtbot):
    page = WeatherPage(document, service)
    qtbot.addWidget(page)
    page.resize(1200, 800)
    page.show()
    qtbot.waitUntil(lambda: page.climate.table.row_count() == 12, timeout=20_000)
    yield page
    page.stop()


def cells(page, row):
    table = page.climate.table
    return [table.line(row).cells[column] for column in range(table.column_count())]


def test_without_own_weather_the_page_shows_the_years_of_the_place(page, document):
    assert page.empty.isVisible() and page.climate.isVisible()
    report = climate_report(
        garden_of(document.yard.place), forecaster=Forecaster(), today=date(2026, 11, 1)
    )
    june, january = report.months[5], report.months[0]
    assert cells(page, 0)[0] == "June"  # the season's first month
    assert cells(page, 0)[1].startswith(f"{june.tmax_c:.1f}")
    shown = cells(page, 7)
    assert shown[0] == "January"
    assert shown[3] == f"{january.lowest_c:.1f} °C".replace("-", "−")
    assert shown[4:] == [f"{january.frost_days:.1f}", f"{january.cold_weeks:.1f}"]
    assert f"{report.frost_days:.0f} days of frost" in page.climate.words.text()
    # Every figure of the table lies in a plot, with its words.
    assert len(page.climate.warmth.marks) == 36 and len(page.climate.cold.marks) == 24
    tips = [page.climate.cold.tip_of(what) for *_, what in page.climate.cold.marks]
    assert f"January: frost days {january.frost_days:.1f} days, weeks" in tips
    _, (place, what) = max(enumerate(page.climate.warmth.places), key=lambda each: each[1][0].y())
    assert page.climate.warmth.mark_at(QPointF(place)) == what


def test_keys_go_through_the_table(page):
    table = page.climate.table
    table.setFocus()
    assert table.row == 0 and table.accessibleName()
    QTest.keyClick(table, Qt.Key.Key_Down)
    assert table.row == 1
    assert page.climate.warmth.focusPolicy() is Qt.FocusPolicy.NoFocus


def test_own_weather_stands_against_the_place(page, document, qtbot):
    first = date(2026, 11, 1)
    days = {first + timedelta(days=i): (-1.0 - i % 2, 6.0) for i in range(36)}
    document.edit("Keep", lambda yard: set_weather(yard, own_weather(days, label="mine")))
    qtbot.waitUntil(lambda: page.climate.table.column_count() == 11, timeout=20_000)
    assert page.tabs.isTabVisible(0)
    november = cells(page, 5)
    assert november[0] == "November"
    assert november[6:] == ["6.0 °C", "−1.5 °C", "−2.0 °C", "30", "30"]
    assert cells(page, 6)[6:] == [""] * 5  # five days of December say too little
    assert "so far: 30 recorded days, 30 with frost" in page.climate.words.text()
    assert sum(what[0] == "own low" for *_, what in page.climate.warmth.marks) == 1


def test_degrees_are_those_of_the_yard(page, document, qtbot):
    document.edit("Units", lambda yard: change_settings(yard, units="imperial"))
    qtbot.waitUntil(lambda: "°F" in cells(page, 0)[1], timeout=20_000)
    report = climate_report(
        garden_of(document.yard.place), forecaster=Forecaster(), today=date(2026, 11, 1)
    )
    # Source: definition of the degree Fahrenheit, NIST SP 811, B.8.
    assert cells(page, 0)[1] == f"{report.months[5].tmax_c * 1.8 + 32:.1f} °F"


def test_the_names_of_months_stand_whole_under_the_plots(page, qtbot):
    page.grab()  # what is drawn once would make the axis lower
    plots = [plot for plot in page.findChildren(DayPlot) if plot.isVisible()]
    assert plots
    for plot in plots:
        axis = plot.getAxis("bottom")
        assert axis.height() >= QFontMetricsF(plot.font()).height()
