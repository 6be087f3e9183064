"""Fields of a form: each shows a value, tells a change, and says in words what is wrong.

A field in which something is being typed keeps it while the yard changes round it; it takes
the yard's value again when the typing is finished or refused.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from PySide6.QtCore import QDate, QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QCheckBox,
    QDateEdit,
    QLineEdit,
    QPlainTextEdit,
    QSpinBox,
    QWidget,
)

from bloomline.ui.shelf.filters import QuietComboBox
from bloomline.ui.theme import em
from bloomline.ui.units import LengthSpinBox, QuietDoubleSpinBox, Units

_PAUSE_MS = 700


class Field(QObject):
    """What all fields have in common.

    `key` names the value; `stroke` grows with every new run of changes, so that the steps of
    one run become one step of undo.
    """

    chosen = Signal(object)
    """The gardener gave another value."""

    def __init__(self, key: str, editor: QWidget) -> None:
        super().__init__(editor)
        self.key = key
        self.editor = editor
        self._value: Any = None
        self.stroke = 0
        editor.setObjectName(f"field_{key}")
        editor.installEventFilter(self)

    @property
    def is_being_edited(self) -> bool:
        """Whether something is typed that is not a value of the yard yet."""
        return False

    def show(self, value: Any, *, anyway: bool = False) -> None:
        """Show the yard's value, unless something is being typed (or `anyway`)."""
        self._value = value
        if anyway or not self.is_being_edited:
            was = self.blockSignals(True)
            self._put(value)
            self.blockSignals(was)

    @property
    def draft(self) -> str | None:
        """The text being typed, for the journal; None where none is."""
        return None

    def flush(self) -> None:
        """Take over at once what is being typed."""

    def _put(self, value: Any) -> None:
        raise NotImplementedError

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn:
            self.stroke += 1
        elif (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() == Qt.Key.Key_Escape
            and self.is_being_edited
        ):
            self.show(self._value, anyway=True)
            return True
        return False


class LineField(Field):
    """One line of text; taken over on Enter or when the field is left."""

    def __init__(self, key: str, editor: QLineEdit) -> None:
        super().__init__(key, editor)
        self.line = editor
        editor.editingFinished.connect(self.flush)

    @property
    def is_being_edited(self) -> bool:
        return self.line.isModified()

    @property
    def draft(self) -> str | None:
        return self.line.text() if self.line.isModified() else None

    @Slot()
    def flush(self) -> None:
        if self.line.isModified():
            self.line.setModified(False)
            self.stroke += 1
            self.chosen.emit(self.line.text())

    def _put(self, value: Any) -> None:
        text = "" if value is None else str(value)
        if text != self.line.text():
            self.line.setText(text)
            self.line.setCursorPosition(0)
        self.line.setModified(False)


class NotesField(Field):
    """Several lines of text; taken over after a pause or when the field is left."""

    def __init__(self, key: str, editor: QPlainTextEdit) -> None:
        super().__init__(key, editor)
        self.text = editor
        editor.setTabChangesFocus(True)
        editor.setFixedHeight(round(em() * 4.6))
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._pause.timeout.connect(self.flush)
        self._showing = False
        self._pending = False
        editor.textChanged.connect(self._typed)

    @property
    def is_being_edited(self) -> bool:
        return self._pending

    @property
    def draft(self) -> str | None:
        return self.text.toPlainText() if self._pending else None

    @Slot()
    def _typed(self) -> None:
        if not self._showing:
            self._pending = True
            self._pause.start()

    @Slot()
    def flush(self) -> None:
        self._pause.stop()
        if self._pending:
            self._pending = False
            # From here on it is a step of the yard, for the yard's undo.
            self.text.document().setModified(False)
            self.stroke += 1
            self.chosen.emit(self.text.toPlainText())

    def _put(self, value: Any) -> None:
        self._pause.stop()
        self._pending = False
        self.text.document().setModified(False)
        if str(value) != self.text.toPlainText():
            self._showing = True
            self.text.setPlainText(str(value))
            self._showing = False

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut:
            self.flush()
        return super().eventFilter(watched, event)


class _SpinField(Field):
    """A spin box: steps are taken over at once, typed figures when they are finished."""

    def __init__(self, key: str, editor: QAbstractSpinBox) -> None:
        super().__init__(key, editor)
        self.spin = editor
        editor.editingFinished.connect(self._finished)

    @property
    def is_being_edited(self) -> bool:
        line = self.spin.findChild(QLineEdit)
        return line is not None and line.isModified()

    @Slot()
    def _finished(self) -> None:
        line = self.spin.findChild(QLineEdit)
        if line is not None:
            line.setModified(False)
        self.stroke += 1

    def flush(self) -> None:
        if self.is_being_edited:
            self.spin.interpretText()
            self._finished()


class LengthField(_SpinField):
    """A length, in cm or inches."""

    def __init__(self, key: str, editor: LengthSpinBox) -> None:
        super().__init__(key, editor)
        self.box = editor
        editor.length_changed.connect(self._tell)

    @Slot(float)
    def _tell(self, length_cm: float) -> None:
        self.chosen.emit(length_cm)

    def show_units(self, units: Units) -> None:
        """Show it in other units."""
        self.box.set_units(units)

    def _put(self, value: Any) -> None:
        self.box.set_length_cm(0.0 if value is None else float(value))


class NumberField(_SpinField):
    """A number, shown with a unit; `none_below` is what stands for nothing given."""

    def __init__(
        self,
        key: str,
        editor: QuietDoubleSpinBox,
        *,
        factor: float = 1.0,
        none_below: float | None = None,
    ) -> None:
        super().__init__(key, editor)
        self.box = editor
        self._factor = factor
        self._none_below = none_below
        self._offset = 0.0
        self._showing = False
        editor.valueChanged.connect(self._tell)

    def show_scale(self, *, factor: float, offset: float = 0.0, suffix: str) -> None:
        """Show value × factor + offset with a suffix from now on."""
        self._factor, self._offset = factor, offset
        self.box.setSuffix(suffix)

    @Slot(float)
    def _tell(self, shown: float) -> None:
        if self._showing:
            return
        if self._none_below is not None and shown <= self._none_below:
            self.chosen.emit(None)
        else:
            self.chosen.emit(round((shown - self._offset) / self._factor, 6))

    def _put(self, value: Any) -> None:
        self._showing = True
        if value is None:
            self.box.setValue(self.box.minimum())
        else:
            self.box.setValue(float(value) * self._factor + self._offset)
        self._showing = False


class QuietSpinBox(QSpinBox):
    """A spin box that a wheel over it doesn't change while the panel is scrolled."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setKeyboardTracking(False)
        self.setAccelerated(True)
        self.setGroupSeparatorShown(False)


class CountField(_SpinField):
    """A whole number."""

    def __init__(self, key: str, editor: QuietSpinBox) -> None:
        super().__init__(key, editor)
        self.box = editor
        self._showing = False
        editor.valueChanged.connect(self._tell)

    @Slot(int)
    def _tell(self, value: int) -> None:
        if not self._showing:
            self.chosen.emit(value)

    def _put(self, value: Any) -> None:
        self._showing = True
        self.box.setValue(int(value))
        self._showing = False


class QuietDateEdit(QDateEdit):
    """A date with a calendar to pick from."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setCalendarPopup(True)
        self.setKeyboardTracking(False)
        self.setDisplayFormat("d MMM yyyy")


class DateField(_SpinField):
    """A day."""

    def __init__(self, key: str, editor: QuietDateEdit) -> None:
        super().__init__(key, editor)
        self.box = editor
        self._showing = False
        editor.dateChanged.connect(self._tell)

    @Slot(QDate)
    def _tell(self, day: QDate) -> None:
        if not self._showing:
            self.chosen.emit(date(day.year(), day.month(), day.day()))

    def _put(self, value: Any) -> None:
        self._showing = True
        if isinstance(value, date):
            self.box.setDate(QDate(value.year, value.month, value.day))
        self._showing = False


class ChoiceField(Field):
    """One of a few."""

    def __init__(
        self, key: str, editor: QuietComboBox, choices: Sequence[tuple[str, object]]
    ) -> None:
        super().__init__(key, editor)
        self.box = editor
        self._choices: tuple[tuple[str, object], ...] = ()
        self.offer(choices)
        editor.activated.connect(self._tell)

    def offer(self, choices: Sequence[tuple[str, object]]) -> None:
        """Offer (words, value) pairs."""
        if tuple(choices) == self._choices:
            return
        self._choices = tuple(choices)
        self.box.clear()
        for words, value in self._choices:
            self.box.addItem(words, value)

    @Slot(int)
    def _tell(self, index: int) -> None:
        self.chosen.emit(self.box.itemData(index))

    def _put(self, value: Any) -> None:
        for index, (_, each) in enumerate(self._choices):
            if each == value:
                self.box.setCurrentIndex(index)
                return
        self.box.setCurrentIndex(-1)


class CheckField(Field):
    """Yes or no."""

    def __init__(self, key: str, editor: QCheckBox) -> None:
        super().__init__(key, editor)
        self.box = editor
        editor.clicked.connect(self._tell)

    @Slot(bool)
    def _tell(self, checked: bool) -> None:
        self.chosen.emit(checked)

    def _put(self, value: Any) -> None:
        self.box.setChecked(bool(value))
