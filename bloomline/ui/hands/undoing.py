"""Undo and redo of the window, which say what they did."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from bloomline.ui.document import Document
from bloomline.ui.hands.typing import has_typing, redo_typing, undo_typing
from bloomline.ui.icons import icon
from bloomline.words import tr


class Undoing(QObject):
    """The last thing done goes first: typing that is not taken in yet, then the yard's steps."""

    told = Signal(str)
    """What was undone or done again."""

    def __init__(self, document: Document, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._is_stopped = False
        self._stack = document.undo_stack
        self.undo_action = self._action("undo", QKeySequence.StandardKey.Undo)
        self.redo_action = self._action("redo", QKeySequence.StandardKey.Redo)
        self.undo_action.triggered.connect(self.undo)
        self.redo_action.triggered.connect(self.redo)
        for changed in (self._stack.indexChanged, self._stack.undoTextChanged):
            changed.connect(self.refresh)
        self._stack.redoTextChanged.connect(self.refresh)
        self.refresh()

    def _action(self, name: str, key: QKeySequence.StandardKey) -> QAction:
        action = QAction(self)
        action.setObjectName(f"action_{name}")
        action.setShortcut(QKeySequence(key))
        action.setIcon(icon(name))
        return action

    @Slot()
    def refresh(self, *_: object) -> None:
        """Name in the menu what comes next."""
        if self._is_stopped:
            return  # the undo stack tells of its own end
        stack, text = self._stack, self._window.focusWidget()
        typing, again = has_typing(text), has_typing(text, back=False)
        undo = tr("typing") if typing else stack.undoText()
        redo = tr("typing") if again else stack.redoText()
        self.undo_action.setText(tr("&Undo {what}", what=_plain(undo)).rstrip())
        self.redo_action.setText(tr("&Redo {what}", what=_plain(redo)).rstrip())
        self.undo_action.setEnabled(typing or stack.canUndo())
        self.redo_action.setEnabled(again or stack.canRedo())

    def stop(self) -> None:
        """Follow the yard no more; safe to call twice."""
        self._is_stopped = True

    @Slot()
    def undo(self) -> None:
        """Undo the last thing done, and say what it was."""
        what = self._stack.undoText()
        if undo_typing(self._window.focusWidget()):
            what = tr("typing")
        elif self._stack.canUndo():
            self._stack.undo()
        else:
            return
        self.told.emit(tr("Undone: {what}", what=what))
        self.refresh()

    @Slot()
    def redo(self) -> None:
        """Do again what was undone last, and say what it was."""
        what = self._stack.redoText()
        if redo_typing(self._window.focusWidget()):
            what = tr("typing")
        elif self._stack.canRedo():
            self._stack.redo()
        else:
            return
        self.told.emit(tr("Redone: {what}", what=what))
        self.refresh()


def _plain(words: str) -> str:
    """Words for a menu, whose & would mark a letter."""
    return words.replace("&", "&&")
