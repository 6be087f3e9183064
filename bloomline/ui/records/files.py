"""Records as a table, in and out: read and written beside the window."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtWidgets import QWidget

from bloomline.errors import BloomlineError
from bloomline.model.record_edits import add_records
from bloomline.ui.document import Document
from bloomline.ui.page_kit import ask_save_path, ask_table_path, start_folder
from bloomline.ui.records.import_report import ImportReport
from bloomline.ui.records.jobs import ReadTable, WrittenTable, reading, writing
from bloomline.ui.season_service import Beside
from bloomline.words import plural, tr


class RecordFiles(QObject):
    """Asks for tables, takes their good rows in as one step, tells of the others."""

    message = Signal(str)
    """Something to be told in passing."""
    told = Signal(str)
    """Something to be told until it is closed."""

    def __init__(self, document: Document, widget: QWidget) -> None:
        super().__init__(widget)
        self._document, self._widget = document, widget
        self._beside = Beside(self)
        self._beside.answered.connect(self._take)

    @property
    def is_busy(self) -> bool:
        """Whether a table is being read or written."""
        return self._beside.is_busy

    def stop(self) -> None:
        """End the work beside the window."""
        self._beside.stop()

    @Slot()
    def ask_import(self) -> None:
        """Ask for a table and take its records in."""
        path = ask_table_path(self._widget, title=tr("Import records"), document=self._document)
        if path is not None:
            self.take_in(path)

    def take_in(self, path: Path) -> None:
        """Read a table beside the window; its good rows become one step to undo."""
        document = self._document
        self._beside.ask(partial(reading, path, document.outlook))

    @Slot()
    def ask_export(self) -> None:
        """Ask for a file and write all records to it."""
        document = self._document
        stem = document.path.stem if document.path else "yard"
        path = ask_save_path(
            self._widget,
            title=tr("Export records"),
            proposed=start_folder(document) / f"{stem}-records.csv",
            kind=tr("Table (*.csv)"),
        )
        if path is not None:
            self.write(path)

    def write(self, path: Path) -> None:
        """Write all records to a table, beside the window."""
        document = self._document
        self._beside.ask(partial(writing, path, document.outlook))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, WrittenTable):
            words = plural(
                "{n} record written: {path}",
                "{n} records written: {path}",
                answer.n_records,
                path=answer.path,
            )
            self.message.emit(words)
        elif isinstance(answer, ReadTable):
            self._keep(answer)
        else:
            self.told.emit(str(answer))

    def _keep(self, read: ReadTable) -> None:
        records = [record for _, record in read.table.records]
        try:
            after = add_records(self._document.yard, records)
        except BloomlineError as error:
            self.told.emit(str(error))
            return
        self._document.edit(tr("Import records"), lambda _yard: after)
        if read.table.bad or read.table.warnings:
            report = ImportReport(read, taken=len(records), parent=self._widget)
            report.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
            report.open()
            return
        words = plural(
            "{n} record taken in from {name}.",
            "{n} records taken in from {name}.",
            len(records),
            name=read.path.name,
        )
        self.told.emit(words)
