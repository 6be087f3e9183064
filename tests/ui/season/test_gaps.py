"""Bare stretches and wishes on the season, by mouse and by keys."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from bloomline.model.cultivar import MonthDay
from bloomline.model.wish import SeasonWish
from bloomline.model.wish_edits import set_wishes
from bloomline.ui.season.hits import hit_at, tip_at

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def asked(panel):
    found = []
    panel.view.gap_asked.connect(lambda first, last: found.append((first, last)))
    return found


def bare_of(panel):
    (stretch,) = panel._shown.report.bare
    return stretch


def lane_point(panel, stretch) -> QPoint:
    view = panel.view
    x = view.days().middle_of(stretch.last)  # clear of the plate and the day line
    y = panel._shown.look.axis_height + view.strip.field()[1] + 8
    return QPointF(x, y).toPoint()


def test_a_click_on_a_bare_stretch_asks_what_would_fill_it(panel, asked):
    stretch = bare_of(panel)
    at = lane_point(panel, stretch)
    assert hit_at(panel.view, QPointF(at)).kind == "bare"
    assert "what would fill it" in tip_at(panel.view, QPointF(at))
    QTest.mouseClick(panel.view.viewport(), LEFT, NONE, at)
    assert asked == [(stretch.first, stretch.last)]
    assert panel._shown.gap == (stretch.first, stretch.last)


def test_days_dragged_over_with_shift_are_asked_for(panel, asked):
    view = panel.view
    first, last = date(2027, 3, 3), date(2027, 3, 20)
    y = round(panel._shown.look.axis_height / 2)
    begin, end = (QPoint(round(view.days().middle_of(day)), y) for day in (last, first))
    day = panel._document.day
    QTest.mousePress(view.viewport(), LEFT, SHIFT, begin)
    for share in (0.3, 0.7, 1.0):
        QTest.mouseMove(view.viewport(), begin + (end - begin) * share)
        assert panel._shown.gap is not None
    assert not asked
    QTest.mouseRelease(view.viewport(), LEFT, SHIFT, end)
    assert asked == [(first, last)]
    assert panel._document.day == day  # the day line stays where it is


def test_without_shift_the_axis_moves_the_day_line(panel, asked):
    view = panel.view
    at = QPoint(round(view.days().middle_of(date(2027, 3, 3))), 40)
    QTest.mouseClick(view.viewport(), LEFT, NONE, at)
    assert not asked
    assert panel._document.day == date(2027, 3, 3)


@pytest.mark.parametrize("keys", [NONE, SHIFT])
def test_b_goes_to_a_bare_stretch_and_enter_asks_for_it(panel, asked, keys):
    stretch = bare_of(panel)
    QTest.keyClick(panel.view, Qt.Key.Key_B, keys)
    assert panel._shown.gap == (stretch.first, stretch.last)
    assert panel._document.day == stretch.first
    assert "marked to be filled" in panel.view.accessibleDescription()
    QTest.keyClick(panel.view, Qt.Key.Key_Return)
    assert asked == [(stretch.first, stretch.last)]


def test_escape_and_a_step_to_a_layer_take_the_mark_away(panel, asked):
    QTest.keyClick(panel.view, Qt.Key.Key_B)
    QTest.keyClick(panel.view, Qt.Key.Key_Escape)
    assert panel._shown.gap is None
    QTest.keyClick(panel.view, Qt.Key.Key_B)
    QTest.keyClick(panel.view, Qt.Key.Key_Down)
    assert panel._shown.gap is None
    QTest.keyClick(panel.view, Qt.Key.Key_Return)
    assert not asked  # Enter is the layer's again


def test_g_fills_the_stretch_of_the_day_line_or_the_weeks_round_it(panel, asked):
    QTest.keyClick(panel.view, Qt.Key.Key_G)
    (first, last) = asked[-1]
    assert (first, last) == (date(2027, 4, 5), date(2027, 4, 25))  # round 15 April
    panel.view.mark_gap(None)
    panel._document.look_at(date(2027, 6, 20))
    QTest.keyClick(panel.view, Qt.Key.Key_G)
    stretch = bare_of(panel)
    assert asked[-1] == (stretch.first, stretch.last)


def test_the_menu_has_it(panel):
    panel.offer([])
    assert panel._actions["fill_gap"] in panel.view.menu_actions


WISHES = [
    SeasonWish(id="wish-1", first=MonthDay(4, 12), last=MonthDay(4, 22)),
    SeasonWish(id="wish-2", first=MonthDay(6, 12), last=MonthDay(6, 30), what="scent"),
]


@pytest.fixture
def wished(panel, qtbot):
    panel._document.edit("Wish", lambda yard: set_wishes(yard, WISHES))
    qtbot.waitUntil(lambda: len(panel._shown.targets) == 2, timeout=20_000)
    return panel


def test_wishes_lie_under_the_strip_kept_or_missed(wished):
    view = wished.view
    assert view.strip.lanes_height() > 0
    kept, missed = wished._shown.targets
    assert kept.is_kept and not missed.is_kept
    for target, sign in ((kept, "✓"), (missed, "✗")):
        x = view.days().middle_of(target.first)
        y = view.rows_top() - view.strip.lanes_height() + wished._shown.look.line / 2
        hit = hit_at(view, QPointF(x, y))
        assert hit.kind == "wish"
        assert hit.target is target
        tip = tip_at(view, QPointF(x, y))
        assert tip.startswith(sign)
        assert ("kept" if target.is_kept else "missed") in tip


def test_the_table_tells_of_bare_stretches_and_wishes(wished, asked):
    assert wished.notes.isHidden()
    wished._actions["season_as_table"].setChecked(True)
    lines = [wished.notes.item(row).text() for row in range(wished.notes.count())]
    assert wished.notes.isVisible()
    assert lines[0].startswith("bare")
    assert lines[1].startswith("✓") and "kept" in lines[1]
    assert lines[2].startswith("✗") and "missed" in lines[2]
    wished.notes.setCurrentRow(0)
    wished.notes.setFocus()
    QTest.keyClick(wished.notes, Qt.Key.Key_Return)
    stretch = bare_of(wished)
    assert asked == [(stretch.first, stretch.last)]


def test_wishes_that_are_gone_leave_no_lane(wished):
    wished._document.edit("None", lambda yard: set_wishes(yard, []))
    assert wished._shown.targets == ()
    assert wished.view.strip.lanes_height() == 0
