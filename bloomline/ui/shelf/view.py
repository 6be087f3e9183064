"""The list of the shelf: drags kinds out, takes layers in."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPoint, QRect, QSize, Qt, Signal, Slot
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QFont,
    QFontMetrics,
    QKeyEvent,
    QPainter,
    QPen,
    QPixmap,
)
from PySide6.QtWidgets import QAbstractItemView, QWidget

from bloomline.draw.base.petals import petal_of
from bloomline.model.cultivar import Companion, Cultivar
from bloomline.plan.carry.drops import Cargo
from bloomline.ui.shelf.carrying import CarryingList
from bloomline.ui.shelf.companions import CompanionEntry
from bloomline.ui.shelf.entries import Entry
from bloomline.ui.shelf.model import Item, Role, ShelfModel
from bloomline.ui.shelf.paint import paint_petal_dot
from bloomline.ui.theme import current_theme, em, tone_of

_NO_INDEX = QModelIndex()


class ShelfView(CarryingList):
    """Entries below each other; Enter plants, Up from the first goes back to the search."""

    chosen = Signal(str)
    """Enter or a double click on a kind of bulb (its id)."""
    companion_chosen = Signal(str)
    """Enter or a double click on a companion (its id)."""
    menu_requested = Signal(QPoint)
    """The menu of the current entry is wanted, at this place on the screen."""
    left_upwards = Signal()
    hint_changed = Signal(str)
    """What a drop here would do, or why it can't be; empty when nothing hovers."""

    def __init__(self, model: ShelfModel, parent: QWidget | None = None) -> None:
        super().__init__(model, parent)
        self._model = model
        self.setAcceptDrops(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragDrop)
        self.setDropIndicatorShown(False)
        self.activated.connect(self._choose)

    @property
    def current_id(self) -> str | None:
        """Id of the kind the keyboard stands on."""
        cargo = self.current_cargo
        return cargo.id if cargo is not None else None

    @property
    def current_cargo(self) -> Cargo | None:
        """What would be carried from where the keyboard stands."""
        cargo = self.currentIndex().data(Role.CARGO)
        return cargo if isinstance(cargo, Cargo) else None

    def choose_current(self) -> None:
        """Plant what the keyboard stands on."""
        self._choose(self.currentIndex())

    @Slot(QModelIndex)
    def _choose(self, index: QModelIndex) -> None:
        cargo = index.data(Role.CARGO)
        if isinstance(cargo, Cargo):
            signal = self.chosen if cargo.kind == "cultivar" else self.companion_chosen
            signal.emit(cargo.id)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Up and self.currentIndex().row() <= 0:
            self.left_upwards.emit()
            return
        super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        index, place = self.currentIndex(), event.globalPos()
        if event.reason() is QContextMenuEvent.Reason.Mouse:
            index = self.indexAt(event.pos())
            if index.isValid():
                self.setCurrentIndex(index)
        elif index.isValid():
            self.scrollTo(index)
            place = self.viewport().mapToGlobal(self.visualRect(index).center())
        if index.isValid():
            self.menu_requested.emit(place)

    # Out

    def startDrag(self, actions: Qt.DropAction) -> None:
        entry = self.currentIndex().data(Role.ENTRY)
        if not isinstance(entry, Entry | CompanionEntry):
            return
        self.carry(drag_picture(entry, ratio=self.devicePixelRatioF(), font=self.font()))

    # In

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        self._judge(event)

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        self._judge(event)

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self.hint_changed.emit("")
        super().dragLeaveEvent(event)

    def dropEvent(self, event: QDropEvent) -> None:
        self.hint_changed.emit("")
        data = event.mimeData()
        if self._model.canDropMimeData(data, event.dropAction(), -1, -1, _NO_INDEX):
            self._model.dropMimeData(data, event.dropAction(), -1, -1, _NO_INDEX)
            event.acceptProposedAction()
        else:
            event.ignore()

    def _judge(self, event: QDragMoveEvent) -> None:
        verdict = self._model.verdict_on(event.mimeData())
        if verdict is None:
            event.ignore()
            return
        self.hint_changed.emit(verdict.words)
        if verdict.allowed:
            event.acceptProposedAction()
        elif isinstance(event, QDragEnterEvent):
            # Entering must be accepted, else no move would be told and no reason shown.
            event.accept()
        else:
            event.ignore()


def drag_picture(entry: Item, *, ratio: float, font: QFont) -> QPixmap:
    """What hangs on the pointer: the petal and the name, as sharp as the screen."""
    plant = entry.cultivar if isinstance(entry, Entry) else entry.companion
    return plant_picture(plant, ratio=ratio, font=font)


def plant_picture(plant: Cultivar | Companion, *, ratio: float, font: QFont) -> QPixmap:
    """The same for a plant that is carried from elsewhere."""
    tone = tone_of(current_theme())
    line = em()
    metrics = QFontMetrics(font)
    name = metrics.elidedText(plant.name, Qt.TextElideMode.ElideRight, round(line * 16))
    size = QSize(metrics.horizontalAdvance(name) + round(line * 2.4), round(line * 1.7))
    pixmap = QPixmap(size * ratio)
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(font)
    painter.setPen(QPen(QColor(tone.line), 1.0))
    painter.setBrush(QColor(tone.raised))
    box = QRect(QPoint(0, 0), size).toRectF().adjusted(0.5, 0.5, -0.5, -0.5)
    painter.drawRoundedRect(box, 5, 5)
    look = petal_of(plant, theme=current_theme())
    middle = box.center()
    middle.setX(line * 0.95)
    paint_petal_dot(painter, middle, line * 0.5, look)
    painter.setPen(QColor(tone.ink))
    painter.drawText(
        box.adjusted(line * 1.8, 0, -line * 0.3, 0),
        Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft,
        name,
    )
    painter.end()
    return pixmap
