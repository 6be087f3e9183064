"""Lists whose rows are carried to a pot: what the shelf and the rows for a gap have in common."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QAbstractListModel,
    QMimeData,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    Qt,
)
from PySide6.QtGui import QDrag, QPixmap
from PySide6.QtWidgets import QAbstractItemView, QListView, QWidget

from bloomline.plan.carry.drops import Cargo
from bloomline.ui.cargo import MIME_TYPE, mime_of
from bloomline.ui.theme import em

CARGO = Qt.ItemDataRole.UserRole + 4
"""What a row is carried as."""


class CarriedModel(QAbstractListModel):
    """Rows that are read, selected and carried as what they tell for `CARGO`."""

    def flags(self, index: QModelIndex | QPersistentModelIndex) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        return (
            Qt.ItemFlag.ItemIsEnabled
            | Qt.ItemFlag.ItemIsSelectable
            | Qt.ItemFlag.ItemIsDragEnabled
            | Qt.ItemFlag.ItemNeverHasChildren
        )

    def mimeTypes(self) -> list[str]:
        return [MIME_TYPE]

    def mimeData(self, indexes: Sequence[QModelIndex]) -> QMimeData:
        """The first row's cargo: it may be dropped on any pot, at any depth."""
        for index in indexes:
            cargo = index.data(CARGO)
            if isinstance(cargo, Cargo):
                return mime_of(cargo)
        return QMimeData()

    def supportedDragActions(self) -> Qt.DropAction:
        return Qt.DropAction.CopyAction


class CarryingList(QListView):
    """Rows of one height below each other, of which one is selected and may be carried."""

    def __init__(self, model: CarriedModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setModel(model)
        self.setUniformItemSizes(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setMouseTracking(True)
        self.setDragEnabled(True)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.verticalScrollBar().setSingleStep(round(em()))

    def carry(self, picture: QPixmap) -> None:
        """Drag the current row, its picture at the pointer."""
        drag = QDrag(self)
        drag.setMimeData(self.model().mimeData([self.currentIndex()]))
        drag.setPixmap(picture)
        drag.setHotSpot(QPoint(round(em() * 0.7), round(em() * 0.7)))
        drag.exec(Qt.DropAction.CopyAction)
