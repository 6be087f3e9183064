"""Lines of a list as a table for a view; what is typed goes out by a signal."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtCore import Signal as QtSignal
from PySide6.QtGui import QColor

from bloomline.ui.theme import current_theme, tone_of

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole


def _never(_line: Any) -> bool:
    return False


def _nothing(_line: Any) -> str:
    return ""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its words for a line, and whether they may be typed over.

    typed : what stands in the editor; `words` where nothing is given.
    """

    key: str
    title: str
    words: Callable[[Any], str]
    right: bool = False
    muted: bool = False
    editable: Callable[[Any], bool] = _never
    typed: Callable[[Any], str] | None = None
    tip: Callable[[Any], str] = _nothing


class LinesModel(QAbstractTableModel):
    """Thin over lines and columns."""

    typed = QtSignal(object, str, str)
    """A line, the key of a column, and what was typed there."""

    def __init__(self, columns: Sequence[Column] = (), parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._columns = tuple(columns)
        self._lines: tuple[Any, ...] = ()

    def show_lines(self, lines: Sequence[Any], columns: Sequence[Column] | None = None) -> None:
        """Show other lines; as many as before change in place, so that the cursor stays."""
        same = len(lines) == len(self._lines) and (
            columns is None or len(columns) == len(self._columns)
        )
        if not same:
            self.beginResetModel()
        self._lines = tuple(lines)
        if columns is not None:
            self._columns = tuple(columns)
        if not same:
            self.endResetModel()
        elif lines and self._columns:
            end = self.index(len(lines) - 1, len(self._columns) - 1)
            self.dataChanged.emit(self.index(0, 0), end)
            across = Qt.Orientation.Horizontal
            self.headerDataChanged.emit(across, 0, len(self._columns) - 1)

    def line(self, row: int) -> Any:
        """The line of a row."""
        return self._lines[row]

    def column(self, key: str) -> int:
        """Where a column stands."""
        return next(at for at, column in enumerate(self._columns) if column.key == key)

    def has(self, key: str) -> bool:
        """Whether there is a column of that key."""
        return any(column.key == key for column in self._columns)

    # What Qt asks

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._columns)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole
    ) -> Any:
        if orientation is not Qt.Orientation.Horizontal or section >= len(self._columns):
            return None
        column = self._columns[section]
        if role == Role.DisplayRole:
            return column.title
        return _side(column) if role == Role.TextAlignmentRole else None

    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        flags |= Qt.ItemFlag.ItemNeverHasChildren
        if self._columns[index.column()].editable(self._lines[index.row()]):
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        if not index.isValid():
            return None
        column, line = self._columns[index.column()], self._lines[index.row()]
        if role == Role.DisplayRole:
            return column.words(line)
        if role == Role.EditRole:
            return (column.typed or column.words)(line)
        if role == Role.TextAlignmentRole:
            return _side(column)
        if role == Role.ToolTipRole:
            return column.tip(line) or None
        if role == Role.AccessibleTextRole:
            return f"{column.title}: {column.words(line)}"
        if role == Role.ForegroundRole and column.muted:
            return QColor(tone_of(current_theme()).muted)
        if role == Role.BackgroundRole and column.editable(line):
            return QColor(tone_of(current_theme()).panel)
        return None

    def setData(self, index: Index, value: Any, role: int = Role.EditRole) -> bool:
        if role != Role.EditRole or not self.flags(index) & Qt.ItemFlag.ItemIsEditable:
            return False
        text = str(value).strip()
        if text != str(self.data(index, Role.EditRole)):
            self.typed.emit(self.line(index.row()), self._columns[index.column()].key, text)
        return True


def _side(column: Column) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter
