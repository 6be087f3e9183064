"""Companions and successions in the timeline and its table."""

from __future__ import annotations

from datetime import date, timedelta
from html import unescape

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest

from bloomline.draw.season.rows import BAR_SHARE
from bloomline.model import edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import add_companion, remove_companion
from bloomline.model.yard import Layer
from bloomline.ui.season.hits import hit_at, tip_at
from bloomline.ui.season.table import COMPANION_ROLE, LAYER_ROLE
from bloomline.ui.season.words import SeasonWords

LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier
MAY = date(2027, 5, 20)
PANSY = CompanionPlanting(
    id="companion-1", companion_id="winter-pansy", count=3, planted=date(2026, 10, 24)
)
IVY = CompanionPlanting(
    id="companion-2",
    companion_id="ivy-small-leaved",
    count=2,
    planted=date(2026, 10, 24),
    taken_out=date(2027, 6, 30),
)
PELARGONIUM = CompanionPlanting(
    id="companion-3", companion_id="pelargonium-zonal", count=4, planted=MAY
)


@pytest.fixture
def planted(panel, document, service, qtbot):
    """The demo with companions, one of which is due while daffodils are in leaf."""

    def change(yard):
        yard = add_companion(yard, "pot-2", PANSY)
        yard = add_companion(yard, "pot-2", IVY)
        return add_companion(yard, "pot-4", PELARGONIUM)

    with qtbot.waitSignal(service.report_ready, timeout=20_000):
        document.edit("Plant", change)
        service.refresh()
    panel.view.fit()
    return panel


def middle(panel, planting_id: str, day: date) -> QPoint:
    view = panel.view
    index = panel._shown.rows.of(planting_id)
    y = panel._shown.rows.middle(index)
    view.scroll_bar.setValue(round(y) - 100)
    return QPoint(round(view.days().middle_of(day)), round(view.row_y(index)))


def test_each_has_a_row_under_its_pots_layers(planted) -> None:
    rows = planted._shown.rows.rows
    names = [
        row.layer.name if row.layer else row.companion.name if row.companion else row.pot.name
        for row in rows
        if row.pot.pot_id == "pot-2"
    ]
    assert names[0] == "Tall terracotta by the door"
    assert names[-2:] == [
        "Viola × wittrockiana (winter pansy)",
        "Hedera helix (small-leaved trailing ivy)",
    ]
    heading, layer = planted._shown.rows.span(0), planted._shown.rows.span(1)
    top = planted._shown.rows.span(planted._shown.rows.of("companion-1"))
    assert top[1] - top[0] == layer[1] - layer[0] < heading[1] - heading[0]


def test_the_whole_season_shows_all_of_it_and_december_can_be_reached(planted) -> None:
    first, last = planted.view.day_range
    assert first <= date(2026, 10, 24).toordinal()
    assert last >= date(2027, 10, 15).toordinal()  # the pelargoniums' last day
    planted.view.pan(400)
    assert planted.view.day_range[1] > date(2027, 12, 31).toordinal()
    planted.view.ask_day(date(2027, 12, 31))
    assert planted._document.day == date(2027, 12, 31)


def test_the_bar_has_hard_ends_and_leaf_plants_an_outline(planted) -> None:
    look, view = planted._shown.look, planted.view
    point = middle(planted, "companion-1", date(2027, 3, 1))
    half = round(look.bar_height * BAR_SHARE / 2)
    end = round(view.days().x(date(2027, 5, 31).toordinal() + 1))
    planted._document.look_at(date(2027, 1, 5))
    image = view.viewport().grab().toImage()
    ground = QColor(look.theme.ground)

    def ink(x: int) -> int:
        """How many pixels of a column over the bar are not of the ground."""
        column = range(point.y() - half + 1, point.y() + half - 1)
        return sum(image.pixelColor(x, y) != ground for y in column)

    assert ink(end - 2) == 2 * half - 2  # the end line is drawn over all its height
    assert ink(end - 8) == 2 * half - 2  # washed in the flowers' colour
    ivy = middle(planted, "companion-2", date(2027, 3, 11))
    image = view.viewport().grab().toImage()
    inside = {image.pixel(ivy.x() + dx, ivy.y()) for dx in range(0, 9)}
    assert ground.rgb() in inside and len(inside) <= 3  # clear but for a week's line


def test_a_click_selects_it_and_arrows_walk_on(planted, document) -> None:
    QTest.mouseClick(
        planted.view.viewport(), LEFT, NONE, middle(planted, "companion-1", date(2027, 3, 1))
    )
    assert document.companion_id == "companion-1" and document.pot_id == "pot-2"
    QTest.keyClick(planted.view, Qt.Key.Key_Down)
    assert document.companion_id == "companion-2"
    QTest.keyClick(planted.view, Qt.Key.Key_Down)
    assert document.companion_id is None
    assert document.yard.layer(document.layer_id)[0].id == "pot-3"
    QTest.keyClick(planted.view, Qt.Key.Key_Up)
    assert document.companion_id == "companion-2"
    said = planted.view.accessibleDescription()
    assert "selected: Hedera helix" in said and "On top, by date" in said


def test_enter_and_a_double_click_ask_for_details(planted, document, qtbot) -> None:
    document.select(companion_id="companion-1")
    with qtbot.waitSignal(planted.details_requested) as asked:
        QTest.keyClick(planted.view, Qt.Key.Key_Return)
    assert asked.args == ["companion-1"]
    with qtbot.waitSignal(planted.details_requested) as asked:
        QTest.mouseDClick(planted.view.viewport(), LEFT, NONE, middle(planted, "companion-2", MAY))
    assert asked.args == ["companion-2"]


def test_the_tip_says_that_it_goes_by_date(planted) -> None:
    tip = tip_at(planted.view, QPointF(middle(planted, "companion-1", date(2027, 3, 1))))
    assert "3 plants on top of Tall terracotta by the door, season by date" in tip
    assert "In flower 24 Oct 2026 – 31 May 2027" in tip


def test_a_conflict_is_marked_on_its_day_and_told(planted, document) -> None:
    conflict = planted._shown.conflicts["companion-3"]
    assert conflict.due == MAY and "still in leaf" in conflict.words
    point = middle(planted, "companion-3", MAY)
    sign = QPointF(point.x() - 15, point.y())
    hit = hit_at(planted.view, sign)
    assert hit.kind == "conflict" and hit.conflict is conflict
    over_row = QPointF(middle(planted, "companion-3", MAY + timedelta(days=60)))
    for at in (sign, over_row):
        assert conflict.words in unescape(tip_at(planted.view, at))
    QTest.mouseClick(planted.view.viewport(), LEFT, NONE, sign.toPoint())
    assert document.companion_id == "companion-3"
    assert conflict.words in planted.view.accessibleDescription()


def test_the_sign_is_painted(planted, document, service, qtbot) -> None:
    point = middle(planted, "companion-3", MAY)
    colour = QColor(planted._shown.look.tone.caution)

    def found() -> int:
        image = planted.view.viewport().grab().toImage()
        near = [
            image.pixelColor(point.x() - dx, point.y() + dy)
            for dx in range(7, 24)
            for dy in range(-8, 9)
        ]
        return sum(abs(c.red() - colour.red()) + abs(c.green() - colour.green()) < 30 for c in near)

    assert found() > 8
    with qtbot.waitSignal(service.report_ready, timeout=20_000):
        document.edit("Out", lambda yard: remove_companion(yard, "companion-3"))
        service.refresh()
    assert planted._shown.conflicts == {}


def test_the_table_lists_them_with_one_day_for_each_end(planted, document, qtbot) -> None:
    table = planted.table
    table.catch_up()
    row = table.row_of("companion-1")
    cells = [table.index(row, column).data() for column in range(table.columnCount())]
    assert cells[0] == "Tall terracotta by the door"
    assert cells[2] == "3"
    assert cells[4:10] == ["–", "24 Oct 2026", "–", "–", "31 May 2027", "–"]
    assert cells[10] == "31.4" and cells[11].startswith("On top, by date")
    assert table.index(row, 0).data(LAYER_ROLE) is None
    assert table.index(row, 0).data(COMPANION_ROLE) == "companion-1"
    late = table.index(table.row_of("companion-3"), 11).data()
    assert "is due on 20 May" in late
    QTest.keyClick(planted.view, Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    document.select(companion_id="companion-1")
    assert planted.table_view.currentIndex().data(COMPANION_ROLE) == "companion-1"
    QTest.keyClick(planted.table_view, Qt.Key.Key_Down)
    assert document.companion_id == "companion-2"
    with qtbot.waitSignal(planted.details_requested) as asked:
        QTest.keyClick(planted.table_view, Qt.Key.Key_Return)
    assert asked.args == ["companion-2"]


def test_a_layer_that_is_due_too_early_is_marked_as_well(panel, document, service, qtbot) -> None:
    lily = next(c for c in document.catalogue if c.id.startswith("dahlia"))
    new = Layer(id="layer-90", cultivar_id=lily.id, count=3, cover_cm=10.0, planted=MAY)
    with qtbot.waitSignal(service.report_ready, timeout=20_000):
        document.edit("Plant", lambda yard: edits.add_layer(yard, "pot-4", new))
        service.refresh()
    assert "layer-90" in panel._shown.conflicts
    panel.table.catch_up()
    advice = panel.table.index(panel.table.row_of("layer-90"), 11).data()
    assert advice.startswith(lily.name)


def test_out_of_season_the_row_says_so(panel, document, service, qtbot) -> None:
    after = PANSY.model_copy(
        update={"companion_id": "wallflower-tall", "taken_out": date(2027, 3, 1)}
    )
    with qtbot.waitSignal(service.report_ready, timeout=20_000):
        document.edit("Plant", lambda yard: add_companion(yard, "pot-2", after))
        service.refresh()
    companion = service.report.companions[0]
    assert companion.first is None
    tip = SeasonWords().companion_tip(
        companion, service.report.pots[1], planted=after.planted + timedelta(days=1)
    )
    assert "not in season" in tip
    panel.table.catch_up()
    row = panel.table.row_of("companion-1")
    assert [panel.table.index(row, at).data() for at in (5, 8, 10)] == ["–", "–", "–"]


def test_its_planting_day_moves_by_hand_and_by_keys_and_is_undone(planted, document) -> None:
    view, port = planted.view, planted.view.viewport()
    start = middle(planted, "companion-1", PANSY.planted)
    assert hit_at(view, QPointF(start)).kind == "planting"
    stop = QPoint(round(view.days().middle_of(date(2026, 11, 20))), start.y())
    QTest.mousePress(port, LEFT, NONE, start)
    for step in range(1, 5):
        QTest.mouseMove(port, start + (stop - start) * (step / 4))
    QTest.mouseRelease(port, LEFT, NONE, stop)
    assert document.yard.companion("companion-1")[1].planted == date(2026, 11, 20)
    document.undo_stack.undo()  # the whole drag
    assert document.yard.companion("companion-1")[1].planted == PANSY.planted
    document.select(companion_id="companion-1")
    QTest.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    QTest.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    moved = document.yard.companion("companion-1")[1].planted
    assert moved == PANSY.planted + timedelta(days=2)
    document.undo_stack.undo()
    assert document.yard.companion("companion-1")[1].planted == PANSY.planted


def test_a_day_after_taking_out_is_refused(planted, document, qtbot) -> None:
    document.select(companion_id="companion-2")
    with qtbot.waitSignal(document.refused):
        planted._planting.move_by(300)
    assert document.yard.companion("companion-2")[1] == IVY
