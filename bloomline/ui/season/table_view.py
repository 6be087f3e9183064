"""Shows the table twin; what is selected is the same as in the timeline."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QItemSelection, QItemSelectionModel, QModelIndex, Qt, Signal, Slot
from PySide6.QtGui import QAction, QContextMenuEvent, QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from bloomline.ui.by_rows import read_by_rows
from bloomline.ui.season.menu import menu_of
from bloomline.ui.season.table import COMPANION_ROLE, LAYER_ROLE, SeasonTable, SortedSeason
from bloomline.ui.theme import em
from bloomline.words import tr

_WIDTHS_EM = (11.0, 14.0, 4.0, 6.5, 7.0, 6.5, 7.0, 7.0, 6.5, 7.0, 4.5)


class SeasonTableView(QTableView):
    """The season as a table that sorts by mouse (headings) and keys (Alt+Up, Alt+Down)."""

    parts_chosen = Signal(list, object)
    """Ids of layers and companions, and of the one that the keyboard is on."""
    details_asked = Signal(str)

    def __init__(self, table: SeasonTable, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("season_table")
        self.setAccessibleName(tr("Season as a table"))
        self.setAccessibleDescription(
            tr("One row a layer or companion. Alt+Down and Alt+Up sort by the column you are in.")
        )
        self._table = table
        self._sorted = SortedSeason(self)
        self._sorted.setSourceModel(table)
        self.setModel(self._sorted)
        read_by_rows(self)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setStyleSheet("QTableView::item { padding: 0 6px; }")
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setStretchLastSection(True)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setSortIndicatorClearable(True)
        self.sortByColumn(-1, Qt.SortOrder.AscendingOrder)
        self.setSortingEnabled(True)
        self.resize_columns()
        self._is_following = False
        self.menu_actions: list[QAction | None] = []
        self.selectionModel().selectionChanged.connect(self._selection_changed)
        self.doubleClicked.connect(self._ask_details)

    def resize_columns(self) -> None:
        """Take widths from the font."""
        for column, width in enumerate(_WIDTHS_EM):
            self.setColumnWidth(column, round(width * em()))
        self.verticalHeader().setDefaultSectionSize(round(em() * 1.7))

    def select_parts(self, part_ids: Sequence[str], *, current: str | None) -> None:
        """Select the rows of layers and companions; the keyboard comes to be on one of them."""
        rows = self._table.rows_of(part_ids)
        indexes = [self._sorted.mapFromSource(self._table.index(row, 0)) for row in rows]
        wanted = {index.row() for index in indexes}
        if wanted == self._selected_rows():
            return
        whole = QItemSelection()
        for index in indexes:
            whole.select(index, index.siblingAtColumn(self._sorted.columnCount() - 1))
        model, column = self.selectionModel(), max(self.currentIndex().column(), 0)
        self._is_following = True
        at = self._table.row_of(current)
        if at is not None:
            here = self._sorted.mapFromSource(self._table.index(at, column))
            model.setCurrentIndex(here, QItemSelectionModel.SelectionFlag.NoUpdate)
            self.scrollTo(here)
        model.select(whole, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self._is_following = False

    def _selected_rows(self) -> set[int]:
        return {index.row() for index in self.selectionModel().selectedRows()}

    @Slot(QItemSelection, QItemSelection)
    def _selection_changed(self, _now: QItemSelection, _before: QItemSelection) -> None:
        # What a new order or a new report selects is no wish of the gardener.
        if self._is_following or not self.hasFocus():
            return
        indexes = sorted(self.selectionModel().selectedRows(), key=QModelIndex.row)
        self.parts_chosen.emit([_part_id(each) for each in indexes], _part_id(self.currentIndex()))

    @Slot(QModelIndex)
    def _ask_details(self, index: QModelIndex) -> None:
        if index.isValid():
            self.details_asked.emit(_part_id(index))

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if self.menu_actions:
            menu_of(self.menu_actions, self).popup(event.globalPos())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        keys = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        column = self.currentIndex().column()
        is_alt = keys == Qt.KeyboardModifier.AltModifier
        if is_alt and column >= 0 and event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            is_down = event.key() == Qt.Key.Key_Down
            order = Qt.SortOrder.AscendingOrder if is_down else Qt.SortOrder.DescendingOrder
            self.sortByColumn(column, order)
            return
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._ask_details(self.currentIndex())
            return
        super().keyPressEvent(event)


def _part_id(index: QModelIndex) -> str:
    return str(index.data(LAYER_ROLE) or index.data(COMPANION_ROLE) or "")
