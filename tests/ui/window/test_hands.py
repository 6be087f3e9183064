"""Mouse and keys all over the window: wheel, undo in fields, typing that is not taken in yet."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractSlider,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QScrollBar,
    QWidget,
)

from bloomline.files.yardfile import load_yard
from bloomline.ui.window import MainWindow

CTRL = Qt.KeyboardModifier.ControlModifier


def turn(widget: QWidget) -> None:
    """One notch of the wheel over a widget, as the system sends it to the window."""
    top = widget.window()
    at = widget.mapTo(top, widget.rect().center())
    QTest.wheelEvent(top.windowHandle(), QPointF(at), QPoint(0, -120))
    QApplication.processEvents()


def values_in(window: QWidget) -> list[QWidget]:
    return [
        each
        for kind in (QAbstractSpinBox, QComboBox, QAbstractSlider)
        for each in window.findChildren(kind)
        if not isinstance(each, QScrollBar)
        and each.isEnabled()
        and each.isVisible()
        and not each.visibleRegion().isEmpty()
    ]


def value_of(widget: QWidget) -> object:
    if isinstance(widget, QComboBox):
        return widget.currentIndex()
    if isinstance(widget, QAbstractSpinBox):
        return widget.text()
    assert isinstance(widget, QAbstractSlider)
    return widget.value()


def test_a_wheel_over_any_value_of_the_window_edits_nothing(open_window, yard_file, hands) -> None:
    window: MainWindow = open_window(yard_file)
    window.document.select(pot_id=window.document.yard.pots[0].id)
    pages = window.pages.actions_of_pages()
    tried = 0
    for page in pages:
        page.trigger()
        hands.rest(window)
        before = window.document.yard
        for widget in values_in(window):
            was, focus = value_of(widget), QApplication.focusWidget()
            if focus is widget:
                continue
            turn(widget)
            assert value_of(widget) == was, widget.objectName()
            assert QApplication.focusWidget() is focus
            tried += 1
        assert window.document.yard is before
    assert tried > 30
    assert window.document.is_clean


def test_a_wheel_over_the_tabs_turns_no_page(open_window, yard_file, hands) -> None:
    window: MainWindow = open_window(yard_file)
    hands.rest(window)
    turn(window.pages.tabs)
    assert window.pages.tabs.currentIndex() == 0


def test_a_wheel_over_a_field_scrolls_its_page_and_turns_the_focused_one(
    open_window, yard_file, hands
) -> None:
    window: MainWindow = open_window(yard_file, height=600)
    pot = window.document.yard.pots[0]
    window.document.select(pot_id=pot.id)
    QApplication.processEvents()
    page = window.details.page
    field = page.form.fields["top_width_cm"].editor
    page.ensureWidgetVisible(field)
    bar = page.verticalScrollBar()
    at = bar.value()
    turn(field)
    assert bar.value() > at
    field.setFocus()
    for _ in range(5):  # what comes late may move the field from under a notch
        page.ensureWidgetVisible(field)
        turn(field)
    assert window.document.yard.pots[0].top_width_cm < pot.top_width_cm


def test_a_box_made_later_keeps_off_the_wheel_as_well(open_window, yard_file) -> None:
    window: MainWindow = open_window(yard_file)
    box = QComboBox(window.centralWidget())
    box.addItems(["first", "second"])
    box.show()
    box.raise_()
    turn(box)
    assert box.currentIndex() == 0 and not box.hasFocus()


def test_undo_reaches_the_yard_from_within_a_field_and_says_what_it_did(
    open_window, yard_file, hands
) -> None:
    window: MainWindow = open_window(yard_file)
    pot = window.document.yard.pots[0]
    window.document.select(pot_id=pot.id)
    line = window.details.page.form.fields["name"].editor
    assert isinstance(line, QLineEdit)
    line.setFocus()
    line.selectAll()
    hands.type("Old sink")
    hands.key(Qt.Key.Key_Return)
    assert window.document.yard.pots[0].name == "Old sink"
    hands.key(Qt.Key.Key_Z, CTRL)
    assert window.document.yard.pots[0].name == pot.name == line.text()
    assert window.statusBar().currentMessage() == "Undone: Change pot name"
    redo = window.findChild(type(window.undoing.redo_action), "action_redo")
    assert redo is not None
    redo.trigger()
    assert window.document.yard.pots[0].name == "Old sink"
    assert window.statusBar().currentMessage() == "Redone: Change pot name"


def test_typing_not_taken_in_yet_is_undone_before_the_edit_before_it(
    open_window, yard_file, hands
) -> None:
    window: MainWindow = open_window(yard_file)
    window.document.select(pot_id=window.document.yard.pots[0].id)
    fields = window.details.page.form.fields
    name, notes = fields["name"].editor, fields["notes"].editor
    assert isinstance(name, QLineEdit) and isinstance(notes, QPlainTextEdit)
    name.setFocus()
    name.selectAll()
    hands.type("Old sink")
    hands.key(Qt.Key.Key_Return)
    steps = window.document.undo_stack.count()
    was = notes.toPlainText()
    notes.setFocus()
    hands.type("x")
    window.undoing.undo_action.trigger()  # from the menu, where the keyboard stays in the field
    assert notes.toPlainText() == was
    assert window.document.yard.pots[0].name == "Old sink"
    assert window.document.undo_stack.count() == steps
    assert window.statusBar().currentMessage() == "Undone: typing"


def test_looking_at_a_weather_year_is_no_step_and_undo_says_which_edit_went(
    open_window, yard_file, hands
) -> None:
    window: MainWindow = open_window(yard_file)
    pot = window.document.yard.pots[0]
    window.document.select(pot_id=pot.id)
    window.details.page.give("name", "Old sink")
    steps = window.document.undo_stack.count()
    window.document.look_at_weather_year(3)
    hands.rest(window)
    assert window.document.undo_stack.count() == steps
    window.conditions.weather.slider.setFocus()
    hands.key(Qt.Key.Key_Z, CTRL)
    assert window.document.weather_year == 3
    assert window.statusBar().currentMessage() == "Undone: Change pot name"


@pytest.mark.parametrize("key", ["name", "notes", "top_width_cm"])
def test_saving_takes_in_what_is_being_typed(open_window, yard_file, hands, key) -> None:
    window: MainWindow = open_window(yard_file)
    window.document.select(pot_id=window.document.yard.pots[0].id)
    editor = window.details.page.form.fields[key].editor
    editor.setFocus()
    if not isinstance(editor, QPlainTextEdit):
        editor.selectAll()
    hands.type("7")
    QApplication.processEvents()
    assert window.isWindowModified(), "the first key shows in the title"
    assert window.document.is_clean
    hands.key(Qt.Key.Key_S, CTRL)
    saved = getattr(load_yard(yard_file).yard.pots[0], key)
    assert "7" in str(saved)
    assert not window.isWindowModified()


def test_closing_asks_about_what_is_only_typed(open_window, yard_file, hands) -> None:
    window: MainWindow = open_window(yard_file)
    window.document.select(pot_id=window.document.yard.pots[0].id)
    window.details.page.form.fields["notes"].editor.setFocus()
    hands.type("Sunny wall")
    hands.press("question_unsaved", "save")
    window.close()
    assert hands.asked == ["question_unsaved"]
    assert "Sunny wall" in load_yard(yard_file).yard.pots[0].notes


def test_a_search_is_nothing_to_be_saved(open_window, yard_file, hands) -> None:
    window: MainWindow = open_window(yard_file)
    line = QLineEdit(window.shelf)
    line.show()
    line.setFocus()
    hands.type("tulip")
    QApplication.processEvents()
    assert not window.isWindowModified()


def test_the_journal_has_each_second_of_notes_that_are_typed_without_a_pause(
    open_window, yard_file, hands, qtbot, tmp_path: Path
) -> None:
    window: MainWindow = open_window(yard_file)
    pot_id = window.document.yard.pots[0].id
    window.document.select(pot_id=pot_id)
    window.details.page.form.fields["notes"].editor.setFocus()
    keeper = window.files.keeper
    told: list[object] = []
    keeper.written.connect(lambda: told.append(1))
    for _ in range(24):  # 2.4 s without a pause of 0.7 s
        hands.type("k")
        qtbot.wait(100)
        if len(told) >= 2:
            break
    assert window.document.is_clean, "still being typed"
    text = (keeper.folder / "journal" / f"{keeper.key}.json").read_text("utf-8")
    assert "kkkkkkkkkk" in text
