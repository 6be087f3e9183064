"""Carrying over the yard: real drop events, refusals, copies, and the same by keys."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragLeaveEvent, QDragMoveEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from bloomline.model import edits
from bloomline.plan.carry.drops import Cargo
from bloomline.ui.cargo import MIME_TYPE, cargo_of, mime_of

ACTIONS = Qt.DropAction.MoveAction | Qt.DropAction.CopyAction
NONE = Qt.KeyboardModifier.NoModifier
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
LEFT = Qt.MouseButton.LeftButton


def painted(canvas):
    """The canvas once all its pots have been made."""
    for _ in range(60):
        canvas._rest.stop()
        image = canvas.grab().toImage()
        if not canvas._rest.isActive():
            return image
    raise AssertionError("pots are still being made")


class Hand:
    """Carries a cargo over the canvas as the system would."""

    def __init__(self, canvas, cargo: Cargo, modifiers=NONE):
        self.canvas = canvas
        self.data = mime_of(cargo)
        self.modifiers = modifiers

    def enter(self, point: QPointF) -> bool:
        event = QDragEnterEvent(point.toPoint(), ACTIONS, self.data, LEFT, self.modifiers)
        QApplication.sendEvent(self.canvas, event)
        return event.isAccepted()

    def move(self, point: QPointF) -> bool:
        event = QDragMoveEvent(point.toPoint(), ACTIONS, self.data, LEFT, self.modifiers)
        event.ignore()
        QApplication.sendEvent(self.canvas, event)
        return event.isAccepted()

    def drop(self, point: QPointF) -> bool:
        self.enter(point)
        self.move(point)
        event = QDropEvent(point, ACTIONS, self.data, LEFT, self.modifiers)
        event.ignore()
        QApplication.sendEvent(self.canvas, event)
        return event.isAccepted()


@pytest.fixture
def canvas(panel):
    return panel.canvas


def pot_ids(document) -> list[str]:
    return [pot.id for pot in document.yard.pots]


def test_a_cultivar_dropped_in_a_pot_is_planted_where_the_pointer_was(canvas, document):
    pot = document.yard.pots[2]
    point = canvas.point_in_pot(pot.id, depth_cm=13.0)
    before = document.yard
    assert Hand(canvas, Cargo("cultivar", "tulipa-apricot-beauty")).drop(point)
    after = document.yard.pot(pot.id)
    assert len(after.layers) == len(pot.layers) + 1
    layer = document.selected_layer()
    assert layer.cultivar_id == "tulipa-apricot-beauty"
    kind = document.cultivar(layer.cultivar_id)
    middle = pot.rim_gap_cm + pot.top_dressing_cm + layer.cover_cm + kind.bulb_height_cm / 2
    assert middle == pytest.approx(13.0, abs=0.5)  # half centimetres, and whole pixels
    document.undo_stack.undo()
    assert document.yard == before
    assert document.layer_id is None
    document.undo_stack.redo()
    assert len(document.yard.pot(pot.id).layers) == len(after.layers)


def test_the_marker_shows_depth_bulbs_and_words_while_carrying(canvas, document):
    pot = document.yard.pots[2]
    before = painted(canvas)
    hand = Hand(canvas, Cargo("cultivar", "tulipa-apricot-beauty"))
    point = canvas.point_in_pot(pot.id, depth_cm=14.0)
    hand.enter(point)
    assert hand.move(point)
    marker = canvas.carrying.marker
    assert marker.verdict.allowed
    assert f"{marker.verdict.room.usual} fit, {marker.verdict.room.tight} at most" in (
        marker.verdict.words
    )
    assert marker.ghost.tip_cm == pytest.approx(marker.verdict.tip_from_rim_cm)
    assert len(marker.ghost.bulbs) == marker.verdict.count
    shown = canvas.grab().toImage()
    assert shown != before
    y = round(canvas.point_in_pot(pot.id, depth_cm=marker.ghost.tip_cm).y())
    ratio = shown.devicePixelRatio()
    placed = canvas.place_of(pot.id)
    left = canvas.view.origin_x + placed.middle - placed.half - 7
    changed = [
        row
        for row in range(y - 12, y + 13)
        if shown.pixel(round(left * ratio), round(row * ratio))
        != before.pixel(round(left * ratio), round(row * ratio))
    ]
    assert changed  # the dashed line begins left of the wall
    assert min(abs(row - y) for row in changed) <= 2
    QApplication.sendEvent(canvas, QDragLeaveEvent())
    assert canvas.carrying.marker is None
    assert canvas.grab().toImage() == before


def test_bulbs_are_refused_between_pots_before_the_button_is_let_go(canvas, document):
    point = QPointF(canvas.view.origin_x + canvas.row.gap_x(2), canvas.view.ground_y - 40)
    hand = Hand(canvas, Cargo("cultivar", "tulipa-apricot-beauty"))
    hand.enter(point)
    before = document.yard
    assert not hand.move(point)
    assert not canvas.carrying.marker.verdict.allowed
    assert "pot" in canvas.carrying.marker.verdict.words
    assert not hand.drop(point)
    assert document.yard is before
    assert canvas.carrying.marker is None


def test_a_bulb_too_large_for_a_pot_is_refused_with_its_reason(canvas, document):
    pot = document.yard.pots[8]
    document.edit("Flat", lambda yard: edits.change_pot(yard, pot.id, inside_height_cm=9.0))
    point = canvas.point_in_pot(pot.id, depth_cm=5.0)
    hand = Hand(canvas, Cargo("cultivar", "fritillaria-imperialis-lutea"))
    hand.enter(point)
    assert not hand.move(point)
    assert pot.name in canvas.carrying.marker.verdict.words


def test_a_refused_drop_shows_its_reason_on_the_canvas(canvas):
    point = QPointF(canvas.view.origin_x + canvas.row.gap_x(3), canvas.view.ground_y - 60)
    painted(canvas)
    before = canvas.window().grab().toImage()
    hand = Hand(canvas, Cargo("cultivar", "tulipa-apricot-beauty"))
    hand.enter(point)
    hand.move(point)
    assert canvas.window().grab().toImage() != before


def test_a_layer_moves_to_another_pot_and_with_ctrl_is_copied(canvas, document):
    source, target = document.yard.pots[0], document.yard.pots[1]
    layer = source.layers[0]
    point = canvas.point_in_pot(target.id, depth_cm=25.0)
    assert Hand(canvas, Cargo("layer", layer.id), CTRL).drop(point)
    copied = document.selected_layer()
    assert copied.id != layer.id
    assert copied.cultivar_id == layer.cultivar_id
    assert document.yard.layer(layer.id)[0].id == source.id
    document.undo_stack.undo()
    assert Hand(canvas, Cargo("layer", layer.id)).drop(point)
    assert document.yard.layer(layer.id)[0].id == target.id
    assert document.layer_id == layer.id
    assert len(document.yard.pot(source.id).layers) == len(source.layers) - 1


def test_a_layer_dragged_above_another_in_its_pot_changes_their_order(canvas, document):
    pot = document.yard.pots[0]
    deepest = pot.layers[0]
    assert Hand(canvas, Cargo("layer", deepest.id)).drop(canvas.point_in_pot(pot.id, depth_cm=12.0))
    after = [each.id for each in document.yard.pot(pot.id).layers]
    assert after.index(deepest.id) == 1
    covers = [each.cover_cm for each in document.yard.pot(pot.id).layers]
    assert covers == sorted(covers, reverse=True)


def test_a_pot_is_moved_and_copied_among_the_others(canvas, document):
    ids = pot_ids(document)
    point = QPointF(canvas.view.origin_x + canvas.row.gap_x(3), canvas.view.ground_y - 30)
    assert Hand(canvas, Cargo("pot", ids[0])).drop(point)
    assert pot_ids(document)[:3] == [ids[1], ids[2], ids[0]]
    assert document.pot_id == ids[0]
    document.undo_stack.undo()
    assert pot_ids(document) == ids
    assert Hand(canvas, Cargo("pot", ids[0]), CTRL).drop(point)
    assert len(document.yard.pots) == len(ids) + 1
    assert pot_ids(document)[3] == document.pot_id


def test_a_pot_dropped_where_it_stands_is_refused(canvas, document):
    ids = pot_ids(document)
    point = QPointF(canvas.view.origin_x + canvas.row.gap_x(1), canvas.view.ground_y - 30)
    hand = Hand(canvas, Cargo("pot", ids[0]))
    hand.enter(point)
    assert not hand.move(point)
    assert "already" in canvas.carrying.marker.verdict.words


def test_things_that_are_none_of_ours_are_ignored(canvas):
    from PySide6.QtCore import QMimeData

    data = QMimeData()
    data.setText("a letter")
    point = QPointF(200, 200).toPoint()
    event = QDragEnterEvent(point, ACTIONS, data, LEFT, NONE)
    QApplication.sendEvent(canvas, event)
    assert not event.isAccepted()
    data.setData(MIME_TYPE, b"{broken")
    assert cargo_of(data) is None


def test_a_cargo_that_is_gone_is_refused_not_raised(canvas, document):
    point = canvas.point_in_pot(document.yard.pots[0].id, depth_cm=14.0)
    hand = Hand(canvas, Cargo("layer", "layer-999"))
    hand.enter(point)
    assert not hand.move(point)
    assert "layer-999" in canvas.carrying.marker.verdict.words


def test_dragging_near_the_edge_scrolls_the_row(canvas, document, qtbot):
    canvas.zoom_by(2.0)
    canvas.scroll_to(0.0)
    hand = Hand(canvas, Cargo("cultivar", "tulipa-apricot-beauty"))
    point = QPointF(canvas.width() - 5.0, canvas.view.ground_y - 20.0)
    hand.enter(point)
    hand.move(point)
    qtbot.waitUntil(lambda: canvas.camera.scroll > 20.0, timeout=2000)
    QApplication.sendEvent(canvas, QDragLeaveEvent())
    here = canvas.camera.scroll
    qtbot.wait(100)
    assert canvas.camera.scroll == here


# By keys


def test_carrying_by_keys_gives_the_same_yard_as_by_hand(canvas, document):
    start = document.yard
    layer, target = start.pots[0].layers[0], start.pots[1]
    # Dropped on the pot's name, the layer takes its kind's usual depth, as by keys.
    placed = canvas.place_of(target.id)
    name = QPointF(canvas.view.origin_x + placed.middle, canvas.view.ground_y + 10.0)
    assert Hand(canvas, Cargo("layer", layer.id)).drop(name)
    by_hand = document.yard
    document.undo_stack.undo()
    assert document.yard == start
    canvas.setFocus()
    document.select(layer_id=layer.id)
    QTest.keyClick(canvas, Qt.Key.Key_M)
    assert canvas.carrying.by_keys
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    QTest.keyClick(canvas, Qt.Key.Key_V, CTRL)
    assert document.yard == by_hand
    assert document.layer_id == layer.id
    assert not canvas.carrying.by_keys


def test_copying_by_keys_and_choosing_the_depth(panel, canvas, document, qtbot):
    layer = document.yard.pots[0].layers[0]
    document.select(layer_id=layer.id)
    canvas.setFocus()
    said: list[str] = []
    panel.said.connect(said.append)
    QTest.keyClick(canvas, Qt.Key.Key_M, SHIFT)
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    usual = canvas.carrying.marker.verdict.cover_cm
    QTest.keyClick(canvas, Qt.Key.Key_Up)
    QTest.keyClick(canvas, Qt.Key.Key_Up)
    assert canvas.carrying.marker.verdict.cover_cm == pytest.approx(usual - 2.0, abs=0.5)
    QTest.keyClick(canvas, Qt.Key.Key_Return)
    assert document.pot_id == document.yard.pots[1].id
    assert document.selected_layer().cover_cm == pytest.approx(usual - 2.0, abs=0.5)
    assert document.yard.layer(layer.id)[0].id == document.yard.pots[0].id
    assert any("arrow keys" in words for words in said)
    assert "Copy" in said[-1]


def test_escape_puts_back_what_was_carried(canvas, document):
    before = document.yard
    document.select(pot_id=before.pots[0].id)
    canvas.setFocus()
    QTest.keyClick(canvas, Qt.Key.Key_M)
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas.carrying.marker is None
    assert document.yard is before
    QTest.keyClick(canvas, Qt.Key.Key_V, CTRL)
    assert document.yard is before


def test_a_pot_is_carried_by_keys(canvas, document):
    ids = pot_ids(document)
    document.select(pot_id=ids[0])
    canvas.setFocus()
    QTest.keyClick(canvas, Qt.Key.Key_M)
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    QTest.keyClick(canvas, Qt.Key.Key_V, CTRL)
    assert pot_ids(document)[:3] == [ids[1], ids[2], ids[0]]


def test_an_undo_while_carrying_puts_down_what_it_took_away(canvas, document):
    pot = document.yard.pots[0]
    document.edit("Copy", lambda yard: edits.duplicate_pot(yard, pot.id))
    new = document.yard.pots[1]
    document.select(layer_id=new.layers[0].id)
    canvas.setFocus()
    QTest.keyClick(canvas, Qt.Key.Key_M)
    document.undo_stack.undo()
    assert canvas.carrying.marker is None
    assert not canvas.carrying.by_keys
