"""Tells what became of a table of records: rows taken, rows that can't be read and why."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QListWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.ui.records.jobs import ReadTable
from bloomline.ui.theme import em
from bloomline.words import plural, tr


class ImportReport(QDialog):
    """Each bad row with its line in the file; the good ones are in the yard already."""

    def __init__(self, read: ReadTable, *, taken: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("import_report")
        self.setWindowTitle(tr("Import records"))
        bad, warnings = read.table.bad, read.table.warnings
        words = tr(
            "{name}: {taken} taken in, {bad}.",
            name=read.path.name,
            taken=plural("{n} record", "{n} records", taken),
            bad=plural("{n} row can't be read", "{n} rows can't be read", len(bad)),
        )
        if bad:
            words += " " + tr(
                "Mend these rows and import the table again; rows that are "
                "in the yard already are left out then."
            )
        self.words = QLabel(words, self)
        self.words.setWordWrap(True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.rows = QListWidget(self)
        self.rows.setObjectName("import_rows")
        self.rows.setAccessibleName(tr("Rows that can't be read, and warnings"))
        self.rows.setWordWrap(True)
        self.rows.setAlternatingRowColors(True)
        self.rows.addItems(
            [
                *(tr("Line {line}: {why}", line=b.line, why=b.problem) for b in bad),
                *(f"{each[0].upper()}{each[1:]}" for each in warnings),
            ]
        )
        self.rows.setCurrentRow(0)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        copy = buttons.addButton(tr("Copy the list"), QDialogButtonBox.ButtonRole.ActionRole)
        copy.setObjectName("import_copy")
        copy.clicked.connect(self.copy)
        copy.setAutoDefault(False)
        buttons.button(QDialogButtonBox.StandardButton.Close).setDefault(True)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(self.words)
        column.addWidget(self.rows, 1)
        column.addWidget(buttons)
        self.resize(round(em() * 38), round(em() * 20))

    @Slot()
    def copy(self) -> None:
        """Put the list on the clipboard."""
        lines = [self.rows.item(at).text() for at in range(self.rows.count())]
        QGuiApplication.clipboard().setText("\n".join(lines) + "\n")
