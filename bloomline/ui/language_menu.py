"""The menu that chooses the window's language: the system's, or one that there are words for."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from bloomline.ui.files.memory import ProgramSettings
from bloomline.words import language_name, languages, tr

SETTING = "language"


class LanguageMenu(QMenu):
    """One choice of the languages, kept for the next start: a window is built in one language."""

    told = Signal(str)
    """What a choice will do."""

    def __init__(self, settings: ProgramSettings, parent: QWidget | None = None) -> None:
        super().__init__(tr("&Language"), parent)
        self.setObjectName("language_menu")
        self.menuAction().setObjectName("menu_language")
        self._settings = settings
        self._group = QActionGroup(self)
        chosen = settings.value(SETTING)
        for code, name in (
            (None, tr("As the &system has it")),
            *((code, language_name(code)) for code in languages()),
        ):
            action = QAction(name, self)
            action.setObjectName(f"action_language_{code or 'system'}")
            action.setCheckable(True)
            action.setChecked(code == chosen)
            action.setData(code)
            self._group.addAction(action)
            self.addAction(action)
        self._group.triggered.connect(self._choose)

    @Slot(QAction)
    def _choose(self, action: QAction) -> None:
        self._settings.setValue(SETTING, action.data())
        self.told.emit(tr("The language changes when bloomline starts next."))
