"""What the shelf offers beside planting: a menu for each kind, nearest names, bare days."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent, QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

from bloomline.plan.season.bare_fill import bare_days_filled
from bloomline.ui.shelf import ShelfPanel
from bloomline.ui.shelf.facts import FactsDialog
from bloomline.ui.shelf.model import Role

REASON = QContextMenuEvent.Reason
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


def names(shelf) -> list[str]:
    return [entry.cultivar.name for entry in shelf.view.model().entries]


def press(shelf, name: str) -> None:
    menu = shelf.deeds.menu()
    next(each for each in menu.actions() if each.objectName() == name).trigger()
    menu.close()


def open_menu(shelf) -> QMenu:
    (menu,) = [each for each in shelf.findChildren(QMenu, "shelf_menu") if each.isVisible()]
    return menu


@pytest.mark.parametrize("reason", [REASON.Mouse, REASON.Keyboard])
def test_the_menu_opens_under_the_mouse_and_by_its_key(shelf, reason) -> None:
    shelf.view.setFocus()
    shelf.view.setCurrentIndex(shelf.view.model().index(0))
    row = 2 if reason is REASON.Mouse else 0
    middle = shelf.view.visualRect(shelf.view.model().index(row)).center()
    place = shelf.view.viewport().mapToGlobal(middle)
    QApplication.sendEvent(shelf.view.viewport(), QContextMenuEvent(reason, middle, place))
    menu = open_menu(shelf)
    assert shelf.view.currentIndex().row() == row
    texts = [action.text().partition("\t")[0] for action in menu.actions() if action.text()]
    assert texts[0] == "&Plant in the selected pot" and "&Facts …" in texts
    menu.close()


def test_no_menu_where_nothing_stands(shelf) -> None:
    QTest.keyClicks(shelf.search, "hawera")
    below = QPoint(20, shelf.view.viewport().height() - 5)
    event = QContextMenuEvent(REASON.Mouse, below, shelf.view.mapToGlobal(below))
    QApplication.sendEvent(shelf.view.viewport(), event)
    assert not [m for m in shelf.findChildren(QMenu, "shelf_menu") if m.isVisible()]


def test_planting_copying_and_showing_a_genus_from_the_menu(shelf, document, qtbot) -> None:
    shelf.show_cultivar("crocus-sieberi-firefly")
    with qtbot.waitSignal(shelf.plant_requested) as asked:
        press(shelf, "shelf_menu_plant")
    assert asked.args == ["crocus-sieberi-firefly"]
    press(shelf, "shelf_menu_copy")
    assert QGuiApplication.clipboard().text() == "Crocus sieberi 'Firefly'"
    press(shelf, "shelf_menu_only_genus")
    assert shelf.search.text() == "Crocus"
    crocuses = [c.name for c in document.catalogue if c.genus == "Crocus"]
    assert sorted(names(shelf)[: len(crocuses)]) == sorted(crocuses)


def test_facts_can_be_read_and_closed(shelf) -> None:
    shelf.show_cultivar("lilium-regale")
    press(shelf, "shelf_menu_facts")
    (dialog,) = shelf.window().findChildren(FactsDialog)
    text = dialog.text.toPlainText()
    assert "regal lily" in text and "deadly to cats" in text and "17 cm deep" in text
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_companions_have_their_menu(shelf) -> None:
    shelf.filters.companions.click()
    shelf.view.setCurrentIndex(shelf.view.model().index(0))
    menu = shelf.deeds.menu()
    assert [a.objectName() for a in menu.actions() if a.text()] == [
        *("shelf_menu_plant", "shelf_menu_facts", "shelf_menu_copy")
    ]
    menu.close()
    assert not shelf.deeds.count_action.isEnabled()
    assert not shelf.filters.cupboard.isEnabled() and not shelf.filters.bare.isEnabled()


def test_a_wrong_name_shows_the_nearest_and_says_so(shelf) -> None:
    QTest.keyClicks(shelf.search, "balerina tulip")
    assert names(shelf) == ["Tulipa 'Ballerina'"]
    assert shelf.summary.text() == "No kind is called “balerina tulip”; nearest:"
    shelf.search.clear()
    assert "kinds" in shelf.summary.text()


def test_words_are_searched_with_the_months_here(shelf) -> None:
    QTest.keyClicks(shelf.search, "scented white april")
    shown = shelf.view.model().entries
    assert shown
    assert all(4 in shelf.windows[e.cultivar.id].months and e.cultivar.scent for e in shown)


def test_the_filter_for_bare_days_orders_by_the_days_filled(shelf, service) -> None:
    shelf.filters.bare.click()
    filled = bare_days_filled(service.report, shelf.windows)
    assert service.report.bare and filled
    shown = [entry.cultivar.id for entry in shelf.view.model().entries]
    assert set(shown) == set(filled)
    days = [filled[name] for name in shown]
    assert days == sorted(days, reverse=True)
    first = shelf.view.model().index(0)
    assert list(first.data(Role.NOTES)) == [f"{days[0]} bare days"]
    assert shelf.summary.text().endswith("flower on bare days of this season")
    shelf.filters.bare.click()
    assert not shelf.view.model().index(0).data(Role.NOTES)


def test_a_yard_without_bare_days_says_so(shelf, document, service, qtbot) -> None:
    document.edit(
        "Nothing is bare",
        lambda yard: yard.model_copy(
            update={"settings": yard.settings.model_copy(update={"bare_threshold": 0.0})}
        ),
    )
    qtbot.waitUntil(lambda: not service.report.bare, timeout=20_000)
    shelf.filters.bare.click()
    assert shelf.view.model().rowCount() == 0
    assert "No day of this season is bare" in shelf.empty.text()
    document.undo_stack.undo()
    qtbot.waitUntil(lambda: shelf.view.model().rowCount() > 0, timeout=20_000)


def test_a_yard_without_flowers_says_so(empty_document, empty_service, qtbot) -> None:
    panel = ShelfPanel(empty_document, empty_service)
    qtbot.addWidget(panel)
    qtbot.waitUntil(lambda: bool(panel.windows), timeout=20_000)
    panel.filters.bare.click()
    assert "Nothing flowers in this yard yet" in panel.empty.text()
    panel.stop()
