"""A gap is filled on the shelf's place, from the season, the details and by keys alone."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from bloomline.ui.window import MainWindow

FIRST, LAST = date(2027, 6, 8), date(2027, 7, 6)


def test_keys_alone_fill_a_gap_and_come_back(window: MainWindow, hands, qtbot) -> None:
    window.season.view.setFocus()
    hands.key(Qt.Key.Key_B)
    hands.key(Qt.Key.Key_Return)
    column = window.shelf_column
    assert column.currentWidget() is column.gap
    assert not window.shelf.isVisible()
    stretch = window.service.report.bare[0]
    assert column.gap.days == (stretch.first, stretch.last)
    assert column.gap.list.hasFocus()
    qtbot.waitUntil(lambda: column.gap.found is not None, timeout=60_000)
    hands.key(Qt.Key.Key_Escape)
    assert column.currentWidget() is window.shelf
    assert window.season.view.hasFocus()
    assert window.season._shown.gap is None


def test_the_advice_on_a_bare_stretch_has_a_button(window: MainWindow, hands, qtbot) -> None:
    hands.rest(window)
    page = window.details.yard_page
    buttons = [
        each for each in page.findChildren(QPushButton, "fill_gap") if each.isVisibleTo(page)
    ]
    stretch = window.service.report.bare[0]
    assert len(buttons) == len(window.service.report.bare)
    buttons[0].click()
    assert window.shelf_column.gap.days == (stretch.first, stretch.last)
    assert window.season._shown.gap == (stretch.first, stretch.last)  # framed there as well


def test_a_hidden_shelf_comes_back_and_ctrl_f_leaves_the_gap(window: MainWindow, hands) -> None:
    window.menus.show_shelf.setChecked(False)
    assert not window.shelf_column.isVisible()
    window.fill_gap(FIRST, LAST)
    assert window.shelf_column.gap.isVisible()
    window.search_shelf()
    assert window.shelf.isVisible()
    assert window.shelf.search.hasFocus()
