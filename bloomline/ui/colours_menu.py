"""The menu that chooses light or dark colours: as the system has them, or always the same."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QAction, QActionGroup, QGuiApplication
from PySide6.QtWidgets import QMenu, QWidget

from bloomline.draw.base.petals import DARK, LIGHT, Theme
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


class ColoursMenu(QMenu):
    """One choice of three, kept and taken at once."""

    chosen = Signal()
    """Other colours are wanted."""

    def __init__(self, settings: ProgramSettings, parent: QWidget | None = None) -> None:
        super().__init__(tr("&Colours"), parent)
        self.setObjectName("colours_menu")
        self.menuAction().setObjectName("menu_colours")
        self._settings = settings
        self._group = QActionGroup(self)
        theme = chosen_theme(settings)
        now = None if theme is None else theme.name
        for value, words in (
            (None, tr("As the &system has them")),
            ("light", tr("&Light")),
            ("dark", tr("&Dark")),
        ):
            action = QAction(words, self)
            action.setObjectName(f"action_colours_{value or 'system'}")
            action.setCheckable(True)
            action.setChecked(value == now)
            action.setData(value)
            self._group.addAction(action)
            self.addAction(action)
        self._group.triggered.connect(self._choose)

    @Slot(QAction)
    def _choose(self, action: QAction) -> None:
        self._settings.setValue(SETTING, action.data())
        self.chosen.emit()
