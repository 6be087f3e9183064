"""A line in which a place is found by name; accents, case and marks don't matter."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QFocusEvent, QKeyEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QCompleter, QLineEdit, QWidget

from bloomline.model.place import Station
from bloomline.reference.places import load_places
from bloomline.words import tr

_MOST_SHOWN = 12
_STATION_ROLE = Qt.ItemDataRole.UserRole


class PlaceSearch(QLineEdit):
    """Shows the yard's place; what is typed over it is looked for among the stations.

    Enter takes the place marked in the list, else the best one; Escape or leaving goes back.
    """

    found = Signal(object)
    """The gardener chose a Station."""
    missed = Signal(str)
    """Nothing of that name is known; the words say so."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name = ""
        self._model = QStandardItemModel(self)
        completer = QCompleter(self._model, self)
        completer.setCompletionMode(QCompleter.CompletionMode.UnfilteredPopupCompletion)
        completer.setMaxVisibleItems(_MOST_SHOWN)
        completer.activated.connect(self._take_label)
        self.setCompleter(completer)
        self.setClearButtonEnabled(False)
        self.setPlaceholderText(tr("town or station"))
        self.textEdited.connect(self._look)
        self.returnPressed.connect(self._take_best)

    def show_place(self, name: str) -> None:
        """Show where the yard is, unless the gardener is typing."""
        self._name = name
        if not (self.hasFocus() and self.isModified()):
            self._go_back()

    def suggestions(self) -> list[str]:
        """The places that are offered for what is typed."""
        return [self._model.item(row).text() for row in range(self._model.rowCount())]

    @Slot(str)
    def _look(self, text: str) -> None:
        self._model.clear()
        for station in load_places().search(text, limit=_MOST_SHOWN):
            item = QStandardItem(station.label)
            item.setData(station.station_id, _STATION_ROLE)
            self._model.appendRow(item)

    @Slot(str)
    def _take_label(self, label: str) -> None:
        for row in range(self._model.rowCount()):
            if self._model.item(row).text() == label:
                self._take(load_places().get(str(self._model.item(row).data(_STATION_ROLE))))
                return

    @Slot()
    def _take_best(self) -> None:
        popup = self.completer().popup()
        if popup is not None:
            if popup.isVisible() and popup.currentIndex().isValid():
                return  # the list tells its own choice
            popup.hide()
        text = self.text().strip()
        if not self.isModified() or not text:
            self._go_back()
            return
        hits = load_places().search(text, limit=1)
        if hits:
            self._take(hits[0])
        else:
            words = tr("No place called “{text}” is known. Try a larger town near it.")
            self.missed.emit(words.format(text=text))

    def _take(self, station: Station) -> None:
        self.setModified(False)
        self.found.emit(station)
        self._go_back()
        self.selectAll()

    def _go_back(self) -> None:
        self.setText(self._name)
        self.setCursorPosition(0)
        self.setModified(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self._go_back()
            self.selectAll()
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason and not self.isModified():
            self.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() not in (
            Qt.FocusReason.PopupFocusReason,
            Qt.FocusReason.ActiveWindowFocusReason,
        ):
            self._go_back()
