"""The menu that chooses light or dark colours: as the system has them, or always the same."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from bloomline.draw.base.petals import DARK, LIGHT, Theme
from bloomline.ui.choice_menu import ChoiceMenu
from bloomline.ui.files.memory import ProgramSettings
from bloomline.words import tr

SETTING = "colours"
_SCHEMES = {"light": Qt.ColorScheme.Light, "dark": Qt.ColorScheme.Dark}


def chosen_theme(settings: ProgramSettings) -> Theme | None:
    """The theme that is kept as chosen; None where the system's is followed."""
    return {"light": LIGHT, "dark": DARK}.get(str(settings.value(SETTING)))


def ask_system_for(theme: Theme | None) -> None:
    """Have what the system draws itself, as title bars and file dialogs, in the same colours."""
    scheme = Qt.ColorScheme.Unknown if theme is None else _SCHEMES[theme.name]
    QGuiApplication.styleHints().setColorScheme(scheme)


class ColoursMenu(ChoiceMenu):
    """One choice of three, kept and taken at once."""

    def __init__(self, settings: ProgramSettings, parent: QWidget | None = None) -> None:
        super().__init__(
            tr("&Colours"),
            SETTING,
            (
                (None, tr("As the &system has them")),
                ("light", tr("&Light")),
                ("dark", tr("&Dark")),
            ),
            settings=settings,
            parent=parent,
        )
