"""One menu bar that stays as it is, and where the commands of the pages are."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu, QPushButton

from bloomline.draw.base.petals import DARK, LIGHT
from bloomline.ui.colours_menu import chosen_theme
from bloomline.ui.page_commands import PAGE_COMMANDS
from bloomline.ui.pages import PAGES
from bloomline.ui.theme import current_theme, dress
from bloomline.ui.window import MainWindow

CTRL = Qt.KeyboardModifier.ControlModifier
# The offscreen platform says so of menus that open.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


def bar(window: MainWindow) -> list[tuple[str, list[str]]]:
    """What stands in the menus, by the names of actions."""
    found = []
    for top in window.menuBar().actions():
        menu = top.menu()
        assert isinstance(menu, QMenu)
        found.append((top.text(), [each.objectName() for each in menu.actions()]))
    return found


def test_no_menu_comes_or_goes_by_visiting_pages(window: MainWindow, hands: Any) -> None:
    before = bar(window)
    assert [title.replace("&", "") for title, _ in before] == ["File", "Edit", "View", "Go", "Help"]
    for way in (PAGES, PAGES[::-1]):
        for spec in way:
            window.pages.go_to(spec.name)
            hands.rest(window)
            assert bar(window) == before
    window.pages.go_to("yard")
    assert bar(window) == before


def test_no_menu_says_what_a_page_is_called(window: MainWindow) -> None:
    titles = {spec.title() for spec in PAGES} | {"Yard"}
    assert not titles & {title.replace("&", "") for title, _ in bar(window)}


@pytest.mark.parametrize("spec", PAGES, ids=lambda spec: spec.name)
def test_every_command_of_a_page_stands_on_it_with_its_keys(
    window: MainWindow, hands: Any, spec: Any
) -> None:
    page = window.pages.go_to(spec.name)
    hands.rest(window)
    commands = {command.name: command for command in PAGE_COMMANDS[spec.name]}
    actions = {action.objectName(): action for action in page.actions()}
    assert set(actions) == set(commands)
    tips = " ".join(button.toolTip() for button in page.findChildren(QPushButton))
    for name, command in commands.items():
        keys = QKeySequence(command.keys)
        assert actions[name].shortcut() == keys
        button = page.findChild(QPushButton, name.replace("action", "button"))
        assert button is not None or actions[name].text().rstrip("…") in tips
        if command.keys:
            assert keys.toString(QKeySequence.SequenceFormat.NativeText) in tips


def test_keys_of_a_page_work_on_it_and_nowhere_else(window: MainWindow, hands: Any) -> None:
    page: Any = window.pages.go_to("work")
    hands.qtbot.waitUntil(lambda: page._worked is not None, timeout=20_000)
    QApplication.clipboard().clear()
    page.tree.setFocus()
    hands.key(Qt.Key.Key_C, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert QApplication.clipboard().text()
    QApplication.clipboard().clear()
    window.pages.go_to("yard")
    window.season.setFocus()
    hands.key(Qt.Key.Key_C, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert not QApplication.clipboard().text()


def test_the_help_lists_the_keys_of_every_page_unvisited(window: MainWindow) -> None:
    window.show_help()
    assert window._help is not None
    text = window._help.text.toPlainText()
    for spec in PAGES:
        assert f"On the page {spec.title()}" in text
        for command in PAGE_COMMANDS[spec.name]:
            assert command.words.rstrip("…") in text
            keys = QKeySequence(command.keys).toString(QKeySequence.SequenceFormat.NativeText)
            assert keys in text
    for action in window.all_actions():
        for keys in action.shortcuts():
            assert keys.toString(QKeySequence.SequenceFormat.NativeText) in text
    assert "Shift+click" in text and "Ctrl+Space" in text
    window._help.close()
    assert len(window.pages._made) == 0


def test_the_edit_menu_serves_the_text_that_has_the_keyboard(window: MainWindow) -> None:
    pots = len(window.document.yard.pots)
    window.document.select(pot_id=window.document.yard.pots[0].id)
    line = window.details.page.form.fields["name"].editor
    assert isinstance(line, QLineEdit)
    line.setFocus()
    line.selectAll()
    name = line.text()
    actions = {action.objectName(): action for action in window.all_actions()}
    actions["action_copy"].trigger()
    assert QApplication.clipboard().text() == name
    actions["action_delete"].trigger()
    assert line.text() == "" and len(window.document.yard.pots) == pots
    actions["action_paste"].setEnabled(True)
    actions["action_paste"].trigger()
    assert line.text() == name


def test_nothing_of_the_yard_is_deleted_while_another_page_is_shown(
    window: MainWindow, hands: Any
) -> None:
    window.document.select(pot_id=window.document.yard.pots[0].id)
    commands = window.yard.commands
    assert commands.delete.isEnabled() and commands.cut.isEnabled()
    window.pages.go_to("weather")
    assert not any(each.isEnabled() for each in (commands.delete, commands.cut, commands.duplicate))
    window.pages.go_to("yard")
    assert commands.delete.isEnabled()


def action(window: MainWindow, name: str) -> QAction:
    return next(each for each in window.all_actions() if each.objectName() == name)


def test_print_leads_to_what_is_printed(window: MainWindow, hands: Any) -> None:
    seen: list[tuple[str, bool]] = []

    def look(dialog: Any) -> None:
        seen.append((dialog.windowTitle(), dialog.print_button.isDefault()))
        dialog.reject()

    hands.do("export", look)
    window.season.setFocus()
    hands.key(Qt.Key.Key_P, CTRL)
    assert seen == [("Print the season chart", True)]
    for name, page, what in (
        ("action_print_cards", "labels_page", "cards"),
        ("action_print_labels_of_yard", "labels_page", "labels"),
    ):
        action(window, name).trigger()
        shown: Any = window.pages.currentWidget()
        assert shown.objectName() == page and shown.choices.wish().what == what
        hands.qtbot.waitUntil(shown.print_button.isEnabled, timeout=20_000)
    for name, button in (
        ("action_print_tasks", "button_work_print"),
        ("action_print_shopping", "button_buy_print"),
    ):
        action(window, name).trigger()
        focus = window.focusWidget()  # the window itself may rest after the dialog
        assert focus is not None and focus.objectName() == button


def test_colours_are_chosen_kept_and_taken_at_once(open_window: Any, qapp: QApplication) -> None:
    window: MainWindow = open_window()
    try:
        for name, theme in (("dark", DARK), ("light", LIGHT)):
            action(window, f"action_colours_{name}").trigger()
            assert current_theme() is theme
            assert chosen_theme(window.settings) is theme
        window.dress_anew()  # as when the system turns dark
        assert current_theme() is LIGHT
        action(window, "action_colours_dark").trigger()
        again = open_window.made()
        assert action(again, "action_colours_dark").isChecked()
        action(window, "action_colours_system").trigger()
        assert chosen_theme(window.settings) is None
    finally:
        qapp.styleHints().unsetColorScheme()
        dress(qapp, LIGHT)


def test_the_empty_page_opens_what_was_open_lately(
    open_window: Any, yard_file: Any, tmp_path: Any
) -> None:
    first: MainWindow = open_window()
    empty = first.season.empty
    assert empty.isVisible() and not empty.recent.isVisible()
    assert first.files.open_path(yard_file)
    assert not empty.isVisible()
    window: MainWindow = open_window()
    empty = window.season.empty
    assert empty.recent.isVisible() and empty.open_button.isVisible()
    (button,) = empty.findChildren(QPushButton, "season_empty_file")
    assert button.text() == yard_file.name and str(yard_file.parent) in button.toolTip()
    QTest.keyClick(button, Qt.Key.Key_Space)
    assert window.document.path == yard_file and window.document.yard.pots


def test_ctrl_f_finds_the_shelf_from_any_page(window: MainWindow, hands: Any) -> None:
    window.pages.go_to("weather")
    action(window, "action_show_shelf").setChecked(False)
    window.pages.tabs.setFocus()
    hands.key(Qt.Key.Key_F, CTRL)
    assert window.pages.currentIndex() == 0
    assert QApplication.focusWidget() is window.shelf.search
