"""The yard under mouse and keys: selecting, editing, zooming, words, pixels."""

from __future__ import annotations

import gc
import weakref
from datetime import date, timedelta

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QDrag, QImage, QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu, QPushButton

from bloomline.draw.base.petals import DARK, LIGHT
from bloomline.model import edits
from bloomline.plan.carry.drops import Cargo
from bloomline.plan.forecast.growth import Stage
from bloomline.ui.cargo import cargo_of
from bloomline.ui.theme import palette_of
from bloomline.ui.yard.panel import YardPanel

CTRL = Qt.KeyboardModifier.ControlModifier
NONE = Qt.KeyboardModifier.NoModifier
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def canvas(panel):
    panel.canvas.setFocus()
    return panel.canvas


def bulb_point(canvas, document, layer_id: str) -> QPoint:
    pot, _ = document.yard.layer(layer_id)
    spots = next(e for e in canvas.cut_of(pot).layers if e.layer_id == layer_id)
    bulb = spots.bulbs[-1]
    depth = 0.5 * (spots.tip_cm + spots.base_cm)
    return canvas.point_in_pot(pot.id, depth_cm=depth, x_cm=bulb.x_cm).toPoint()


def painted(canvas) -> QImage:
    """The canvas once all its pots have been made."""
    for _ in range(60):
        canvas._rest.stop()
        image = canvas.grab().toImage()
        if not canvas._rest.isActive():
            return image
    raise AssertionError("pots are still being made")


def test_clicking_bulbs_selects_their_layer_and_the_wall_the_pot(canvas, document):
    for pot in document.yard.pots[:3]:
        for layer in pot.layers:
            QTest.mouseClick(canvas, LEFT, pos=bulb_point(canvas, document, layer.id))
            assert (document.pot_id, document.layer_id) == (pot.id, layer.id)
        cut = canvas.cut_of(pot)
        wall = canvas.point_in_pot(pot.id, depth_cm=3.0, x_cm=-cut.half_at(3.0) - 0.5 * pot.wall_cm)
        QTest.mouseClick(canvas, LEFT, pos=wall.toPoint())
        assert (document.pot_id, document.layer_id) == (pot.id, None)


def test_clicking_a_flower_selects_its_layer(canvas, document):
    pot = document.yard.pots[3]
    tulip = next(e for e in pot.layers if e.cultivar_id == "tulipa-prinses-irene")
    document.look_at(canvas.forecast(tulip.id).full.p50)
    assert canvas.growths()[tulip.id].stage is Stage.FLOWER
    spots = next(e for e in canvas.cut_of(pot).layers if e.layer_id == tulip.id)
    tall = document.cultivar(tulip.cultivar_id).height_cm * canvas.growths()[tulip.id].height
    point = canvas.point_in_pot(
        pot.id, depth_cm=pot.rim_gap_cm - tall + 2.0, x_cm=spots.bulbs[0].x_cm
    )
    QTest.mouseClick(canvas, LEFT, pos=point.toPoint())
    assert document.layer_id == tulip.id


def test_clicking_the_sky_selects_nothing(canvas, document):
    document.select(pot_id=document.yard.pots[0].id)
    QTest.mouseClick(canvas, LEFT, pos=QPoint(canvas.width() // 2, 6))
    assert document.pot_id is None


def test_arrows_walk_pots_and_layers(canvas, document):
    pots = document.yard.pots
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    assert document.pot_id == pots[0].id
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    assert document.pot_id == pots[1].id
    walked = []
    for _ in range(len(pots[1].layers) + 1):
        QTest.keyClick(canvas, Qt.Key.Key_Down)
        walked.append(document.layer_id)
    top_down = [layer.id for layer in reversed(pots[1].layers)]
    assert walked == [*top_down, top_down[-1]]
    for _ in top_down:
        QTest.keyClick(canvas, Qt.Key.Key_Up)
    assert document.layer_id is None
    assert document.pot_id == pots[1].id
    QTest.keyClick(canvas, Qt.Key.Key_End)
    assert document.pot_id == pots[-1].id
    placed = canvas.place_of(pots[-1].id)
    assert canvas.view.origin_x + placed.right <= canvas.width()  # scrolled into view
    QTest.keyClick(canvas, Qt.Key.Key_Home)
    assert document.pot_id == pots[0].id


def test_enter_asks_for_details(panel, canvas, document, qtbot):
    document.select(pot_id=document.yard.pots[0].id)
    with qtbot.waitSignal(panel.details_requested, timeout=500):
        QTest.keyClick(canvas, Qt.Key.Key_Return)


def test_delete_takes_the_layer_then_the_pot_and_undo_brings_back(canvas, document):
    before = document.yard
    pot = before.pots[1]
    document.select(layer_id=pot.layers[0].id)
    QTest.keyClick(canvas, Qt.Key.Key_Delete)
    assert len(document.yard.pot(pot.id).layers) == len(pot.layers) - 1
    assert document.layer_id == pot.layers[1].id  # the next one, to go on by keys
    document.select(pot_id=pot.id)
    QTest.keyClick(canvas, Qt.Key.Key_Delete)
    assert len(document.yard.pots) == len(before.pots) - 1
    assert document.pot_id == before.pots[2].id
    document.undo_stack.undo()
    document.undo_stack.undo()
    assert document.yard == before


def test_insert_adds_a_usual_pot_behind_the_selected_one(canvas, document):
    document.select(pot_id=document.yard.pots[0].id)
    QTest.keyClick(canvas, Qt.Key.Key_Insert)
    pot = document.yard.pots[1]
    assert document.pot_id == pot.id
    assert (pot.top_width_cm, pot.material, pot.layers) == (30.0, "fired-clay-once", ())
    assert pot.name == "Pot 11"
    QTest.keyClick(canvas, Qt.Key.Key_Insert)
    assert document.yard.pots[2].name == "Pot 12"


def test_duplicate_copies_what_is_selected(canvas, document):
    pot = document.yard.pots[0]
    document.select(pot_id=pot.id)
    QTest.keyClick(canvas, Qt.Key.Key_D, CTRL)
    assert document.pot_id == document.yard.pots[1].id != pot.id
    document.select(layer_id=pot.layers[0].id)
    QTest.keyClick(canvas, Qt.Key.Key_D, CTRL)
    assert len(document.yard.pot(pot.id).layers) == len(pot.layers) + 1


def test_renaming_in_place(canvas, document):
    pot = document.yard.pots[0]
    document.select(pot_id=pot.id)
    QTest.keyClick(canvas, Qt.Key.Key_F2)
    edit = canvas.findChild(QLineEdit, "pot_name_edit")
    assert edit.isVisible()
    assert edit.text() == pot.name
    QTest.keyClicks(edit, "By the step")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    assert document.yard.pot(pot.id).name == "By the step"
    assert not edit.isVisible()
    assert canvas.hasFocus()
    QTest.keyClick(canvas, Qt.Key.Key_F2)
    QTest.keyClicks(edit, "Never mind")
    QTest.keyClick(edit, Qt.Key.Key_Escape)
    assert document.yard.pot(pot.id).name == "By the step"
    assert document.undo_stack.count() == 1


def test_keys_typed_into_a_name_do_not_reach_the_yard(canvas, document):
    before = document.yard
    document.select(pot_id=before.pots[0].id)
    QTest.keyClick(canvas, Qt.Key.Key_F2)
    edit = canvas.findChild(QLineEdit, "pot_name_edit")
    QTest.keyClicks(edit, "a+b-c=")
    QTest.keyClick(edit, Qt.Key.Key_Delete)
    QTest.keyClick(edit, Qt.Key.Key_Left)
    assert edit.text() == "a+b-c="
    assert document.yard is before
    QTest.keyClick(edit, Qt.Key.Key_Escape)


def test_layers_go_deeper_by_a_step_and_change_places_with_a_neighbour(canvas, document):
    pot = document.yard.pots[0]
    middle = pot.layers[1]
    document.select(layer_id=middle.id)
    QTest.keyClick(canvas, Qt.Key.Key_Down, CTRL)
    assert document.selected_layer().cover_cm == middle.cover_cm + 1.0
    for _ in range(int(pot.layers[0].cover_cm - middle.cover_cm)):
        QTest.keyClick(canvas, Qt.Key.Key_Down, CTRL)
    order = [each.id for each in document.yard.pot(pot.id).layers]
    assert order[:2] == [middle.id, pot.layers[0].id]
    assert document.layer_id == middle.id
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert document.yard.pot(pot.id) == pot
    QTest.keyClick(canvas, Qt.Key.Key_Up, CTRL)
    assert document.selected_layer().cover_cm == middle.cover_cm - 1.0


def test_a_layer_stops_at_the_crocks_and_says_so(panel, canvas, document):
    pot = document.yard.pots[7]
    layer = pot.layers[0]
    document.select(layer_id=layer.id)
    said: list[str] = []
    panel.said.connect(said.append)
    for _ in range(20):
        QTest.keyClick(canvas, Qt.Key.Key_Down, CTRL)
    kind = document.cultivar(layer.cultivar_id)
    lowest = document.selected_layer().cover_cm + kind.bulb_height_cm
    assert pot.compost_depth_cm - 0.5 <= lowest <= pot.compost_depth_cm
    assert "crocks" in said[-1]


def test_pots_move_along_the_row_by_keys(canvas, document):
    ids = [pot.id for pot in document.yard.pots]
    document.select(pot_id=ids[0])
    QTest.keyClick(canvas, Qt.Key.Key_Right, CTRL)
    assert [pot.id for pot in document.yard.pots][:2] == [ids[1], ids[0]]
    QTest.keyClick(canvas, Qt.Key.Key_Left, CTRL)
    assert [pot.id for pot in document.yard.pots] == ids


@pytest.mark.parametrize(
    ("handle", "by", "field", "grows"),
    [
        ("width", QPoint(20, 0), "top_width_cm", True),
        ("height", QPoint(0, -20), "inside_height_cm", True),
        ("base", QPoint(-8, 0), "bottom_width_cm", False),
    ],
)
def test_dragging_a_handle_resizes_as_one_step(canvas, document, handle, by, field, grows):
    pot = document.yard.pots[1]
    document.select(pot_id=pot.id)
    steps = document.undo_stack.count()
    placed = canvas.place_of(pot.id)
    x, y = placed.handles(canvas.camera.scale)[handle]
    start = QPointF(canvas.view.origin_x + x, canvas.view.ground_y + y).toPoint()
    QTest.mousePress(canvas, LEFT, pos=start)
    scale = canvas.camera.scale
    for share in (0.25, 0.5, 0.75, 1.0):
        QTest.mouseMove(canvas, start + by * share)
        assert canvas.camera.scale == scale  # the picture keeps its scale under the hand
    QTest.mouseRelease(canvas, LEFT, pos=start + by)
    old, new = getattr(pot, field), getattr(document.yard.pot(pot.id), field)
    assert (new > old) is grows
    assert new != old
    assert document.undo_stack.count() == steps + 1
    document.undo_stack.undo()
    assert document.yard.pot(pot.id) == pot


def test_the_rim_follows_the_pointer(canvas, document):
    pot = document.yard.pots[0]
    document.select(pot_id=pot.id)
    canvas.zoom_by(1.5)
    x, y = canvas.place_of(pot.id).handles(canvas.camera.scale)["width"]
    start = QPointF(canvas.view.origin_x + x, canvas.view.ground_y + y).toPoint()
    QTest.mousePress(canvas, LEFT, pos=start)
    QTest.mouseMove(canvas, start + QPoint(40, 0))
    x, y = canvas.place_of(pot.id).handles(canvas.camera.scale)["width"]
    assert canvas.view.origin_x + x == pytest.approx(start.x() + 40, abs=canvas.camera.scale)
    QTest.mouseRelease(canvas, LEFT, pos=start)


def test_bulbs_of_the_shown_yard_lie_at_the_pixel_of_their_depth(canvas, document):
    pot = document.yard.pots[0]
    lowest = pot.layers[0]
    canvas.zoom_by(2.0)
    canvas.reveal(pot.id)
    document.look_at(date(document.yard.season_year - 1, 12, 1))
    with_bulbs = painted(canvas)
    fit = next(e for e in canvas.cut_of(pot).layers if e.layer_id == lowest.id)
    column = round(canvas.point_in_pot(pot.id, depth_cm=0.0, x_cm=fit.bulbs[-1].x_cm).x())
    upper = canvas.point_in_pot(pot.id, depth_cm=fit.tip_cm).y()
    lower = canvas.point_in_pot(pot.id, depth_cm=fit.base_cm).y()
    document.edit("Take out", lambda yard: edits.remove_layer(yard, lowest.id))
    without = painted(canvas)
    reach = range(round(upper) - 12, round(lower) + 12)
    width = round(fit.bulb_width_cm * canvas.camera.scale / 2)
    changed = [
        y
        for y in reach
        if any(
            with_bulbs.pixel(x, y) != without.pixel(x, y)
            for x in range(column - width, column + width + 1)
        )
    ]
    assert abs(changed[0] - upper) <= 2
    beard = 0.1 * (lower - upper)
    assert lower - 2 <= changed[-1] <= lower + beard + 2


def test_the_day_makes_the_plants_grow_and_go(canvas, document):
    pot = document.yard.pots[3]
    layer = next(e for e in pot.layers if e.cultivar_id == "tulipa-prinses-irene")
    forecast = canvas.forecast(layer.id)
    seen = {}
    days = {
        "winter": forecast.nose.p50 - timedelta(days=20),
        "leaf": forecast.nose.p50 + (forecast.start.p50 - forecast.nose.p50) / 2,
        "flower": forecast.full.p50,
        "summer": forecast.leaves_over.p50 + timedelta(days=15),
    }
    for name, day in days.items():
        document.look_at(day)
        seen[name] = painted(canvas)
    kind = document.cultivar(layer.cultivar_id)
    surface = canvas.point_in_pot(pot.id, depth_cm=pot.rim_gap_cm)
    half = round(30 * canvas.camera.scale)
    reach = round((kind.height_cm + 6) * canvas.camera.scale)

    def changed_rows(one: QImage, other: QImage) -> list[int]:
        return [
            y
            for y in range(round(surface.y()) - reach, round(surface.y()) - 2)
            if any(
                one.pixel(x, y) != other.pixel(x, y)
                for x in range(round(surface.x()) - half, round(surface.x()) + half, 2)
            )
        ]

    assert changed_rows(seen["winter"], seen["leaf"])
    flower = changed_rows(seen["winter"], seen["flower"])
    tall = (surface.y() - flower[0]) / canvas.camera.scale
    assert tall == pytest.approx(kind.height_cm, rel=0.1)
    assert not changed_rows(seen["winter"], seen["summer"])


def test_painting_again_gives_the_same_picture(canvas):
    assert painted(canvas) == painted(canvas)


def test_the_selection_is_marked_by_more_than_colour(canvas, document):
    pot = document.yard.pots[1]
    plain = painted(canvas)
    document.select(layer_id=pot.layers[1].id)
    chosen = painted(canvas)
    placed = canvas.place_of(pot.id)
    middle = canvas.point_in_pot(pot.id, depth_cm=0.0)
    # An arrow beside the pot and a line under its name: shapes where there were none.
    fit = next(e for e in canvas.cut_of(pot).layers if e.layer_id == pot.layers[1].id)
    y = canvas.point_in_pot(pot.id, depth_cm=0.5 * (fit.tip_cm + fit.base_cm)).y()
    x = middle.x() - placed.half - 8
    assert plain.pixel(round(x), round(y)) != chosen.pixel(round(x), round(y))
    ground = round(canvas.view.ground_y)
    under = range(ground + 8, ground + 40)
    assert any(
        plain.pixel(round(middle.x()), k) != chosen.pixel(round(middle.x()), k) for k in under
    )


def test_light_and_dark_follow_the_palette(canvas):
    app = QApplication.instance()
    before = app.palette()
    try:
        app.setPalette(palette_of(LIGHT))
        light = painted(canvas).pixelColor(canvas.width() - 8, 8).lightness()
        app.setPalette(palette_of(DARK))
        QApplication.processEvents()
        dark = painted(canvas).pixelColor(canvas.width() - 8, 8).lightness()
    finally:
        app.setPalette(before)
    assert light > 200
    assert dark < 80


def test_wheel_scrolls_and_with_ctrl_zooms_about_the_pointer(canvas, document):
    canvas.zoom_by(2.0)
    canvas.scroll_to(100.0)

    def wheel(turn: int, modifiers) -> None:
        point = QPointF(400, 200)
        event = QWheelEvent(
            point, canvas.mapToGlobal(point), QPoint(), QPoint(0, turn),
            Qt.MouseButton.NoButton, modifiers, Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QApplication.sendEvent(canvas, event)

    wheel(-120, NONE)
    assert canvas.camera.scroll > 100.0
    scale = canvas.camera.scale
    pot = canvas.row.at(canvas.on_row(QPointF(400, 200))[0])
    wheel(120, CTRL)
    assert canvas.camera.scale > scale
    assert canvas.row.at(canvas.on_row(QPointF(400, 200))[0]).pot.id == pot.pot.id


def test_zoom_keys_and_fits(panel, canvas, document):
    start = canvas.camera.scale
    QTest.keyClick(canvas, Qt.Key.Key_Plus)
    assert canvas.camera.scale == pytest.approx(start * 1.25)
    QTest.keyClick(canvas, Qt.Key.Key_Minus)
    assert canvas.camera.scale == pytest.approx(start)
    panel.commands.fit_all.trigger()
    assert canvas.row.width <= canvas.width()
    panel.commands.fit.trigger()
    assert canvas.camera.scale == pytest.approx(start)
    panel.resize(1300, 700)
    QApplication.processEvents()
    assert canvas.camera.scale > start  # it follows the height again


def test_panning_drags_the_ground(canvas):
    canvas.zoom_by(2.0)
    canvas.scroll_to(200.0)
    QTest.mousePress(canvas, LEFT, pos=QPoint(1100, 5))
    QTest.mouseMove(canvas, QPoint(1020, 5))
    QTest.mouseRelease(canvas, LEFT, pos=QPoint(1020, 5))
    assert canvas.camera.scroll == pytest.approx(280.0)


def test_only_pots_in_sight_are_made(document, service, qtbot):
    for _ in range(60):
        first = document.yard.pots[0].id
        document.edit("More", lambda yard, first=first: edits.duplicate_pot(yard, first))
    widget = YardPanel(document, service)
    qtbot.addWidget(widget)
    widget.resize(900, 460)
    widget.show()
    qtbot.waitExposed(widget)
    painted(widget.canvas)
    made = sum(widget.canvas.cuts.has(pot) for pot in document.yard.pots)
    assert 3 <= made <= 15
    widget.stop()


def test_tips_say_what_why_and_how_many_fit(canvas, document):
    layer = document.yard.pots[0].layers[0]
    words = canvas.tip_at(QPointF(bulb_point(canvas, document, layer.id)))
    kind = document.cultivar(layer.cultivar_id)
    assert kind.name in words.replace("&#x27;", "'")
    assert f"{layer.count} bulbs" in words
    assert "at most" in words
    assert "first flower" in words
    assert "cold weeks" in words
    assert canvas.tip_at(QPointF(canvas.width() / 2, 4)) == ""


def test_what_is_selected_is_said_in_words(canvas, document):
    layer = document.yard.pots[3].layers[0]
    document.select(layer_id=layer.id)
    words = canvas.accessibleDescription()
    assert document.cultivar(layer.cultivar_id).name in words
    assert document.yard.pots[3].name in words
    document.look_at(canvas.forecast(layer.id).full.p50)
    assert "in flower" in canvas.accessibleDescription()
    document.look_at(date(document.yard.season_year - 1, 12, 1))
    assert "nothing shows yet" in canvas.accessibleDescription()
    document.select(pot_id=document.yard.pots[3].id)
    assert "pot 4 of 10" in canvas.accessibleDescription()
    assert canvas.accessibleName()


def test_the_context_menu_offers_the_actions(canvas, document, monkeypatch):
    # The offscreen platform can't open pop-ups.
    monkeypatch.setattr(QMenu, "popup", lambda *_: None)
    layer = document.yard.pots[0].layers[0]
    point = bulb_point(canvas, document, layer.id)
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Mouse, point, canvas.mapToGlobal(point), NONE
    )
    QApplication.sendEvent(canvas, event)
    assert document.layer_id == layer.id
    menu = canvas.findChild(QMenu)
    assert {action.objectName() for action in menu.actions()} >= {
        "action_delete", "action_duplicate", "action_rename_pot", "action_layer_deeper",
    }  # fmt: skip
    menu.deleteLater()


def test_actions_follow_what_is_selected(panel, document):
    names = {action.objectName(): action for action in panel.actions()}
    assert len(names) == len(panel.actions())
    assert not names["action_delete"].isEnabled()
    assert names["action_add_pot"].isEnabled()
    document.select(pot_id=document.yard.pots[0].id)
    assert names["action_delete"].isEnabled()
    assert not names["action_layer_deeper"].isEnabled()
    assert not names["action_pot_left"].isEnabled()
    assert not names["action_paste"].isEnabled()
    document.select(layer_id=document.yard.pots[0].layers[0].id)
    assert names["action_layer_deeper"].isEnabled()
    names["action_carry"].trigger()
    assert names["action_paste"].isEnabled()


def test_pulling_at_bulbs_or_a_name_takes_them_into_the_hand(canvas, document, monkeypatch):
    taken = []
    monkeypatch.setattr(type(canvas), "begin_drag", lambda _self, cargo: taken.append(cargo))
    layer = document.yard.pots[0].layers[0]
    pot = document.yard.pots[1]
    bulbs = bulb_point(canvas, document, layer.id)
    placed = canvas.place_of(pot.id)
    name = QPoint(round(canvas.view.origin_x + placed.middle), round(canvas.view.ground_y) + 10)
    for start in (bulbs, name):
        QTest.mousePress(canvas, LEFT, pos=start)
        far = start + QPoint(QApplication.startDragDistance() + 5, 0)
        move = QMouseEvent(
            QEvent.Type.MouseMove, QPointF(far), canvas.mapToGlobal(QPointF(far)),
            Qt.MouseButton.NoButton, LEFT, NONE,
        )  # fmt: skip
        QApplication.sendEvent(canvas, move)
        QTest.mouseRelease(canvas, LEFT, pos=far)
    assert taken == [Cargo("layer", layer.id), Cargo("pot", pot.id)]


def test_a_drag_carries_an_id_and_a_picture_of_it(canvas, document, monkeypatch):
    seen = []

    def no_loop(drag, _actions, _default):
        seen.append((cargo_of(drag.mimeData()), drag.pixmap().isNull()))
        return Qt.DropAction.IgnoreAction

    monkeypatch.setattr(QDrag, "exec", no_loop)
    before = document.yard
    for cargo in (Cargo("layer", before.pots[0].layers[0].id), Cargo("pot", before.pots[0].id)):
        canvas.begin_drag(cargo)
        assert seen.pop() == (cargo, False)
    assert document.yard is before


def test_an_empty_yard_teaches_by_a_line_and_a_button(empty_panel, empty_document):
    button = empty_panel.findChild(QPushButton, "add_first_pot")
    assert button.isVisible()
    QTest.mouseClick(button, LEFT)
    assert len(empty_document.yard.pots) == 1
    assert empty_document.yard.pots[0].name == "Pot 1"
    assert not button.isVisible()
    empty_document.undo_stack.undo()
    assert button.isVisible()


def test_a_kind_that_is_not_known_leaves_the_rest_to_be_seen(canvas, document):
    layer = document.yard.pots[0].layers[0]
    document.edit("Lose", lambda yard: edits.change_layer(yard, layer.id, cultivar_id="lost-kind"))
    painted(canvas)
    pot = document.yard.pots[0]
    assert len(canvas.cut_of(pot).layers) == len(pot.layers) - 1
    document.select(layer_id=layer.id)
    assert "lost-kind" in canvas.accessibleDescription()
    QTest.keyClick(canvas, Qt.Key.Key_Down, CTRL)
    QTest.keyClick(canvas, Qt.Key.Key_M)
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    assert "lost-kind" in canvas.carrying.marker.verdict.words
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    QTest.keyClick(canvas, Qt.Key.Key_Delete)
    assert len(document.yard.pots[0].layers) == len(pot.layers) - 1


def test_long_pots_resize_their_length(canvas, document):
    trough = next(pot for pot in document.yard.pots if pot.shape == "trough")
    document.select(pot_id=trough.id)
    x, y = canvas.place_of(trough.id).handles(canvas.camera.scale)["width"]
    start = QPointF(canvas.view.origin_x + x, canvas.view.ground_y + y).toPoint()
    QTest.mousePress(canvas, LEFT, pos=start)
    QTest.mouseMove(canvas, start + QPoint(30, 0))
    QTest.mouseRelease(canvas, LEFT, pos=start + QPoint(30, 0))
    after = document.yard.pot(trough.id)
    assert after.top_length_cm > trough.top_length_cm
    assert after.top_width_cm == trough.top_width_cm


def test_a_closed_panel_leaves_nothing_behind(document, service, qtbot):
    widget = YardPanel(document, service)
    widget.resize(900, 400)
    widget.show()
    painted(widget.canvas)
    document.select(pot_id=document.yard.pots[0].id)
    gone = weakref.ref(widget.canvas)
    widget.stop()
    widget.stop()
    widget.close()
    widget.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    del widget
    gc.collect()
    assert gone() is None
    document.look_at(date(document.yard.season_year, 3, 1))  # nobody is left to be told


def test_another_place_is_painted_with_its_report_not_before(canvas, document, service, qtbot):
    laid: list[None] = []
    canvas.view_changed.connect(lambda: laid.append(None))
    row = canvas.row
    place = document.yard.place.model_copy(update={"station_id": None, "latitude_deg": 57.0})
    with qtbot.waitSignal(service.report_ready):
        document.edit("Move", lambda yard: edits.set_place(yard, place))
    assert canvas.row is row and not laid
    document.edit("Turn", lambda yard: edits.move_pot(yard, yard.pots[0].id, 2))
    assert canvas.row is not row and laid
    assert [placed.pot for placed in canvas.row.pots] == list(document.yard.pots)
