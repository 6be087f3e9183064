"""The yard arranged by place, the lanes under the season, scent on the yard's page."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolButton, QVBoxLayout, QWidget

from bloomline.model.stage_edits import add_place, fix_stand, remove_place
from bloomline.plan.carry.drops import Cargo
from bloomline.ui.cargo import mime_of
from bloomline.ui.details.yard_page import YardPage
from bloomline.ui.files.memory import Memory
from bloomline.ui.season.panel import SeasonPanel
from bloomline.ui.stage.grouped_row import Group, GroupedRow
from bloomline.ui.stage.switches import StageSwitches
from bloomline.ui.yard.panel import YardPanel
from bloomline.words import number_words

DAY = date(2027, 4, 14)
LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


class Stand:
    """Season over yard with their switches, as the window has them."""

    def __init__(self, document, service, settings, qtbot) -> None:
        self.document, self.qtbot = document, qtbot
        self.whole = QWidget()
        qtbot.addWidget(self.whole)
        self.season = SeasonPanel(document, service, self.whole)
        self.yard = YardPanel(document, service, self.whole)
        self.switches = StageSwitches(
            document, yard=self.yard, season=self.season, settings=settings, parent=self.whole
        )
        self.said: list[str] = []
        self.switches.said.connect(self.said.append)
        column = QVBoxLayout(self.whole)
        column.addWidget(self.season)
        column.addWidget(self.yard)
        self.whole.resize(1200, 900)
        self.whole.show()

    @property
    def canvas(self):
        return self.yard.canvas

    def settle(self) -> None:
        watches = [
            part.watch
            for part in (self.switches._grouping, self.switches._lanes)
            if part is not None and part.watch._awake
        ]
        self.qtbot.waitUntil(
            lambda: all(w.is_up_to_date and w.plan is not None for w in watches), timeout=20_000
        )

    @property
    def plan(self):
        return self.switches._grouping.watch.plan

    def standing(self) -> dict[str | None, list[str]]:
        """Who stands where in the picture."""
        return {
            span.group.name: [self.document.yard.pot(one).name for one in span.group.pot_ids]
            for span in self.canvas.row.spans
        }

    def point_of(self, number: int) -> QPointF:
        """A point of the picture over a place."""
        return QPointF(self.canvas.view.origin_x + self.canvas.row.place_x(number), 60.0)

    def stop(self) -> None:
        self.switches.stop()
        self.season.stop()
        self.yard.stop()


@pytest.fixture
def stand(document, service, qtbot, tmp_path) -> Iterator[Stand]:
    document.look_at(DAY)
    stand = Stand(document, service, Memory(tmp_path / "window.json"), qtbot)
    yield stand
    stand.stop()
    stand.stop()


@pytest.fixture
def by_place(stand) -> Stand:
    stand.switches.by_place.trigger()
    stand.settle()
    return stand


def pot_named(document, name):
    return next(pot for pot in document.yard.pots if pot.name == name)


# The row


def test_a_grouped_row_keeps_order_room_and_places_apart(document):
    pots = document.yard.pots
    places = document.yard.display_places
    groups = (
        Group(places[0], (pots[3].id, pots[1].id)),
        Group(places[1], ()),
        Group(None, tuple(pot.id for at, pot in enumerate(pots) if at not in (1, 3))),
    )
    for scale in (0.4, 2.0, 6.0):
        row = GroupedRow(document.yard, groups, scale=scale, em=16.0)
        assert [each.pot.id for each in row.pots][:2] == [pots[3].id, pots[1].id]
        assert len(row.pots) == len(pots)
        for left, right in zip(row.pots, row.pots[1:], strict=False):
            assert left.right <= right.left
        for before, after in zip(row.spans, row.spans[1:], strict=False):
            assert before.right == pytest.approx(after.left)
        for number, span in enumerate(row.spans):
            assert span.right > span.left
            assert row.group_at(row.place_x(number)) == number
            for pot_id in span.group.pot_ids:
                placed = row.of(pot_id)
                assert span.left <= placed.left and placed.right <= span.right
                assert row.at(placed.middle) is placed
        assert row.spans[-1].right <= row.width + 1e-6
        assert row.group_at(-100.0) == 0 and row.group_at(1e6) == 2


# The picture


def test_the_picture_shows_who_stands_where_on_the_day(by_place):
    def told(day):
        by_place.document.look_at(day)
        standing = by_place.standing()
        for place, stays in by_place.plan.standing(day):
            name = None if place is None else place.name
            assert sorted(standing.get(name, [])) == sorted(stay.pot_name for stay in stays)
        return standing

    april = told(DAY)
    assert "Zinc tub" in april["Front step"]
    assert told(date(2027, 7, 1)) != april  # it moves with the day's line
    by_place.document.look_at(DAY)
    assert "Front step: " in by_place.canvas.accessibleDescription()
    assert by_place.yard._heading.text() == "Yard by place on 14 April 2027"
    grouping = by_place.switches._grouping
    assert grouping.heading_of(grouping.groups()[0]) == ("Front step", "3 of 3")
    by_place.document.look_at(by_place.plan.weeks[0] - timedelta(days=30))
    assert grouping.heading_of(grouping.groups()[-1])[0] == "No rota for this day"


def test_the_switch_is_remembered_and_goes_back(stand, document, service, qtbot, tmp_path):
    yards_order = [placed.pot.id for placed in stand.canvas.row.pots]
    stand.switches.by_place.trigger()
    stand.settle()
    assert [placed.pot.id for placed in stand.canvas.row.pots] != yards_order
    assert Memory(tmp_path / "window.json").value("yard/by_place") is True
    again = Stand(document, service, Memory(tmp_path / "window.json"), qtbot)
    again.settle()
    assert again.canvas.grouping is not None and again.switches.by_place.isChecked()
    again.stop()
    buttons = stand.yard.findChildren(QToolButton, "button_by_place")
    QTest.mouseClick(buttons[0], LEFT)
    assert [placed.pot.id for placed in stand.canvas.row.pots] == yards_order
    assert stand.yard._heading.text().startswith("Yard on")


def test_headings_are_painted_over_the_pots_and_the_aim_is_marked(by_place):
    canvas = by_place.canvas
    for _ in range(100):
        plain = canvas.grab().toImage()
        if not canvas._rest.isActive():
            break
        QTest.qWait(20)
    head = round(by_place.switches._grouping.head_px())
    band = {plain.pixelColor(x, 3).name() for x in range(200, plain.width(), 7)}
    below = {plain.pixelColor(x, head + 8).name() for x in range(200, plain.width(), 7)}
    assert band != below
    by_place.document.select(pot_id=pot_named(by_place.document, "Lily pot").id)
    canvas.carrying.pick_up(copy=False)
    canvas.carrying.step(-5)
    marked = canvas.grab().toImage()
    assert marked != plain
    canvas.carrying.leave()


def carry(stand, pot, number):
    """Drag a pot over a place, with the events the system sends; whether it was taken."""
    data, canvas, at = mime_of(Cargo("pot", pot.id)), stand.canvas, stand.point_of(number)
    actions = Qt.DropAction.CopyAction | Qt.DropAction.MoveAction
    for kind in (QDragEnterEvent, QDragMoveEvent):
        event = kind(at.toPoint(), actions, data, LEFT, NONE)
        QApplication.sendEvent(canvas, event)
    words = canvas.carrying.marker.verdict.words
    drop = QDropEvent(at, actions, data, LEFT, NONE)
    drop.ignore()
    QApplication.sendEvent(canvas, drop)
    return drop.isAccepted(), words


def test_a_pot_is_dragged_to_a_place_from_the_day_on(by_place, document):
    pot = pot_named(document, "Snowdrop pan")
    stay = by_place.plan.stay_of(pot.id, DAY)
    assert stay.place == "Behind the shed"
    by_place.canvas.fit_all()
    order = [each.id for each in document.yard.pots]
    done, words = carry(by_place, pot, 1)
    assert done and words.startswith("Snowdrop pan: at Kitchen window")
    (stand,) = document.yard.fixed_stands
    assert (stand.pot_id, stand.place, stand.first) == (pot.id, "Kitchen window", DAY)
    last = None if stay.last >= by_place.plan.last_day else stay.last
    assert stand.last == last
    assert document.pot_id == pot.id
    by_place.settle()
    assert "Snowdrop pan" in by_place.standing()["Kitchen window"]
    assert [each.id for each in document.yard.pots] == order  # the yard's own order stays
    document.undo_stack.undo()
    by_place.settle()
    assert "Snowdrop pan" in by_place.standing()["Behind the shed"]


def test_a_refusal_says_why_and_changes_nothing(by_place, document):
    document.edit("x", lambda yard: add_place(yard, "Sill", width_cm=8.0))
    by_place.settle()
    by_place.canvas.fit_all()
    pot = pot_named(document, "Snowdrop pan")
    done, words = carry(by_place, pot, 3)
    assert not done and "wider than the room at Sill" in words
    barrel = pot_named(document, "Half barrel by the gate")
    done, words = carry(by_place, barrel, 0)
    assert not done and "too heavy" in words
    done, words = carry(by_place, pot, 2)
    assert not done and "already" in words
    assert document.yard.fixed_stands == ()


def test_keys_carry_a_pot_from_place_to_place(by_place, document):
    pot = pot_named(document, "Snowdrop pan")
    document.select(layer_id=pot.layers[0].id)  # here the whole pot is carried all the same
    by_place.canvas.setFocus()
    QTest.keyClick(by_place.canvas, Qt.Key.Key_M)
    assert by_place.canvas.carrying.by_keys
    QTest.keyClick(by_place.canvas, Qt.Key.Key_Left)
    QTest.keyClick(by_place.canvas, Qt.Key.Key_Return)
    (stand,) = document.yard.fixed_stands
    assert (stand.pot_id, stand.place) == (pot.id, "Kitchen window")


def test_arrow_keys_go_along_the_pots_as_they_stand(by_place, document):
    row = [placed.pot.id for placed in by_place.canvas.row.pots]
    assert row != [pot.id for pot in document.yard.pots]
    by_place.canvas.setFocus()
    QTest.keyClick(by_place.canvas, Qt.Key.Key_Home)
    walked = [document.pot_id]
    for _ in row[1:]:
        QTest.keyClick(by_place.canvas, Qt.Key.Key_Right)
        walked.append(document.pot_id)
    assert walked == row


def test_a_place_out_of_sight_comes_into_sight_as_a_pot_is_carried_there(by_place, document):
    canvas = by_place.canvas
    canvas.zoom_by(3.0)
    document.select(pot_id=by_place.canvas.row.pots[0].pot.id)
    canvas.setFocus()
    QTest.keyClick(canvas, Qt.Key.Key_M)
    for number in range(1, len(canvas.row.spans)):
        QTest.keyClick(canvas, Qt.Key.Key_Right)
        assert 0.0 <= canvas.view.origin_x + canvas.row.place_x(number) <= canvas.width()
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert document.yard.fixed_stands == ()


def test_what_is_dragged_is_the_pot_whatever_is_under_the_pointer(by_place, document):
    pot = pot_named(document, "Zinc tub")
    cargo = by_place.canvas._pot_of(Cargo("layer", pot.layers[0].id))
    assert cargo.id == pot.id


def test_without_places_both_switches_rest(by_place, document):
    def clear(yard):
        for place in yard.display_places:
            yard = remove_place(yard, place.name)
        return yard

    by_place.switches.lanes.trigger()
    by_place.settle()
    assert by_place.switches._lanes.isVisible()
    document.edit("clear", clear)
    assert by_place.canvas.grouping is None
    assert not by_place.switches._lanes.isVisible()
    assert not any(action.isEnabled() for action in by_place.switches.actions())
    document.undo_stack.undo()
    assert by_place.canvas.grouping is not None and by_place.switches._lanes.isVisible()


# Under the season


def test_lanes_lie_under_the_seasons_days(stand, document):
    assert stand.switches._lanes is None
    stand.switches.lanes.trigger()
    stand.settle()
    lanes, plot = stand.switches._lanes, stand.season.view
    for change in (lambda: plot.zoom(3.0), lambda: plot.pan(20.0), plot.fit):
        change()
        QApplication.processEvents()
        for day in (date(2027, 3, 1), DAY, date(2027, 6, 1)):
            mine = lanes.viewport().mapTo(stand.whole, QPoint(0, 0)).x() + lanes.days().x_of(day)
            its = plot.viewport().mapTo(stand.whole, QPoint(0, 0)).x() + plot.days().x_of(day)
            assert mine == pytest.approx(its, abs=1.0)
    stand.whole.resize(1000, 900)
    QApplication.processEvents()
    assert lanes.days().right == pytest.approx(plot.days().right, abs=1.0)
    assert [lane.name for lane in lanes.rows.lanes][:2] == ["Front step", "Kitchen window"]
    lanes.setFocus()
    QTest.keyClick(lanes, Qt.Key.Key_Right)
    assert document.day == DAY + timedelta(days=1) and lanes.day == document.day
    stand.season.show_table(True)
    stand.switches.lanes.trigger()
    assert not lanes.isVisible()


def test_a_hand_fixed_stand_is_freed_under_the_season(stand, document):
    pot = pot_named(document, "Lily pot")
    document.edit("x", lambda yard: fix_stand(yard, pot.id, "Front step", DAY, DAY))
    stand.switches.lanes.trigger()
    stand.settle()
    lanes = stand.switches._lanes
    held = next(each for each in lanes.rows.stays if each.stay.by_hand)
    lanes.setFocus()
    lanes.choose(held)
    QTest.keyClick(lanes, Qt.Key.Key_Delete)
    assert document.yard.fixed_stands == () and pot_named(document, "Lily pot")
    assert "the rota chooses again" in stand.said[-1]


# On the yard's page


def test_the_yards_page_tells_weeks_of_scent_by_place(document, service, qtbot):
    page = YardPage(document, service)
    qtbot.addWidget(page)
    page.refresh()
    page.show()
    qtbot.waitUntil(lambda: page.scent.watch.plan is not None, timeout=20_000)
    plan = page.scent.watch.plan
    words = page.scent.words()
    scent = number_words(plan.lane("Front step").weeks_of_scent, 1)
    assert len(words) == 2  # nobody looks behind the shed
    assert words[0].startswith("Front step: ") and f"{scent} of scent" in words[0]
    assert "scent" not in words[1]
    document.edit("x", lambda yard: remove_place(yard, "Front step"))
    document.edit("x", lambda yard: remove_place(yard, "Kitchen window"))
    page.refresh()
    assert page.scent.isHidden()
    page.stop()
