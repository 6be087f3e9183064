"""What is seen is noted from wherever the gardener is: keys, menus, timeline, details, page."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

from bloomline.files.yardfile import load_yard
from bloomline.model.record_edits import add_records
from bloomline.model.yard import Record
from bloomline.ui.records.entry import EntryDialog
from bloomline.ui.window import MainWindow

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
LEFT = Qt.MouseButton.LeftButton

# The offscreen platform says so of menus that open.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


def entry_of(window: MainWindow) -> EntryDialog:
    dialog = window.records.dialog
    assert isinstance(dialog, EntryDialog)
    return dialog


@pytest.fixture
def seen(window: MainWindow, hands) -> Record:
    """A record of the season shown, in the open yard."""
    layer = next(each for each in window.service.report.layers if each.start is not None)
    day = layer.start.p50
    record = Record(id="line-1", day=day, layer_id=layer.layer_id, seen="first-flower")
    window.document.edit("Note", lambda yard: add_records(yard, [record]))
    hands.rest(window)
    return next(r for r in window.document.yard.records if r.layer_id == layer.layer_id)


@pytest.mark.parametrize("where", ["season", "yard", "details"])
def test_the_key_notes_the_selected_layer_from_anywhere(window, where, hands, qtbot) -> None:
    asked = []
    hands.do(
        "record_entry", lambda dialog: (asked.append(dialog.layer.layer_id()), dialog.reject())
    )
    layer_id = next(layer.id for _, layer in window.document.yard.layers())
    window.document.select(layer_id=layer_id)
    getattr(window, where).setFocus()
    hands.key(Qt.Key.Key_R, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: asked == [layer_id], timeout=5000)
    qtbot.waitUntil(lambda: window.records.dialog is None, timeout=5000)


def test_of_a_pot_the_layer_that_flowers_nearest_is_meant(window, hands, qtbot) -> None:
    asked = []
    hands.do(
        "record_entry", lambda dialog: (asked.append(dialog.layer.layer_id()), dialog.reject())
    )
    pot = max(window.document.yard.pots, key=lambda each: len(each.layers))
    window.document.select(pot_id=pot.id)
    window.records.note_action.trigger()
    qtbot.waitUntil(lambda: len(asked) == 1, timeout=5000)
    opens = {each.layer_id: each.start for each in window.service.report.layers}
    today = date.today()
    known = [layer.id for layer in pot.layers if opens[layer.id] is not None]
    assert asked[0] == min(known, key=lambda each: abs((opens[each].p50 - today).days))


def test_a_click_on_a_records_tick_opens_it(window, seen, hands, qtbot) -> None:
    asked = []
    hands.do("record_entry", lambda dialog: (asked.append(dialog.entered().id), dialog.reject()))
    view = window.season.view
    window.document.look_at(date(2027, 7, 1))
    window.document.select(layer_id=seen.layer_id)
    QApplication.processEvents()
    index = view.shown.rows.of(seen.layer_id)
    at = QPointF(view.days().middle_of(seen.day), view.row_y(index)).toPoint()
    QTest.mouseClick(view.viewport(), LEFT, pos=at)
    qtbot.waitUntil(lambda: asked == [seen.id], timeout=5000)


def open_menu(window: MainWindow) -> QMenu:
    shown = QApplication.activePopupWidget()
    assert isinstance(shown, QMenu)
    return shown


def test_the_timelines_menu_notes_the_layer_under_the_mouse(window, seen, qtbot) -> None:
    view = window.season.view
    window.document.select()
    index = view.shown.rows.of(seen.layer_id)
    at = QPoint(20, round(view.row_y(index)))
    reason = QContextMenuEvent.Reason.Mouse
    QApplication.sendEvent(view.viewport(), QContextMenuEvent(reason, at, view.mapToGlobal(at)))
    menu = open_menu(window)
    assert window.document.layer_id == seen.layer_id
    assert menu.actions()[0] is window.records.note_action
    menu.close()
    event = QContextMenuEvent(QContextMenuEvent.Reason.Keyboard, QPoint(), QPoint())
    QApplication.sendEvent(view.viewport(), event)
    menu = open_menu(window)
    assert window.document.layer_id == seen.layer_id
    menu.close()


def test_the_pots_menu_offers_to_note(window) -> None:
    layer_id = next(layer.id for _, layer in window.document.yard.layers())
    window.document.select(layer_id=layer_id)
    menu = window.yard.canvas.context_menu()
    assert menu.actions()[0] is window.records.note_action
    menu.deleteLater()


def test_the_details_list_what_was_seen_and_open_it(window, seen, hands, qtbot) -> None:
    asked = []
    hands.do("record_entry", lambda dialog: (asked.append(dialog.entered().id), dialog.reject()))
    hands.do("record_entry", lambda dialog: (asked.append(dialog.entered().id), dialog.reject()))
    window.document.select(layer_id=seen.layer_id)
    history = window.details.layer_page.history
    ids = [
        history.lines.item(i).data(Qt.ItemDataRole.UserRole) for i in range(history.lines.count())
    ]
    assert seen.id in ids
    history.lines.setFocus()
    history.lines.setCurrentRow(ids.index(seen.id))
    QTest.keyClick(history.lines, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: asked == [seen.id], timeout=5000)
    qtbot.waitUntil(lambda: window.records.dialog is None, timeout=5000)
    QTest.mouseClick(history.note, LEFT)
    qtbot.waitUntil(lambda: len(asked) == 2, timeout=5000)


def test_nothing_is_noted_in_a_yard_without_layers(open_window) -> None:
    window = open_window()
    assert not window.records.note_action.isEnabled()


def test_the_page_opens_in_the_window_and_shows_the_yards_records(window, qtbot) -> None:
    page = window.pages.page("records")
    window.pages.show_page(window.pages.tabs.count() - 4)
    assert window.pages.currentWidget() is page
    qtbot.waitUntil(lambda: page.lesson is not None and page.model.rowCount() > 0, timeout=20_000)
    assert page.model.rowCount() == len(load_yard(DEMO).yard.records)
