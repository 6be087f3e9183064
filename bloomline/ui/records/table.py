"""The table of records: chosen by row, kept chosen when the records change."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import cast

from PySide6.QtCore import QItemSelectionModel, QItemSelectionRange, QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from bloomline.ui.by_rows import read_by_rows
from bloomline.ui.records.model import (
    CULTIVAR,
    DAY,
    DAYS,
    FORECAST,
    NOTE,
    POT,
    QUESTION,
    SEASON,
    SEEN,
    RecordsModel,
)
from bloomline.ui.theme import em
from bloomline.words import tr

_WIDE_EM = {
    DAY: 5.4, SEASON: 3.4, CULTIVAR: 8.6, POT: 6.4, SEEN: 6.4,
    FORECAST: 4.0, DAYS: 3.9, QUESTION: 6.0, NOTE: 5.0,
}  # fmt: skip
_MOST_CHOSEN = 1000


class RecordsTable(QTableView):
    """Enter or a double click asks to correct, Del to delete."""

    edit_asked = Signal()
    delete_asked = Signal()

    def __init__(self, model: RecordsModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("records_table")
        self.setAccessibleName(tr("Records"))
        self._records = model
        self.wanted: list[str] = []
        """Records to be chosen once they are shown, in place of those that were."""
        self.is_restoring = False
        self.setModel(model)
        read_by_rows(self)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setIconSize(QSize(round(em()), round(em())))
        self.verticalHeader().setDefaultSectionSize(round(em() * 1.6))
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        # Fixed widths: to measure fifty thousand rows would take seconds.
        for column, wide in _WIDE_EM.items():
            header.resizeSection(column, round(wide * em()))
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setStretchLastSection(True)
        self.setSortingEnabled(True)
        self.sortByColumn(DAY, Qt.SortOrder.DescendingOrder)
        self.doubleClicked.connect(self._ask_edit)

    def _ask_edit(self, *_: object) -> None:
        self.edit_asked.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.edit_asked.emit()
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.delete_asked.emit()
        else:
            super().keyPressEvent(event)

    def chosen_ids(self) -> list[str]:
        """The records of the selected rows."""
        # By ranges: one index for each of fifty thousand rows would take a second.
        rows = self._records.shown
        chosen = cast("Iterable[QItemSelectionRange]", self.selectionModel().selection())
        ranges = [(each.top(), each.bottom()) for each in chosen]
        return [row.record.id for top, bottom in sorted(ranges) for row in rows[top : bottom + 1]]

    def choose(self, record_ids: Sequence[str]) -> None:
        """Select records by their ids, as far as they are shown."""
        places = self._places(self.wanted) or self._places(record_ids)
        if not places:
            return
        self.is_restoring = True
        how = QItemSelectionModel.SelectionFlag
        self.selectionModel().setCurrentIndex(places[0], how.ClearAndSelect | how.Rows)
        for place in places[1:]:
            self.selectionModel().select(place, how.Select | how.Rows)
        self.is_restoring = False
        self.scrollTo(places[0])

    def _places(self, record_ids: Sequence[str]) -> list[QModelIndex]:
        found = [self._records.find(each) for each in record_ids[:_MOST_CHOSEN]]
        return [place for place in found if place.isValid()]

    def neighbour_of(self, record_ids: Sequence[str]) -> str | None:
        """The record that stands after some, or before them; None when all of them go."""
        gone = set(record_ids)
        rows = [row.record.id for row in self._records.shown]
        last = max((i for i, each in enumerate(rows) if each in gone), default=-1)
        after = next((each for each in rows[last + 1 :] if each not in gone), None)
        return after or next((each for each in reversed(rows[:last]) if each not in gone), None)
