"""Mouse, wheel and keys on the timeline: what is pressed, held and let go."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import floor
from typing import Literal

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QWheelEvent

from bloomline.ui.season.geometry import Range, growing_days, limits_of, panned
from bloomline.ui.season.hits import Hit, hit_at
from bloomline.ui.season.plot import SeasonPlot

_WHEEL_ROWS = 3
_WHEEL_ZOOM = 1.0016  # a notch of 120 zooms by a fifth
_CTRL, _SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
_ROWS = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
_STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_SHAPES = {
    "day line": Qt.CursorShape.SizeHorCursor,
    "planting": Qt.CursorShape.SizeHorCursor,
    "bar": Qt.CursorShape.PointingHandCursor,
    "record": Qt.CursorShape.PointingHandCursor,
    "conflict": Qt.CursorShape.PointingHandCursor,
    "bare": Qt.CursorShape.PointingHandCursor,
}


@dataclass(slots=True)
class _Hold:
    """What the pressed mouse holds."""

    kind: Literal["day", "planting", "pan", "gap"]
    at: QPointF
    window: Range
    scroll: int
    hit: Hit
    days_off: float = 0.0
    planted: date | None = None
    gesture: str = ""
    has_moved: bool = False
    has_chosen: bool = False


class Hand:
    """Turns mouse and keys into what the view asks for."""

    def __init__(self, view: SeasonPlot) -> None:
        self._view = view
        self._hold: _Hold | None = None
        self._gestures = 0

    @property
    def holds_planting(self) -> bool:
        """Whether a planting marker is held."""
        return self._hold is not None and self._hold.kind == "planting"

    @property
    def is_empty(self) -> bool:
        """Whether nothing is held."""
        return self._hold is None

    def press(self, event: QMouseEvent) -> None:
        """Take hold of what lies under the mouse."""
        view, at = self._view, event.position()
        hit, days = hit_at(view, at), view.days()
        hold = _Hold("pan", at, view.day_range, view.scroll_bar.value(), hit)
        self._hold = hold
        view.mark_gap(None)
        if hit.kind == "day line":
            hold.kind = "day"
            hold.days_off = view.shown.day.toordinal() + 0.5 - days.number_at(at.x())
        elif event.modifiers() & _SHIFT and hit.kind in ("axis", "strip", "bare", "crowded"):
            hold.kind = "gap"
        elif hit.kind in ("axis", "strip"):
            hold.kind = "day"
            view.ask_day(days.day_at(at.x()))
        elif hit.kind == "planting" and hit.part_id is not None and hit.plant is not None:
            planted = view.shown.planted.get(hit.part_id, hit.plant.planted)
            self._gestures += 1
            hold.kind, hold.gesture = "planting", f"planting-drag-{self._gestures}"
            hold.planted = planted
            hold.days_off = planted.toordinal() + 0.5 - days.number_at(at.x())
        view.is_line_held = hold.kind == "day"
        is_named = hit.kind != "row" or at.x() < view.plot_rect().left()
        if hit.part_id is not None and (is_named or hit.part_id in view.shown.tops):
            hold.has_chosen = True
            view.chosen.emit(hit.part_id, event.modifiers())
        elif hit.kind == "heading" and hit.pot_id is not None:
            view.chosen.emit(hit.pot_id, event.modifiers())

    def move(self, event: QMouseEvent) -> None:
        """Move what is held; without anything held, show what could be."""
        view, at, hold = self._view, event.position(), self._hold
        if hold is None:
            self._point(hit_at(view, at))
            return
        hold.has_moved = hold.has_moved or (at - hold.at).manhattanLength() > 3
        if not hold.has_moved or view.shown.report is None:
            return
        if hold.kind == "pan":
            self._pan(hold, at)
            return
        if hold.kind == "gap":
            days = view.days()
            ends = sorted(view.within(days.day_at(x)) for x in (hold.at.x(), at.x()))
            view.mark_gap((ends[0], ends[1]))
            return
        day = date.fromordinal(max(1, floor(view.days().number_at(at.x()) + hold.days_off)))
        if hold.kind == "day":
            view.ask_day(day)
        elif hold.hit.part_id is not None:
            view.planting_asked.emit(hold.hit.part_id, view.within(day), hold.gesture)

    def _pan(self, hold: _Hold, at: QPointF) -> None:
        view = self._view
        assert view.shown.report is not None
        view.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        window = panned(
            hold.window,
            (hold.at.x() - at.x()) / view.days().per_day,
            limits=limits_of(view.shown.report),
        )
        if window != view.day_range:
            view.show_window(window)
        view.scroll_bar.setValue(hold.scroll + round(hold.at.y() - at.y()))

    def let_go(self, event: QMouseEvent) -> None:
        """Let go of what is held; a press that did not move was a click."""
        view, hold = self._view, self._hold
        self._release()
        if hold is None:
            return
        if hold.kind == "pan" and not hold.has_moved and hold.hit.part_id is not None:
            if not hold.has_chosen:
                view.chosen.emit(hold.hit.part_id, event.modifiers())
            is_plain = event.modifiers() == Qt.KeyboardModifier.NoModifier
            if hold.hit.record is not None and is_plain:
                view.record_asked.emit(hold.hit.record.id)
        if hold.kind == "planting":
            view.planting_let_go.emit()
        self._ask_gap(hold)
        self._point(hit_at(view, event.position()))

    def _ask_gap(self, hold: _Hold) -> None:
        """Days that were dragged over are to be filled, and a bare stretch that was clicked."""
        view, stretch = self._view, hold.hit.stretch
        if hold.kind == "gap" and hold.has_moved and view.shown.gap is not None:
            view.gap_asked.emit(*view.shown.gap)
        elif hold.hit.kind == "bare" and stretch is not None and not hold.has_moved:
            view.mark_gap((stretch.first, stretch.last))
            view.gap_asked.emit(stretch.first, stretch.last)

    def drop(self) -> bool:
        """Put back what is held, as if it had not been moved: a planting marker, days marked."""
        hold = self._hold
        if self._view.shown.gap is not None and (hold is None or hold.kind == "gap"):
            self._release()
            self._view.mark_gap(None)
            return True
        if hold is None or hold.kind != "planting" or hold.hit.part_id is None:
            return False
        self._release()
        self._view.planting_asked.emit(hold.hit.part_id, hold.planted, hold.gesture)
        self._view.planting_let_go.emit()
        return True

    def double_click(self, event: QMouseEvent) -> None:
        """Ask for the details of a layer."""
        hit = hit_at(self._view, event.position())
        if hit.part_id is None:
            self.press(event)
        elif hit.record is None:  # else the first click has opened it
            self._release()
            self._view.details_asked.emit(hit.part_id)

    def _release(self) -> None:
        self._hold = None
        self._view.is_line_held = False

    def _point(self, hit: Hit) -> None:
        shape = _SHAPES.get(hit.kind, Qt.CursorShape.ArrowCursor)
        viewport = self._view.viewport()
        if viewport.cursor().shape() != shape:
            viewport.setCursor(shape)

    def turn(self, event: QWheelEvent) -> None:
        """Wheel: scroll the rows; with Ctrl zoom round the pointer, with Shift pan."""
        view, keys = self._view, event.modifiers()
        delta, pixels = event.angleDelta(), event.pixelDelta()
        # Some systems turn the wheel sideways themselves while Shift or Alt is held.
        turn = delta.y() or delta.x()
        if keys & Qt.KeyboardModifier.ControlModifier:
            view.zoom(_WHEEL_ZOOM**turn, around=view.days().number_at(event.position().x()))
        elif keys & Qt.KeyboardModifier.ShiftModifier or abs(delta.x()) > abs(delta.y()):
            first, last = view.day_range
            view.pan(-turn / 120 * (last - first) * 0.06)
        else:
            step = _WHEEL_ROWS * view.shown.look.row_height
            move = pixels.y() if pixels.y() else turn / 120 * step
            view.scroll_bar.setValue(view.scroll_bar.value() - round(move))

    def answer(self, event: QKeyEvent) -> bool:
        """Answer a key that is no action's shortcut; False if it means nothing here."""
        view, shown = self._view, self._view.shown
        if shown.report is None:
            return False
        key = Qt.Key(event.key())
        keys = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if key in _STEPS and keys == Qt.KeyboardModifier.ShiftModifier:
            view.ask_day(shown.day + timedelta(days=7 * _STEPS[key]))
        elif key in _STEPS and keys == Qt.KeyboardModifier.ControlModifier:
            first, last = view.day_range
            view.pan(_STEPS[key] * (last - first) / 8)
        elif key in _ROWS and keys in (_SHIFT, _CTRL):
            view.step_row(_ROWS[key], keys)
        elif key == Qt.Key.Key_Space and keys == _CTRL:
            view.pick_row()
        elif keys != Qt.KeyboardModifier.NoModifier:
            return False
        elif key == Qt.Key.Key_Escape:
            return self.drop() or view.leave_others()
        elif key in _ROWS:
            view.step_row(_ROWS[key])
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            page = view.scroll_bar.pageStep() * (1 if key == Qt.Key.Key_PageDown else -1)
            view.scroll_bar.setValue(view.scroll_bar.value() + page)
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            first_day, last_day = growing_days(shown.report)
            view.ask_day(first_day if key == Qt.Key.Key_Home else last_day)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and shown.gap is not None:
            view.gap_asked.emit(*shown.gap)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and (chosen := shown.current):
            view.details_asked.emit(chosen)
        else:
            return False
        return True
