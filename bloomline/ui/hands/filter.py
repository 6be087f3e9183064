"""One filter for all widgets of the program, also those that are made later."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractSlider,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QScrollBar,
    QTabBar,
    QWidget,
)

from bloomline.ui.hands.typing import TEXTS, has_typing

_WITHOUT_WHEEL = {
    Qt.FocusPolicy.WheelFocus: Qt.FocusPolicy.StrongFocus,
}
_TYPING = (QEvent.Type.KeyPress, QEvent.Type.InputMethod, QEvent.Type.Drop)


class Hands(QObject):
    """Keeps the wheel off values, and Ctrl+Z for the yard where no typing is to be undone.

    A wheel over a field, list or slider scrolls the page, unless the keyboard is in it; over tabs
    it does nothing.
    """

    typed = Signal()
    """Something may have been typed, or taken in by leaving its field."""

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._is_stopped = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self._soon.timeout.connect(self.typed)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        self._app = app
        app.installEventFilter(self)
        app.focusChanged.connect(self._soon_again)

    @Slot()
    def _soon_again(self, *_: object) -> None:
        self._soon.start()

    def stop(self) -> None:
        """Look on no more; safe to call twice."""
        if self._is_stopped:
            return
        self._is_stopped = True
        self._soon.stop()
        self._app.removeEventFilter(self)
        self._app.focusChanged.disconnect(self._soon_again)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kind = event.type()
        if kind == QEvent.Type.Wheel:
            if isinstance(watched, QTabBar):
                event.ignore()  # nobody who scrolls wants another page
                return True
            if _holds_value(watched) and not watched.hasFocus():  # type: ignore[attr-defined]
                event.ignore()  # goes on to the page around it
                return True
        elif kind == QEvent.Type.Polish:
            # With Qt's usual policy the wheel brings the keyboard along, and then edits.
            if _holds_value(watched) and isinstance(watched, QWidget):
                policy = watched.focusPolicy()
                watched.setFocusPolicy(_WITHOUT_WHEEL.get(policy, policy))
        elif kind == QEvent.Type.ShortcutOverride:
            return isinstance(event, QKeyEvent) and self._is_for_the_yard(watched, event)
        elif kind in _TYPING:
            self._soon.start()  # when the text has taken it
        return False

    def _is_for_the_yard(self, watched: QObject, event: QKeyEvent) -> bool:
        """Whether Ctrl+Z (or its way back) in a text is to reach the window's action."""
        keys = QKeySequence.StandardKey
        if not (event.matches(keys.Undo) or event.matches(keys.Redo)):
            return False
        if not isinstance(watched, TEXTS) or watched.window() is not self._window:
            return False
        if has_typing(watched, back=event.matches(keys.Undo)):
            return False
        event.ignore()
        return True


def _holds_value(watched: QObject) -> bool:
    return isinstance(watched, QAbstractSpinBox | QComboBox) or (
        isinstance(watched, QAbstractSlider) and not isinstance(watched, QScrollBar)
    )
