"""Several pots or layers selected in the picture, and what one edit then does to all."""

from __future__ import annotations

import json
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

from bloomline.model import edits
from bloomline.ui.clipboard import MIME_TYPE

LEFT = Qt.MouseButton.LeftButton
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
Key = Qt.Key


@pytest.fixture
def canvas(panel: Any) -> Any:
    panel.canvas.fit_all()
    panel.canvas.setFocus()
    return panel.canvas


def on_label(canvas: Any, at: int) -> QPoint:
    placed = canvas.row.pots[at]
    return QPoint(round(canvas.view.origin_x + placed.middle), round(canvas.view.ground_y + 6))


def on_layer(canvas: Any, layer_id: str) -> QPoint:
    pot = canvas.document.yard.layer(layer_id)[0]
    spots = next(each for each in canvas.cut_of(pot).layers if each.layer_id == layer_id)
    middle = 0.5 * (spots.tip_cm + spots.base_cm)
    return canvas.point_in_pot(pot.id, depth_cm=middle).toPoint()


def click(canvas: Any, at: QPoint, keys: Any = Qt.KeyboardModifier.NoModifier) -> None:
    QTest.mouseClick(canvas, LEFT, keys, at)


def test_ctrl_adds_pots_and_takes_them_out_shift_takes_all_between(canvas, document) -> None:
    pots = [pot.id for pot in document.yard.pots]
    click(canvas, on_label(canvas, 0))
    click(canvas, on_label(canvas, 2), CTRL)
    assert document.selection.pots == (pots[0], pots[2])
    assert document.pot_id == pots[2]
    click(canvas, on_label(canvas, 0), CTRL)
    assert document.selection.pots == (pots[2],)
    click(canvas, on_label(canvas, 1))
    click(canvas, on_label(canvas, 4), SHIFT)
    assert document.selection.pots == tuple(pots[1:5])
    click(canvas, on_label(canvas, 0), SHIFT)  # from the same one on, the other way
    assert set(document.selection.pots) == set(pots[:2])
    click(canvas, on_label(canvas, 3))
    assert document.selection.pots == (pots[3],)


def test_layers_of_several_pots_are_selected_and_shown_selected(canvas, document) -> None:
    one, other = (pot.layers[0].id for pot in document.yard.pots[:2])
    click(canvas, on_layer(canvas, one))
    before = canvas.grab().toImage()
    click(canvas, on_layer(canvas, other), CTRL)
    assert document.selection.layers == (one, other) and not document.selection.pots
    assert canvas.grab().toImage() != before
    assert "2 layers" in canvas.accessibleDescription()
    click(canvas, QPoint(3, 3), CTRL)  # beside the pots: what took pains stays
    assert len(document.selection.layers) == 2
    click(canvas, QPoint(3, 3))
    assert document.selection.ids == ()


def test_a_click_on_a_layer_goes_on_with_pots_while_pots_are_selected(canvas, document) -> None:
    click(canvas, on_label(canvas, 0))
    click(canvas, on_layer(canvas, document.yard.pots[1].layers[0].id), CTRL)
    assert document.selection.pots == tuple(pot.id for pot in document.yard.pots[:2])


def test_the_keyboard_selects_what_the_mouse_can(canvas, document) -> None:
    pots = document.yard.pots
    QTest.keyClick(canvas, Key.Key_Home)
    for _ in range(2):
        QTest.keyClick(canvas, Key.Key_Right, SHIFT)
    assert document.selection.pots == tuple(pot.id for pot in pots[:3])
    QTest.keyClick(canvas, Key.Key_Left, SHIFT)
    assert document.selection.pots == tuple(pot.id for pot in pots[:2])
    # Some that do not stand side by side.
    QTest.keyClick(canvas, Key.Key_Home)
    for _ in range(3):
        QTest.keyClick(canvas, Key.Key_Right, CTRL | SHIFT)
    assert document.selection.pots == (pots[0].id,)
    QTest.keyClick(canvas, Key.Key_Space, CTRL)
    assert document.selection.pots == (pots[0].id, pots[3].id)
    QTest.keyClick(canvas, Key.Key_Space, CTRL)
    assert document.selection.pots == (pots[0].id,)
    # Layers, downwards.
    QTest.keyClick(canvas, Key.Key_Escape)
    document.select(pot_id=pots[0].id)
    QTest.keyClick(canvas, Key.Key_Down)
    QTest.keyClick(canvas, Key.Key_Down, SHIFT)
    assert document.selection.layers == tuple(each.id for each in pots[0].layers[::-1][:2])
    QTest.keyClick(canvas, Key.Key_A, CTRL)
    assert set(document.selection.layers) == {each.id for each in pots[0].layers}
    QTest.keyClick(canvas, Key.Key_A, CTRL)
    assert len(document.selection.layers) == len(list(document.yard.layers()))
    QTest.keyClick(canvas, Key.Key_Escape)
    assert len(document.selection.layers) == 1
    QTest.keyClick(canvas, Key.Key_Escape)
    assert document.selection.pots and document.layer_id is None
    QTest.keyClick(canvas, Key.Key_A, CTRL)
    assert len(document.selection.pots) == len(pots)


def test_what_is_gone_is_selected_no_more_and_the_rest_stays(canvas, document) -> None:
    pots = [pot.id for pot in document.yard.pots]
    document.select_all(pots[:3], current=pots[1])
    document.edit("Remove", lambda yard: edits.remove_pot(yard, pots[1]))
    assert document.selection.pots == (pots[0], pots[2])
    assert document.pot_id in document.selection.pots
    document.undo_stack.undo()
    assert document.selection.pots == (pots[0], pots[2])


def test_deleting_and_duplicating_many_is_one_step_each(canvas, document, panel) -> None:
    before, pots = document.yard, [pot.id for pot in document.yard.pots]
    document.select_all(pots[:3])
    QTest.keyClick(canvas, Key.Key_D, CTRL)
    assert len(document.yard.pots) == len(pots) + 3
    assert len(document.selection.pots) == 3 and not set(document.selection.pots) & set(pots)
    assert document.undo_stack.count() == 1
    QTest.keyClick(canvas, Key.Key_Delete)
    assert [pot.id for pot in document.yard.pots] == pots
    assert document.undo_stack.count() == 2
    document.undo_stack.undo()
    document.undo_stack.undo()
    assert document.yard == before


def test_no_handles_and_no_renaming_while_several_are_selected(canvas, document, panel) -> None:
    pots = [pot.id for pot in document.yard.pots]
    document.select(pot_id=pots[0])
    placed = canvas.row.of(pots[0])
    x, y = placed.handles(canvas.camera.scale)["height"]
    at = QPoint(round(canvas.view.origin_x + x), round(canvas.view.ground_y + y))
    assert canvas.handle_at(at) == "height"
    document.select_all(pots[:2])
    assert canvas.handle_at(at) is None
    assert not panel.commands.rename.isEnabled() and panel.commands.delete.isEnabled()


# Cut, copy and paste


def test_copied_layers_are_pasted_into_every_pot_selected(canvas, document, qtbot) -> None:
    source, pots = document.yard.pots[0], document.yard.pots
    document.select_all([source.layers[0].id, source.layers[1].id])
    with qtbot.waitSignal(canvas.carrying.parent().said):
        QTest.keyClick(canvas, Key.Key_C, CTRL)
    document.select_all([pots[1].id, pots[2].id])
    QTest.keyClick(canvas, Key.Key_V, CTRL)
    after = document.yard.pots
    assert [len(pot.layers) for pot in after[:3]] == [
        len(pots[0].layers),
        len(pots[1].layers) + 2,
        len(pots[2].layers) + 2,
    ]
    assert document.undo_stack.count() == 1
    assert len(document.selection.layers) == 4
    text = QApplication.clipboard().text()
    assert f"{source.layers[0].count} × " in text and "deep" in text


def test_a_cut_keeps_its_records_and_pastes_them_once(canvas, document) -> None:
    before = document.yard
    pot = before.layer(before.records[0].layer_id)[0]
    document.select(pot_id=pot.id)
    QTest.keyClick(canvas, Key.Key_X, CTRL)
    assert pot.id not in {each.id for each in document.yard.pots}
    lost = len(before.records) - len(document.yard.records)
    assert lost > 0
    for _ in range(2):
        QTest.keyClick(canvas, Key.Key_V, CTRL)
    assert len(document.yard.records) == len(before.records)
    assert len(document.yard.pots) == len(before.pots) + 1
    for _ in range(3):
        document.undo_stack.undo()
    assert document.yard == before


@pytest.mark.parametrize("damage", ["cut off", "bad value", "other thing"])
def test_damaged_data_is_refused_in_words_and_changes_nothing(
    panel, canvas, document, damage
) -> None:
    document.select(pot_id=document.yard.pots[0].id)
    panel.commands.copy.trigger()
    raw = bytes(QApplication.clipboard().mimeData().data(MIME_TYPE).data())
    parcel = json.loads(raw)
    if damage == "cut off":
        raw = raw[: len(raw) // 2]
    elif damage == "bad value":
        parcel["pots"][0]["layers"][0]["count"] = 10**9
        raw = json.dumps(parcel).encode()
    else:
        raw = b'{"format": "bloomline-yard"}'
    data = QMimeData()
    data.setData(MIME_TYPE, raw)
    QApplication.clipboard().setMimeData(data)
    before, told = document.yard, []
    panel.said.connect(told.append)
    assert panel.commands.paste.isEnabled()
    panel.commands.paste.trigger()
    assert document.yard is before and document.undo_stack.count() == 0
    assert len(told) == 1 and told[0].startswith("Nothing is pasted. ")


def test_paste_is_offered_when_there_is_something_to_paste(panel, canvas, document) -> None:
    assert not panel.commands.paste.isEnabled()
    QApplication.clipboard().setText("tulips")
    assert not panel.commands.paste.isEnabled()
    document.select(pot_id=document.yard.pots[0].id)
    panel.commands.copy.trigger()
    assert panel.commands.paste.isEnabled()
    QApplication.clipboard().setText("tulips")
    assert not panel.commands.paste.isEnabled()


@pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")
def test_a_right_click_takes_the_layer_under_it_unless_its_pot_is_one_of_many(
    canvas, document
) -> None:
    pots = document.yard.pots
    layer = pots[0].layers[0].id
    at = on_layer(canvas, layer)
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, canvas.mapToGlobal(at))
    document.select(pot_id=pots[0].id)
    QApplication.sendEvent(canvas, event)
    assert document.layer_id == layer
    document.select_all([pots[0].id, pots[1].id])
    QApplication.sendEvent(canvas, event)
    assert len(document.selection.pots) == 2
    for menu in canvas.findChildren(QMenu):
        menu.close()
