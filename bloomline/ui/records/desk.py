"""Where records are noted from: one action for menus and keys, one dialog at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, Slot
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.ui.details.panel import DetailsPanel
    from bloomline.ui.season.panel import SeasonPanel
    from bloomline.ui.yard.panel import YardPanel


class RecordsDesk(QObject):
    """Opens the entry dialog for the selected layer, or for a record."""

    def __init__(
        self,
        document: Document,
        service: SeasonService,
        widget: QWidget,
    ) -> None:
        super().__init__(widget)
        self._document, self._service, self._widget = document, service, widget
        self.dialog: QWidget | None = None
        self.note_action = QAction(tr("Note what is &seen…"), self)
        self.note_action.setObjectName("action_note_seen")
        self.note_action.setShortcut(QKeySequence("Ctrl+R"))
        self.note_action.triggered.connect(self.note)
        document.yard_changed.connect(self._enable)
        self._enable()

    def join(self, *, season: SeasonPanel, yard: YardPanel, details: DetailsPanel) -> None:
        """Offer the action in the menus of the parts, and open the records clicked there."""
        season.offer([self.note_action])
        season.view.record_asked.connect(self.edit)
        yard.offer(self.note_action)
        details.offer(self.note_action)
        details.record_asked.connect(self.edit)

    @Slot()
    def _enable(self, *_: object) -> None:
        self.note_action.setEnabled(any(pot.layers for pot in self._document.yard.pots))

    @Slot()
    def note(self) -> None:
        """Note what is seen of the selected layer, or of one that is to be chosen."""
        from bloomline.ui.records.entry import EntryStart

        self._open(wish=EntryStart(layer_id=self._layer_meant()))

    @Slot(str)
    def edit(self, record_id: str) -> None:
        """Correct a record."""
        if any(record.id == record_id for record in self._document.yard.records):
            self._open(record_id=record_id)

    def _layer_meant(self) -> str | None:
        """The selected layer, or the layer of the selected pot that flowers nearest to today."""
        document, report = self._document, self._service.report
        if document.layer_id is not None:
            return document.layer_id
        pot = document.selected_pot()
        if pot is None or not pot.layers:
            return None
        opens = {} if report is None else {one.layer_id: one.start for one in report.layers}
        today = document.outlook.today

        def off(layer_id: str) -> int:
            band = opens.get(layer_id)
            return 10_000 if band is None else abs((band.p50 - today).days)

        return min((layer.id for layer in pot.layers), key=off)

    def _open(self, *, record_id: str | None = None, wish: object = None) -> None:
        from bloomline.ui.records.entry import EntryDialog, EntryStart

        if self.dialog is not None:
            return
        dialog = EntryDialog(
            self._document,
            self._service,
            record=None if record_id is None else self._document.yard.record(record_id),
            wish=wish if isinstance(wish, EntryStart) else None,
            parent=self._widget,
        )
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.finished.connect(self._closed)
        self.dialog = dialog
        dialog.open()

    @Slot(int)
    def _closed(self, _result: int) -> None:
        self.dialog = None

    def stop(self) -> None:
        """End what runs; safe to call twice."""
        from bloomline.ui.records.entry import EntryDialog

        if isinstance(self.dialog, EntryDialog):
            self.dialog.reject()
