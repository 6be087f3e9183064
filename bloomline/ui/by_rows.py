"""What all tables share that are read by whole rows."""

from __future__ import annotations

from PySide6.QtWidgets import QAbstractItemView, QTableView


def read_by_rows(view: QTableView) -> None:
    """Let a table be read by whole rows, without a grid or numbers beside them."""
    view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    view.setTabKeyNavigation(False)
    view.setShowGrid(False)
    view.setWordWrap(False)
    view.setAlternatingRowColors(True)
    view.verticalHeader().hide()
