"""All of page and dialog can be reached by Tab, has a name, and goes through the translator."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLabel, QWidget

from bloomline.ui.records.page import RecordsPage


def focusable(root: QWidget) -> Iterator[QWidget]:
    for widget in root.findChildren(QWidget):
        if (
            widget.isVisible()
            and widget.isEnabled()
            and widget.focusPolicy() & Qt.FocusPolicy.TabFocus
            and widget.focusProxy() is None
            and widget.window() is root.window()
            and not isinstance(widget.parent(), QComboBox)
            and widget.parent().focusProxy() is not widget
        ):
            yield widget


def spoken(widget: QWidget) -> str:
    if isinstance(widget, QComboBox):
        return widget.accessibleName()
    interface = QAccessible.queryAccessibleInterface(widget)
    return interface.text(QAccessible.Text.Name) if interface is not None else ""


@pytest.mark.parametrize("at", [0, 1, 2])
def test_every_view_of_the_page_has_names(page, at: int) -> None:
    page.tabs.setCurrentIndex(at)
    QApplication.processEvents()
    found = list(focusable(page))
    assert len(found) >= 8
    assert [each.objectName() for each in found if not any(map(str.isalpha, spoken(each)))] == []


def test_the_dialog_has_names_and_tab_reaches_all(page, document, qtbot) -> None:
    document.select(layer_id=document.yard.records[0].layer_id)
    page.desk.note()
    dialog = page.desk.dialog
    dialog.activateWindow()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is dialog, timeout=5000)
    found = set(focusable(dialog))
    assert [each.objectName() for each in found if not any(map(str.isalpha, spoken(each)))] == []
    reached = set()
    for _ in range(40):
        reached.add(QApplication.focusWidget())
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
    stages = set(dialog.stages.buttons.values())  # of which Tab comes to one, arrows to the rest
    assert found - reached - stages == set()
    assert reached & stages
    dialog.reject()


def test_keys_alone_reach_every_view_and_the_check_box(page, qtbot) -> None:
    page.activateWindow()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is page, timeout=5000)
    page.table.setFocus()
    reached = set()
    for _ in range(60):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        reached.add(QApplication.focusWidget())
    assert {page.tabs.tabBar(), page.learned.use, page.filters.odd, page.table} <= reached
    page.tabs.tabBar().setFocus()
    QTest.keyClick(page.tabs.tabBar(), Qt.Key.Key_Right)
    assert page.tabs.currentWidget() is page.history


def test_all_words_are_messages(
    document, service, qtbot, settle, pseudo_language, unmarked
) -> None:
    page = RecordsPage(document, service)
    qtbot.addWidget(page)
    page.show()
    settle(page)
    page.desk.note()
    dialog = page.desk.dialog
    plain = []
    for root in (page, dialog):
        for widget in root.findChildren(QWidget):
            if isinstance(widget, QLabel | QAbstractButton) and widget.isVisible():
                plain += [(widget.objectName(), each) for each in unmarked(widget.text())]
    page.stop()
    assert plain == []
