"""The page Stage: places made and changed, lanes under mouse and keys, the table, the papers."""

from __future__ import annotations

import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest
from icalendar import Calendar
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QMenu, QPushButton

from bloomline.cli.main import main
from bloomline.draw.base.petals import petal
from bloomline.model.stage_edits import add_place, fix_stand, remove_place
from bloomline.plan.climate.finding import place_meant
from bloomline.ui.stage.lane_painting import sizes_of
from bloomline.ui.stage.page import StagePage

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
DAY = date(2027, 4, 14)
DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"


def settle(page, qtbot) -> None:
    watch = page.watch
    qtbot.waitUntil(lambda: watch.is_up_to_date and watch.plan is not None, timeout=20_000)


def names(page) -> list[str]:
    return [place.name for place in page._document.yard.display_places]


def placed(page, pot, place, day=DAY):
    """A stay in the lanes by its pot's name."""
    return next(
        each
        for each in page.lanes.rows.stays
        if (each.stay.pot_name, each.stay.place) == (pot, place)
        and (day is None or each.stay.first <= day <= each.stay.last)
    )


def point(page, each, day=None) -> QPoint:
    """The middle of a stay's first line, on a day."""
    page.lanes.at = page.lanes.rows.stays.index(each)
    page.lanes.reveal()
    box = page.lanes.box(each)
    x = box.left() + 30.0 if day is None else page.lanes.days().middle_of(day)
    return QPointF(x, box.top() + 8.0).toPoint()


# Places


def test_places_are_made_renamed_changed_and_removed_and_all_is_undone(page, document, qtbot):
    before = document.yard
    page.places.add()
    assert names(page)[-1] == "New place"
    assert page.places.list.currentRow() == 3
    line = page.places.form.form.fields["name"]
    assert isinstance(line.editor, QLineEdit)
    line.editor.setText("Front gate")
    line.editor.setModified(True)
    line.flush()
    assert names(page)[-1] == "Front gate"
    assert page.places.list.currentItem().text() == "Front gate"
    for key, value in (
        ("capacity", 4),
        ("width_cm", 90.0),
        ("sun", "shade"),
        ("seen_from", "the street"),
        ("view_weight", 2.5),
        ("no_trolley", True),
        ("by_path", True),
        ("nose_height_cm", 120.0),
        ("raised_cm", 30.0),
        ("exposure", "north"),
    ):
        assert page.places.form.give(key, value), key
        assert getattr(document.yard.display_places[-1], key) == value
    page.places.form.give("width_cm", 0.0)
    assert document.yard.display_places[-1].width_cm is None
    page.places.form.give("kind", "rest")
    assert page.places.list.currentItem().text() == "Front gate (resting place)"
    page.places.remove()
    assert names(page) == [place.name for place in before.display_places]
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert document.yard.display_places == before.display_places


def test_a_name_that_is_taken_is_told_at_the_field(page, document):
    form = page.places.form
    assert not form.give("name", "Kitchen window")
    assert "already" in form.form.problem("name")
    assert form.form.fields["name"].editor.text() == "Front step"
    assert names(page)[0] == "Front step"
    assert not form.give("name", "  ")
    assert form.form.problem("name")


def test_a_renamed_place_stays_chosen_and_undo_finds_it_again(page, document):
    page.places.list.setCurrentRow(1)
    assert page.places.form.give("name", "Back door")
    assert page.places.name == "Back door" and page.places.list.currentRow() == 1
    document.undo_stack.undo()
    assert page.places.name == "Kitchen window"


def test_wanted_weeks_are_given_in_rows(page, document):
    rows = page.places.form.wanted.list
    assert len(rows.rows) == 1 and rows.rows[0].kind.currentData() == "easter"
    QTest.mouseClick(rows.add, LEFT)
    weeks = document.yard.display_places[0].wanted
    assert [each.feast for each in weeks] == ["easter", None]
    assert str(weeks[1].first) == "05-01" and str(weeks[1].last) == "05-31"
    rows.rows[1].times.setValue(0.0)
    rows.rows[1].kind.setCurrentIndex(1)
    rows.rows[1].kind.activated.emit(1)
    weeks = document.yard.display_places[0].wanted
    assert (weeks[1].feast, weeks[1].weight) == ("easter", 0.0)
    QTest.mouseClick(rows.rows[0].remove, LEFT)
    assert document.yard.display_places[0].wanted == weeks[1:]
    document.undo_stack.undo()
    assert len(rows.rows) == 2


def test_without_places_there_is_one_line_and_one_button(page, document, qtbot):
    for name in names(page):
        document.edit("x", lambda yard, name=name: remove_place(yard, name))
    assert page.stack.currentIndex() == 1
    (button,) = page.empty.findChildren(QPushButton)
    assert button.text() == "Add a place"
    QTest.mouseClick(button, LEFT)
    assert names(page) == ["New place"] and page.stack.currentIndex() == 0
    settle(page, qtbot)
    assert page.lanes.rows.lanes[0].name == "New place"


# Lanes


def test_lanes_say_who_stands_where_with_flowers_and_moves(page):
    plan = page.watch.plan
    lanes = page.lanes.rows.lanes
    assert [lane.name for lane in lanes[:3]] == names(page)
    for lane in lanes[:3]:
        assert [each.stay for each in lane.stays] == list(plan.lane(lane.name).stays)
    moves = [each.move for each in page.lanes.rows.stays if each.move is not None]
    assert {id(move) for move in moves} == {id(move) for move in plan.moves}
    zinc = placed(page, "Zinc tub", "Front step")
    assert [flower.name for tier in zinc.tiers for flower in tier] == [
        "Tulipa 'Negrita'",
        "Tulipa 'Abu Hassan'",
    ]
    assert "No other rota" in page.told.text()


def test_what_flowers_is_painted_in_its_colour_with_its_pattern(page):
    lily = placed(page, "Lily pot", "Kitchen window", None)
    (flower,) = lily.tiers[0]
    look = petal(flower.colour_hex, theme=page.lanes.look.theme)
    point(page, lily)  # into view
    image = page.lanes.viewport().grab().toImage()
    scale, box = page.lanes.days(), page.lanes.box(lily)
    line, bar = sizes_of(page.lanes.look).line, sizes_of(page.lanes.look).bar
    seen = {
        image.pixelColor(x, y).name().upper()
        for x in range(round(scale.x_of(flower.first)) + 3, round(scale.end_of(flower.last)) - 3)
        for y in range(round(box.top() + line) + 1, round(box.top() + line + bar))
    }
    assert {look.fill.upper(), look.mark_ink.upper()} <= seen


def test_boxes_of_a_lane_never_cover_each_other(page):
    for lane in page.lanes.rows.lanes:
        boxes = [page.lanes.box(each) for each in lane.stays]
        for at, one in enumerate(boxes):
            for other in boxes[at + 1 :]:
                shared = one.adjusted(1, 1, -1, -1) & other.adjusted(1, 1, -1, -1)
                assert shared.isEmpty()


def test_the_line_follows_the_day_and_the_day_follows_the_hand(page, document):
    scale = page.lanes.days()
    axis = QPoint(round(scale.middle_of(date(2027, 5, 3))), 6)
    QTest.mouseClick(page.lanes.viewport(), LEFT, NONE, axis)
    assert abs((document.day - date(2027, 5, 3)).days) <= 1
    assert page.lanes.day == document.day
    day = document.day
    page.lanes.setFocus()
    QTest.keyClick(page.lanes, Qt.Key.Key_Right)
    assert document.day == day + timedelta(days=1)
    document.look_at(DAY)
    assert page.lanes.day == DAY and "14 April 2027" in page.heading.text()


def test_a_stay_is_chosen_by_mouse_and_by_keys_with_its_pot(page, document):
    tub = placed(page, "Zinc tub", "Front step")
    QTest.mouseClick(page.lanes.viewport(), LEFT, NONE, point(page, tub))
    assert document.selected_pot().name == "Zinc tub"
    page.lanes.setFocus()
    QTest.keyClick(page.lanes, Qt.Key.Key_Down)
    at = page.lanes.rows.stays.index(tub) + 1
    assert page.lanes.current() is page.lanes.rows.stays[at]
    assert document.pot_id == page.lanes.rows.stays[at].stay.pot_id
    assert page.lanes.current().stay.pot_name in page.lanes.accessibleDescription()


def test_tips_tell_stays_moves_and_places(page):
    tub = placed(page, "Zinc tub", "Front step")
    at = point(page, tub)
    assert "Tulipa 'Negrita'" in page.lanes.tip_at(QPointF(at))
    mark = QPointF(page.lanes.days().x_of(tub.stay.first), page.lanes.box(tub).top() + 8.0)
    words = page.lanes.tip_at(mark)
    assert words.startswith("Sat 3 Apr 2027: Zinc tub: from own spot to Front step")
    assert words.endswith("; trolley only")
    lane = page.lanes.rows.lanes[0]
    top = page.lanes.axis_height() + lane.top - page.lanes.verticalScrollBar().value() + 6.0
    assert "room for 3 pots" in page.lanes.tip_at(QPointF(20.0, top))


def drag(page, start: QPoint, end: QPoint) -> None:
    view = page.lanes.viewport()
    QTest.mousePress(view, LEFT, NONE, start)
    for step in range(1, 6):
        QTest.mouseMove(view, start + (end - start) * (step / 5))
    QTest.mouseRelease(view, LEFT, NONE, end)


def test_a_pot_is_dragged_to_a_place_on_a_day(page, document, qtbot):
    lily = placed(page, "Lily pot", "Kitchen window", None)
    day = lily.stay.first + timedelta(days=9)
    start = point(page, lily, day)
    lane = page.lanes.rows.lanes[0]
    y = page.lanes.axis_height() + lane.top - page.lanes.verticalScrollBar().value() + 8.0
    view = page.lanes.viewport()
    QTest.mousePress(view, LEFT, NONE, start)
    QTest.mouseMove(view, QPoint(start.x(), round(y) + 40))
    QTest.mouseMove(view, QPoint(start.x(), round(y)))
    assert page.lanes.aim is not None and page.lanes.aim[0] is lane and page.lanes.aim[1]
    assert page.lanes.carried_words[1].startswith("Lily pot: at Front step")
    page.lanes.viewport().repaint()
    QTest.mouseRelease(view, LEFT, NONE, QPoint(start.x(), round(y)))
    (stand,) = document.yard.fixed_stands
    assert (stand.place, stand.last) == ("Front step", lily.stay.last)
    assert abs((stand.first - day).days) <= 1
    settle(page, qtbot)
    assert page.watch.plan.place_of(stand.pot_id, day) == "Front step"
    fixed = placed(page, "Lily pot", "Front step", day)
    assert fixed.stay.by_hand and "fixed by hand" in page.lanes.tip_at(QPointF(point(page, fixed)))
    assert document.undo_stack.undoText() == "Carry a pot to a place"
    document.undo_stack.undo()
    assert document.yard.fixed_stands == ()


def test_a_drop_that_can_never_be_is_refused_with_the_reason(page, document, qtbot):
    document.edit("x", lambda yard: add_place(yard, "Sill", width_cm=8.0))
    settle(page, qtbot)
    said: list[str] = []
    page.message.connect(said.append)
    lily = placed(page, "Lily pot", "Kitchen window", None)
    start = point(page, lily, lily.stay.first + timedelta(days=9))
    page.lanes.verticalScrollBar().setValue(10_000)
    sill = page.lanes.rows.lanes[3]
    assert sill.name == "Sill"
    top = page.lanes.verticalScrollBar().value() - page.lanes.axis_height()
    page.lanes._press = (QPointF(start), lily)
    page.lanes._carrying = True
    end = QPoint(start.x(), round(sill.top - top + 6.0))
    QTest.mouseMove(page.lanes.viewport(), end)
    assert page.lanes.aim == (sill, False)
    QTest.mouseRelease(page.lanes.viewport(), LEFT, NONE, end)
    assert document.yard.fixed_stands == ()
    assert said and "wider than the room" in said[-1]


def test_the_menu_of_a_stay_carries_it_and_delete_frees_it(page, document, qtbot):
    tub = placed(page, "Zinc tub", "Front step")
    page.lanes.setFocus()
    page.lanes.choose(tub)
    menu = page.lanes.stand_menu()
    assert isinstance(menu, QMenu)
    offers = {action.data(): action for action in menu.actions() if action.objectName() != ""}
    assert "keep it here" in offers["Front step"].text()
    offers["Kitchen window"].trigger()
    menu.close()
    (stand,) = document.yard.fixed_stands
    assert (stand.place, stand.first) == ("Kitchen window", DAY)
    settle(page, qtbot)
    stay = placed(page, "Zinc tub", "Kitchen window")
    page.lanes.choose(stay)
    assert page._free.isEnabled()
    QTest.keyClick(page.lanes, Qt.Key.Key_Delete)
    assert document.yard.fixed_stands == ()
    settle(page, qtbot)
    assert not page._free.isEnabled()
    said: list[str] = []
    page.message.connect(said.append)
    page.free()
    assert "nothing is fixed by hand" in said[-1]


def test_the_menu_carries_a_pot_for_the_rest_of_the_season_too(page, document, qtbot):
    page.lanes.choose(placed(page, "Zinc tub", "Front step"))
    menu = page.lanes.stand_menu()
    (inner,) = menu.findChildren(QMenu)
    next(each for each in inner.actions() if each.data() == "Kitchen window").trigger()
    menu.close()
    (stand,) = document.yard.fixed_stands
    assert (stand.place, stand.first, stand.last) == ("Kitchen window", DAY, None)


def test_zoom_and_pan_stay_within_the_rota(page):
    whole = page.lanes.limits()
    page.lanes.setFocus()
    QTest.keyClick(page.lanes, Qt.Key.Key_Plus)
    first, last = page.lanes._window
    assert last - first < whole[1] - whole[0]
    page.lanes.pan(10_000)
    assert page.lanes._window[1] == pytest.approx(whole[1])
    QTest.keyClick(page.lanes, Qt.Key.Key_F)
    assert page.lanes._window == whole


def test_conflicts_and_what_can_not_stand_are_told(page, document, qtbot):
    said: list[str] = []
    page.message.connect(said.append)

    def crowd(yard):
        light = ("Snowdrop pan", "Pan of early irises", "Lily pot", "Blue glazed bowl")
        for pot in yard.pots:
            if pot.name in light:
                yard = fix_stand(yard, pot.id, "Front step", DAY, DAY)
        return yard

    assert page.conflicts.isHidden()
    document.edit("crowd", crowd)
    qtbot.waitUntil(lambda: not page.conflicts.isHidden(), timeout=20_000)
    assert "no room left at Front step" in page.conflicts.text()
    assert "no room left" in said[-1]


# The table


def test_the_table_says_the_same_and_frees_too(page, document, qtbot):
    page._as_table.trigger()
    assert page.pages.currentWidget() is page.table
    table, plan = page.table.table, page.watch.plan
    stays = list(plan.stays())
    assert table.row_count() == len(stays)
    row = next(
        at for at, s in enumerate(stays) if (s.pot_name, s.place) == ("Zinc tub", "Front step")
    )
    cells = [table.line(row).cells[at] for at in range(table.column_count())]
    assert cells[:3] == ["Front step", "Zinc tub", "5 Apr – 16 May 2027"]
    assert "Tulipa 'Negrita'" in cells[3] and cells[5:] == [
        "Sat 3 Apr, trolley only",
        "by the rota",
    ]
    table.choose(row)
    assert document.selected_pot().name == "Zinc tub"
    document.edit("fix", lambda yard: fix_stand(yard, document.pot_id, "Kitchen window", DAY, DAY))
    settle(page, qtbot)
    stay = page.watch.plan.stay_of(document.pot_id, DAY)
    row = list(page.watch.plan.stays()).index(stay)
    assert table.line(row).cells[6] == "by hand"
    table.choose(row)
    QTest.keyClick(page.table, Qt.Key.Key_Delete)
    assert document.yard.fixed_stands == ()


# Papers


def test_the_sheet_and_the_calendar_are_those_of_the_command(page, document, qtbot, tmp_path: Path):
    sheet, moves = tmp_path / "door.pdf", tmp_path / "moves.ics"
    page.save_sheet(sheet)
    qtbot.waitUntil(lambda: "Saved door.pdf" in page.doing.text(), timeout=20_000)
    assert sheet.read_bytes().startswith(b"%PDF")
    page.write_calendar(moves)
    qtbot.waitUntil(lambda: "written to" in page.doing.text(), timeout=20_000)
    theirs = tmp_path / "theirs.ics"
    yard = shutil.copy(DEMO, tmp_path)  # which remembers what was written
    assert main(["rota", str(yard), "--today", "2026-11-20", "--out", str(theirs)]) == 0
    told = [
        sorted(
            (str(event["uid"]).split("@")[0], str(event["summary"]), event.decoded("dtstart"))
            for event in Calendar.from_ical(path.read_bytes()).walk("VEVENT")
        )
        for path in (moves, theirs)
    ]
    assert told[0] and [each[1:] for each in told[0]] == [each[1:] for each in told[1]]
    assert document.yard.seen_tasks  # what was written is remembered, in a step to undo
    document.undo_stack.undo()
    assert not document.yard.seen_tasks


def test_nothing_is_worked_out_before_the_page_is_shown(document, service, qtbot):
    page = StagePage(document, service)
    qtbot.addWidget(page)
    assert page.watch.plan is None and page.watch._beside is None
    page.show()
    settle(page, qtbot)
    page.hide()
    document.edit("x", lambda yard: add_place(yard, "Gate"))
    assert not page.watch.is_up_to_date
    page.show()
    settle(page, qtbot)
    assert [lane.name for lane in page.lanes.rows.lanes][3] == "Gate"
    page.stop()


# Winter


def test_pots_that_would_freeze_are_offered_cover_in_one_step(page, document, qtbot):
    cold = place_meant("Minneapolis").choice
    assert not page.offered.isVisible()

    def moved(yard):
        there = yard.model_copy(update={"place": cold})
        return add_place(there, "Garage", kind="shelter", site="garage", capacity=20)

    document.edit("Move to the cold", moved)
    settle(page, qtbot)
    offers = page.watch.plan.offers
    assert len(offers) >= 3 and page.offered.isVisible()
    assert f"{len(offers)} pots may freeze" in page.offer_told.text()
    assert "at Garage" in page.offer_told.toolTip()
    before = document.yard
    QTest.mouseClick(page.findChild(QPushButton, "button_winter_pots"), LEFT)
    assert {pot.id for pot in document.yard.pots if pot.site == "garage"} == {
        offer.pot_id for offer in offers
    }
    settle(page, qtbot)
    assert not page.offered.isVisible()
    assert {stay.pot_id for stay in page.watch.plan.lane("Garage").stays} >= {
        offer.pot_id for offer in offers
    }
    document.undo_stack.undo()
    assert document.yard == before


def test_what_a_shelter_is_is_asked_of_shelters_alone(page, document):
    page.places.add()
    form = page.places.form
    assert form.form.fields["site"].editor.isHidden()
    form.give("kind", "shelter")
    assert not form.form.fields["site"].editor.isHidden()
    assert document.yard.display_places[-1].cover == "shed"
    form.give("site", "garage")
    assert document.yard.display_places[-1].cover == "garage"
    document.undo_stack.undo()
    assert document.yard.display_places[-1].cover == "shed"
