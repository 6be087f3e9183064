from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent, QFont, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox

from bloomline.model import edits
from bloomline.model.revising import revise
from bloomline.plan.carry.drops import Cargo
from bloomline.plan.climate.garden import garden_named
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.season.shelf import shelf_windows
from bloomline.ui.cargo import mime_of
from bloomline.ui.shelf.planting import plant_in_selected_pot
from bloomline.ui.shelf.view import drag_picture

LEFT = Qt.MouseButton.LeftButton
NO_KEYS = Qt.KeyboardModifier.NoModifier


def choose(box: QComboBox, data: object) -> None:
    index = next(i for i in range(box.count()) if box.itemData(i) == data)
    box.setCurrentIndex(index)


def moved_to(yard, place: str):
    garden = garden_named(place)
    return edits.change_place(
        yard,
        station_id=garden.station_id,
        name=garden.station_name,
        latitude_deg=garden.latitude_deg,
        longitude_deg=garden.longitude_deg,
    )


def test_all_kinds_are_there_with_their_windows(shelf, document) -> None:
    assert shelf.view.model().rowCount() == len(document.catalogue)
    assert set(shelf.windows) == {cultivar.id for cultivar in document.catalogue}
    n = len(document.catalogue)
    assert shelf.summary.text().startswith(f"{n} of {n} kinds · in flower in April here: ")


def test_typing_filters_and_escape_takes_it_back(shelf, document) -> None:
    QTest.keyClicks(shelf.search, "hawera")
    assert [e.cultivar.name for e in shelf.view.model().entries] == ["Narcissus 'Hawera'"]
    QTest.keyClick(shelf.search, Qt.Key.Key_Escape)
    assert shelf.view.model().rowCount() == len(document.catalogue)


def test_down_enter_plants_without_a_mouse(shelf, document, qtbot) -> None:
    shelf.plant_requested.connect(lambda name: plant_in_selected_pot(document, name))
    document.select(pot_id="pot-10")
    shelf.search.setFocus()
    QTest.keyClicks(shelf.search, "muscari armeniacum")
    QTest.keyClick(shelf.search, Qt.Key.Key_Down)
    assert shelf.view.hasFocus()
    wanted = shelf.view.current_id
    with qtbot.waitSignal(shelf.plant_requested) as asked:
        QTest.keyClick(shelf.view, Qt.Key.Key_Return)
    assert asked.args == [wanted]
    new = document.selected_layer()
    assert new is not None and new.cultivar_id == wanted
    assert document.pot_id == "pot-10"
    document.undo_stack.undo()
    assert document.undo_stack.index() == 0


def test_up_from_the_first_goes_back_to_the_search(shelf) -> None:
    shelf.search.setFocus()
    QTest.keyClick(shelf.search, Qt.Key.Key_Down)
    QTest.keyClick(shelf.view, Qt.Key.Key_Down)
    QTest.keyClick(shelf.view, Qt.Key.Key_Up)
    assert shelf.view.hasFocus()
    QTest.keyClick(shelf.view, Qt.Key.Key_Up)
    assert shelf.search.hasFocus()


def test_planting_needs_a_pot_and_says_so(document, empty_document) -> None:
    words = plant_in_selected_pot(document, "tulipa-apricot-beauty")
    assert words is not None and "Select the pot" in words
    words = plant_in_selected_pot(empty_document, "tulipa-apricot-beauty")
    assert words is not None and "Add a pot first" in words
    assert document.undo_stack.count() == 0


def test_a_bulb_too_large_for_the_pot_is_refused(document) -> None:
    document.select(pot_id="pot-1")
    document.edit(
        "Make it shallow",
        lambda yard: edits.change_pot(yard, "pot-1", inside_height_cm=8.0, crocks_cm=3.0),
    )
    words = plant_in_selected_pot(document, "hyacinthus-orientalis-delft-blue")
    assert words is not None and "compost" in words


def test_filters_work_together_and_clear(shelf, document) -> None:
    filters = shelf.filters
    assert filters.clear.isHidden()
    choose(filters.kind, "tulip")
    filters.scented.click()
    shown = [e.cultivar for e in shelf.view.model().entries]
    assert shown and all(c.common_type == "tulip" and c.scent > 0 for c in shown)
    choose(filters.month, 5)
    for entry in shelf.view.model().entries:
        assert 5 in shelf.windows[entry.cultivar.id].months
    assert "in flower in May here" in shelf.summary.text()
    assert not filters.clear.isHidden()
    QTest.mouseClick(filters.clear, LEFT)
    assert shelf.view.model().rowCount() == len(document.catalogue)
    assert not filters.scented.isChecked() and filters.clear.isHidden()


def test_nothing_found_says_how_to_widen(shelf, document) -> None:
    QTest.keyClicks(shelf.search, "no such bulb")
    assert shelf.empty.isVisible()
    assert "No bulb goes by that name" in shelf.empty.text()
    shelf.empty.linkActivated.emit("all")
    assert shelf.view.isVisible()
    assert shelf.view.model().rowCount() == len(document.catalogue)


def test_strips_follow_the_place_and_the_season_but_no_other_edit(shelf, document, qtbot) -> None:
    before = shelf.windows
    document.edit("Rename", lambda yard: edits.rename_yard(yard, "Elsewhere"))
    document.edit("Fewer", lambda yard: edits.change_layer(yard, "layer-1", count=3))
    qtbot.wait(60)
    assert shelf.windows is before
    document.edit("Move", lambda yard: moved_to(yard, "Lerwick"))
    qtbot.waitUntil(lambda: shelf.windows is not before, timeout=10_000)
    bulb = "tulipa-apricot-beauty"
    # Shetland's spring is weeks behind that of the English Midlands.
    assert shelf.windows[bulb].start.p50 > before[bulb].start.p50
    north = shelf.windows
    document.edit("Next year", lambda yard: edits.set_season_year(yard, 2028))
    qtbot.waitUntil(lambda: shelf.windows is not north, timeout=10_000)
    assert shelf.windows[bulb].start.p50.year == 2028


def test_all_kinds_are_worked_out_once_a_slider_rests(shelf, document, service, qtbot) -> None:
    before = shelf.windows
    begun: list[bool] = []
    shelf.season.beside.busy_changed.connect(begun.append)
    for place in ("Heathrow", "De Bilt", "Lerwick"):
        document.edit("Move", lambda yard, place=place: moved_to(yard, place))
        assert not shelf.season.beside.is_busy
    qtbot.waitUntil(lambda: shelf.windows is not before, timeout=10_000)
    assert begun[0] and begun.count(True) < 3  # not once a place, however busy the machine
    anew = shelf_windows(document.outlook.with_(forecaster=Forecaster()))
    assert shelf.windows == anew


def test_the_current_kind_stays_current_when_the_order_changes(shelf, document, qtbot) -> None:
    shelf.show_cultivar("tulipa-queen-of-night")
    assert shelf.view.current_id == "tulipa-queen-of-night"
    shelf.filters.order.setCurrentIndex(1)
    assert shelf.view.current_id == "tulipa-queen-of-night"


def test_own_kinds_appear_and_go_with_undo(shelf, document) -> None:
    mine = document.catalogue.get("tulipa-apricot-beauty").model_copy(
        update={"id": "my-own-tulip", "name": "Tulipa 'Found by the Shed'"}
    )
    document.edit("Add own", lambda yard: revise(yard, {"own_cultivars": (mine.__dict__,)}))
    QTest.keyClicks(shelf.search, "by the shed")
    assert shelf.view.model().rowCount() == 1
    document.undo_stack.undo()
    assert shelf.view.model().rowCount() == 0


def _enter(shelf, data, action=Qt.DropAction.MoveAction):
    event = QDragEnterEvent(QPoint(50, 50), action, data, LEFT, NO_KEYS)
    QApplication.sendEvent(shelf.view.viewport(), event)
    return event


def _move(shelf, data, action=Qt.DropAction.MoveAction):
    event = QDragMoveEvent(QPoint(60, 80), action, data, LEFT, NO_KEYS)
    QApplication.sendEvent(shelf.view.viewport(), event)
    return event


def _drop(shelf, data, action=Qt.DropAction.MoveAction):
    event = QDropEvent(QPointF(60, 80), action, data, LEFT, NO_KEYS)
    QApplication.sendEvent(shelf.view.viewport(), event)
    return event


def test_a_layer_is_taken_out_by_dropping_it_here(shelf, document) -> None:
    data = mime_of(Cargo("layer", "layer-2"))
    assert _enter(shelf, data).isAccepted()
    assert _move(shelf, data).isAccepted()
    assert shelf.hint.text() == "Take Tulipa 'Brown Sugar' out of Half barrel by the gate"
    assert _drop(shelf, data).isAccepted()
    assert all(layer.id != "layer-2" for _, layer in document.yard.layers())
    assert shelf.hint.isHidden()


def test_a_pot_is_refused_before_the_button_is_let_go(shelf, document) -> None:
    data = mime_of(Cargo("pot", "pot-1"))
    _enter(shelf, data)
    assert not _move(shelf, data).isAccepted()
    assert "delete it in the yard" in shelf.hint.text() and shelf.hint.isVisible()
    assert not _drop(shelf, data).isAccepted()
    assert document.undo_stack.count() == 0


@pytest.mark.parametrize("ratio", [1.0, 2.0, 1.5])
def test_the_picture_of_a_drag_is_as_sharp_as_the_screen(shelf, ratio) -> None:
    entry = shelf.view.model().entries[0]
    pixmap = drag_picture(entry, ratio=ratio, font=QFont(shelf.font()))
    assert pixmap.devicePixelRatio() == ratio
    plain = drag_picture(entry, ratio=1.0, font=QFont(shelf.font()))
    assert abs(pixmap.width() - plain.width() * ratio) <= 2


def test_the_strip_is_painted_where_its_dates_are(shelf, document) -> None:
    QTest.keyClicks(shelf.search, "queen of night")
    window = shelf.windows["tulipa-queen-of-night"]
    day = window.start.p50 + (window.end.p50 - window.start.p50) / 2
    document.look_at(day.replace(month=12, day=1))
    from bloomline.ui.shelf.delegate import plan_row
    from bloomline.ui.shelf.strip import year_scale
    from bloomline.ui.theme import em

    image: QImage = shelf.view.viewport().grab().toImage()
    plan = plan_row(float(shelf.view.viewport().width()), line_px=em())
    y = round(plan.strip_top + plan.strip_height / 2)

    def colour_at(when) -> int:
        x = year_scale(when, left=plan.text_left, width=plan.right - plan.text_left).x_of(when)
        return image.pixelColor(round(x), y).lightness()

    # Queen of Night is nearly black; the empty strip is light.
    assert colour_at(day) < 90
    assert colour_at(day.replace(month=8, day=15)) > 150


def test_actions_for_the_menus(shelf) -> None:
    actions = {action.objectName(): action for action in shelf.actions()}
    assert set(actions) == {
        "action_plant_bulb",
        "action_count_cupboard",
        "action_show_all_bulbs",
    }
    assert not actions["action_plant_bulb"].isEnabled()
    shelf.view.setFocus()
    shelf.focus_search()
    assert shelf.search.hasFocus()
    shelf.show_cultivar("tulipa-queen-of-night")
    assert actions["action_plant_bulb"].isEnabled()


def test_stopping_twice_is_no_harm(shelf) -> None:
    shelf.stop()
    shelf.stop()


def test_filters_are_folded_away_and_told_on_their_button(shelf) -> None:
    filters = shelf.filters
    assert all(each.isHidden() for each in filters.folded)
    assert filters.companions.isVisible() and filters.order.isVisible()
    assert filters.more.text() == "Filters"
    shelf.search.setFocus()
    QTest.keyClick(shelf.search, Qt.Key.Key_Tab)
    assert filters.more.hasFocus()
    QTest.keyClick(filters.more, Qt.Key.Key_Space)
    assert all(each.isVisible() for each in filters.folded)
    choose(filters.kind, "tulip")
    QTest.mouseClick(filters.scented, LEFT)
    assert filters.more.text() == "Filters · 2"
    assert "tulip, Scented" in filters.more.accessibleDescription()
    filters.scented.setFocus()
    QTest.keyClick(filters.scented, Qt.Key.Key_Escape)
    assert all(each.isHidden() for each in filters.folded) and filters.more.hasFocus()
    # Folded away, they are asked all the same.
    assert all(e.cultivar.common_type == "tulip" for e in shelf.view.model().entries)
    QTest.mouseClick(filters.clear, LEFT)
    assert filters.more.text() == "Filters"


def test_eight_kinds_are_seen_in_a_low_window(shelf, qtbot) -> None:
    shelf.resize(290, 675)  # what a window of 1280 by 800 leaves to the shelf
    qtbot.wait(10)
    view = shelf.view
    last = view.visualRect(view.model().index(7))
    assert last.isValid() and view.viewport().rect().contains(last)


def test_what_is_not_in_the_list_is_one_step_away(shelf, qtbot) -> None:
    QTest.keyClicks(shelf.search, "Moonlight")
    assert "packet" in shelf.empty.text()
    with qtbot.waitSignal(shelf.packet_requested) as asked:
        shelf.empty.linkActivated.emit("packet")
    assert asked.args == ["Moonlight"]
    shelf.show_all()
    shelf.missing.setFocus()
    with qtbot.waitSignal(shelf.packet_requested):
        QTest.keyClick(shelf.missing, Qt.Key.Key_Space)
