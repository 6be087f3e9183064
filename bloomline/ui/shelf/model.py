"""The shelf's entries for Qt: a thin list over the filtered tuple, drag source, drop target."""

from __future__ import annotations

from enum import IntEnum
from typing import Any

from PySide6.QtCore import (
    QMimeData,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from bloomline.errors import BloomlineError
from bloomline.plan.carry.drops import Cargo, Verdict, judge_on_shelf
from bloomline.ui.cargo import cargo_of
from bloomline.ui.document import Document
from bloomline.ui.shelf.carrying import CARGO, CarriedModel
from bloomline.ui.shelf.companions import CompanionEntry
from bloomline.ui.shelf.entries import NOTHING_KNOWN, Entry, Known
from bloomline.ui.shelf.words import CompanionWords

Index = QModelIndex | QPersistentModelIndex
_NO_INDEX = QModelIndex()
Item = Entry | CompanionEntry


def id_of(item: Item) -> str:
    """The id of the cultivar or the companion."""
    return item.cultivar.id if isinstance(item, Entry) else item.companion.id


class Role(IntEnum):
    """What else is told about an entry."""

    ENTRY = Qt.ItemDataRole.UserRole + 1
    WINDOW = Qt.ItemDataRole.UserRole + 2
    CULTIVAR_ID = Qt.ItemDataRole.UserRole + 3
    CARGO = CARGO
    NOTES = Qt.ItemDataRole.UserRole + 5
    """What else is told of a kind in a word or two: its count in the cupboard, bare days."""


class ShelfModel(CarriedModel):
    """Entries on the shelf, in the order shown."""

    taken_out = Signal(str)
    """Bulbs or companions were dropped on the shelf and are out of their pot (words)."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._entries: tuple[Item, ...] = ()
        self._known = NOTHING_KNOWN
        self._tells_bare = False
        self._words = CompanionWords()

    @property
    def entries(self) -> tuple[Item, ...]:
        """What is shown."""
        return self._entries

    def show(self, entries: tuple[Item, ...]) -> None:
        """Show other entries, or the same in another order."""
        if entries == self._entries:
            return
        self.beginResetModel()
        self._entries = entries
        self.endResetModel()

    def show_known(self, known: Known, *, tells_bare: bool) -> None:
        """Show what is known of the kinds, with the bare days they fill or without; rows stay."""
        if (known, tells_bare) != (self._known, self._tells_bare):
            self._known, self._tells_bare = known, tells_bare
            self.refresh()

    def refresh(self) -> None:
        """Have every row painted anew."""
        if self._entries:
            self.dataChanged.emit(self.index(0), self.index(len(self._entries) - 1))

    def row_of(self, name: str) -> int | None:
        """The row a kind stands in by its id, if it is shown."""
        for row, entry in enumerate(self._entries):
            if id_of(entry) == name:
                return row
        return None

    # What Qt asks

    def rowCount(self, parent: Index = _NO_INDEX) -> int:
        return 0 if parent.isValid() else len(self._entries)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or not 0 <= index.row() < len(self._entries):
            return None
        entry = self._entries[index.row()]
        if role == Role.ENTRY:
            return entry
        if isinstance(entry, CompanionEntry):
            return self._companion_data(entry, role)
        if role == Role.CARGO:
            return Cargo("cultivar", entry.cultivar.id)
        if role == Qt.ItemDataRole.DisplayRole:
            return entry.cultivar.name
        if role == Role.CULTIVAR_ID:
            return entry.cultivar.id
        window = self._known.windows.get(entry.cultivar.id)
        if role == Role.WINDOW:
            return window
        notes = self._words.notes(entry, self._known, tells_bare=self._tells_bare)
        if role == Role.NOTES:
            return notes
        settings = self._document.yard.settings
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._words.tooltip(entry, window, yard=self._document.yard)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._words.spoken(entry, window, pets=settings.pets, notes=notes)
        return None

    def _companion_data(self, entry: CompanionEntry, role: int) -> Any:
        yard = self._document.yard
        if role == Role.CARGO:
            return Cargo("companion", entry.companion.id)
        if role == Qt.ItemDataRole.DisplayRole:
            return entry.companion.name
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._words.companion_tip(entry, yard=yard)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._words.companion_spoken(entry, pets=yard.settings.pets)
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.ItemIsDropEnabled
        return super().flags(index)

    def supportedDropActions(self) -> Qt.DropAction:
        return Qt.DropAction.MoveAction | Qt.DropAction.CopyAction

    def verdict_on(self, data: QMimeData) -> Verdict | None:
        """What a drop would do; None when it is nothing of ours."""
        cargo = cargo_of(data)
        if cargo is None:
            return None
        try:
            return judge_on_shelf(self._document.yard, cargo, cultivar_of=self._document.cultivar)
        except BloomlineError as error:
            # Dragged from another window, or gone since.
            return Verdict(allowed=False, words=str(error))

    def canDropMimeData(
        self,
        data: QMimeData,
        action: Qt.DropAction,
        row: int,
        column: int,
        parent: Index,
    ) -> bool:
        verdict = self.verdict_on(data)
        return verdict is not None and verdict.allowed

    def dropMimeData(
        self,
        data: QMimeData,
        action: Qt.DropAction,
        row: int,
        column: int,
        parent: Index,
    ) -> bool:
        verdict = self.verdict_on(data)
        if verdict is None or not verdict.allowed or verdict.apply is None:
            return False
        if self._document.edit(verdict.name, verdict.apply):
            self.taken_out.emit(verdict.name)
        # The list did not change: the yard did, through its undo stack.
        return False
