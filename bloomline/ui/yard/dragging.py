"""Dragging over the yard: from its pots and layers, and onto them from anywhere."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, QRect, Qt, QTimer, Slot
from PySide6.QtGui import (
    QDrag,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QPixmap,
)
from PySide6.QtWidgets import QWidget

from bloomline.model.yard import Pot
from bloomline.plan.carry.drops import Cargo
from bloomline.ui.cargo import cargo_of, mime_of
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.ui.yard.canvas import YardCanvas
from bloomline.ui.yard.carrying import Carrying

_EDGE_MS = 40
_FROM_SHELF = ("cultivar", "companion")


class YardDrag(YardCanvas):
    """The canvas as a place to drag from and to drop on."""

    def __init__(
        self,
        document: Document,
        service: SeasonService,
        carrying: Carrying,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(document, service, carrying, parent)
        self.setAcceptDrops(True)
        self._edge_px = 0.0
        self._edge = QTimer(self)
        self._edge.setInterval(_EDGE_MS)
        self._edge.timeout.connect(self._scroll_at_edge)

    def begin_drag(self, cargo: Cargo) -> None:
        """Take a layer or a pot into the hand until the button is let go."""
        if self.grouping is not None:
            cargo = Cargo("pot", self._pot_of(cargo).id)  # here pots are carried, not bulbs
        drag = QDrag(self)
        drag.setMimeData(mime_of(cargo))
        picture, hot = self._drag_picture(cargo)
        if picture is not None:
            drag.setPixmap(picture)
            drag.setHotSpot(hot)
        actions = Qt.DropAction.MoveAction | Qt.DropAction.CopyAction
        drag.exec(actions, Qt.DropAction.MoveAction)
        self._end_drag()

    def _pot_of(self, cargo: Cargo) -> Pot:
        """The pot that is carried, or whose part is."""
        yard = self.document.yard
        if cargo.kind == "pot":
            return yard.pot(cargo.id)
        if cargo.kind == "planting":
            return yard.companion(cargo.id)[0]
        return yard.layer(cargo.id)[0]

    def _drag_picture(self, cargo: Cargo) -> tuple[QPixmap | None, QPoint]:
        """What hangs on the pointer: the layer's band or the pot, as they are seen."""
        pot = self._pot_of(cargo)
        placed = self.row.of(pot.id)
        if placed is None:
            return None, QPoint()
        view, scale = self.view, self.camera.scale
        upper, lower = placed.rim, 0.0
        if cargo.kind == "layer":
            cut = self.cut_of(pot)
            for layer in cut.layers:
                if layer.layer_id == cargo.id:
                    upper = placed.rim + layer.tip_cm * scale - 3.0
                    lower = placed.rim + layer.base_cm * scale + 3.0
        elif cargo.kind == "planting":
            cut = self.cut_of(pot)
            for on_top in self.tops_of(pot):
                if on_top.planting_id == cargo.id:
                    lower = placed.rim + cut.dressing_cm * scale
                    upper = lower - on_top.tufts.look.height_cm * scale - 3.0
        left = round(view.origin_x + placed.middle - placed.half)
        top = round(view.ground_y + upper)
        box = QRect(left, top, round(2.0 * placed.half), max(round(lower - upper), 4))
        picture = self.grab(self.rect().intersected(box))
        size = picture.deviceIndependentSize()
        return picture, QPoint(round(size.width() / 2), round(size.height() / 2))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if cargo_of(event.mimeData()) is None:
            event.ignore()
            return
        # Entered with an open mind; each place is judged as the pointer reaches it.
        self.hold_still(True)
        self._judge_drag(event)
        event.accept()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        allowed = self._judge_drag(event)
        if allowed is None:
            event.ignore()
            return
        self._mind_edge(event.position())
        if allowed:
            event.setDropAction(_action(event))
            event.accept()
        else:
            event.ignore()

    def dragLeaveEvent(self, _event: QDragLeaveEvent) -> None:
        self._end_drag()

    def dropEvent(self, event: QDropEvent) -> None:
        allowed = self._judge_drag(event)
        if not allowed:
            event.ignore()
            self._end_drag()
            return
        # The document makes the change; the source must not remove anything itself.
        event.setDropAction(_action(event))
        event.accept()
        self.carrying.drop()
        self._end_drag()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _judge_drag(self, event: QDropEvent) -> bool | None:
        cargo = cargo_of(event.mimeData())
        if cargo is None:
            return None
        point = event.position()
        x, y = self.on_row(point)
        copy = _action(event) is Qt.DropAction.CopyAction and cargo.kind not in _FROM_SHELF
        return self.carrying.over(self.row, cargo, point, x=x, y=y, copy=copy)

    def _end_drag(self) -> None:
        self._edge.stop()
        if not self.carrying.by_keys:
            self.carrying.leave()
        self.hold_still(False)

    def _mind_edge(self, point: QPointF) -> None:
        """Scroll on while something is held near the left or right edge."""
        zone = 2.5 * em()
        if point.x() < zone:
            self._edge_px = -0.4 * (zone - point.x())
        elif point.x() > self.width() - zone:
            self._edge_px = 0.4 * (point.x() - self.width() + zone)
        else:
            self._edge.stop()
            return
        if not self._edge.isActive():
            self._edge.start()

    @Slot()
    def _scroll_at_edge(self) -> None:
        self.scroll_by(self._edge_px)


def _action(event: QDropEvent) -> Qt.DropAction:
    if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
        return Qt.DropAction.CopyAction
    possible = event.possibleActions()
    if possible & Qt.DropAction.MoveAction:
        return Qt.DropAction.MoveAction
    return Qt.DropAction.CopyAction
