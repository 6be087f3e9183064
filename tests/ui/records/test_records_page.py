"""The page of records, driven as a gardener does: filter, sort, correct, confirm, import, undo."""

from __future__ import annotations

import csv
import time
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QDate, QPoint, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QDialogButtonBox, QListWidget, QPushButton

from bloomline.model.edits import add_record
from bloomline.model.record_edits import remove_records
from bloomline.model.yard import Record
from bloomline.plan.records.stages import PRIOR_SD_DAYS
from bloomline.plan.season.lesson import lesson, record_rows
from bloomline.plan.season.solve import learned_of
from bloomline.plan.season.yard import season_report
from bloomline.ui.document import Document
from bloomline.ui.records import model as columns
from bloomline.ui.records.entry import EntryDialog
from bloomline.ui.records.import_report import ImportReport
from bloomline.ui.records.model import RecordsModel
from bloomline.ui.records.page import RecordsPage
from bloomline.words import short_day_words as day_words

TODAY = date(2027, 6, 20)
LEFT = Qt.MouseButton.LeftButton


def column(page, at: int) -> list[str]:
    model = page.model
    return [model.index(row, at).data() for row in range(model.rowCount())]


def button(page, name: str) -> QPushButton:
    found = page.findChild(QPushButton, name)
    assert found is not None
    return found


@pytest.fixture
def odd(document, page, expected, settle) -> Record:
    """A record that is a month off, noted by another way than the dialog."""
    layer_id = document.yard.records[0].layer_id
    record = Record(
        id="record-odd",
        day=expected(layer_id, "full", 2027) + timedelta(days=40),
        layer_id=layer_id,
        seen="full",
    )
    document.edit("Note", lambda yard: add_record(yard, record))
    settle(page)
    return record


def test_an_empty_page_teaches_and_its_button_opens_the_entry(
    document, service, bare_yard, qtbot
) -> None:
    document.replace(bare_yard, path=None, seen=None)
    page = RecordsPage(document, service)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: page.lesson is not None and not page.is_busy, timeout=15_000)
    assert page.empty.isVisible() and "Nothing was noted yet" in page.empty.words.text()
    assert not button(page, "button_records_export").isEnabled()
    QTest.mouseClick(page.empty.button, LEFT)
    assert isinstance(page.desk.dialog, EntryDialog)
    page.desk.dialog.reject()
    page.stop()


def test_a_yard_without_layers_has_nothing_to_note(empty_document, empty_service, qtbot) -> None:
    page = RecordsPage(empty_document, empty_service)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: page.lesson is not None and not page.is_busy, timeout=15_000)
    assert not page.empty.button.isEnabled()
    assert not page.desk.note_action.isEnabled()
    page.stop()


def test_records_stand_newest_first_beside_their_forecast(page, document, expected) -> None:
    days = [row.record.day for row in page.model.shown]
    assert days == sorted(days, reverse=True)
    assert len(days) == len(document.yard.records) == 30
    assert set(column(page, columns.DAYS)) <= {"+5", "+6", "+4"}
    row = next(iter(page.model.shown))
    middle = expected(row.record.layer_id, row.record.seen, row.season_year)
    assert column(page, columns.FORECAST)[0] == day_words(middle)


def test_filters_by_season_and_cultivar(page) -> None:
    season, cultivar = page.filters.season, page.filters.cultivar
    assert [season.itemText(i) for i in range(1, season.count())] == ["2026", "2025", "2024"]
    season.setCurrentIndex(season.findText("2025"))
    assert set(column(page, columns.SEASON)) == {"2025"}
    name = column(page, columns.CULTIVAR)[0]
    cultivar.setCurrentIndex(cultivar.findText(name))
    assert set(column(page, columns.CULTIVAR)) == {name}
    assert page.model.rowCount() == 2
    assert page.filters.summary.text().startswith("2 record")


def test_sorting_by_a_click_on_the_head(page) -> None:
    header = page.table.horizontalHeader()
    at = QPoint(header.sectionViewportPosition(columns.CULTIVAR) + 20, header.height() // 2)
    QTest.mouseClick(header.viewport(), LEFT, pos=at)
    names = column(page, columns.CULTIVAR)
    assert names == sorted(names, key=str.casefold)
    QTest.mouseClick(header.viewport(), LEFT, pos=at)
    names = column(page, columns.CULTIVAR)
    assert names == sorted(names, key=str.casefold, reverse=True)


def test_every_column_sorts_both_ways(page) -> None:
    tester = QAbstractItemModelTester(page.model)
    whole = {row.record.id for row in page.model.shown}
    for at in range(page.model.columnCount()):
        down, up = Qt.SortOrder.DescendingOrder, Qt.SortOrder.AscendingOrder
        page.table.sortByColumn(at, down)
        keys = [page.model._key(at)(row) for row in page.model.shown]
        assert keys == sorted(keys, reverse=True)
        page.table.sortByColumn(at, up)
        keys = [page.model._key(at)(row) for row in page.model.shown]
        assert keys == sorted(keys)
        assert {row.record.id for row in page.model.shown} == whole
    del tester


def test_delete_takes_rows_away_and_undo_brings_them_back(page, document, settle) -> None:
    before = document.yard
    page.table.setFocus()
    page.table.selectRow(2)
    QTest.keyClick(page.table, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    gone = page.table.chosen_ids()
    after = [row.record.id for row in page.model.shown][4]
    assert len(gone) == 2
    QTest.keyClick(page.table, Qt.Key.Key_Delete)
    settle(page)
    assert len(document.yard.records) == 28
    assert not set(gone) & {record.id for record in document.yard.records}
    assert page.table.chosen_ids() == [after]
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    settle(page)
    assert document.yard == before and page.model.rowCount() == 30


@pytest.mark.parametrize("how", ["enter", "double click"])
def test_a_row_opens_for_correction(page, document, how: str, settle) -> None:
    page.table.selectRow(3)
    record = document.yard.record(page.table.chosen_ids()[0])
    if how == "enter":
        QTest.keyClick(page.table, Qt.Key.Key_Return)
    else:
        rect = page.table.visualRect(page.model.index(3, columns.POT))
        QTest.mouseClick(page.table.viewport(), LEFT, pos=rect.center())
        QTest.mouseDClick(page.table.viewport(), LEFT, pos=rect.center())
    dialog = page.desk.dialog
    assert isinstance(dialog, EntryDialog)
    assert dialog.entered().id == record.id
    dialog.reject()


def test_choosing_a_row_selects_its_layer_and_its_history(page, document) -> None:
    page.table.selectRow(0)
    row = next(iter(page.model.shown))
    assert document.layer_id == row.record.layer_id
    assert tuple(page.history.which.currentData()) == ("cultivar", row.cultivar_id)
    lines = [line.season_year for line in page.history.plot._lines]
    assert lines == [2026, 2025, 2024]


def test_an_odd_entry_is_questioned_confirmed_and_undone(page, document, odd, settle) -> None:
    assert [page.learned.questions.count(), page.learned.question_card.isVisible()] == [1, True]
    assert "is another month meant?" in page.learned.questions.item(0).text() or (
        "is the day right?" in page.learned.questions.item(0).text()
    )
    page.filters.odd.setChecked(True)
    assert [row.record.id for row in page.model.shown] == [odd.id]
    assert column(page, columns.QUESTION)[0].startswith("? ")
    without = page.lesson.learned.n_records
    QTest.mouseClick(page.learned.right, LEFT)
    settle(page)
    assert document.yard.record(odd.id).confirmed is True
    assert page.lesson.questions == {} and page.lesson.learned.n_records == without + 1
    assert not page.learned.question_card.isVisible()
    page.filters.odd.setChecked(False)
    at = page.model.find(odd.id)
    assert page.model.index(at.row(), columns.QUESTION).data() == "confirmed"
    document.undo_stack.undo()
    settle(page)
    assert document.yard.record(odd.id).confirmed is None
    assert set(page.lesson.questions) == {odd.id}


def test_a_question_opens_its_record(page, odd) -> None:
    QTest.mouseClick(page.learned.correct, LEFT)
    assert page.desk.dialog.entered().id == odd.id
    page.desk.dialog.reject()


def test_the_button_confirms_only_what_is_questioned(page, document, odd, settle) -> None:
    confirm = button(page, "button_records_confirm")
    page.table.choose([record.id for record in document.yard.records if record.id != odd.id][:1])
    assert not confirm.isEnabled()
    page.table.selectAll()
    assert confirm.isEnabled()
    QTest.mouseClick(confirm, LEFT)
    settle(page)
    assert [r.id for r in document.yard.records if r.confirmed] == [odd.id]


def test_what_was_learned_is_what_plan_says(page, document) -> None:
    learned = learned_of(document.outlook)
    assert 0.5 < learned.offset_days < 5.0  # five days late, shrunk towards none
    table = page.learned.offsets
    shown = [[table.line(row).cells[c] for c in range(4)] for row in range(2)]
    assert shown[0][1:3] == ["0.0", f"± {PRIOR_SD_DAYS:.1f}"]
    assert shown[1][1:] == [
        f"+{learned.offset_days:.1f}",
        f"± {learned.sd_days:.1f}",
        str(learned.n_records),
    ]
    assert f"{learned.offset_days:.1f} days later" in page.learned.words.text()


def test_first_flowers_stand_without_and_with_the_records(page, document) -> None:
    reports = [season_report(document.outlook.with_(use_records=use)) for use in (False, True)]
    table = page.learned.firsts
    rows = zip(reports[0].layers, reports[1].layers, strict=True)
    wanted = [
        (one.name, day_words(one.start.p50), day_words(other.start.p50))
        for one, other in rows
        if one.start is not None and other.start is not None
    ]
    shown = [tuple(table.line(row).cells[c] for c in range(3)) for row in range(table.row_count())]
    assert shown == wanted
    assert any(before != after for _, before, after in shown)


def test_the_check_box_and_the_document_follow_each_other(page, document, service, qtbot) -> None:
    box = page.learned.use
    assert box.isChecked() and document.use_records
    with qtbot.waitSignal(service.report_ready, timeout=15_000) as told:
        box.setFocus()
        QTest.keyClick(box, Qt.Key.Key_Space)
    assert not document.use_records and told.args[0].learned_from == 0
    with qtbot.waitSignal(service.report_ready, timeout=15_000) as told:
        document.look_with_records(True)
    assert box.isChecked() and told.args[0].learned_from == 30


def test_forecast_against_fact_counts_and_plots_every_record(page) -> None:
    counted = page.lesson.learned.counted
    page.tabs.setCurrentIndex(2)
    page.facts.plot.repaint()
    inside = sum(fact.p10 <= fact.record.day <= fact.p90 for fact in counted)
    assert page.facts.coverage.text().startswith(f"{inside} of {len(counted)} inside")
    table = page.facts.table
    first = [table.line(0).cells[c] for c in range(5)]
    mean = float(np.mean([fact.residual_days for fact in counted]))
    assert first == ["All", "30", f"+{mean:.1f}", f"{mean:.1f}", f"{inside} of 30"]
    names = [table.line(row).cells[0] for row in range(table.row_count())]
    assert names[1:4] == ["2026", "2025", "2024"]
    places = page.facts.plot.places
    assert len(places) == len(counted)
    order = sorted(places, key=lambda each: each[1].residual_days)
    ys = [place.y() for place, _ in order]
    assert ys == sorted(ys, reverse=True)  # later is higher


def test_a_mark_leads_to_its_record(page, qtbot) -> None:
    page.tabs.setCurrentIndex(2)
    page.facts.plot.repaint()
    place, fact = page.facts.plot.places[0]
    page.filters.season.setCurrentIndex(page.filters.season.findText("2025"))
    QTest.mouseClick(page.facts.plot.viewport(), LEFT, pos=place.toPoint())
    chosen = page.table.chosen_ids()
    near = page.facts.plot.mark_at(place)
    assert page.tabs.currentIndex() == 0 and chosen == [near.record.id]
    assert fact.record.id in {row.record.id for row in page.model.shown}


def test_the_page_rests_while_it_is_hidden(page, document, settle, qtbot) -> None:
    page.hide()
    shown = page.lesson
    document.edit("Delete", lambda yard: remove_records(yard, [yard.records[0].id]))
    qtbot.wait(50)
    assert not page.is_busy and page.lesson is shown
    page.show()
    settle(page)
    assert page.model.rowCount() == 29


# Tables in and out


def table_of(path: Path, *rows: str) -> Path:
    path.write_text("\n".join(("day,layer_id,pot,cultivar,seen,note", *rows)) + "\n")
    return path


def test_good_rows_become_one_step_and_bad_ones_are_told_with_their_lines(
    page, document, tmp_path, settle, qtbot
) -> None:
    before = document.yard
    had = before.records[0]
    layer_id = had.layer_id
    path = table_of(
        tmp_path / "seen.csv",
        f"2027-04-02,{layer_id},,,first-flower,first",
        f"31 April,{layer_id},,,over,",
        "2027-04-20,layer-none,,,over,",
        f"2027-04-20,{layer_id},,,blooming,",
        f"2027-04-22,{layer_id},,,over,last",
        f"{had.day},{layer_id},,,{had.seen},",
    )
    page.files.take_in(path)
    qtbot.waitUntil(lambda: page.findChild(ImportReport) is not None, timeout=15_000)
    report = page.findChild(ImportReport)
    rows = report.findChild(QListWidget, "import_rows")
    told = [rows.item(i).text() for i in range(rows.count())]
    assert [words.split(":")[0] for words in told] == ["Line 3", "Line 4", "Line 5", told[3]]
    assert "31 April" in told[0] and "layer-none" in told[1] and "blooming" in told[2]
    assert told[3] == "1 row is there already and left out (line 7)"
    new = [each for each in document.yard.records if each not in before.records]
    assert [(r.day, r.seen, r.note) for r in new] == [
        (date(2027, 4, 2), "first-flower", "first"),
        (date(2027, 4, 22), "over", "last"),
    ]
    assert len({record.id for record in document.yard.records}) == 32
    assert document.undo_stack.count() == 1
    close = report.findChild(QDialogButtonBox).button(QDialogButtonBox.StandardButton.Close)
    QTest.mouseClick(close, LEFT)
    document.undo_stack.undo()
    assert document.yard == before
    settle(page)


def test_a_table_that_is_none_is_refused_and_nothing_changes(
    page, document, tmp_path, qtbot
) -> None:
    before = document.yard
    path = tmp_path / "bad.csv"
    path.write_text("a,b\n1,2\n")
    page.files.take_in(path)
    qtbot.waitUntil(page.notice.isVisible, timeout=15_000)
    assert "day" in page.notice.words.text() and document.yard is before
    page.files.take_in(tmp_path / "none.csv")
    qtbot.waitUntil(lambda: "none.csv" in page.notice.words.text(), timeout=15_000)


def test_all_records_go_out_and_come_back(page, document, bare_yard, tmp_path, settle, qtbot):
    path = tmp_path / "out.csv"
    with qtbot.waitSignal(page.message, timeout=15_000) as told:
        page.files.write(path)
    assert "30" in told.args[0]
    with path.open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["day"] for row in rows] == [str(r.day) for r in document.yard.records]
    had = document.yard.records
    document.replace(bare_yard, path=None, seen=None)
    settle(page)
    page.files.take_in(path)
    qtbot.waitUntil(lambda: len(document.yard.records) == 30, timeout=15_000)
    again = {(r.day, r.layer_id, r.seen) for r in document.yard.records}
    assert again == {(r.day, r.layer_id, r.seen) for r in had}
    settle(page)


# Many


def test_fifty_thousand_records_are_listed_sorted_and_filtered(
    document, spring_layers, service, qtbot, record_property
) -> None:
    begin = date(1990, 1, 1)
    records = tuple(
        Record(
            id=f"record-{i + 1}",
            day=begin + timedelta(days=i // 4),
            layer_id=spring_layers[i % len(spring_layers)],
            seen=("nose", "first-flower", "full", "over")[i % 4],
        )
        for i in range(50_000)
    )
    yard = document.yard.model_copy(update={"records": records})
    took: dict[str, float] = {}

    def timed(name: str, work) -> object:
        start = time.perf_counter()
        answer = work()
        took[name] = round(time.perf_counter() - start, 3)
        return answer

    outlook = document.outlook.with_(yard=yard, today=date(2060, 1, 1))
    listed = timed("rows, beside", lambda: record_rows(outlook))
    model = RecordsModel()
    timed("show", lambda: model.show_rows(listed.rows))
    assert model.rowCount() == 50_000
    assert model.index(0, columns.DAY).data() == day_words(records[-1].day, year=True)
    timed("sort", lambda: model.sort(columns.CULTIVAR))
    timed("filter", lambda: model.filter(season=2010, cultivar_id=None))
    assert 0 < model.rowCount() < 2000
    timed("find", lambda: model.find(records[40_000].id))
    taught = timed("lesson, beside", lambda: lesson(outlook))
    assert len(taught.facts) == 5000 and taught.learned.n_older == 49_400
    record_property("took_s", str(took))
    print(took)


def test_a_page_of_another_yard_keeps_nothing_of_the_old(page, document, bare_yard, settle) -> None:
    page.table.selectRow(0)
    document.replace(bare_yard, path=None, seen=None)
    settle(page)
    assert page.model.rowCount() == 0 and page.empty.isVisible()
    assert page.learned.offsets.row_count() == 1
    assert isinstance(document, Document)


def test_what_was_just_noted_is_chosen(page, document, expected, spring_layers, settle, qtbot):
    layer_id = spring_layers[-1]
    document.select(layer_id=layer_id)
    page.desk.note()
    dialog = page.desk.dialog
    day = expected(layer_id, "first-flower", 2027)
    dialog.stages.choose("first-flower")
    dialog.day.setDate(QDate(day.year, day.month, day.day))
    dialog.accept()
    qtbot.waitUntil(lambda: page.desk.dialog is None, timeout=15_000)
    settle(page)
    (chosen,) = page.table.chosen_ids()
    assert document.yard.record(chosen).day == day
