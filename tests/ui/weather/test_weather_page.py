"""The page of the season's weather: import, questions, what moved, and forgetting it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from PySide6.QtCore import QPointF

from bloomline.files.weather_import import ImportChoices, ImportQuestion
from bloomline.model.weather_edits import own_weather, set_weather
from bloomline.plan.forecast.report import Band
from bloomline.plan.season.drift import Drift, LayerDrift
from bloomline.ui.weather.drift_chart import DriftChart
from bloomline.ui.weather.page import WeatherPage
from bloomline.ui.weather.question import QuestionDialog


@pytest.fixture
def page(document, service, qtbot):
    page = WeatherPage(document, service)
    qtbot.addWidget(page)
    page.resize(1200, 700)
    page.show()
    yield page
    page.stop()
    page.stop()


@pytest.fixture
def log(tmp_path):
    def write(style="%Y-%m-%d", n_days=130):
        first = date(2026, 10, 1)
        rows = [f"{first + timedelta(days=i):{style}},8.0,15.5" for i in range(n_days)]
        path = tmp_path / "log.csv"
        path.write_text("date,min °C,max °C\n" + "\n".join(rows) + "\n")
        return path

    return write


def test_an_empty_page_says_what_to_do(page):
    assert page.empty.isVisible()
    assert "Import" in page.empty.button.text()
    assert [each.objectName() for each in page.actions()] == [
        "action_import_weather",
        "action_clear_weather",
    ]
    assert not page.actions()[1].isEnabled()


def test_imported_days_are_kept_and_move_the_dates(page, document, service, log, qtbot):
    page.import_file(log())
    qtbot.waitUntil(lambda: page.told is not None, timeout=20_000)
    assert document.yard.weather is not None
    assert "130 recorded day" in page.kept.text()
    assert page.notice.isVisible()
    assert "°C on the last day" in page.strayed.text()
    assert page.table.row_count() == len(list(document.yard.layers()))
    assert page.bar.value() == 100
    assert not page.bar.isVisible()
    qtbot.waitUntil(lambda: "130 recorded days" in service.report.weather_label, timeout=10_000)
    document.undo_stack.undo()
    assert document.yard.weather is None
    assert page.empty.isVisible()


def test_a_question_is_asked_and_its_answer_used(page, document, tmp_path, qtbot):
    path = tmp_path / "t.csv"
    path.write_text("date,min °C,max °C\n01/02/2027,1,5\n03/04/2027,2,6\n")
    page.import_file(path)
    qtbot.waitUntil(lambda: page.findChild(QuestionDialog) is not None, timeout=5_000)
    dialog = page.findChild(QuestionDialog)
    assert "01/02/2027" in dialog.sample.toPlainText()
    dialog.boxes[0].setCurrentIndex(1)
    dialog.accept()
    qtbot.waitUntil(lambda: document.yard.weather is not None, timeout=5_000)
    assert [month.month for month in document.yard.weather.months] == ["2027-01", "2027-03"]


def test_a_bad_file_is_told_and_changes_nothing(page, document, tmp_path, qtbot):
    path = tmp_path / "t.csv"
    path.write_text("date,min °C,max °C\n2027-02-01,1,75\n")
    page.import_file(path)
    qtbot.waitUntil(lambda: page.notice.isVisible(), timeout=5_000)
    assert "line 2" in page.notice.words.text()
    assert document.yard.weather is None


def test_a_row_chooses_the_layer_everywhere(page, document, log, qtbot):
    page.import_file(log())
    qtbot.waitUntil(lambda: page.told is not None, timeout=20_000)
    page.table.choose(3)
    assert document.layer_id == page.told.drift.layers[3].layer_id
    other = page.told.drift.layers[0].layer_id
    document.select(layer_id=other)
    assert page.table.row == 0


def test_long_work_can_be_stopped(page, document, qtbot):
    days = {date(2026, 9, 1) + timedelta(days=i): (5.0, 12.0) for i in range(280)}
    document.edit("Keep", lambda yard: set_weather(yard, own_weather(days, label="mine")))
    assert page.cancel.isVisible()
    page.cancel.click()
    qtbot.waitUntil(lambda: not page.cancel.isVisible(), timeout=10_000)
    assert "Stopped" in page.strayed.text()
    assert page.told is None


def test_forgetting_can_be_undone(page, document, log, qtbot):
    page.import_file(log(n_days=20))
    qtbot.waitUntil(lambda: page.told is not None, timeout=20_000)
    page.forget()
    assert document.yard.weather is None
    document.undo_stack.undo()
    assert document.yard.weather is not None
    qtbot.waitUntil(lambda: page.told is not None, timeout=20_000)


def test_columns_are_chosen_by_their_place(qtbot):
    question = ImportQuestion("columns", "?", ("day", "a", "a", ""))
    dialog = QuestionDialog(question, choices=ImportChoices(unit="f"), season_year=2027)
    qtbot.addWidget(dialog)
    assert dialog.choices == ImportChoices(columns=("1", "2", "3"), unit="f")
    dialog.boxes[2].setCurrentIndex(dialog.boxes[2].count() - 1)
    assert dialog.choices.columns == ("1", "2")


def test_a_typical_year_is_laid_on_the_season_shown(qtbot):
    dialog = QuestionDialog(
        ImportQuestion("season_year", "?", ()), choices=ImportChoices(), season_year=2027
    )
    qtbot.addWidget(dialog)
    assert dialog.choices == ImportChoices(season_year=2027)


def test_the_picture_holds_every_band(qtbot):
    band = Band(date(2027, 4, 1), date(2027, 4, 8), date(2027, 4, 15))
    layer = LayerDrift("a", "p", "Pot", "Tulipa", "#aa0000", (None, band))
    chart = DriftChart()
    qtbot.addWidget(chart)
    chart.resize(600, 300)
    chart.show_drift(None)
    chart.show_drift(Drift((), ()))
    chart.choose("a")
    chart.show_drift(Drift((date(2026, 10, 1), date(2026, 12, 1)), (layer,)))
    with qtbot.waitExposed(chart):
        chart.show()
    (known, until), (early, late) = chart.viewRange()
    assert (known, until) == (date(2026, 10, 1).toordinal(), date(2026, 12, 2).toordinal())
    assert early < band.p10.toordinal() < band.p90.toordinal() < late
    early_y, late_y = (
        chart.getViewBox().mapViewToScene(QPointF(known, day.toordinal())).y()
        for day in (band.p10, band.p90)
    )
    assert early_y < late_y  # later days lie lower
