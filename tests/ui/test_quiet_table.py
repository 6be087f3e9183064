"""Tables to read: rows made as they are seen, and the chosen one kept when others come."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from bloomline.plan.forecast.later import LaterItems
from bloomline.ui.quiet_table import Line, QuietTable


@pytest.fixture
def holder(qtbot: QtBot) -> QWidget:
    """A window for the table."""
    holder = QWidget()
    qtbot.addWidget(holder)
    holder.resize(400, 300)
    return holder


@pytest.fixture
def table(holder: QWidget, qtbot: QtBot) -> QuietTable:
    """A table that is seen."""
    table = QuietTable(holder, name="some", heads=("Pot", "Days"), wide=0)
    table.resize(400, 300)
    holder.show()
    qtbot.waitExposed(holder)
    return table


def lines(count: int, made: list[int] | None = None) -> LaterItems[Line]:
    def line(at: int) -> Line:
        if made is not None:
            made.append(at)
        return Line((f"Pot {at}", str(at)), "told", {1: "days told"})

    return LaterItems(count, line)


def test_of_thousands_of_lines_few_are_made_again_and_again(
    table: QuietTable, qtbot: QtBot
) -> None:
    made: list[int] = []
    for _ in range(3):
        table.show_lines(lines(5_000, made), right=(1,))
        qtbot.wait(20)
    assert table.row_count() == 5_000
    assert len(made) < 3 * 120


def test_a_narrow_column_is_as_wide_as_its_words(table: QuietTable) -> None:
    table.show_lines([Line(("Pot", "1"))])
    before = table.columnWidth(1)
    table.show_lines([Line(("Pot", "a hundred and twenty-one days"))])
    assert table.columnWidth(1) > 2 * before


def test_the_row_chosen_stays_when_other_lines_come(table: QuietTable, qtbot: QtBot) -> None:
    table.show_lines(lines(9))
    table.setFocus()
    with qtbot.waitSignal(table.row_chosen, timeout=1_000) as told:
        table.choose(3)
    assert told.args == [3]
    with qtbot.waitSignal(table.row_chosen, timeout=1_000):
        QTest.keyClick(table, Qt.Key.Key_Down)
    with qtbot.assertNotEmitted(table.row_chosen):
        table.show_lines(lines(12))
    assert table.row == 4
    with qtbot.assertNotEmitted(table.row_chosen):
        table.show_lines(lines(2))
    assert table.row < 2
    with qtbot.assertNotEmitted(table.row_chosen):
        table.show_lines(())
    assert table.row == -1


def test_a_cell_says_more_in_its_tip(table: QuietTable) -> None:
    table.show_lines([*lines(1), Line(("alone", "2"))])
    model = table.model()
    tips = [model.index(r, c).data(Qt.ItemDataRole.ToolTipRole) for r in (0, 1) for c in (0, 1)]
    assert tips == ["told", "days told", "alone", "2"]


def test_other_columns_begin_without_lines(table: QuietTable) -> None:
    table.show_lines(lines(4))
    table.show_heads(("Pot", "Days"))
    assert table.row_count() == 4  # the same columns
    table.show_heads(("Pot", "Days", "Weeks"))
    assert (table.row_count(), table.column_count()) == (0, 3)
