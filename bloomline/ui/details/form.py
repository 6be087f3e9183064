"""A form of labelled fields, each with a line under it for what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QWidget,
)

from bloomline.ui.details.fields import (
    CheckField,
    ChoiceField,
    Field,
    LineField,
    NotesField,
)
from bloomline.ui.details.spin_fields import (
    CountField,
    DateField,
    LengthField,
    NumberField,
    QuietDateEdit,
    QuietSpinBox,
)
from bloomline.ui.details.words import kept_together
from bloomline.ui.dressed import say_as
from bloomline.ui.shelf.filters import QuietComboBox
from bloomline.ui.theme import em
from bloomline.ui.units import LengthSpinBox, QuietDoubleSpinBox
from bloomline.words import tr

F = TypeVar("F", bound=Field)


class Form(QWidget):
    """Rows of a label, an editor, a note and a problem; the last two only where needed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fields: dict[str, Field] = {}
        self._labels: dict[str, QLabel] = {}
        self._notes: dict[str, QLabel] = {}
        self._problems: dict[str, QLabel] = {}
        self._abouts: dict[str, str] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(round(em() * 0.5))
        self._grid.setVerticalSpacing(round(em() * 0.22))
        self._grid.setColumnStretch(1, 1)

    def add(self, field: F, label: str, *, about: str = "", is_wide: bool = False) -> F:
        """Put a field into the next row; a wide one under its label, as notes are.

        Without a letter to press: those belong to the menus and to the strip on top, and the
        same one twice would work for neither.
        """
        row = self._grid.rowCount()
        editor = field.editor
        editor.setAccessibleName(label)
        if about:
            editor.setToolTip(about)
            editor.setAccessibleDescription(about)
            self._abouts[field.key] = about
        # As wide as the panel allows, whatever is in it: a long name must not widen the page.
        policy = editor.sizePolicy()
        policy.setHorizontalPolicy(QSizePolicy.Policy.Ignored)
        editor.setSizePolicy(policy)
        editor.setMinimumWidth(round(em() * 6))
        if isinstance(field, CheckField):
            field.box.setText(label)
            self._grid.addWidget(editor, row, 0, 1, 2)
        else:
            name = QLabel(label, self)
            name.setWordWrap(len(label) > 16)
            name.setBuddy(editor)
            say_as(name, "muted")
            name.setToolTip(about)
            if is_wide or isinstance(field, NotesField):
                self._grid.addWidget(name, row, 0, 1, 2)
                row += 1
                self._grid.addWidget(editor, row, 0, 1, 2)
            else:
                name.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self._grid.addWidget(name, row, 0)
                self._grid.addWidget(editor, row, 1)
            self._labels[field.key] = name
        note, problem = self._line("muted"), self._line("warning")
        self._grid.addWidget(note, row + 1, 1)
        self._grid.addWidget(problem, row + 2, 1)
        self._notes[field.key], self._problems[field.key] = note, problem
        self.fields[field.key] = field
        return field

    def heading(self, words: str) -> None:
        """Begin a group of rows."""
        label = QLabel(words, self)
        say_as(label, "heading")
        label.setWordWrap(True)
        label.setContentsMargins(0, round(em() * 0.4), 0, 0)
        self._grid.addWidget(label, self._grid.rowCount(), 0, 1, 2)

    def _line(self, kind: str) -> QLabel:
        label = QLabel(self)
        say_as(label, kind)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setVisible(False)
        return label

    def note(self, key: str, words: str, *, grave: bool = False) -> None:
        """Write a note under a field; empty words take it away."""
        label, words = self._notes[key], kept_together(words)
        kind = "warning" if grave else "muted"
        if label.objectName() != kind:
            say_as(label, kind)
        if label.text() != words:
            label.setText(words)
        label.setVisible(bool(words))

    def complain(self, key: str, words: str) -> None:
        """Write what is wrong under a field; empty words take it away."""
        label = self._problems[key]
        label.setText(words)
        label.setVisible(bool(words))
        self.fields[key].editor.setAccessibleDescription(words or self._abouts.get(key, ""))

    def problem(self, key: str) -> str:
        """What is said to be wrong with a field."""
        return self._problems[key].text()

    def forget_problems(self) -> None:
        """Take all complaints away."""
        for key in self.fields:
            if self._problems[key].text():
                self.complain(key, "")

    def set_visible(self, key: str, visible: bool) -> None:
        """Show or hide a row."""
        self.fields[key].editor.setVisible(visible)
        if key in self._labels:
            self._labels[key].setVisible(visible)
        if not visible:
            self._notes[key].setVisible(False)
            self._problems[key].setVisible(False)

    # Makers

    def line(self, key: str, label: str, *, about: str = "", is_wide: bool = False) -> LineField:
        """Add a line of text; a wide one has the whole width of the form."""
        return self.add(LineField(key, QLineEdit(self)), label, about=about, is_wide=is_wide)

    def notes(self, key: str, label: str, *, about: str = "") -> NotesField:
        """Add several lines of text."""
        about = about or tr("Your own words, kept in the yard's file")
        return self.add(NotesField(key, QPlainTextEdit(self)), label, about=about)

    def length(self, key: str, label: str, *, about: str = "") -> LengthField:
        """Add a length."""
        return self.add(LengthField(key, LengthSpinBox(self)), label, about=about)

    def number(
        self,
        key: str,
        label: str,
        *,
        low: float,
        high: float,
        step: float = 1.0,
        decimals: int = 0,
        suffix: str = "",
        factor: float = 1.0,
        none_words: str = "",
        about: str = "",
    ) -> NumberField:
        """Add a number; with `none_words` its lowest value means that none is given."""
        box = QuietDoubleSpinBox(self)
        box.setDecimals(decimals)
        box.setRange(low, high)
        box.setSingleStep(step)
        box.setSuffix(suffix)
        if none_words:
            box.setSpecialValueText(none_words)
        field = NumberField(key, box, factor=factor, none_below=low if none_words else None)
        return self.add(field, label, about=about)

    def count(self, key: str, label: str, *, low: int, high: int, about: str = "") -> CountField:
        """Add a whole number."""
        box = QuietSpinBox(self)
        box.setRange(low, high)
        return self.add(CountField(key, box), label, about=about)

    def day(self, key: str, label: str, *, about: str = "") -> DateField:
        """Add a day."""
        return self.add(DateField(key, QuietDateEdit(self)), label, about=about)

    def choice(
        self, key: str, label: str, choices: Sequence[tuple[str, object]], *, about: str = ""
    ) -> ChoiceField:
        """Add a choice of a few."""
        box = QuietComboBox(self)
        box.setSizeAdjustPolicy(
            QuietComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        box.setMinimumContentsLength(8)
        return self.add(ChoiceField(key, box, choices), label, about=about)

    def check(self, key: str, label: str, *, about: str = "") -> CheckField:
        """Add a yes or no."""
        return self.add(CheckField(key, QCheckBox(self)), label, about=about)
