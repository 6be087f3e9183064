"""Asks what a weather table doesn't tell: columns, order of dates, unit, season."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontDatabase
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from bloomline.files.weather_import import ImportChoices, ImportQuestion
from bloomline.ui.theme import em
from bloomline.words import tr


class QuestionDialog(QDialog):
    """Shows lines of the table and asks one thing."""

    def __init__(
        self,
        question: ImportQuestion,
        *,
        choices: ImportChoices,
        season_year: int,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("weather_question")
        self.setWindowTitle(tr("Import weather"))
        self._question, self._choices, self._season_year = question, choices, season_year
        words = QLabel(self._words(), self)
        words.setTextFormat(Qt.TextFormat.PlainText)
        words.setWordWrap(True)
        self.sample = QPlainTextEdit("\n".join(question.sample), self)
        self.sample.setReadOnly(True)
        self.sample.setTabChangesFocus(True)
        self.sample.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
        self.sample.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.sample.setAccessibleName(tr("First lines of the table"))
        self.sample.setMaximumHeight(round(em() * 9))
        self.sample.setVisible(bool(question.sample))
        self.boxes: list[QComboBox] = []
        form = QFormLayout()
        for label, options in self._fields():
            box = QComboBox(self)
            box.setAccessibleName(label)
            for shown, value in options:
                box.addItem(shown, value)
            self.boxes.append(box)
            form.addRow(label, box)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel, self
        )
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(words)
        column.addWidget(self.sample)
        column.addLayout(form)
        column.addWidget(buttons)
        self.setMinimumWidth(round(em() * 30))

    def _words(self) -> str:
        about = self._question.about
        if about == "columns":
            return tr("Which columns hold the day, the minimum and the maximum?")
        if about == "date_order":
            return tr("Are the days of this table written day first or month first?")
        if about == "unit":
            return tr("In which unit are the temperatures of this table?")
        return tr(
            "This file holds a typical year put together from several years. It is no record of "
            "a season; laid on one, it shows what would happen in such a year."
        )

    def _fields(self) -> list[tuple[str, list[tuple[str, object]]]]:
        about = self._question.about
        if about == "columns":
            names: list[tuple[str, object]] = [
                (name or str(i + 1), str(i + 1)) for i, name in enumerate(self._question.options)
            ]
            none: tuple[str, object] = (tr("none: single readings"), "")
            return [
                (tr("Day"), names),
                (tr("Minimum, or reading"), [*names[1:], *names[:1]]),
                (tr("Maximum"), [*names[2:], *names[:2], none]),
            ]
        if about == "date_order":
            return [
                (
                    tr("Days are written"),
                    [
                        (tr("day, month, year"), "dmy"),
                        (tr("month, day, year"), "mdy"),
                    ],
                )
            ]
        if about == "unit":
            return [
                (
                    tr("Unit"),
                    [
                        (tr("degrees Celsius"), "c"),
                        (tr("degrees Fahrenheit"), "f"),
                        (tr("kelvin"), "k"),
                        (tr("tenths of a degree Celsius"), "tenths"),
                    ],
                )
            ]
        year = self._season_year
        return [(tr("Season"), [(str(each), each) for each in (year, year - 1, year + 1)])]

    @property
    def choices(self) -> ImportChoices:
        """What was chosen before, and the answer."""
        values = [box.currentData() for box in self.boxes]
        about = self._question.about
        if about == "columns":
            return replace(self._choices, columns=tuple(value for value in values if value))
        return replace(self._choices, **{about: values[0]})
