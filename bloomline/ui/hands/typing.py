"""What is typed but not taken in yet: whether there is some, and taking it in."""

from __future__ import annotations

from typing import Literal

import shiboken6
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QTextEdit,
    QWidget,
)

from bloomline.ui.details.fields import Field

TEXTS = (QLineEdit, QPlainTextEdit, QTextEdit, QAbstractSpinBox, QComboBox)


def text_of(widget: QWidget | None) -> QLineEdit | QPlainTextEdit | QTextEdit | None:
    """The text of a widget that has the keyboard: of a spin box or list, its line."""
    if isinstance(widget, QAbstractSpinBox):
        return widget.findChild(QLineEdit)
    if isinstance(widget, QComboBox):
        return widget.lineEdit()
    if isinstance(widget, QLineEdit | QPlainTextEdit | QTextEdit):
        return widget
    return None


def has_typing(widget: QWidget | None, *, back: bool = True) -> bool:
    """Whether a text's own undo (or with back=False its redo) has typing to work on.

    What was typed and taken in already is a step of the yard, no longer of the text.
    """
    text = text_of(widget)
    if text is None:
        return False
    if isinstance(text, QLineEdit):
        if text.isReadOnly():
            return False
        return (text.isModified() and text.isUndoAvailable()) if back else text.isRedoAvailable()
    document = text.document()
    if text.isReadOnly():
        return False
    if back:
        return document.isModified() and document.isUndoAvailable()
    return document.isRedoAvailable()


def undo_typing(widget: QWidget | None) -> bool:
    """Take back what was typed last in a widget; False when nothing is."""
    text = text_of(widget)
    if text is None or not has_typing(widget):
        return False
    text.undo()
    return True


def redo_typing(widget: QWidget | None) -> bool:
    """Type again what was taken back last in a widget; False when nothing was."""
    text = text_of(widget)
    if text is None or not has_typing(widget, back=False):
        return False
    text.redo()
    return True


def to_text(deed: Literal["cut", "copy", "paste", "del", "selectAll"]) -> bool:
    """Do to the text that has the keyboard what a menu was asked to; False when none has it."""
    focus = QApplication.focusWidget()
    text = text_of(focus)
    if text is None or focus is None or not focus.isEnabled():
        return False
    if deed != "del":
        getattr(text, deed)()
    elif isinstance(text, QLineEdit):
        text.del_()
    else:
        text.textCursor().removeSelectedText()
    return True


def is_pending(window: QWidget) -> bool:
    """Whether something is typed in a window that its yard doesn't hold yet."""
    # Only where the keyboard is: whoever leaves a field has its typing taken in or refused.
    focus = window.focusWidget()
    if focus is None:
        return False
    if any(field.is_being_edited for field in focus.findChildren(Field)):
        return True
    text = text_of(focus)
    if not isinstance(text, QLineEdit) or not text.isModified():
        return False
    # A search is no value of the yard; figures and the cells of tables are.
    return isinstance(focus, QAbstractSpinBox) or _is_cell(focus)


def _is_cell(widget: QWidget) -> bool:
    above = widget.parentWidget()
    while above is not None and not isinstance(above, QAbstractItemView):
        above = above.parentWidget()
    return above is not None


def commit_pending(window: QWidget) -> None:
    """Take in what is being typed anywhere in a window, as leaving the field would."""
    for field in window.findChildren(Field):
        field.flush()
    focus = window.focusWidget()
    if focus is None or not is_pending(window):
        return
    # A cell's editor and a figure hand their text over when the keyboard leaves them.
    focus.clearFocus()
    if shiboken6.isValid(focus) and focus.isVisible():
        focus.setFocus(Qt.FocusReason.OtherFocusReason)
