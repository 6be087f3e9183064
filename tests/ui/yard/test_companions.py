"""Companions on top of the pots: drawn by day, selected, carried, deleted, told in words."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtTest import QTest

from bloomline.draw.base.petals import DARK, LIGHT, petal
from bloomline.draw.pot.companion_layout import TuftLook, mound, tufts_on
from bloomline.draw.pot.layout import cut_pot
from bloomline.model import edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import add_companion, change_companion
from bloomline.model.yard import Layer
from bloomline.plan.carry.drops import Cargo
from bloomline.plan.forecast.growth import Stage
from bloomline.ui.cargo import mime_of
from bloomline.ui.theme import palette_of
from bloomline.ui.yard.scene import tallest_cm

LEFT = Qt.MouseButton.LeftButton
NO_KEYS = Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier
BOTH = Qt.DropAction.MoveAction | Qt.DropAction.CopyAction
APRIL = date(2027, 4, 25)
VIOLA = CompanionPlanting(
    id="companion-1",
    companion_id="viola-sorbet-orange",
    count=4,
    planted=date(2026, 10, 24),
    taken_out=date(2027, 5, 10),
)


@pytest.fixture
def canvas(panel, document):
    document.edit("Plant", lambda yard: add_companion(yard, "pot-2", VIOLA))
    document.look_at(APRIL)
    panel.canvas.setFocus()
    return panel.canvas


def tuft_point(canvas, document, planting_id: str, *, high_cm: float = 5.0) -> QPoint:
    pot, _ = document.yard.companion(planting_id)
    top = next(e for e in canvas.tops_of(pot) if e.planting_id == planting_id)
    depth = canvas.cut_of(pot).dressing_cm - high_cm
    return canvas.point_in_pot(pot.id, depth_cm=depth, x_cm=top.tufts.xs_cm[0]).toPoint()


def count_of(canvas, colour_hex: str) -> int:
    """How many pixels of the picture have exactly a colour."""
    for _ in range(60):
        canvas._rest.stop()
        image = canvas.grab().toImage()
        if not canvas._rest.isActive():
            break
    wanted = int(colour_hex[1:], 16)
    return sum(
        image.pixel(x, y) & 0xFFFFFF == wanted
        for x in range(image.width())
        for y in range(image.height())
    )


def test_they_are_drawn_while_they_are_in_the_pot_and_in_their_colour(canvas, document) -> None:
    fill = petal("#F08A2B", theme=LIGHT).fill
    assert count_of(canvas, fill) > 60
    document.look_at(date(2026, 10, 20))
    assert canvas.tops_of(document.yard.pot("pot-2"))[0].stand == "planned"
    assert count_of(canvas, fill) == 0
    document.look_at(date(2027, 5, 10))
    assert canvas.tops_of(document.yard.pot("pot-2"))[0].stand == "gone"
    assert count_of(canvas, fill) == 0


def test_they_are_drawn_in_the_dark_as_well(canvas, document, qapp) -> None:
    before = qapp.palette()
    try:
        qapp.setPalette(palette_of(DARK))
        assert count_of(canvas, petal("#F08A2B", theme=DARK).fill) > 60
    finally:
        qapp.setPalette(before)


def test_a_click_selects_them_and_a_tip_names_them(canvas, document) -> None:
    point = tuft_point(canvas, document, "companion-1")
    QTest.mouseClick(canvas, LEFT, pos=point)
    assert (document.pot_id, document.layer_id) == ("pot-2", None)
    assert document.companion_id == "companion-1"
    tip = canvas.tip_at(QPointF(point))
    assert "4 plants on top, season by date" in tip and "taken out 10 May" in tip
    assert canvas.handle_at(canvas.point_in_pot("pot-2", depth_cm=0.0)) is None
    described = canvas.accessibleDescription()
    assert "companion 1 of 1 on top of Tall terracotta by the door" in described
    assert "in flower on 25 Apr" in described


def test_arrows_reach_them_above_the_layers(canvas, document) -> None:
    document.select(pot_id="pot-2")
    walked = []
    for _ in range(3):
        QTest.keyClick(canvas, Qt.Key.Key_Down)
        walked.append(document.companion_id or document.layer_id)
    top_down = [layer.id for layer in reversed(document.yard.pot("pot-2").layers)]
    assert walked == ["companion-1", *top_down[:2]]
    QTest.keyClick(canvas, Qt.Key.Key_Up)
    QTest.keyClick(canvas, Qt.Key.Key_Up)
    assert document.companion_id == "companion-1"
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert document.companion_id is None and document.pot_id == "pot-2"


def test_delete_and_duplicate_and_their_undo(panel, canvas, document) -> None:
    document.select(companion_id="companion-1")
    panel.commands.duplicate.trigger()
    assert document.companion_id == "companion-2"
    assert [e.count for e in document.yard.pot("pot-2").companions] == [4, 4]
    panel.commands.delete.trigger()
    assert document.companion_id == "companion-1"  # what stands next
    panel.commands.delete.trigger()
    assert document.companion_id is None and document.pot_id == "pot-2"
    assert document.yard.pot("pot-2").companions == ()
    for _ in range(3):
        document.undo_stack.undo()
    assert document.yard.pot("pot-2").companions == (VIOLA,)


def test_cut_arrows_and_paste_move_them(panel, canvas, document) -> None:
    document.select(companion_id="companion-1")
    panel.commands.carry.trigger()
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    assert canvas.carrying.marker.verdict.words.startswith("Move 4 Viola")
    panel.commands.paste.trigger()
    assert document.yard.companion("companion-1")[0].id == "pot-3"
    assert document.companion_id == "companion-1" and document.pot_id == "pot-3"
    document.undo_stack.undo()
    assert document.yard.companion("companion-1")[0].id == "pot-2"
    assert document.pot_id == "pot-2"  # the selection goes back with them
    panel.commands.carry_copy.trigger()
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    QTest.keyClick(canvas, Qt.Key.Key_Return)
    assert len(list(document.yard.companions())) == 2 and document.companion_id == "companion-2"


def drag(canvas, cargo: Cargo, point: QPoint, keys=NO_KEYS) -> bool:
    """Drag over a point and drop there; whether the drop was accepted."""
    data = mime_of(cargo)
    canvas.dragEnterEvent(QDragEnterEvent(point, BOTH, data, LEFT, keys))
    canvas.dragMoveEvent(QDragMoveEvent(point, BOTH, data, LEFT, keys))
    drop = QDropEvent(QPointF(point), BOTH, data, LEFT, keys)
    canvas.dropEvent(drop)
    return drop.isAccepted()


def test_dragging_from_the_shelf_plants_and_between_pots_moves(canvas, document) -> None:
    over = canvas.point_in_pot("pot-3", depth_cm=4.0).toPoint()
    assert drag(canvas, Cargo("companion", "forget-me-not"), over)
    (planting,) = document.yard.pot("pot-3").companions
    assert planting.companion_id == "forget-me-not" and document.companion_id == planting.id
    assert drag(canvas, Cargo("planting", "companion-1"), over)
    assert [e.id for e in document.yard.pot("pot-3").companions] == [planting.id, "companion-1"]
    copied = canvas.point_in_pot("pot-4", depth_cm=4.0).toPoint()
    assert drag(canvas, Cargo("planting", "companion-1"), copied, CTRL)
    assert len(document.yard.pot("pot-4").companions) == 1
    document.undo_stack.undo()
    document.undo_stack.undo()
    document.undo_stack.undo()
    assert document.yard.pot("pot-3").companions == ()
    assert document.yard.pot("pot-2").companions == (VIOLA,)


def test_a_drop_that_makes_no_sense_is_refused(canvas, document) -> None:
    before = document.yard
    here = canvas.point_in_pot("pot-2", depth_cm=4.0).toPoint()
    assert not drag(canvas, Cargo("planting", "companion-1"), here)
    gap = canvas.view.origin_x + canvas.row.gap_x(1)
    between = QPoint(round(gap), round(canvas.view.ground_y) - 40)
    assert not drag(canvas, Cargo("companion", "winter-pansy"), between)
    assert document.yard is before


def test_bulbs_to_come_are_outlined_and_lifted_ones_are_gone(canvas, document) -> None:
    pot = document.yard.pot("pot-5")
    upper = pot.layers[-1]
    day = date(2027, 5, 20)
    dahlia = next(c.id for c in document.catalogue if c.id.startswith("dahlia"))
    new = Layer(id="layer-90", cultivar_id=dahlia, count=3, cover_cm=upper.cover_cm, planted=day)
    document.edit("Plant", lambda yard: edits.add_layer(yard, "pot-5", new))
    document.edit("Lift", lambda yard: edits.change_layer(yard, upper.id, lifted_on=day))
    pot = document.yard.pot("pot-5")
    cut = canvas.cut_of(pot)
    spots = {each.layer_id: each for each in cut.layers}

    def at(layer_id: str) -> str | None:
        spot = spots[layer_id]
        point = canvas.point_in_pot(
            "pot-5", depth_cm=0.5 * (spot.tip_cm + spot.base_cm), x_cm=spot.bulbs[0].x_cm
        )
        return canvas.spot_at(point).layer_id

    presence = canvas.presence_of(pot)
    assert (presence.planned, presence.gone) == ({"layer-90"}, frozenset())
    assert at(upper.id) == upper.id
    april = canvas.grab().toImage()
    document.look_at(day)
    presence = canvas.presence_of(pot)
    assert (presence.planned, presence.gone) == (frozenset(), {upper.id})
    assert at(upper.id) != upper.id and at("layer-90") == "layer-90"
    assert canvas.growths()[upper.id].stage is Stage.GONE
    assert canvas.grab().toImage() != april
    document.look_at(day - timedelta(days=1))
    assert canvas.growths()[upper.id].stage is not Stage.GONE
    document.select(layer_id="layer-90")
    assert "to be planted on 20 May" in canvas.accessibleDescription()
    document.look_at(day)
    document.select(layer_id=upper.id)
    assert "lifted on 20 May" in canvas.accessibleDescription()


def test_the_day_of_lifting_needs_no_new_cutaway(canvas, document) -> None:
    pot = document.yard.pot("pot-5")
    cut = canvas.cut_of(pot)
    layer_id = pot.layers[0].id
    document.edit(
        "Lift", lambda yard: edits.change_layer(yard, layer_id, lifted_on=date(2027, 6, 1))
    )
    assert canvas.cut_of(document.yard.pot("pot-5")) is cut
    document.edit("Later", lambda yard: change_companion(yard, "companion-1", count=2))
    pot = document.yard.pot("pot-2")
    assert len(canvas.tops_of(pot)[0].tufts.xs_cm) == 2


def test_the_line_under_a_pot_counts_them(canvas, document) -> None:
    line = canvas.shown().line_of(document.yard.pot("pot-2"))
    assert line == "3 layers · 60 bulbs · 4 on top"


def test_tufts_stand_inside_the_rim_and_share_the_room(document) -> None:
    pot = document.yard.pot("pot-2")
    cut = cut_pot(pot, cultivar_of=document.cultivar)
    look = TuftLook("#F08A2B", False, 15.0, 20.0)
    one, two = tufts_on(cut, [("a", 4, look), ("b", 300, look)])
    half = cut.half_at(cut.dressing_cm)
    assert len(one.xs_cm) == 4 and 4 <= len(two.xs_cm) < 20
    for x in (*one.xs_cm, *two.xs_cm):
        assert abs(x) <= half
    assert one.covers(one.xs_cm[0], 10.0, is_planned=False)
    assert not one.covers(one.xs_cm[0], 10.0, is_planned=True)  # only a low outline
    outline = mound(15.0, 20.0)
    assert max(y for _, y in outline) == pytest.approx(15.0)
    assert outline[0][0] == pytest.approx(-10.0) and outline[-1][0] == pytest.approx(10.0)


def test_the_picture_has_room_for_the_tallest_on_top(document) -> None:
    pot = document.yard.pot("pot-2").model_copy(update={"layers": (), "inside_height_cm": 90.0})
    tall = VIOLA.model_copy(update={"companion_id": "wallflower-tall"})
    bare = document.yard.model_copy(update={"pots": (pot,), "records": ()})
    planted = add_companion(bare, "pot-2", tall)
    room = tallest_cm(planted, document.cultivar) - tallest_cm(bare, document.cultivar)
    assert room > 40.0  # wallflowers of 45 cm, less the gap at the rim


def test_an_unknown_companion_leaves_the_rest_to_be_seen(canvas, document) -> None:
    """As in a file written by hand or by a newer program."""
    odd = VIOLA.model_copy(update={"id": "companion-9", "companion_id": "no-such-plant"})
    document.edit("Odd", lambda yard: add_companion(yard, "pot-2", odd))
    assert [top.planting_id for top in canvas.tops_of(document.yard.pot("pot-2"))] == [
        "companion-1"
    ]
    document.select(companion_id="companion-9")
    assert "no-such-plant" in canvas.accessibleDescription()
    canvas.grab()
