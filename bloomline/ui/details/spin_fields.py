"""Fields of a form that are spin boxes: lengths, numbers, whole numbers, days."""

from __future__ import annotations

from datetime import date
from typing import Any

from PySide6.QtCore import QDate, QEvent, QObject, Qt, Slot
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QAbstractSpinBox, QDateEdit, QLabel, QLineEdit, QSpinBox, QWidget

from bloomline.ui.details.fields import Field, several_words
from bloomline.ui.units import LengthSpinBox, QuietDoubleSpinBox, Units, system_locale
from bloomline.words import day_pattern


class _Veil(QLabel):
    """Covers a box that stands for several values, as long as the keyboard is elsewhere.

    The box keeps a figure below it: boxes put their text back whenever they are laid out.
    """

    def __init__(self, line: QLineEdit) -> None:
        super().__init__(several_words(), line)
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setForegroundRole(QPalette.ColorRole.PlaceholderText)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setIndent(2)
        self.hide()
        line.installEventFilter(self)
        self.setGeometry(line.rect())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and isinstance(watched, QWidget):
            self.setGeometry(watched.rect())
        return False


class _SpinField(Field):
    """A spin box: steps are taken over at once, typed figures when they are finished.

    Where it stands for several values, what is typed goes for all, also when it is the figure
    that the box holds already: that of what was selected last, from which arrow keys count on.
    """

    def __init__(self, key: str, editor: QAbstractSpinBox) -> None:
        super().__init__(key, editor)
        self.spin = editor
        line = editor.findChild(QLineEdit)
        assert line is not None
        self._veil: _Veil | None = None
        self._is_typed = False
        line.textEdited.connect(self._note_typing)
        editor.editingFinished.connect(self._finished)

    @property
    def _line(self) -> QLineEdit | None:
        return self.spin.findChild(QLineEdit)

    @property
    def is_being_edited(self) -> bool:
        line = self._line
        return line is not None and line.isModified()

    @Slot(str)
    def _note_typing(self, text: str) -> None:
        self._is_typed = bool(text.strip())

    @Slot()
    def _finished(self) -> None:
        line = self._line
        if line is not None:
            line.setModified(False)
        self.stroke += 1
        typed, self._is_typed = self._is_typed, False
        if self.is_several and typed:
            self.chosen.emit(self._given())

    def flush(self) -> None:
        if self.is_being_edited:
            self.spin.interpretText()
            self._finished()

    def show(self, value: Any, *, anyway: bool = False) -> None:
        super().show(value, anyway=anyway)
        self._draw_veil(self.is_several and not self.spin.hasFocus())

    def _draw_veil(self, is_drawn: bool) -> None:
        line = self._line
        if self._veil is None:
            if not is_drawn or line is None:
                return
            self._veil = _Veil(line)
        self._veil.setVisible(is_drawn)
        self.spin.setAccessibleDescription(several_words() if is_drawn else "")

    def _choose(self, value: object) -> None:
        """Tell a value; what was typed is done with, whether it is taken or refused."""
        self._is_typed = self.is_several = False
        self.chosen.emit(value)

    def _given(self) -> object:
        """The value that the box holds."""
        raise NotImplementedError

    def _put_several(self, one: Any) -> None:
        self._put(one)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn:
            self._draw_veil(False)
        elif event.type() == QEvent.Type.FocusOut and self.is_several:
            self._draw_veil(True)
        return super().eventFilter(watched, event)


class LengthField(_SpinField):
    """A length, in cm or inches."""

    def __init__(self, key: str, editor: LengthSpinBox) -> None:
        super().__init__(key, editor)
        self.box = editor
        editor.length_changed.connect(self._tell)

    @Slot(float)
    def _tell(self, length_cm: float) -> None:
        self._choose(length_cm)

    def _given(self) -> object:
        return self.box.length_cm

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
        self._is_shown = False

    @Slot(float)
    def _tell(self, _shown: float) -> None:
        if not self._showing:
            self._choose(self._given())

    def _given(self) -> object:
        shown = self.box.value()
        if self._none_below is not None and shown <= self._none_below:
            return None
        return round((shown - self._offset) / self._factor, 6)

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
            self._choose(value)

    def _given(self) -> object:
        return self.box.value()

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
        self.setDisplayFormat(day_pattern())
        self.calendarWidget().setFirstDayOfWeek(system_locale().firstDayOfWeek())


class DateField(_SpinField):
    """A day."""

    def __init__(self, key: str, editor: QuietDateEdit) -> None:
        super().__init__(key, editor)
        self.box = editor
        self._showing = False
        editor.dateChanged.connect(self._tell)
        editor.calendarWidget().clicked.connect(self._take_clicked)

    @Slot(QDate)
    def _tell(self, _day: QDate) -> None:
        if not self._showing:
            self._choose(self._given())

    @Slot(QDate)
    def _take_clicked(self, _day: QDate) -> None:
        if self.is_several:  # the day it held already, which is no change to the box
            self.chosen.emit(self._given())

    def _given(self) -> object:
        day = self.box.date()
        return date(day.year(), day.month(), day.day())

    def _put(self, value: Any) -> None:
        self._showing = True
        if isinstance(value, date):
            self.box.setDate(QDate(value.year, value.month, value.day))
        self._showing = False
