"""Filling tables that are read, and making them as high as their rows."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTableWidget, QTableWidgetItem

_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


def put_cells(
    table: QTableWidget, rows: Sequence[tuple[str, ...]], *, right: tuple[int, ...] = ()
) -> None:
    """Fill a table to read. right : columns of numbers."""
    table.setRowCount(len(rows))
    for at, cells in enumerate(rows):
        for column, words in enumerate(cells):
            item = QTableWidgetItem(words)
            if column in right:
                item.setTextAlignment(_RIGHT)
            table.setItem(at, column, item)
    for column in right:
        head = table.horizontalHeaderItem(column)
        if head is not None:
            head.setTextAlignment(_RIGHT)


def fit_height(table: QTableWidget, *, most: int = 8) -> None:
    """Make a table as high as its rows, up to some."""
    rows = min(max(table.rowCount(), 1), most)
    header = table.horizontalHeader().sizeHint().height()
    table.setFixedHeight(header + rows * table.verticalHeader().defaultSectionSize() + 6)
