"""A line in which a place is found by name; accents, case and marks don't matter."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QRect, Qt, Signal, Slot
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QCompleter, QLineEdit, QStyle, QWidget

from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.finding import Found
from bloomline.ui.conditions.place_model import MOST_SHOWN, PlaceModel
from bloomline.words import tr


class PlaceSearch(QLineEdit):
    """Shows the yard's place; what is typed over it is looked for among towns and stations.

    Enter takes the place marked in the list, else the one that is clearly meant; where none is,
    the list stays for a choice. Escape or leaving goes back.
    """

    found = Signal(object)
    """The gardener chose a `Found`."""
    missed = Signal(str)
    """No one place is clearly meant; the words say what to do."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name = ""
        self._wants_best = False
        self.places = PlaceModel(self)
        completer = QCompleter(self.places, self)
        completer.setCompletionMode(QCompleter.CompletionMode.UnfilteredPopupCompletion)
        completer.setMaxVisibleItems(MOST_SHOWN)
        # By row, since two places may be labelled alike.
        completer.activated[QModelIndex].connect(self._take_row)  # type: ignore[index]
        self.setCompleter(completer)
        self.setClearButtonEnabled(False)
        self.setPlaceholderText(tr("town or station"))
        self.textEdited.connect(self._look)
        self.returnPressed.connect(self._take_best)
        self.places.answered.connect(self._offer)

    def show_place(self, name: str, place: PlaceChoice | None = None) -> None:
        """Show where the yard is, unless the gardener is typing."""
        self._name = name
        self.places.show_home(place)
        if not (self.hasFocus() and self.isModified()):
            self._go_back()

    def suggestions(self) -> list[str]:
        """The places that are offered for what is typed."""
        return [self.places.item(row).text() for row in range(self.places.rowCount())]

    def stop(self) -> None:
        """End what is looked for; safe to call twice."""
        self.places.stop()

    @Slot(str)
    def _look(self, text: str) -> None:
        self._wants_best = False
        self.places.ask(text)

    @Slot()
    def _offer(self) -> None:
        if self._wants_best:
            self._decide()
        elif self.hasFocus() and self.isModified():
            self._show_list()

    def _show_list(self) -> None:
        popup = self.completer().popup()
        if popup is None or not self.places.rowCount():
            return
        # Names with region and country are longer than the line.
        bar = self.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent)
        wide = popup.sizeHintForColumn(0) + 2 * bar
        most = round(self.window().width() * 0.6)
        self.completer().complete(QRect(0, 0, max(self.width(), min(wide, most)), self.height()))

    @Slot(QModelIndex)
    def _take_row(self, index: QModelIndex) -> None:
        found = self.places.found(index)
        if found is not None:
            self._take(found)

    @Slot()
    def _take_best(self) -> None:
        popup = self.completer().popup()
        if popup is not None and popup.isVisible() and popup.currentIndex().isValid():
            return  # the list tells its own choice
        if not self.isModified() or not self.text().strip():
            self._go_back()
            return
        self._wants_best = True
        if self.places.answer is not None:
            self._decide()

    def _decide(self) -> None:
        self._wants_best = False
        answer = self.places.answer
        if answer is None:
            return
        if answer.best is not None:
            popup = self.completer().popup()
            if popup is not None:
                popup.hide()
            self._take(answer.best)
            return
        self.missed.emit(answer.note)
        if self.hasFocus():
            self._show_list()

    def _take(self, found: Found) -> None:
        self.setModified(False)
        self.found.emit(found)
        self._go_back()
        self.selectAll()

    def _go_back(self) -> None:
        self._wants_best = False
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
