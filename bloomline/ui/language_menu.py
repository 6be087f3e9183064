"""The menu that chooses the window's language: the system's, or one that there are words for."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QWidget

from bloomline.ui.choice_menu import ChoiceMenu
from bloomline.ui.files.memory import ProgramSettings
from bloomline.words import language_name, languages, tr

SETTING = "language"


class LanguageMenu(ChoiceMenu):
    """One choice of the languages, kept for the next start: a window is built in one language."""

    told = Signal(str)
    """What a choice will do."""

    def __init__(self, settings: ProgramSettings, parent: QWidget | None = None) -> None:
        choices = [(code, language_name(code)) for code in languages()]
        super().__init__(
            tr("&Language"),
            SETTING,
            [(None, tr("As the &system has it")), *choices],
            settings=settings,
            parent=parent,
        )
        self.chosen.connect(self._tell)

    @Slot()
    def _tell(self) -> None:
        self.told.emit(tr("The language changes when bloomline starts next."))
