"""The page with what to buy, driven as a gardener does."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSizeF, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from shiboken6 import isValid

from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import add_companion
from bloomline.model.edits import change_layer, change_money, change_pot
from bloomline.model.yard import Yard
from bloomline.ui.buy.changes import amount, whole
from bloomline.ui.buy.model import LinesModel
from bloomline.ui.buy.page import BuyPage
from bloomline.ui.page_kit import new_printer, paper

TODAY = date(2026, 7, 9)
EDIT = Qt.ItemDataRole.EditRole


def planned(yard: Yard) -> Yard:
    """The demo yard with nine layers still to be planted."""
    for _, layer in list(yard.layers())[:9]:
        yard = change_layer(yard, layer.id, state="planned")
    return yard


@pytest.fixture
def clock() -> Callable[[], date]:
    return lambda: TODAY


@pytest.fixture
def page(document, service, qtbot) -> Iterator[BuyPage]:
    document.replace(planned(document.yard), path=None, seen=None)
    page = BuyPage(document, service)
    qtbot.addWidget(page)
    page.resize(1280, 740)
    page.show()
    settle(page, qtbot)
    yield page
    page.stop()
    page.stop()


def settle(page: BuyPage, qtbot) -> None:
    def is_settled() -> bool:
        listed = page._listed
        return listed is not None and listed.yard is page._document.yard

    qtbot.waitUntil(is_settled, timeout=10_000)


def line_of(page: BuyPage, row: int = 0):
    return page.bulbs.model.line(row)


def type_into(card, row: int, key: str, text: str) -> None:
    """Open the editor of a cell by the keyboard, type, and press Return."""
    index = card.model.index(row, card.model.column(key))
    card.table.setFocus()
    card.table.setCurrentIndex(index)
    QTest.keyClick(card.table, Qt.Key.Key_F2)
    editor = QApplication.focusWidget()
    if not isinstance(editor, QLineEdit):
        editor = card.table.findChild(QLineEdit)
    assert isinstance(editor, QLineEdit)
    editor.selectAll()
    if text:
        QTest.keyClicks(editor, text)
    else:
        QTest.keyClick(editor, Qt.Key.Key_Delete)
    QTest.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()  # the view takes it over a moment later


def cell(card, row: int, key: str) -> str:
    return str(card.model.index(row, card.model.column(key)).data())


def test_the_lists_say_what_the_shopping_list_does(page) -> None:
    shopping = page._listed.shopping
    assert page.bulbs.model.rowCount() == len(shopping.bulbs) > 5
    for row, line in enumerate(shopping.bulbs):
        assert cell(page.bulbs, row, "name") == line.name
        assert cell(page.bulbs, row, "needed") == str(line.needed)
        # What is bought and what lies there cover what is wanted, and the rest is spare.
        assert line.bought + line.in_cupboard == line.needed + line.spare
        assert Decimal(cell(page.bulbs, row, "cost")) == line.cost
    assert page.bags.model.rowCount() == len(shopping.bags)
    assert "from memory" in page.bulbs.foot.text()
    assert "typical" in cell(page.bulbs, 0, "basis")
    assert not page.pots.isVisible()


def test_counting_the_cupboard_by_keyboard_is_one_step_to_undo(page, document, qtbot) -> None:
    line = line_of(page)
    type_into(page.bulbs, 0, "stock", str(line.needed - 1))
    settle(page, qtbot)
    again = next(each for each in page._listed.shopping.bulbs if each.name == line.name)
    assert (again.in_cupboard, again.to_buy) == (line.needed - 1, 1)
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert not document.yard.cupboard


def test_typed_prices_count_and_emptied_ones_go_back_to_typical(page, document, qtbot) -> None:
    line = line_of(page)
    type_into(page.bulbs, 0, "price", "2,75")
    settle(page, qtbot)
    assert [each.price for each in document.yard.prices] == [2.75]
    packs = sum(n for _, n in line_of(page).packs)
    assert line_of(page).cost == packs * Decimal("2.75")
    assert cell(page.bulbs, 0, "basis") == "yours"
    type_into(page.bulbs, 0, "pack", str(line.needed))
    settle(page, qtbot)
    assert line_of(page).packs == ((line.needed, 1),)
    assert line_of(page).cost == Decimal("2.75")
    type_into(page.bulbs, 0, "price", "")
    settle(page, qtbot)
    assert not document.yard.prices
    assert line_of(page).cost == line.cost


@pytest.mark.parametrize(("key", "text"), [("stock", "some"), ("price", "dear"), ("pack", "0")])
def test_what_makes_no_sense_is_refused_in_words(page, document, qtbot, key, text) -> None:
    with qtbot.waitSignal(document.refused, timeout=2000) as told:
        type_into(page.bulbs, 0, key, text)
    assert len(told.args[0]) > 10
    assert document.undo_stack.count() == 0


def test_a_pack_without_a_price_asks_for_the_price_first(page, document, qtbot) -> None:
    document.edit("Krone", lambda yard: change_money(yard, currency="DKK"))
    settle(page, qtbot)
    assert cell(page.bulbs, 0, "price") == "?"
    assert cell(page.bulbs, 0, "basis") == "not known"
    with qtbot.waitSignal(document.refused, timeout=2000) as told:
        type_into(page.bulbs, 0, "pack", "7")
    assert "price" in told.args[0]


def test_a_bag_price_counts_for_that_bag(page, document, qtbot) -> None:
    line = page.bags.model.line(0)
    # One amount for each size of bag that is taken, with or without the currency.
    type_into(page.bags, 0, "price", " + ".join(["£1.25"] * len(line.keys)))
    settle(page, qtbot)
    assert document.yard.supplies.bag_prices
    again = next(each for each in page._listed.shopping.bags if each.material == line.material)
    assert again.cost == sum(n for _, n in again.bags) * Decimal("1.25")
    assert again.basis == "own"


def test_over_the_budget_a_change_is_done_in_one_step(page, document, qtbot) -> None:
    total = page._listed.shopping.total
    page.budget.budget.setValue(float(total) - 10)
    settle(page, qtbot)
    assert "over" in page.budget.state.text()
    qtbot.waitUntil(lambda: bool(page.budget.rows), timeout=30_000)
    assert page._plan.enough
    before, steps = document.yard, document.undo_stack.count()
    QTest.mouseClick(page.budget.rows[0].button, Qt.MouseButton.LeftButton)
    assert document.undo_stack.count() == steps + 1
    settle(page, qtbot)
    assert page._listed.shopping.total < total
    document.undo_stack.undo()
    assert document.yard == before
    page.budget.budget.setValue(0)
    assert document.yard.money.budget is None


def test_prices_go_out_and_come_back_the_same(page, document, tmp_path: Path, qtbot) -> None:
    path = tmp_path / "prices.csv"
    total = page._listed.shopping.total
    page.export_prices(path)
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    assert len(rows) == page.bulbs.model.rowCount()
    page.import_prices(path)
    settle(page, qtbot)
    assert document.undo_stack.count() == 1
    assert page._listed.shopping.total == total
    assert {line.basis for line in page._listed.shopping.bulbs} == {"own"}


def test_bad_rows_of_a_price_list_are_told_with_their_line(page, document, tmp_path: Path) -> None:
    name = line_of(page).cultivar_id
    path = tmp_path / "prices.csv"
    path.write_text(f"cultivar_id,pack,price\n{name},10,2.50\n{name},many,3\nnone,1,1\n")
    page.import_prices(path)
    assert page.notice.isVisible()
    assert "line 3" in page.notice.words.text()
    assert "line 4" in page.notice.words.text()
    assert len(document.yard.prices) == 1
    path.write_text("a,b\n1,2\n")
    page.import_prices(path)
    assert "no column" in page.notice.words.text()


def test_the_list_is_saved_copied_and_printed(page, tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    page.save_csv(path)
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    bulbs = [row for row in rows if row["kind"] == "bulbs"]
    assert [row["name"] for row in bulbs] == [line.name for line in page._listed.shopping.bulbs]
    page.copy()
    assert line_of(page).name[:20] in QGuiApplication.clipboard().text()
    printer = new_printer("list")
    printer.setOutputFileName(str(tmp_path / "list.pdf"))
    paper(page.html()).print_(printer)
    assert (tmp_path / "list.pdf").read_bytes().startswith(b"%PDF")
    page.save_csv(tmp_path / "no folder" / "list.csv")
    assert page.notice.isVisible()


def test_weights_and_lifting_are_told_for_every_pot(page, document) -> None:
    assert page.weights.model.rowCount() == len(document.yard.pots)
    for row in range(page.weights.model.rowCount()):
        assert cell(page.weights, row, "lift")
        weight = page.weights.model.line(row)
        assert weight.dry_kg.high < weight.wet_kg.high
    assert any("weight" in each.topic for each in page.advice.shown)


def test_pots_to_buy_are_listed(page, document, qtbot) -> None:
    document.edit("Buy a pot", lambda yard: change_pot(yard, "pot-2", to_buy=True))
    settle(page, qtbot)
    assert page.pots.isVisible()
    assert cell(page.pots, 0, "count") == "1"


def test_prices_that_are_missing_can_be_typed(page, document, qtbot) -> None:
    def change(yard: Yard) -> Yard:
        yard = change_pot(change_pot(yard, "pot-2", to_buy=True), "pot-3", to_buy=True)
        day = next(line.planned_day for line in page._listed.shopping.bulbs)
        planting = CompanionPlanting(
            id="companion-9", companion_id="winter-pansy", count=6, planted=day
        )
        return add_companion(yard, "pot-2", planting)

    document.edit("Buy pots and pansies", change)
    settle(page, qtbot)
    total = page._listed.shopping.total
    assert cell(page.pots, 0, "price") == cell(page.pots, 0, "cost") == "?"
    type_into(page.pots, 0, "price", "£12.50")
    settle(page, qtbot)
    count = page.pots.model.line(0).count
    assert page._listed.shopping.total == total + count * Decimal("12.50")
    row = next(
        at
        for at in range(page.plants.model.rowCount())
        if page.plants.model.line(at).companion_id == "winter-pansy"
    )
    plants = page.plants.model.line(row).count
    type_into(page.plants, row, "price", "1.20")
    settle(page, qtbot)
    assert page._listed.shopping.plants_total == plants * Decimal("1.20")
    type_into(page.pots, 0, "price", "")
    settle(page, qtbot)
    assert page._listed.shopping.pots_total == 0
    assert "plants £" in page.budget.parts.text()


def test_compost_at_hand_is_not_bought(page, document, qtbot) -> None:
    line = page.bags.model.line(0)
    type_into(page.bags, 0, "have", f"{line.need_l + 5:.0f}")
    settle(page, qtbot)
    again = page.bags.model.line(0)
    assert (again.bags, again.cost) == ((), 0)
    assert cell(page.bags, 0, "bags") == "enough at hand"


def test_the_whole_plan_is_done_in_one_step_and_a_search_can_be_stopped(
    page, document, qtbot
) -> None:
    page.budget.budget.setValue(float(page._listed.shopping.total) * 0.6)
    settle(page, qtbot)
    qtbot.waitUntil(lambda: page.budget.all.isVisible(), timeout=30_000)
    assert "weeks of colour" in page.budget.outcome.text()
    steps = document.undo_stack.count()
    QTest.mouseClick(page.budget.all, Qt.MouseButton.LeftButton)
    settle(page, qtbot)
    assert document.undo_stack.count() == steps + 1
    assert page._listed.shopping.over == 0
    page.budget.budget.setValue(1.0)
    settle(page, qtbot)
    search = page._search
    page._stop_search()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert isValid(search)  # the search beside the window may still be telling how far it is
    qtbot.waitUntil(lambda: not page._saving.is_busy, timeout=30_000)
    assert not page.budget.stop.isVisible()
    assert page._plan is None


def test_the_paper_list_is_short_and_has_boxes_to_tick(page, tmp_path: Path) -> None:
    text = paper(page.html())
    printer = new_printer("list")
    text.setPageSize(QSizeF(printer.pageRect(QPrinter.Unit.Point).size()))
    assert text.pageCount() <= 2
    bought = [line for line in page._listed.shopping.bulbs if line.to_buy]
    words = text.toPlainText()
    assert words.count("☐") >= len(bought) + page.bags.model.rowCount()
    for line in bought:
        assert line.name in words
    # Days, packs and amounts are not broken.
    block, broken = text.begin(), []
    while block.isValid():
        short = "☐" not in block.text() and "\u00a0" in block.text()
        if short and " " not in block.text() and block.layout().lineCount() > 1:
            broken.append(block.text())
        block = block.next()
    assert not broken


def test_an_empty_yard_says_so(empty_document, empty_service, qtbot) -> None:
    page = BuyPage(empty_document, empty_service)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: page._listed is not None, timeout=10_000)
    assert page.empty.isVisible()
    page.stop()


def test_the_model_keeps_qts_rules(page) -> None:
    mode = QAbstractItemModelTester.FailureReportingMode.Fatal
    testers = [
        QAbstractItemModelTester(card.model, mode)
        for card in (page.bulbs, page.bags, page.pots, page.weights)
    ]
    model = LinesModel()
    testers.append(QAbstractItemModelTester(model, mode))
    columns, lines = page.bulbs.model._columns, page.bulbs.model._lines
    for some in (lines[:3], lines[1:4], (), lines):
        model.show_lines(some, columns)
    assert model.rowCount() == len(lines)
    # Only the cupboard, the pack and its price are for typing.
    can = [bool(model.flags(model.index(0, at)) & Qt.ItemFlag.ItemIsEditable) for at in range(12)]
    assert sum(can) == 3
    assert not model.setData(model.index(0, 0), "x", EDIT)


def test_numbers_are_read_as_people_write_them() -> None:
    assert amount("4,95") == amount(" 4.95 ") == amount("£4.95") == amount("4.95 GBP") == 4.95
    assert amount("€ 4,95", currency="EUR") == amount("A$4.95", currency="AUD") == 4.95
    assert whole("1 000") == 1000


def test_names_for_those_who_listen(page) -> None:
    for card in (page.bulbs, page.bags, page.pots, page.weights):
        assert card.table.accessibleName()
    assert page.budget.budget.accessibleName()
    assert len({action.objectName() for action in page.actions()}) == len(page.actions()) == 5
