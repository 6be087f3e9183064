"""Shows the table twin; what is selected is the same as in the timeline."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from bloomline.ui.season.table import COMPANION_ROLE, LAYER_ROLE, SeasonTable, SortedSeason
from bloomline.ui.theme import em
from bloomline.words import tr

_WIDTHS_EM = (11.0, 14.0, 4.0, 6.5, 7.0, 6.5, 7.0, 7.0, 6.5, 7.0, 4.5)


class SeasonTableView(QTableView):
    """The season as a table that sorts by mouse (headings) and keys (Alt+Up, Alt+Down)."""

    part_chosen = Signal(str)
    """Id of a layer or of companions."""
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
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setStyleSheet("QTableView::item { padding: 0 6px; }")
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setStretchLastSection(True)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setSortIndicatorClearable(True)
        self.sortByColumn(-1, Qt.SortOrder.AscendingOrder)
        self.setSortingEnabled(True)
        self.resize_columns()
        self.selectionModel().currentRowChanged.connect(self._row_changed)
        self.doubleClicked.connect(self._ask_details)

    def resize_columns(self) -> None:
        """Take widths from the font."""
        for column, width in enumerate(_WIDTHS_EM):
            self.setColumnWidth(column, round(width * em()))
        self.verticalHeader().setDefaultSectionSize(round(em() * 1.7))

    def select_layer(self, layer_id: str | None) -> None:
        """Select the row of a layer or of companions, or none."""
        row = self._table.row_of(layer_id)
        if row is None:
            self.clearSelection()
            return
        index = self._sorted.mapFromSource(self._table.index(row, 0))
        current = self.currentIndex()
        if current.row() == index.row() and self.selectionModel().isRowSelected(index.row()):
            return
        column = max(current.column(), 0)
        model = self.selectionModel()
        model.blockSignals(True)
        self.setCurrentIndex(index.siblingAtColumn(column))
        model.blockSignals(False)
        self.selectRow(index.row())
        self.viewport().update()

    @Slot(QModelIndex, QModelIndex)
    def _row_changed(self, current: QModelIndex, _before: QModelIndex) -> None:
        if current.isValid() and self.hasFocus():
            self.part_chosen.emit(str(current.data(LAYER_ROLE) or current.data(COMPANION_ROLE)))

    @Slot(QModelIndex)
    def _ask_details(self, index: QModelIndex) -> None:
        if index.isValid():
            self.details_asked.emit(str(index.data(LAYER_ROLE) or index.data(COMPANION_ROLE)))

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
