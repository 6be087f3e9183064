"""The column of the shelf: the shelf itself, or what would fill a gap."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QApplication, QStackedWidget, QWidget

from bloomline.ui.document import Document
from bloomline.ui.shelf.panel import ShelfPanel

if TYPE_CHECKING:
    from bloomline.ui.fill.gap_panel import GapPanel


class GapColumn(QStackedWidget):
    """Shows the shelf until a gap is to be filled; its panel is made when first asked for."""

    message = Signal(str)
    """Something to be told in passing, of the shelf or of a gap."""
    marked = Signal(object)
    """The days that are to be filled now (first and last), or None when the shelf is back."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._shelf: ShelfPanel
        self._gap: GapPanel | None = None
        self._came_from: QWidget | None = None

    def take(self, shelf: ShelfPanel) -> None:
        """Show the shelf, which was made in here."""
        self._shelf = shelf
        self.addWidget(shelf)
        shelf.message.connect(self.message)

    @property
    def gap(self) -> GapPanel:
        """What would fill a gap."""
        if self._gap is None:
            from bloomline.ui.fill.gap_panel import GapPanel  # the planner is not there at a start

            self._gap = GapPanel(self._document, self)
            self._gap.left.connect(self.leave)
            self._gap.message.connect(self.message)
            self._gap.days_changed.connect(self.marked)
            self.addWidget(self._gap)
        return self._gap

    @Slot(object, object)
    def open_gap(self, first: date, last: date) -> None:
        """Show what would fill some days, with the keyboard on it."""
        if self.currentWidget() is not self.gap:
            self._came_from = QApplication.focusWidget()
        self.gap.show_gap(first, last)
        self.setCurrentWidget(self.gap)
        self.gap.list.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def leave(self) -> None:
        """Show the shelf again; the keyboard goes back to where it came from."""
        self.show_shelf()
        before, self._came_from = self._came_from, None
        if before is not None and before.isVisible():
            before.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_shelf(self) -> None:
        """Show the shelf again."""
        self.setCurrentWidget(self._shelf)
        self.marked.emit(None)

    def search(self) -> None:
        """Show the shelf, with the keyboard in its search."""
        self.show_shelf()
        self._shelf.focus_search()

    def stop(self) -> None:
        """End the search, and the work of the shelf."""
        self._shelf.stop()
        if self._gap is not None:
            self._gap.stop()
