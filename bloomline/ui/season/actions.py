"""What the timeline offers to menus and keys, as data."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget


@dataclass(frozen=True, slots=True)
class ActionData:
    """An action: its name, words, keys and what it does."""

    name: str
    text: str
    keys: tuple[str, ...]
    tip: str
    run: Callable[..., object]
    is_toggle: bool = False


def make_action(data: ActionData, *, owner: QWidget, listeners: tuple[QWidget, ...]) -> QAction:
    """Make an action whose keys work while one of the listeners has the focus."""
    action = QAction(data.text, owner)
    action.setObjectName(f"action_{data.name}")
    action.setCheckable(data.is_toggle)
    action.setShortcuts([QKeySequence(key) for key in data.keys])
    # Plain letters and arrows belong to whatever has the focus, so never to the whole window.
    action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
    keys = f" ({action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)})"
    action.setToolTip(data.tip + (keys if data.keys else ""))
    action.setStatusTip(data.tip)
    if data.is_toggle:
        action.toggled.connect(data.run)
    else:
        action.triggered.connect(data.run)
    for widget in listeners:
        widget.addAction(action)
    return action
