"""The lanes under the hand: mouse, wheel, keys, tooltips and the menu of a stay."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, Signal, Slot
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QMenu, QToolTip, QWidget

from bloomline.plan.stage.rota import StagePlan
from bloomline.plan.stage.words import carrying_words, place_words, standing_lines, stay_words
from bloomline.ui.document import Document
from bloomline.ui.stage.desk import StageDesk
from bloomline.ui.stage.lane_painting import about_words, mark_of
from bloomline.ui.stage.lane_plot import LanePlot
from bloomline.ui.stage.rows import PlacedStay
from bloomline.words import tr

_NEAR_LINE = 5.0
_ZOOM_STEP = 1.3


class LaneView(LanePlot):
    """The lanes that answer; they follow the document's day and its selected pot."""

    details_asked = Signal()
    current_changed = Signal()
    """The keyboard is on another stay, or what it is on has changed."""

    def __init__(
        self,
        document: Document,
        desk: StageDesk,
        parent: QWidget | None = None,
        *,
        has_axis: bool = True,
        today: Callable[[], date] = date.today,
    ) -> None:
        super().__init__(parent, has_axis=has_axis, today=today)
        self.setObjectName("stage_lanes" if has_axis else "season_lanes")
        self.setAccessibleName(tr("Places over the season"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.viewport().setMouseTracking(True)
        self._document, self._desk = document, desk
        self._press: tuple[QPointF, PlacedStay] | None = None
        self._carrying = False
        self._holds_line = False
        self.day = document.day
        self.pot_id = document.pot_id
        document.day_changed.connect(self._follow_day)
        document.selection_changed.connect(self._follow_pot)

    def show_plan(self, plan: StagePlan | None) -> None:
        super().show_plan(plan)
        self._describe()

    @Slot(object)
    def _follow_day(self, day: date) -> None:
        self.show_day(day)
        self._describe()

    @Slot()
    def _follow_pot(self) -> None:
        self.show_pot(self._document.pot_id)
        self._describe()

    def _describe(self) -> None:
        """Tell a screen reader which stay the keyboard is on, and who stands where."""
        self.current_changed.emit()
        if not self.isVisible():
            return
        plan, current = self.rows.plan, self.current()
        told = [] if current is None else [self.tip_of(current)]
        if plan is not None:
            told += standing_lines(plan, self._document.day)
        self.setAccessibleDescription("\n".join(told))

    # Mouse

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is not Qt.MouseButton.LeftButton or self.rows.plan is None:
            event.ignore()
            return
        at = event.position()
        placed = self.stay_at(at)
        near = abs(at.x() - self.days().middle_of(self.day)) <= _NEAR_LINE
        if at.y() < self.axis_height() or (near and placed is None):
            self._holds_line = True
            self._document.look_at(self.day_at(at.x()))
        elif placed is not None:
            self._press = (at, placed)
            self.choose(placed)
        elif at.x() >= self.days().left:
            self._document.look_at(self.day_at(at.x()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        if self._holds_line:
            self._document.look_at(self.day_at(at.x()))
        elif self._press is not None:
            far = (at - self._press[0]).manhattanLength() >= QApplication.startDragDistance()
            if self._carrying or far:
                self._carrying = True
                self._carry_over(at, for_good=_for_good(event))
        else:
            near = abs(at.x() - self.days().middle_of(self.day)) <= _NEAR_LINE
            over = self.stay_at(at)
            shape = Qt.CursorShape.ArrowCursor
            if at.y() < self.axis_height() or (near and over is None):
                shape = Qt.CursorShape.SizeHorCursor
            elif over is not None:
                shape = Qt.CursorShape.OpenHandCursor
            self.viewport().setCursor(shape)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        press, self._press = self._press, None
        carrying, self._carrying = self._carrying, False
        self._holds_line = False
        lane = self.aim[0] if self.aim is not None else None
        self._put_down()
        if carrying and press is not None and lane is not None:
            day, good = self.day_at(event.position().x()), _for_good(event)
            self._desk.carry(press[1].stay.pot_id, lane.name, day, for_good=good)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if self.stay_at(event.position()) is not None:
            self.details_asked.emit()

    def _carry_over(self, at: QPointF, *, for_good: bool) -> None:
        """Show what letting go here would do."""
        assert self._press is not None
        self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        lane = self.rows.lane_at(self.on_lanes(at.y())) if at.y() >= self.axis_height() else None
        if lane is None:
            self.aim = self.carried_words = None
        else:
            pot_id = self._press[1].stay.pot_id
            day = self.day_at(at.x())
            verdict = self._desk.judge(pot_id, lane.name, day, for_good=for_good)
            self.aim = (lane, verdict.apply is not None)
            self.carried_words = (at, verdict.words)
        self.viewport().update()

    def _put_down(self) -> None:
        self.aim = self.carried_words = None
        self.viewport().unsetCursor()
        self.viewport().update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        turn = event.angleDelta().y() / 120.0
        if self.has_axis and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            around = self.days().number_at(event.position().x())
            self.zoom(_ZOOM_STEP**turn, around=around)
        elif self.has_axis and event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            first, last = self._window
            self.pan(-0.1 * turn * (last - first))
        else:
            super().wheelEvent(event)
            return
        event.accept()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if event.reason() is QContextMenuEvent.Reason.Mouse:
            placed, at = self.stay_at(QPointF(event.pos())), event.globalPos()
            if placed is not None:
                self.choose(placed)
        else:
            at = self._menu_point()
        if self.current() is not None:
            self.stand_menu().popup(at)

    def stand_menu(self) -> QMenu:
        """Where the pot of the current stay may stand from the day looked at on."""
        current = self.current()
        assert current is not None
        stay, day = current.stay, self.day
        if not stay.first <= day <= stay.last:
            day = stay.first
        return self._desk.menu(stay.pot_id, day, self)

    def _menu_point(self) -> QPoint:
        current = self.current()
        box = self.box(current).toRect() if current is not None else self.viewport().rect()
        inside = box.intersected(self.viewport().rect())
        return self.viewport().mapToGlobal(inside.bottomLeft() + QPoint(8, 0))

    # What lies where

    def stay_at(self, at: QPointF) -> PlacedStay | None:
        """The stay at a point of the view."""
        scale = self.days()
        if at.y() < self.axis_height() or not scale.left <= at.x() <= scale.right:
            return None
        return self.rows.stay_at(self.on_lanes(at.y()), scale.day_at(at.x()))

    def choose(self, placed: PlacedStay) -> None:
        """Put the keyboard on a stay and select its pot."""
        self.at = self.rows.stays.index(placed)
        self._document.select(pot_id=placed.stay.pot_id)
        self.reveal()
        self._describe()
        self.viewport().update()

    def tip_of(self, placed: PlacedStay) -> str:
        """What is told of a stay."""
        lines = [stay_words(placed.stay)]
        if placed.move is not None:
            lines.append(carrying_words(placed.move))
        return "\n".join(lines)

    def tip_at(self, at: QPointF) -> str:
        """What a tooltip says at a point."""
        placed = self.stay_at(at)
        top = self.verticalScrollBar().value() - self.axis_height()
        for each in self.rows.stays:
            mark = mark_of(self.days(), each, self.look, top=top)
            if each.move is not None and mark is not None and mark.contains(at):
                return carrying_words(each.move)
        if placed is not None:
            free = tr("Delete leaves it to the rota again") if placed.stay.by_hand else ""
            return "\n".join([self.tip_of(placed), *([free] if free else [])])
        lane = self.rows.lane_at(self.on_lanes(at.y())) if at.y() >= self.axis_height() else None
        if lane is None:
            return ""
        name = tr("Own spots") if lane.lane is None else place_words(lane.name)
        return f"{name}\n{about_words(lane)}"

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            words = "" if self._carrying else self.tip_at(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), words, self.viewport())
            return True
        return super().viewportEvent(event)

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        plain = event.modifiers() in (
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.KeypadModifier,
        )
        key = event.key()
        steps = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        days = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        zooms = {
            Qt.Key.Key_Plus: _ZOOM_STEP,
            Qt.Key.Key_Equal: _ZOOM_STEP,
            Qt.Key.Key_Minus: 1.0 / _ZOOM_STEP,
        }
        if key == Qt.Key.Key_Escape and self._carrying:
            self._press, self._carrying = None, False
            self._put_down()
        elif key in zooms and self.has_axis:
            self.zoom(zooms[Qt.Key(key)])
        elif not plain or self.rows.plan is None:
            super().keyPressEvent(event)
        elif key in steps:
            self._step(steps[Qt.Key(key)])
        elif key in days:
            self._document.look_at(self.step_day(days[Qt.Key(key)]))
        elif key == Qt.Key.Key_F and self.has_axis:
            self.fit()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.free()
        elif key in (Qt.Key.Key_M, Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.current():
            self.stand_menu().popup(self._menu_point())
        else:
            super().keyPressEvent(event)

    def _step(self, step: int) -> None:
        """Go to the next stay or the one before, and to a day on which it is there."""
        stays = self.rows.stays
        if not stays:
            return
        start = -1 if step > 0 else len(stays)
        at = min(max((start if self.at is None else self.at) + step, 0), len(stays) - 1)
        placed = stays[at]
        if not placed.stay.first <= self.day <= placed.stay.last:
            self._document.look_at(placed.stay.first)
        self.choose(placed)

    def free(self) -> None:
        """Leave the current stay to the rota again."""
        current = self.current()
        if current is not None:
            self._desk.free(current.stay)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.at is None and self.rows.stays:
            self.at = 0
        self._describe()
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()


def _for_good(event: QMouseEvent) -> bool:
    """Whether Shift is held: for the rest of the season, not only until the next move."""
    return bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
