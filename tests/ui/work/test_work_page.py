"""The page of the year's work, driven as a gardener does."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
from icalendar import Calendar
from PySide6.QtCore import QModelIndex, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QPushButton

from bloomline.model.edits import change_layer
from bloomline.ui.page_kit import (
    _first_broken_row,
    _on_pages,
    html_table,
    laid_out,
    new_printer,
    paper,
    print_text,
)
from bloomline.ui.work.groups import WorkFilter, groups_of, shown_plan
from bloomline.ui.work.model import DAY, STATE, TASK, WorkModel
from bloomline.ui.work.page import WorkPage
from bloomline.ui.work.rollover_dialog import RollOverDialog

TODAY = date(2027, 3, 9)


@pytest.fixture
def clock() -> Callable[[], date]:
    return lambda: TODAY


@pytest.fixture
def page(document, service, qtbot) -> Iterator[WorkPage]:
    page = WorkPage(document, service)
    qtbot.addWidget(page)
    page.resize(1280, 740)
    page.show()
    qtbot.waitUntil(lambda: page._worked is not None, timeout=10_000)
    yield page
    page.stop()
    page.stop()


def is_settled(page: WorkPage) -> bool:
    return page._worked.yard is page._document.yard and not page._planning.is_busy


def settle(page: WorkPage, qtbot) -> None:
    qtbot.waitUntil(lambda: is_settled(page), timeout=10_000)


def row_of(page: WorkPage, wanted) -> QModelIndex:
    for at in range(page.model.rowCount()):
        top = page.model.index(at, 0)
        for row in range(page.model.rowCount(top)):
            index = page.model.index(row, 0, top)
            if wanted(page.model.group(top), page.model.entry(index)):
                return index
    raise AssertionError("no such row")


def test_groups_begin_with_the_overdue_then_this_week_then_time_ahead_then_behind(page) -> None:
    groups = groups_of(shown_plan(page._worked.plan, WorkFilter(show_done=True)), done=())
    assert [group.kind for group in groups[:3]] == ["overdue", "this", "next"]
    ahead = [group.first for group in groups if group.kind in ("this", "next", "later")]
    behind = [group.first for group in groups if group.kind == "earlier"]
    assert ahead == sorted(ahead)
    assert behind == sorted(behind, reverse=True)
    assert all(day.isoweekday() == 1 for day in ahead + behind)
    # Python's calendar is the outside check of ISO 8601 weeks.
    for group in groups[1:]:
        assert group.label == f"{group.first:%G-W%V}"
    late = {entry.task.key for entry in groups[0].entries if entry.task.repeat_days is None}
    rest = {entry.task.key for group in groups[1:] for entry in group.entries}
    assert late
    assert not late & rest


def test_every_task_is_in_some_group_and_minutes_add_up(page) -> None:
    plan = page._worked.plan
    groups = groups_of(shown_plan(plan, WorkFilter(show_done=True)), done=())
    assert {entry.task.key for g in groups for entry in g.entries} == {t.key for t in plan.tasks}
    for group in groups[1:]:
        assert group.minutes == sum(
            e.task.minutes * len(e.days) for e in group.entries if not e.task.done
        )


def test_filters_leave_what_they_say(page, document) -> None:
    whole = len(page._shown.tasks)
    page.done.setChecked(True)
    assert len(page._shown.tasks) > whole
    page.pot.setCurrentIndex(page.pot.findData("pot-2"))
    assert page._shown.tasks
    assert all("pot-2" in task.pot_ids for task in page._shown.tasks)
    page.kind.setCurrentIndex(page.kind.findData("plant"))
    assert {task.kind for task in page._shown.tasks} == {"plant"}
    page.kind.setCurrentIndex(0)
    page.span.setCurrentIndex(0)
    for group in page._groups:
        assert group.kind in ("overdue", "this")
    page.span.setCurrentIndex(1)
    assert all(
        day.month == 3
        for group in page._groups
        if group.kind != "overdue"
        for entry in group.entries
        for day in entry.days
    )


def test_space_ticks_a_task_and_undo_takes_it_back(page, document, qtbot) -> None:
    index = row_of(page, lambda group, entry: group.kind == "overdue")
    key = page.model.entry(index).task.key
    page.tree.setCurrentIndex(index.siblingAtColumn(STATE))
    QTest.keyClick(page.tree, Qt.Key.Key_Space)
    keys = page._worked.plan.task(key).keys
    assert {(each.task_key, each.day) for each in document.yard.done} == {
        (each, TODAY) for each in keys
    }
    assert document.yard.seen_tasks
    assert document.yard.calendar_id
    settle(page, qtbot)
    # It stays in sight today, ticked.
    ticked = page.model.find(key)
    assert ticked.data(Qt.ItemDataRole.CheckStateRole) == Qt.CheckState.Checked
    assert "Done" in ticked.siblingAtColumn(STATE).data()
    document.undo_stack.undo()
    assert not document.yard.done
    document.undo_stack.redo()
    settle(page, qtbot)
    page.tree.setCurrentIndex(page.model.find(key))
    QTest.keyClick(page.tree, Qt.Key.Key_Space)
    assert not document.yard.done


def test_a_kind_is_switched_off_in_the_menu_and_undone(page, document, qtbot) -> None:
    page.kinds_menu.aboutToShow.emit()
    (slugs,) = [a for a in page.kinds_menu.actions() if a.objectName() == "work_kind_slugs"]
    assert slugs.isChecked()
    slugs.trigger()
    settle(page, qtbot)
    assert document.yard.settings.tasks_off == ("slugs",)
    assert "slugs" not in {task.kind for task in page._worked.plan.tasks}
    page.kinds_menu.aboutToShow.emit()
    (slugs,) = [a for a in page.kinds_menu.actions() if a.objectName() == "work_kind_slugs"]
    assert not slugs.isChecked()
    document.undo_stack.undo()
    settle(page, qtbot)
    assert "slugs" in {task.kind for task in page._worked.plan.tasks}


def test_the_year_is_printed_on_three_pages_with_whole_rows(page, tmp_path: Path) -> None:
    page.done.setChecked(True)
    printer = new_printer("work")
    printer.setOutputFileName(str(tmp_path / "year.pdf"))
    text = laid_out(page.html(), printer)
    assert _first_broken_row(text, page_height=text.pageSize().height()) is None
    assert print_text(page.html(), printer) <= 3
    assert "☐" in page.html()


def test_a_row_that_would_be_broken_begins_a_new_page(tmp_path: Path) -> None:
    words = "one line after another of a cell that is much too long for one line of its column " * 4
    html = html_table((), [(str(n), words) for n in range(90)], widths=(10, 20))
    printer = new_printer("rows")
    printer.setOutputFileName(str(tmp_path / "rows.pdf"))
    plain = _on_pages(html, printer)
    assert _first_broken_row(plain, page_height=plain.pageSize().height()) is not None
    text = laid_out(html, printer)
    assert _first_broken_row(text, page_height=text.pageSize().height()) is None


def test_a_recurring_task_is_ticked_for_its_week_only(page, document, qtbot) -> None:
    comes_again = {
        page.model.entry(page.model.index(row, 0, top)).task.key
        for top in (page.model.index(at, 0) for at in range(page.model.rowCount()))
        if page.model.group(top).kind == "later"
        for row in range(page.model.rowCount(top))
    }

    def watering(group, entry):
        recurs = entry.task.repeat_days is not None and entry.task.key in comes_again
        return group.kind == "this" and recurs

    index = row_of(page, watering)
    key = page.model.entry(index).task.key
    later = row_of(page, lambda g, e: g.kind == "later" and e.task.key == key)
    assert not later.flags() & Qt.ItemFlag.ItemIsUserCheckable
    page.model.setData(index, Qt.CheckState.Checked, Qt.ItemDataRole.CheckStateRole)
    settle(page, qtbot)
    assert [each.day for each in document.yard.done] == [TODAY]
    again = row_of(page, lambda g, e: g.kind == "this" and e.task.key == key)
    assert page.model.entry(again).ticks == (TODAY,)


def test_what_is_done_without_a_tick_cant_be_unticked(page) -> None:
    page.done.setChecked(True)
    index = row_of(page, lambda _g, e: e.task.done and e.task.kind == "plant")
    assert index.data(Qt.ItemDataRole.CheckStateRole) == Qt.CheckState.Checked
    assert not index.flags() & Qt.ItemFlag.ItemIsUserCheckable


def test_choosing_a_task_shows_it_and_selects_its_layer(page, document) -> None:
    index = row_of(page, lambda _g, e: len(e.task.layer_ids) == 1)
    task = page.model.entry(index).task
    page.tree.setCurrentIndex(index)
    assert document.layer_id == task.layer_ids[0]
    assert task.title in page.card._card.heading.text()
    assert task.reason in page.card.accessibleDescription()
    assert task.source in page.card.accessibleDescription()


def test_what_moved_is_told_with_its_cause_until_remembered(page, document, qtbot) -> None:
    page.remember()
    settle(page, qtbot)
    assert not page.notice.isVisible()
    _, layer = document.yard.layer("layer-4")
    later = date.fromordinal(layer.planted.toordinal() + 25)
    document.edit("Plant later", lambda yard: change_layer(yard, "layer-4", planted=later))
    settle(page, qtbot)
    assert page.notice.isVisible()
    moved = page._worked.plan.moved()
    assert "planting day" in page.card.words(moved[0])[1]
    QTest.mouseClick(page.notice.button, Qt.MouseButton.LeftButton)
    settle(page, qtbot)
    assert not page.notice.isVisible()
    assert not page._worked.plan.moved()


def test_the_calendar_holds_every_task_and_its_id_is_kept(page, document, tmp_path, qtbot):
    page.reminders.setChecked(True)
    path = tmp_path / "work.ics"
    with qtbot.waitSignal(page.message, timeout=10_000):
        page.write_calendar(path)
    calendar = Calendar.from_ical(path.read_bytes())
    events = calendar.walk("VEVENT")
    assert len(events) == len(page._worked.plan.tasks)
    assert calendar.walk("VALARM")
    assert document.yard.calendar_id == str(calendar["X-BLOOMLINE-CALENDAR"])
    assert document.undo_stack.count() == 1


def test_a_calendar_that_isnt_ours_is_left_alone_and_told(page, tmp_path: Path, qtbot) -> None:
    path = tmp_path / "other.ics"
    path.write_text("BEGIN:VCALENDAR\r\nPRODID:x\r\nEND:VCALENDAR\r\n")
    before = path.read_bytes()
    page.write_calendar(path)
    qtbot.waitUntil(page.notice.isVisible, timeout=10_000)
    assert "another name" in page.notice.words.text()
    assert path.read_bytes() == before


def test_copy_and_paper_hold_the_tasks_shown(page, tmp_path: Path) -> None:
    page.span.setCurrentIndex(0)
    page.copy()
    text = QGuiApplication.clipboard().text()
    assert "2027-W10" in text
    assert "2027-W12" not in text
    printer = new_printer("work")
    printer.setOutputFileName(str(tmp_path / "work.pdf"))
    paper(page.html()).print_(printer)
    assert (tmp_path / "work.pdf").read_bytes().startswith(b"%PDF")
    assert "☐" in page.html()


def test_next_years_yard_is_shown_and_made_in_one_step(page, document, qtbot) -> None:
    seen = []

    def accept() -> None:
        dialog = QApplication.activeModalWidget()
        if isinstance(dialog, RollOverDialog):
            seen.append(dialog.layers.topLevelItemCount())
            QTest.mouseClick(
                dialog.findChild(QPushButton, "roll_over_go"), Qt.MouseButton.LeftButton
            )
        else:
            QTimer.singleShot(30, accept)

    QTimer.singleShot(30, accept)
    page.roll_over()
    qtbot.waitUntil(lambda: document.yard.season_year == 2028, timeout=10_000)
    assert seen
    assert seen[0] >= 2
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert document.yard.season_year == 2027


def test_an_empty_yard_says_so(empty_document, empty_service, qtbot) -> None:
    page = WorkPage(empty_document, empty_service)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: page._worked is not None, timeout=10_000)
    assert page.empty.isVisible()
    page.stop()


def test_a_page_that_isnt_shown_works_nothing_out(document, service, qtbot) -> None:
    page = WorkPage(document, service)
    qtbot.addWidget(page)
    document.edit("Plant", lambda yard: change_layer(yard, "layer-4", count=3))
    assert not page._planning.is_busy
    page.stop()


def test_the_model_keeps_qts_rules(page, qtbot) -> None:
    model = WorkModel()
    mode = QAbstractItemModelTester.FailureReportingMode.Fatal
    tester = QAbstractItemModelTester(model, mode)
    for show_done in (True, False, True):
        plan = shown_plan(page._worked.plan, WorkFilter(show_done=show_done))
        model.show_groups(groups_of(plan, done=()), today=TODAY)
    top = model.index(0, TASK)
    assert model.parent(model.index(0, DAY, top)) == top
    assert tester is not None


def test_all_controls_have_names_and_actions_have_words(page) -> None:
    for widget in (page.span, page.kind, page.pot, page.tree, page):
        assert widget.accessibleName()
    assert len({action.objectName() for action in page.actions()}) == len(page.actions()) == 5
