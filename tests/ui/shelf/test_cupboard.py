"""The cupboard on the shelf: counted, corrected, taken out, planted from, by mouse and by keys."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from bloomline.model.store_edits import set_stock
from bloomline.plan.shop.buying import shopping_list
from bloomline.ui.shelf.model import Role
from bloomline.ui.shelf.planting import plant_in_selected_pot, stock_of, stock_words

LEFT = Qt.MouseButton.LeftButton
CROCUS = "crocus-tommasinianus"


def ids(shelf) -> list[str]:
    return [entry.cultivar.id for entry in shelf.view.model().entries]


def press(shelf, name: str) -> None:
    menu = shelf.deeds.menu()
    next(each for each in menu.actions() if each.objectName() == name).trigger()
    menu.close()


def stock(document) -> dict[str, int]:
    return {item.cultivar_id: item.count for item in document.yard.cupboard}


def put(document, cultivar_id: str, count: int) -> None:
    document.edit("Put", lambda yard: set_stock(yard, cultivar_id, count))


def test_a_count_is_typed_by_keys_and_shown_on_the_entry(shelf, document) -> None:
    shelf.show_cultivar(CROCUS)
    shelf.view.setFocus()
    assert shelf.cupboard.isHidden()
    QTest.keyClick(shelf.view, Qt.Key.Key_F2)
    assert shelf.cupboard.count.hasFocus()
    QTest.keyClicks(shelf.cupboard.count, "40")
    QTest.keyClick(shelf.cupboard.count, Qt.Key.Key_Return)
    assert shelf.view.hasFocus() and shelf.cupboard.isHidden()
    assert stock(document) == {CROCUS: 40}
    index = shelf.view.currentIndex()
    assert list(index.data(Role.NOTES)) == ["40 in the cupboard"]
    assert "40 in the cupboard" in index.data(Qt.ItemDataRole.AccessibleTextRole)
    assert document.undo_stack.undoText() == "Count the cupboard"
    document.undo_stack.undo()
    assert stock(document) == {} and not index.data(Role.NOTES)


def test_escape_leaves_the_count_as_it_was(shelf, document) -> None:
    put(document, CROCUS, 7)
    shelf.show_cultivar(CROCUS)
    shelf.view.setFocus()
    QTest.keyClick(shelf.view, Qt.Key.Key_F2)
    QTest.keyClicks(shelf.cupboard.count, "99")
    QTest.keyClick(shelf.cupboard.count, Qt.Key.Key_Escape)
    assert shelf.view.hasFocus() and stock(document) == {CROCUS: 7}
    assert shelf.cupboard.count.value() == 7


def test_the_filter_shows_what_lies_there_and_follows_it(shelf, document) -> None:
    put(document, CROCUS, 40)
    put(document, "lilium-regale", 3)
    shelf.filters.cupboard.click()
    assert set(ids(shelf)) == {CROCUS, "lilium-regale"}
    assert shelf.cupboard.isVisible()
    assert "out of the cupboard" in shelf.summary.text()
    shelf.show_cultivar("lilium-regale")
    press(shelf, "shelf_menu_take_out")
    assert ids(shelf) == [CROCUS] and stock(document) == {CROCUS: 40}
    document.undo_stack.undo()
    assert set(ids(shelf)) == {CROCUS, "lilium-regale"}
    for name in (CROCUS, "lilium-regale"):
        put(document, name, 0)
    assert ids(shelf) == [] and "Nothing lies in the cupboard" in shelf.empty.text()


def test_planting_from_it_takes_no_more_than_are_left_and_says_how_many(
    shelf, document, qtbot
) -> None:
    put(document, CROCUS, 40)
    document.select(pot_id="pot-10")
    shelf.filters.cupboard.click()
    shelf.show_cultivar(CROCUS)
    shelf.view.setFocus()
    planned = sum(layer.count for _, layer in document.yard.layers() if layer.cultivar_id == CROCUS)
    assert planned == 0
    with qtbot.waitSignal(shelf.message) as told:
        QTest.keyClick(shelf.view, Qt.Key.Key_Return)
    layer = document.selected_layer()
    assert layer is not None and layer.cultivar_id == CROCUS and 0 < layer.count <= 40
    left = 40 - layer.count
    assert stock_of(document, CROCUS).left == left
    assert told.args == [stock_words(document, CROCUS)]
    assert stock(document) == {CROCUS: 40}  # the plan takes them, the count stays
    document.undo_stack.undo()
    assert document.selected_layer() is None and stock_of(document, CROCUS).left == 40


def test_a_few_bulbs_make_a_small_layer(shelf, document) -> None:
    put(document, CROCUS, 5)
    document.select(pot_id="pot-10")
    shelf.show_cultivar(CROCUS)
    press(shelf, "shelf_menu_from_cupboard")
    layer = document.selected_layer()
    assert layer is not None and layer.count == 5
    assert stock_words(document, CROCUS) == "That takes the last of this kind out of the cupboard"
    menu = shelf.deeds.menu()
    again = next(a for a in menu.actions() if a.objectName() == "shelf_menu_from_cupboard")
    assert not again.isEnabled()
    menu.close()


def test_planting_more_than_lie_there_says_what_is_to_be_bought(document) -> None:
    put(document, CROCUS, 1)
    document.select(pot_id="pot-10")
    assert plant_in_selected_pot(document, CROCUS) is None
    layer = document.selected_layer()
    assert layer is not None and layer.count > 1
    assert f"{layer.count - 1} bulbs are still to be bought" in stock_words(document, CROCUS)


def test_counting_in_steps_is_one_step_back(shelf, document) -> None:
    shelf.show_cultivar(CROCUS)
    shelf.view.setFocus()
    QTest.keyClick(shelf.view, Qt.Key.Key_F2)
    for _ in range(4):
        QTest.keyClick(shelf.cupboard.count, Qt.Key.Key_Up)
    assert stock(document) == {CROCUS: 4}
    document.undo_stack.undo()
    assert stock(document) == {} and document.undo_stack.index() == 0


@pytest.mark.parametrize("count", [0, 12])
def test_the_buy_page_counts_the_same_store(document, count) -> None:
    name = shopping_list(document.outlook).bulbs[0].cultivar_id
    put(document, name, count)
    (line,) = (each for each in shopping_list(document.outlook).bulbs if each.cultivar_id == name)
    known = stock_of(document, name)
    assert (known.count if known else 0) == line.in_cupboard == count
    if known:
        assert known.to_buy == line.to_buy
