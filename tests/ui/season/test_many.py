"""Several rows of the season, in the timeline and in its table twin."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from PySide6.QtCore import QItemSelectionModel, QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

LEFT = Qt.MouseButton.LeftButton
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
Key = Qt.Key


def on_name(panel: Any, name: str) -> QPoint:
    index = panel.view.shown.rows.of(name)
    return QPoint(20, round(panel.view.row_y(index)))


def click(panel: Any, name: str, keys: Any = Qt.KeyboardModifier.NoModifier) -> None:
    QTest.mouseClick(panel.view.viewport(), LEFT, keys, on_name(panel, name))


def parts(panel: Any) -> list[str]:
    return [row.part_id for row in panel.view.shown.rows.rows if row.plant is not None]


def test_ctrl_and_shift_select_rows_and_rows_show_it(panel, document) -> None:
    rows = parts(panel)
    click(panel, rows[0])
    before = panel.view.grab().toImage()
    click(panel, rows[2], CTRL)
    assert document.selection.layers == (rows[0], rows[2])
    assert panel.view.grab().toImage() != before
    click(panel, rows[2], CTRL)
    assert document.selection.layers == (rows[0],)
    click(panel, rows[3], SHIFT)
    assert document.selection.layers == tuple(rows[2:4])  # from the one clicked last
    click(panel, rows[1])
    assert document.selection.layers == (rows[1],)


def test_headings_select_pots(panel, document) -> None:
    pots = [pot.id for pot in document.yard.pots]
    click(panel, pots[0])
    click(panel, pots[1], CTRL)
    assert document.selection.pots == tuple(pots[:2])


def test_rows_are_selected_by_keys(panel, document) -> None:
    rows, view = parts(panel), panel.view
    click(panel, rows[0])
    view.setFocus()
    QTest.keyClick(view, Key.Key_Down, SHIFT)
    QTest.keyClick(view, Key.Key_Down, SHIFT)
    assert document.selection.layers == tuple(rows[:3])
    QTest.keyClick(view, Key.Key_Up, SHIFT)
    assert document.selection.layers == tuple(rows[:2])
    click(panel, rows[0])
    QTest.keyClick(view, Key.Key_Down, CTRL)
    QTest.keyClick(view, Key.Key_Down, CTRL)
    assert document.selection.layers == (rows[0],)
    QTest.keyClick(view, Key.Key_Space, CTRL)
    assert document.selection.layers == (rows[0], rows[2])
    QTest.keyClick(view, Key.Key_Space, CTRL)
    assert document.selection.layers == (rows[0],)
    QTest.keyClick(view, Key.Key_Space, CTRL)
    QTest.keyClick(view, Key.Key_Escape)  # the keyboard comes back to what is selected
    QTest.keyClick(view, Key.Key_Escape)
    assert document.selection.layers == (rows[2],)


def test_the_planting_days_of_all_move_in_one_step(panel, document) -> None:
    ids = [pot.layers[0].id for pot in document.yard.pots[:3]]
    before = {each: document.yard.layer(each)[1].planted for each in ids}
    document.select_all(ids)
    panel.view.setFocus()
    for _ in range(2):
        QTest.keyClick(panel.view, Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    for name, day in before.items():
        assert document.yard.layer(name)[1].planted == day - timedelta(days=2)
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert {each: document.yard.layer(each)[1].planted for each in ids} == before


def test_the_table_selects_several_rows_and_follows(panel, document) -> None:
    panel._actions["season_as_table"].trigger()
    table, model = panel.table_view, panel.table_view.model()
    table.setFocus()
    rows = parts(panel)
    for row, keys in ((0, Qt.KeyboardModifier.NoModifier), (2, CTRL)):
        at = table.visualRect(model.index(row, 1)).center()
        QTest.mouseClick(table.viewport(), LEFT, keys, at)
    assert set(document.selection.layers) == {rows[0], rows[2]}
    QTest.keyClick(table, Key.Key_Down, SHIFT)
    assert len(document.selection.layers) >= 2
    document.select_all([rows[1], rows[4]], current=rows[4])
    chosen = {index.row() for index in table.selectionModel().selectedRows()}
    assert chosen == {1, 4} and table.currentIndex().row() == 4
    # Another order keeps what is selected.
    table.sortByColumn(1, Qt.SortOrder.DescendingOrder)
    assert set(document.selection.layers) == {rows[1], rows[4]}
    table.selectionModel().select(model.index(0, 0), QItemSelectionModel.SelectionFlag.NoUpdate)
    document.select(layer_id=rows[0])
    assert len(table.selectionModel().selectedRows()) == 1


@pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")
def test_a_right_click_on_one_of_many_keeps_them_all(panel, document) -> None:
    rows = parts(panel)
    document.select_all(rows[:2])
    panel.offer([panel._actions["season_fit"]])
    for name, left in ((rows[1], 2), (rows[3], 1)):
        at = on_name(panel, name)
        reason = QContextMenuEvent.Reason.Mouse
        event = QContextMenuEvent(reason, at, panel.view.mapToGlobal(at))
        QApplication.sendEvent(panel.view.viewport(), event)
        for menu in panel.view.findChildren(QMenu):
            menu.close()
        assert len(document.selection.layers) == left
