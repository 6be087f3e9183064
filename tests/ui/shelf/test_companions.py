"""Companions on the shelf: found, told apart from bulbs, planted by mouse and by keys."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest

from bloomline.plan.carry.drops import Cargo
from bloomline.reference.catalogue import load_companions
from bloomline.ui.cargo import cargo_of, mime_of
from bloomline.ui.shelf.companions import companion_entries, filtered_companions
from bloomline.ui.shelf.entries import Order, ShelfFilter
from bloomline.ui.shelf.model import Role
from bloomline.ui.shelf.strip import scales_of

LEFT = Qt.MouseButton.LeftButton
NO_KEYS = Qt.KeyboardModifier.NoModifier


def names(shelf) -> list[str]:
    model = shelf.view.model()
    return [model.index(row).data() for row in range(model.rowCount())]


def show_companions(shelf) -> None:
    QTest.mouseClick(shelf.filters.companions, LEFT)


def test_the_filter_shows_what_is_set_on_top_and_says_so(shelf, document) -> None:
    show_companions(shelf)
    n = len(load_companions())
    assert sorted(names(shelf)) == sorted(each.name for each in load_companions())
    assert shelf.summary.text() == f"{n} of {n} companions · on top of pots, season by date"
    assert shelf.view.accessibleName() == "Companions on the shelf"
    assert not shelf.filters.kind.isEnabled() and not shelf.filters.well.isEnabled()
    index = shelf.view.model().index(0)
    spoken = index.data(Qt.ItemDataRole.AccessibleTextRole)
    assert "plant on top, season by date" in spoken
    assert "usually planted" in index.data(Qt.ItemDataRole.ToolTipRole)
    QTest.mouseClick(shelf.filters.clear, LEFT)
    assert len(names(shelf)) == len(document.catalogue)
    assert shelf.view.accessibleName() == "Bulbs on the shelf"


def test_words_colour_and_month_find_companions(shelf) -> None:
    show_companions(shelf)
    QTest.keyClicks(shelf.search, "pansy")
    assert names(shelf) == ["Viola × wittrockiana (winter pansy)"]
    shelf.search.clear()
    QTest.keyClicks(shelf.search, "blue")
    assert set(names(shelf)) == {
        each.name for each in load_companions() if "blue" in each.colour or "blue" in each.name
    }
    shelf.search.clear()
    box = shelf.filters.month
    box.setCurrentIndex(box.findData(8))
    assert "Viola × wittrockiana (winter pansy)" not in names(shelf)
    assert "Bidens ferulifolia" in names(shelf)


def test_a_search_among_bulbs_points_to_companions(shelf) -> None:
    QTest.keyClicks(shelf.search, "pelargonium")
    assert shelf.view.model().rowCount() == 0
    assert "set on top" in shelf.empty.text()
    shelf.empty.linkActivated.emit("companions")
    assert shelf.filters.companions.isChecked()
    assert len(names(shelf)) == 2 and shelf.search.text() == "pelargonium"


def test_enter_sets_it_on_the_selected_pot_and_undo_takes_it_back(shelf, document) -> None:
    document.select(pot_id="pot-2")
    show_companions(shelf)
    QTest.keyClicks(shelf.search, "winter pansy")
    QTest.keyClick(shelf.search, Qt.Key.Key_Down)
    QTest.keyClick(shelf.view, Qt.Key.Key_Return)
    (planting,) = document.yard.pot("pot-2").companions
    assert planting.companion_id == "winter-pansy"
    assert planting.planted == date(2026, 10, 24)  # with the bulbs
    assert document.companion_id == planting.id and document.pot_id == "pot-2"
    assert document.undo_stack.undoText() == "Plant Viola × wittrockiana (winter pansy)"
    document.undo_stack.undo()
    assert document.yard.pot("pot-2").companions == ()
    assert document.companion_id is None and document.pot_id == "pot-2"
    shelf._plant_action.trigger()  # the same by the menu
    assert len(document.yard.pot("pot-2").companions) == 1


def test_without_a_pot_the_reason_is_told(shelf, document, qtbot) -> None:
    document.select()
    show_companions(shelf)
    shelf.view.setCurrentIndex(shelf.view.model().index(0))
    with qtbot.waitSignal(shelf.message) as told:
        QTest.keyClick(shelf.view, Qt.Key.Key_Return)
    assert "Select the pot first" in told.args[0]


def test_a_drag_carries_the_companion(shelf) -> None:
    show_companions(shelf)
    model = shelf.view.model()
    row = model.row_of("primrose-wild")
    index = model.index(row)
    assert cargo_of(model.mimeData([index])) == Cargo("companion", "primrose-wild")
    assert index.data(Role.CARGO) == Cargo("companion", "primrose-wild")


def test_dropped_back_on_the_shelf_they_leave_their_pot(shelf, document) -> None:
    document.select(pot_id="pot-2")
    show_companions(shelf)
    shelf.view.setCurrentIndex(shelf.view.model().index(0))
    QTest.keyClick(shelf.view, Qt.Key.Key_Return)
    data = mime_of(Cargo("planting", document.companion_id))
    actions = Qt.DropAction.MoveAction | Qt.DropAction.CopyAction
    enter = QDragEnterEvent(QPoint(50, 50), actions, data, LEFT, NO_KEYS)
    shelf.view.dragEnterEvent(enter)
    assert enter.isAccepted() and shelf.hint.text().startswith("Take ")
    drop = QDropEvent(QPointF(50, 50), actions, data, LEFT, NO_KEYS)
    shelf.view.dropEvent(drop)
    assert drop.isAccepted() and document.yard.pot("pot-2").companions == ()


def test_seasons_turn_by_half_a_year_in_the_south() -> None:
    north = {e.companion.id: e for e in companion_entries(load_companions(), southern=False)}
    south = {e.companion.id: e for e in companion_entries(load_companions(), southern=True)}
    assert (north["winter-pansy"].first.month, north["winter-pansy"].last.month) == (10, 5)
    assert (south["winter-pansy"].first.month, south["winter-pansy"].last.month) == (4, 11)
    assert north["winter-pansy"].months == {10, 11, 12, 1, 2, 3, 4, 5}
    season = north["winter-pansy"].season
    # over the new year: at both ends of the strip
    assert len(scales_of(season, left=0.0, width=365.0)) == 2
    assert (season.rise, season.close) == (season.open, season.fall)  # hard ends
    assert north["ivy-small-leaved"].months == set(range(1, 13))


def test_those_in_leaf_all_year_come_last_in_the_order_of_seasons() -> None:
    entries = companion_entries(load_companions(), southern=False)
    order = filtered_companions(entries, ShelfFilter(), order=Order.FLOWERING)
    leaf = [entry.companion.is_leaf for entry in order]
    assert leaf == sorted(leaf)
    low = filtered_companions(entries, ShelfFilter(height_to_cm=15.0), order=Order.HEIGHT)
    heights = [entry.companion.height_cm for entry in low]
    assert heights == sorted(heights) and heights[-1] <= 15.0
    safe = filtered_companions(entries, ShelfFilter(pet_safe=True), order=Order.NAME)
    assert all(entry.companion.toxic_pets == 0 for entry in safe) and len(safe) < len(entries)
