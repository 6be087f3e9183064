"""The slider: one slide one word, by mouse, keys and wheel; quiet when shown a value."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from bloomline.ui.conditions.slider import ElidedLabel, GestureSlider
from bloomline.ui.hands.filter import Hands

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def slider(qtbot: QtBot) -> GestureSlider:
    slider = GestureSlider("word")
    slider.show_range(0, 100, page=10, tick=7)
    slider.resize(300, slider.sizeHint().height())
    qtbot.addWidget(slider)
    slider.show()
    qtbot.waitExposed(slider)
    return slider


@pytest.fixture
def moves(slider: GestureSlider) -> list[tuple[int, str]]:
    told: list[tuple[int, str]] = []

    def keep(value: int, word: str) -> None:
        told.append((value, word))

    slider.slid.connect(keep)
    return told


def drag(slider: GestureSlider, *to: int) -> None:
    """Press the handle and take it over some values."""
    QTest.mousePress(slider, LEFT, pos=slider.handle_centre().toPoint())
    for value in to:
        QTest.mouseMove(slider, QPoint(round(slider._x_of(value)), slider.height() // 2))
    QTest.mouseRelease(slider, LEFT, pos=QPoint(round(slider._x_of(to[-1])), 4))


def test_a_drag_is_one_gesture_and_the_next_another(
    slider: GestureSlider, moves: list[tuple[int, str]]
) -> None:
    drag(slider, 20, 50)
    drag(slider, 80)
    assert [value for value, _ in moves] == [20, 50, 80]
    words = [word for _, word in moves]
    assert words[0] == words[1] != words[2]
    assert all(word.startswith("word-") for word in words)


def test_keys_in_quick_succession_are_one_gesture(
    slider: GestureSlider, moves: list[tuple[int, str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    now = [100.0]
    monkeypatch.setattr("bloomline.ui.conditions.slider.time.monotonic", lambda: now[0])
    QTest.keyClick(slider, Qt.Key.Key_Right)
    now[0] += 0.9
    QTest.keyClick(slider, Qt.Key.Key_PageUp)
    now[0] += 0.9
    QTest.keyClick(slider, Qt.Key.Key_End)
    now[0] += 1.1
    QTest.keyClick(slider, Qt.Key.Key_Home)
    now[0] += 0.1
    QTest.keyClick(slider, Qt.Key.Key_PageDown)  # nowhere further down to go
    assert [value for value, _ in moves] == [1, 11, 100, 0]
    words = [word for _, word in moves]
    assert words[0] == words[1] == words[2] != words[3]


def test_keys_right_after_a_drag_are_a_gesture_of_their_own(
    slider: GestureSlider, moves: list[tuple[int, str]]
) -> None:
    drag(slider, 30)
    QTest.keyClick(slider, Qt.Key.Key_Left)
    assert [value for value, _ in moves] == [30, 29]
    assert moves[0][1] != moves[1][1]


def test_a_click_beside_the_handle_takes_it_there(
    slider: GestureSlider, moves: list[tuple[int, str]]
) -> None:
    QTest.mouseClick(slider, LEFT, pos=QPoint(round(slider._x_of(60)), 5))
    assert [value for value, _ in moves] == [60]


def test_shown_values_are_not_told(slider: GestureSlider, moves: list[tuple[int, str]]) -> None:
    slider.show_value(40)
    slider.show_range(0, 20, page=3)
    assert slider.value() == 20
    assert moves == []


def test_a_pale_slider_comes_into_use_at_the_first_touch(
    slider: GestureSlider, moves: list[tuple[int, str]]
) -> None:
    slider.show_value(50)
    slider.set_pale(True)
    QTest.mouseClick(slider, LEFT, pos=slider.handle_centre().toPoint())
    assert [value for value, _ in moves] == [50]
    QTest.keyClick(slider, Qt.Key.Key_Space)
    assert [value for value, _ in moves] == [50, 50]


def test_right_button_does_nothing(slider: GestureSlider, moves: list[tuple[int, str]]) -> None:
    QTest.mouseClick(slider, Qt.MouseButton.RightButton, pos=QPoint(200, 5))
    assert moves == []


def _wheel(slider: GestureSlider) -> None:
    centre = QPointF(slider.rect().center())
    event = QWheelEvent(
        centre,
        QPointF(slider.mapToGlobal(centre)),
        QPoint(),
        QPoint(0, 120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(slider, event)


def test_the_wheel_works_only_on_the_focused_slider(
    slider: GestureSlider, moves: list[tuple[int, str]], qtbot: QtBot
) -> None:
    window_hands = Hands(slider)
    slider.clearFocus()
    _wheel(slider)
    assert moves == []
    slider.activateWindow()
    slider.setFocus()
    qtbot.waitUntil(slider.hasFocus)
    _wheel(slider)
    assert len(moves) == 1
    window_hands.stop()


def test_the_handle_is_painted_where_the_value_is(slider: GestureSlider) -> None:
    slider.clearFocus()
    slider.show_value(25)
    before = slider.grab().toImage()
    slider.show_value(75)
    after = slider.grab().toImage()
    x, y = round(slider._x_of(75)), slider.height() // 2
    assert before.pixelColor(x, y) != after.pixelColor(x, y)


def test_long_words_are_cut_and_ask_for_no_room(qtbot: QtBot) -> None:
    label = ElidedLabel("a very long name of a place somewhere in the north")
    qtbot.addWidget(label)
    label.resize(80, 20)
    assert label.shown_text().endswith("…")
    assert label.sizeHint().width() < label.fontMetrics().horizontalAdvance(label.text())


def test_the_needed_part_stands_whole_where_all_has_no_room(qtbot: QtBot) -> None:
    label = ElidedLabel("21 weather years, confirmed by 15 records")
    label.shorter = "by 15 records"
    qtbot.addWidget(label)
    label.resize(label.fontMetrics().horizontalAdvance(label.shorter) + 8, 20)
    assert label.shown_text() == label.shorter
    label.resize(label.fontMetrics().horizontalAdvance(label.text()) + 8, 20)
    assert label.shown_text() == label.text()


@pytest.mark.parametrize(("most", "width"), [(0, 200), (50, 8)])
def test_ticks_of_a_single_value_or_without_room_are_left_out(
    qtbot: QtBot, most: int, width: int
) -> None:
    slider = GestureSlider("region")
    qtbot.addWidget(slider)
    slider.show_range(0, most, page=1, tick=1)
    slider.setMinimumWidth(1)
    slider.resize(width, 20)
    assert not slider.grab().isNull()  # it went on looking for room for ever
