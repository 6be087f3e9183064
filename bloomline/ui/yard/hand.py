"""The yard under the hand: clicking, keys, resizing, renaming in place."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QColor,
    QContextMenuEvent,
    QFocusEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPen,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QMenu, QToolTip, QWidget

from bloomline.draw.base.petals import Theme
from bloomline.model.yard import Pot
from bloomline.plan.carry.drops import Cargo
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em, tone_of
from bloomline.ui.units import units_of
from bloomline.ui.yard.carrying import Carrying, Target
from bloomline.ui.yard.choosing import (
    CTRL,
    SHIFT,
    beside,
    name_of,
    order_of,
    pick,
    select_alone,
    spot_of,
)
from bloomline.ui.yard.deeds import Deeds
from bloomline.ui.yard.dragging import YardDrag
from bloomline.ui.yard.renaming import NameEdit
from bloomline.ui.yard.rule import paint_rule
from bloomline.ui.yard.scene import HandleKind, UnderPointer
from bloomline.ui.yard.size_tag import paint_size, size_words
from bloomline.ui.yard.tips import tip_at
from bloomline.words import tr

_HANDLE_REACH_PX = 8.0


class YardHand(YardDrag):
    """The canvas with all that mouse and keyboard do on it."""

    details_requested = Signal()

    def __init__(
        self,
        document: Document,
        service: SeasonService,
        carrying: Carrying,
        deeds: Deeds,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(document, service, carrying, parent)
        self.setAccessibleName(tr("Yard"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self._deeds = deeds
        self._press: QPointF | None = None
        self._press_cargo: Cargo | None = None
        self._press_picks: UnderPointer | None = None
        self._panning: QPointF | None = None
        self._resizing: tuple[Pot, HandleKind, float] | None = None
        self._gestures = 0
        self._name_edit: NameEdit | None = None
        self.menu_actions: list[QAction | None] = []

    def paint_over(self, painter: QPainter, theme: Theme) -> None:
        paint_rule(
            painter,
            ground_y=self.view.ground_y,
            scale=self.camera.scale,
            imperial=units_of(self.document.yard).imperial,
            theme=theme,
            font=self.font(),
        )
        if self._resizing is not None:
            self._paint_size(painter, self._resizing[0].id, theme)
        if self.hasFocus():
            painter.setPen(QPen(QColor(tone_of(theme).focus), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1.0, 1.0, -1.0, -1.0))

    def _paint_size(self, painter: QPainter, pot_id: str, theme: Theme) -> None:
        placed = self.row.of(pot_id)
        if placed is None:
            return
        words = size_words(placed.pot, units_of(self.document.yard))
        view = self.view
        pot = QRectF(
            view.origin_x + placed.middle - placed.half,
            view.ground_y + placed.rim,
            2.0 * placed.half,
            -placed.rim,
        )
        paint_size(painter, words, pot=pot, seen=QRectF(self.rect()), theme=theme, font=self.font())

    # Mouse

    def mousePressEvent(self, event: QMouseEvent) -> None:
        point = event.position()
        if event.button() is Qt.MouseButton.MiddleButton:
            self._start_panning(point)
            return
        if event.button() is not Qt.MouseButton.LeftButton:
            return
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        handle = self.handle_at(point)
        pot = self.document.selected_pot()
        if handle is not None and pot is not None:
            self._start_resizing(pot, handle, point)
            return
        spot = self.spot_at(point)
        if self.carrying.by_keys and spot.pot_id is not None:
            self.carrying.aim_at(spot.pot_id)
            return
        if event.modifiers() & (CTRL | SHIFT):
            self._press_picks = spot  # when let go: with Ctrl it may become a copy by dragging
        else:
            select_alone(self.document, spot)
        if spot.pot_id is None:
            self._start_panning(point)
            return
        self._press = point
        if spot.companion_id is not None:
            self._press_cargo = Cargo("planting", spot.companion_id)
        elif spot.layer_id is not None:
            self._press_cargo = Cargo("layer", spot.layer_id)
        else:
            self._press_cargo = Cargo("pot", spot.pot_id)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        point = event.position()
        if self._panning is not None:
            moved = point - self._panning
            self._panning = point
            self.scroll_by(-moved.x(), moved.y())
        elif self._resizing is not None and self._press is not None:
            self._resize_to(point)
        elif self._press is not None and self._press_cargo is not None:
            far = (point - self._press).manhattanLength()
            if event.buttons() & Qt.MouseButton.LeftButton and (
                far >= QApplication.startDragDistance()
            ):
                cargo, self._press, self._press_cargo = self._press_cargo, None, None
                self._press_picks = None
                self.begin_drag(cargo)
        else:
            self._show_cursor(point)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._press_picks is not None:
            pick(self.document, self.row.order, self._press_picks, event.modifiers())
            self._press_picks = None
        if self._resizing is not None:
            self._resizing = None
            self.hold_still(False)
            self.update()
        self._press = self._press_cargo = self._panning = None
        self.unsetCursor()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        spot = self.spot_at(event.position())
        if spot.on_label and spot.pot_id is not None:
            self.rename(spot.pot_id)
        elif spot.pot_id is not None:
            self.details_requested.emit()

    def _start_panning(self, point: QPointF) -> None:
        self._panning = point
        self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def _show_cursor(self, point: QPointF) -> None:
        shapes = {
            "width": Qt.CursorShape.SizeHorCursor,
            "base": Qt.CursorShape.SizeHorCursor,
            "height": Qt.CursorShape.SizeVerCursor,
        }
        handle = self.handle_at(point)
        if handle is not None:
            self.setCursor(shapes[handle])
        else:
            self.unsetCursor()

    def handle_at(self, point: QPointF) -> HandleKind | None:
        """The handle of the one selected pot at a point; several, or a part, have none."""
        pots = self.document.selection.pots
        placed = self.row.of(pots[0]) if len(pots) == 1 else None
        if placed is None:
            return None
        x, y = self.on_row(point)
        for name, (hx, hy) in placed.handles(self.camera.scale).items():
            if abs(x - hx) <= _HANDLE_REACH_PX and abs(y - hy) <= _HANDLE_REACH_PX:
                return name
        return None

    def _start_resizing(self, pot: Pot, handle: HandleKind, point: QPointF) -> None:
        placed = self.row.of(pot.id)
        if placed is None:
            return
        self.hold_still(True)
        self._gestures += 1
        # In a place that is as wide as the pot the left side stays put and the right follows
        # the pointer; in a wider one, and at the foot, both sides move.
        both = handle == "base" or placed.right - placed.left > 2.0 * placed.half + 1.0
        self._resizing = (pot, handle, 2.0 if both else 1.0)
        self._press = point
        self.update()

    def _resize_to(self, point: QPointF) -> None:
        if self._resizing is None or self._press is None:
            return
        pot, handle, factor = self._resizing
        moved = (point - self._press) / self.camera.scale
        self._deeds.resize(
            pot,
            handle,
            dx_cm=factor * moved.x(),
            dy_cm=moved.y(),
            gesture=f"resize {pot.id} {self._gestures}",
        )

    def wheelEvent(self, event: QWheelEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            turn = event.angleDelta().y() / 120.0
            if turn:
                self.zoom_by(1.15**turn, event.position())
        else:
            delta = event.pixelDelta()
            if delta.isNull():
                delta = event.angleDelta() / 120.0 * round(3.0 * em())
            along = delta.x() if abs(delta.x()) > abs(delta.y()) else delta.y()
            if event.modifiers() & Qt.KeyboardModifier.AltModifier:
                self.scroll_by(0.0, along)
            else:
                self.scroll_by(-along)
        event.accept()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if event.reason() is QContextMenuEvent.Reason.Mouse:
            spot = self.spot_at(QPointF(event.pos()))
            selection = self.document.selection
            is_one_of_many = selection.is_many and spot.pot_id in selection.pots
            if name_of(spot) not in selection and not is_one_of_many:
                select_alone(self.document, spot)
            place = event.globalPos()
        else:
            place = self.mapToGlobal(self._middle_of_selection())
        menu = self.context_menu()
        menu.popup(place)

    def context_menu(self) -> QMenu:
        """The menu for what is selected; it goes when closed."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for action in self.menu_actions:
            if action is None:
                menu.addSeparator()
            else:
                menu.addAction(action)
        return menu

    def _middle_of_selection(self) -> QPoint:
        placed = self.row.of(self.document.pot_id) if self.document.pot_id else None
        if placed is None:
            return self.rect().center()
        view = self.view
        return QPoint(round(view.origin_x + placed.middle), round(view.ground_y + 0.5 * placed.rim))

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        arrows = {
            Qt.Key.Key_Left: (-1, 0),
            Qt.Key.Key_Right: (1, 0),
            Qt.Key.Key_Up: (0, -1),
            Qt.Key.Key_Down: (0, 1),
        }
        plain = event.modifiers() in (
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.KeypadModifier,
        )
        keys = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if plain and key in arrows:
            self._step(*arrows[Qt.Key(key)])
        elif keys == SHIFT and key in arrows and not self.carrying.by_keys:
            self._reach(*arrows[Qt.Key(key)])
        elif keys == CTRL | SHIFT and key in arrows:
            self._look_beside(*arrows[Qt.Key(key)])
        elif keys == CTRL and key == Qt.Key.Key_Space:
            self._pick_at_cursor()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.carrying.by_keys:
                self.carrying.drop()
            elif self.document.pot_id is not None:
                self.details_requested.emit()
        elif key == Qt.Key.Key_Escape and self._escape():
            pass
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End) and self.document.yard.pots:
            at = 0 if key == Qt.Key.Key_Home else -1
            self.document.select(pot_id=self.row.order[at].id)
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            ahead = 1.0 if key == Qt.Key.Key_PageDown else -1.0
            self.scroll_by(ahead * 0.8 * self.width())
        else:
            super().keyPressEvent(event)

    def _escape(self) -> bool:
        if self.carrying.by_keys:
            self.carrying.leave()
            self.carrying.said.emit(tr("Put back"))
            return True
        if self.key_at is not None:
            self.key_at = None
            self.update()
            return True
        if self.document.selection.is_many:
            select_alone(self.document, self._here())
            return True
        if self.document.layer_id is not None or self.document.companion_id is not None:
            self.document.select(pot_id=self.document.pot_id)
            return True
        if self.document.pot_id is not None:
            self.document.select()
            return True
        return False

    def _step(self, along: int, down: int) -> None:
        if self.carrying.by_keys:
            if along:
                self.carrying.step(along)
                self._reveal_target()
            else:
                self.carrying.deepen(down)
            return
        spot = beside(self.row.order, self._here(), along, down)
        if spot is not None:
            select_alone(self.document, spot)

    def _reveal_target(self) -> None:
        """Scroll to where what is carried by keys would go."""
        target = Target() if self.carrying.marker is None else self.carrying.marker.target
        if target.pot_id is not None:
            self.reveal(target.pot_id)
        elif target.place is not None:
            middle = self.row.place_x(target.place)
            if not 0.0 <= middle + self.view.origin_x <= self.width():
                self.scroll_to(middle - 0.5 * self.width())

    def _here(self) -> UnderPointer:
        """What is selected, or of several things the one chosen last."""
        document = self.document
        return UnderPointer(document.pot_id, document.layer_id, document.companion_id)

    def _reach(self, along: int, down: int) -> None:
        """Select on to the next pot, or to the next part down or up, besides what is selected."""
        has_pots = not self.document.selection.parts
        here = name_of(self._here())
        order = order_of(self.row.order, pots=has_pots)
        if has_pots == bool(down):
            return  # pots lie along, layers lie down
        if here not in order:
            self._step(along, down)
            return
        at = order.index(here) + along + down
        self.document.select_up_to(order[min(max(at, 0), len(order) - 1)], order)

    def _look_beside(self, along: int, down: int) -> None:
        """Go on with the keyboard and leave what is selected as it is."""
        here = spot_of(self.document, self.key_at) if self.key_at else self._here()
        spot = beside(self.row.order, here, along, down)
        if spot is not None and spot.pot_id is not None:
            self.key_at = name_of(spot)
            self.reveal(spot.pot_id)
            self._describe()
            self.update()

    def _pick_at_cursor(self) -> None:
        name = self.key_at or name_of(self._here())
        if name is not None:
            self.document.select_too(name)
            self.key_at = name
            self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    # Names and tips

    def rename(self, pot_id: str) -> None:
        """Let the gardener type a pot's name where it stands."""
        placed = self.row.of(pot_id)
        if placed is None:
            return
        self.reveal(pot_id)
        if self._name_edit is None:
            self._name_edit = NameEdit(self)
            self._name_edit.named.connect(self._deeds.rename_pot)
        view = self.view
        self._name_edit.open(
            placed.pot,
            middle=view.origin_x + placed.middle,
            top=view.ground_y + 0.1 * em(),
            width=max(placed.right - placed.left, 11.0 * em()),
        )

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip:
            self._show_tip(cast(QHelpEvent, event))
            return True
        return super().event(event)

    def _show_tip(self, event: QHelpEvent) -> None:
        words = self.tip_at(QPointF(event.pos()))
        if words:
            QToolTip.showText(event.globalPos(), words, self)
        else:
            QToolTip.hideText()
            event.ignore()

    def tip_at(self, point: QPointF) -> str:
        """What a tooltip says at a point."""
        return tip_at(self, point)
