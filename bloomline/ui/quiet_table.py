"""Tables to read, of any length: a row is made as it is seen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPoint,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHeaderView, QTableView, QWidget

from bloomline.ui.by_rows import read_by_rows
from bloomline.ui.theme import em

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_MEASURED = 60  # rows from the first that is seen; what is wider further down has its tip
_NOWHERE = QModelIndex()
_NO_TIPS: Mapping[int, str] = MappingProxyType({})


class Line(NamedTuple):
    """A row of a table: its cells, and their tips where those say more than the cells.

    tip : of every cell. tips : of the cells in some columns.
    """

    cells: tuple[str, ...]
    tip: str = ""
    tips: Mapping[int, str] = _NO_TIPS


class _Lines(QAbstractTableModel):
    """Thin over lines: changes nothing itself."""

    def __init__(self, heads: Sequence[str], parent: QObject) -> None:
        super().__init__(parent)
        self.heads = tuple(heads)
        self.lines: Sequence[Line] = ()
        self.right: frozenset[int] = frozenset()

    def show_heads(self, heads: Sequence[str]) -> None:
        self.beginResetModel()
        self.heads, self.lines = tuple(heads), ()
        self.endResetModel()

    def show_lines(self, lines: Sequence[Line], right: frozenset[int]) -> None:
        # Rows that stay are told as changed, so that the one that is chosen stays so too.
        before, now = len(self.lines), len(lines)
        if now < before:
            self.beginRemoveRows(_NOWHERE, now, before - 1)
        elif now > before:
            self.beginInsertRows(_NOWHERE, before, now - 1)
        self.lines, self.right = lines, right
        if now < before:
            self.endRemoveRows()
        elif now > before:
            self.endInsertRows()
        if before and now:
            last = self.index(min(before, now) - 1, len(self.heads) - 1)
            self.dataChanged.emit(self.index(0, 0), last)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(self.lines)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        return 0 if parent.isValid() else len(self.heads)

    def data(self, index: Index, role: int = Role.DisplayRole) -> object:
        if role == Role.DisplayRole:
            return self.lines[index.row()].cells[index.column()]
        if role == Role.ToolTipRole:
            line, column = self.lines[index.row()], index.column()
            return line.tips.get(column) or line.tip or line.cells[column]
        if role == Role.TextAlignmentRole:
            return _RIGHT if index.column() in self.right else _LEFT
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole
    ) -> object:
        if orientation == Qt.Orientation.Vertical:
            return None
        if role == Role.DisplayRole:
            return self.heads[section]
        if role == Role.TextAlignmentRole:
            return _RIGHT if section in self.right else _LEFT
        return None


class QuietTable(QTableView):
    """A table to read: whole rows, no grid, as wide as its words."""

    row_chosen = Signal(int)
    """The row that the keyboard or the mouse went to, -1 for none; not when other lines come."""

    def __init__(self, parent: QWidget, *, name: str, heads: Sequence[str], wide: int) -> None:
        """wide : the column that takes the room that is left, -1 for none."""
        super().__init__(parent)
        self.setObjectName(name)
        self._lines = _Lines(heads, self)
        self._wide = wide
        self._is_filling = False
        self.setModel(self._lines)
        read_by_rows(self)
        self.verticalHeader().setDefaultSectionSize(round(em() * 1.6))
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setResizeContentsPrecision(_MEASURED)
        self._widen()
        self.selectionModel().currentRowChanged.connect(self._tell)

    def _widen(self) -> None:
        if 0 <= self._wide < self.column_count():
            stretch = QHeaderView.ResizeMode.Stretch
            self.horizontalHeader().setSectionResizeMode(self._wide, stretch)
        # Once for all lines: a header that follows every change measures all of them every time.
        self.resizeColumnsToContents()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.resizeColumnsToContents()  # by now it has the font in which it is painted

    # What it shows

    def show_heads(self, heads: Sequence[str]) -> None:
        """Have other columns, and no lines yet."""
        if tuple(heads) != self._lines.heads:
            self._lines.show_heads(heads)
            self._widen()

    def show_lines(self, lines: Sequence[Line], *, right: Sequence[int] = ()) -> None:
        """Show other lines; the row chosen stays. right : columns of numbers."""
        self._is_filling = True
        self._lines.show_lines(lines, frozenset(right))
        self._is_filling = False
        self.resizeColumnsToContents()

    def line(self, row: int) -> Line:
        """A line that is shown."""
        return self._lines.lines[row]

    def row_count(self) -> int:
        """How many lines there are."""
        return self._lines.rowCount()

    def column_count(self) -> int:
        """How many columns there are."""
        return self._lines.columnCount()

    def fit_height(self, *, most: int = 8) -> None:
        """Be as high as the lines, up to some."""
        rows = min(max(self.row_count(), 1), most)
        header = self.horizontalHeader().sizeHint().height()
        self.setFixedHeight(header + rows * self.verticalHeader().defaultSectionSize() + 6)

    # Which row is chosen

    @property
    def row(self) -> int:
        """The row that the keyboard is on, -1 for none."""
        return self.currentIndex().row()

    def choose(self, row: int) -> None:
        """Go to a row, or to none by -1."""
        column = max(self.currentIndex().column(), 0)
        self.setCurrentIndex(self._lines.index(row, column) if row >= 0 else QModelIndex())

    def below_row(self) -> QPoint:
        """Where the row that is chosen ends, on the screen: its menu opens there."""
        return self.viewport().mapToGlobal(self.visualRect(self.currentIndex()).bottomLeft())

    @Slot(QModelIndex, QModelIndex)
    def _tell(self, current: QModelIndex, _before: QModelIndex) -> None:
        if not self._is_filling:
            self.row_chosen.emit(current.row())
