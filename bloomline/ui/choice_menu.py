"""A menu with one choice of a few, which is kept from one start to the next."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from bloomline.ui.files.memory import ProgramSettings


class ChoiceMenu(QMenu):
    """Keeps what is chosen under its name; None, which comes first, is as the system has it."""

    chosen = Signal()
    """Something else was chosen; it is kept already."""

    def __init__(
        self,
        title: str,
        setting: str,
        choices: Sequence[tuple[str | None, str]],
        *,
        settings: ProgramSettings,
        parent: QWidget | None = None,
    ) -> None:
        """choices : (value, words)."""
        super().__init__(title, parent)
        self.setObjectName(f"{setting}_menu")
        self.menuAction().setObjectName(f"menu_{setting}")
        self._setting, self._settings = setting, settings
        self._group = QActionGroup(self)
        now = settings.value(setting)
        for value, words in choices:
            action = QAction(words, self)
            action.setObjectName(f"action_{setting}_{value or 'system'}")
            action.setCheckable(True)
            action.setChecked(value == now)
            action.setData(value)
            self._group.addAction(action)
            self.addAction(action)
        self._group.triggered.connect(self._choose)

    @Slot(QAction)
    def _choose(self, action: QAction) -> None:
        self._settings.setValue(self._setting, action.data())
        self.chosen.emit()
