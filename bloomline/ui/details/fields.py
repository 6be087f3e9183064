"""Fields of a form: each shows a value, tells a change, and says in words what is wrong.

A field in which something is being typed keeps it while the yard changes round it; it takes
the yard's value again when the typing is finished or refused.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QLineEdit,
    QPlainTextEdit,
    QWidget,
)

from bloomline.ui.shelf.filters import QuietComboBox
from bloomline.ui.theme import em
from bloomline.words import tr

_PAUSE_MS = 700


def several_words() -> str:
    """What stands in a field for values that differ."""
    return tr("several values")


@dataclass(frozen=True, slots=True)
class Several:
    """Stands for values that differ; `one` is that of what was selected last."""

    one: Any


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
        self._is_shown = False  # whether the editor shows that value
        self.is_several = False
        """Whether it stands for several values that differ."""
        self.stroke = 0
        editor.setObjectName(f"field_{key}")
        editor.installEventFilter(self)

    @property
    def is_being_edited(self) -> bool:
        """Whether something is typed that is not a value of the yard yet."""
        return False

    def show(self, value: Any, *, anyway: bool = False) -> None:
        """Show the yard's value, unless something is being typed (or `anyway`)."""
        is_same = type(value) is type(self._value) and value == self._value
        if is_same and self._is_shown and not anyway:
            return  # a step of a slider asks every field
        self._value = value
        self._is_shown = anyway or not self.is_being_edited
        if self._is_shown:
            was = self.blockSignals(True)
            self.is_several = isinstance(value, Several)
            if isinstance(value, Several):
                self._put_several(value.one)
            else:
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

    def _put_several(self, one: Any) -> None:
        """Say that the values differ; `one` of them is where arrow keys start from."""
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
        self.line.setPlaceholderText("")
        text = "" if value is None else str(value)
        if text != self.line.text():
            self.line.setText(text)
            self.line.setCursorPosition(0)
        self.line.setModified(False)

    def _put_several(self, one: Any) -> None:
        self._put("")
        self.line.setPlaceholderText(several_words())


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
        self.text.setPlaceholderText("")

    def _put_several(self, one: Any) -> None:
        self._put("")
        self.text.setPlaceholderText(several_words())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut:
            self.flush()
        return super().eventFilter(watched, event)


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
        self.box.setCurrentIndex(-1)
        self._is_shown = False

    @Slot(int)
    def _tell(self, index: int) -> None:
        self.chosen.emit(self.box.itemData(index))

    def _put(self, value: Any) -> None:
        self.box.setPlaceholderText("")
        for index, (_, each) in enumerate(self._choices):
            if each == value:
                self.box.setCurrentIndex(index)
                return
        self.box.setCurrentIndex(-1)

    def _put_several(self, one: Any) -> None:
        self.box.setPlaceholderText(several_words())
        self.box.setCurrentIndex(-1)


class CheckField(Field):
    """Yes or no."""

    def __init__(self, key: str, editor: QCheckBox) -> None:
        super().__init__(key, editor)
        self.box = editor
        editor.clicked.connect(self._tell)

    @Slot(bool)
    def _tell(self, checked: bool) -> None:
        self.box.setTristate(False)
        self.chosen.emit(checked)

    def _put(self, value: Any) -> None:
        self.box.setTristate(False)
        self.box.setChecked(bool(value))

    def _put_several(self, one: Any) -> None:
        self.box.setTristate(True)
        self.box.setCheckState(Qt.CheckState.PartiallyChecked)
