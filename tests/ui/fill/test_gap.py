"""A gap on the shelf: what would fill it, in which order, and what planting a row does."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from bloomline.plan.fill.gap import fill_gap
from bloomline.plan.fill.gap_words import GAP_ORDERS, filler_told, filler_words
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.shop.buying import shopping_list
from bloomline.ui.cargo import cargo_of
from bloomline.ui.document import Document
from bloomline.ui.fill.gap_list import FILLER
from bloomline.ui.fill.gap_panel import GapPanel
from bloomline.ui.units import units_of

_LONG = 60_000
FIRST, LAST = date(2027, 6, 8), date(2027, 7, 6)


@pytest.fixture
def clock() -> Callable[[], date]:
    return lambda: date(2026, 11, 20)


@pytest.fixture
def panel(document: Document, qtbot: QtBot) -> Iterator[GapPanel]:
    made = GapPanel(document)
    qtbot.addWidget(made)
    made.resize(290, 600)
    made.wishes.follow(document.outlook)  # pets are about in this yard
    made.wishes.harmless.setChecked(False)
    with qtbot.waitExposed(made):
        made.show()
    made.show_gap(FIRST, LAST)
    made.list.setFocus()
    qtbot.waitUntil(lambda: made.found is not None, timeout=_LONG)
    yield made
    made.stop()


def _rows(panel: GapPanel) -> list:
    model = panel.list.model()
    return [model.index(row, 0).data(FILLER) for row in range(model.rowCount())]


def test_it_lists_what_the_planner_says_most_days_for_the_money_first(
    panel: GapPanel, document: Document
) -> None:
    expected = fill_gap(document.outlook.usual, FIRST, LAST)
    assert tuple(_rows(panel)) == expected.fillers
    assert len(expected.fillers) > 5
    rates = [each.days_per_money or 0.0 for each in _rows(panel)]
    assert rates == sorted(rates, reverse=True)
    assert "8 June" in panel.heading.text() and "6 July" in panel.heading.text()
    assert panel.working.isHidden()


def test_a_row_says_all_that_matters_in_words(panel: GapPanel, document: Document) -> None:
    each = _rows(panel)[0]
    told = filler_told(each, units=units_of(document.yard), currency="GBP")
    index = panel.list.model().index(0, 0)
    assert index.data(Qt.ItemDataRole.ToolTipRole) == told
    for part in (each.name, each.pot_name, str(each.layer.count), "cm", "£", "days", "Planted"):
        assert part in told
    harmful = next(row for row in _rows(panel) if row.harm)
    words = filler_words(harmful, units=units_of(document.yard), currency="GBP")
    assert words.signs
    assert panel.caution.isVisible()  # gloves and children


def test_names_of_a_narrow_list_still_tell_its_kinds_apart(panel: GapPanel) -> None:
    rows = _rows(panel)
    assert sum(each.name.startswith("Ranunculus asiaticus (") for each in rows) > 1
    for room in (14, 18, 24, 30):  # letters
        named = {each.name: panel.list.rows.name_in(each, room=room, measure=len) for each in rows}
        kept = [name for name in named if name.startswith("Ranunculus")]
        assert len({named[name] for name in kept}) == len(kept)
        assert all(len(shown) <= room for shown in named.values())


@pytest.mark.parametrize("order", GAP_ORDERS)
def test_other_orders_are_by_choice(panel: GapPanel, order: str) -> None:
    before = set(_rows(panel))
    panel.order.setCurrentIndex(panel.order.findData(order))
    rows = _rows(panel)
    assert set(rows) == before
    keys = {
        "worth": [-(each.days_per_money or 0.0) for each in rows],
        "days": [-each.days_gained for each in rows],
        "cost": [float(each.cost) if each.cost is not None else 1e9 for each in rows],
        "opens": [each.opens for each in rows],
        "pot": [each.pot_name.casefold() for each in rows],
        "name": [each.name.casefold() for each in rows],
    }[order]
    assert keys == sorted(keys)


def test_enter_plants_one_step_and_works_the_list_out_anew(
    panel: GapPanel, document: Document, qtbot: QtBot
) -> None:
    first, old = _rows(panel)[0], panel.found
    before, steps = document.yard, document.undo_stack.count()
    spent = shopping_list(document.outlook.usual).total
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    assert document.undo_stack.count() == steps + 1
    new = document.yard.pot(first.pot_id).layers[-1]
    assert new == first.layer.model_copy(update={"id": new.id})
    assert document.layer_id == new.id
    assert shopping_list(document.outlook.usual).total - spent == first.cost
    qtbot.waitUntil(lambda: panel.found is not old, timeout=_LONG)
    assert panel.found is not None and old is not None
    # What is filled is no longer bare, by as many days as the row said.
    assert old.bare - panel.found.bare == pytest.approx(first.days_gained, abs=0.05)
    document.undo_stack.undo()
    assert document.yard == before


def test_the_button_and_a_double_click_plant_too(panel: GapPanel, document: Document) -> None:
    steps = document.undo_stack.count()
    index = panel.list.model().index(1, 0)
    wanted = index.data(FILLER)
    panel.list.setCurrentIndex(index)
    panel.button.click()
    assert document.undo_stack.count() == steps + 1
    new = document.yard.pot(wanted.pot_id).layers[-1]
    assert new == wanted.layer.model_copy(update={"id": new.id})
    rect = panel.list.visualRect(panel.list.model().index(0, 0))
    at = rect.center()
    QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    QTest.mouseDClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert document.undo_stack.count() == steps + 2


def test_a_row_is_carried_like_a_bulb_of_the_shelf(panel: GapPanel) -> None:
    model = panel.list.model()
    cargo = cargo_of(model.mimeData([model.index(0, 0)]))
    assert cargo is not None
    assert (cargo.kind, cargo.id) == ("cultivar", _rows(panel)[0].layer.cultivar_id)


def test_scent_harm_and_height_are_wished_for_as_elsewhere(
    panel: GapPanel, document: Document, qtbot: QtBot
) -> None:
    before = _rows(panel)
    assert any(not each.scent for each in before) and any(each.harm for each in before)
    tallest = min(each.height_cm for each in before) + 15
    wishes = Wishes(scent=True, harmless=True, height_most_cm=tallest)

    panel.wishes.scent.click()
    panel.wishes.harmless.click()
    panel.wishes.tallest.set_length_cm(tallest)
    expected = fill_gap(document.outlook.usual, FIRST, LAST, wishes=wishes)
    qtbot.waitUntil(
        lambda: panel.found is not None and panel.found.fillers == expected.fillers, timeout=_LONG
    )
    assert len(expected.fillers) < len(before)
    assert not any(each.harm for each in expected.fillers)
    assert all(each.height_cm <= tallest for each in expected.fillers)


def test_where_pets_are_about_it_begins_with_harmless_kinds(
    document: Document, qtbot: QtBot
) -> None:
    document.edit(
        "Pets",
        lambda yard: yard.model_copy(
            update={"settings": yard.settings.model_copy(update={"pets": True})}
        ),
    )
    panel = GapPanel(document)
    qtbot.addWidget(panel)
    panel.show_gap(FIRST, LAST)
    assert panel.wishes.wishes().harmless
    panel.wishes.harmless.click()
    panel.show_gap(FIRST, LAST)
    assert not panel.wishes.wishes().harmless  # the gardener's own word stands
    panel.stop()


def test_days_are_typed_as_well(panel: GapPanel, qtbot: QtBot) -> None:
    old = panel.found
    panel.first.setDate(QDate(2027, 6, 20))
    qtbot.waitUntil(lambda: panel.found is not old, timeout=_LONG)
    assert panel.found is not None and panel.found.first == date(2027, 6, 20)
    panel.last.setDate(QDate(2027, 6, 1))
    qtbot.waitUntil(lambda: not panel.button.isEnabled() and not panel._beside.is_busy)
    assert "lies before" in panel.nothing.text()
    assert panel.pages.currentWidget() is panel.nothing


def test_why_nothing_fills_it(empty_document: Document, qtbot: QtBot) -> None:
    panel = GapPanel(empty_document)
    qtbot.addWidget(panel)
    panel.show()
    panel.show_gap(FIRST, LAST)
    qtbot.waitUntil(lambda: panel.found is not None, timeout=_LONG)
    assert panel.pages.currentWidget() is panel.nothing
    assert "Nothing fills it here. There is no pot yet." in panel.nothing.text()
    panel.stop()


def test_escape_and_the_button_go_back(panel: GapPanel, qtbot: QtBot) -> None:
    with qtbot.waitSignal(panel.left):
        QTest.keyClick(panel.list, Qt.Key.Key_Escape)
    with qtbot.waitSignal(panel.left):
        panel.back.click()


def test_a_search_may_be_stopped_and_says_so(panel: GapPanel, qtbot: QtBot) -> None:
    old = panel.found
    panel.show_gap(date(2027, 2, 1), date(2027, 7, 1))
    assert panel.working.isVisible()
    panel.working.cancel.click()
    qtbot.waitUntil(lambda: panel.found is not old, timeout=_LONG)
    assert "Stopped early" in panel.state.text()
