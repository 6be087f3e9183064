"""The line over the timeline: which season, on what it rests, and the buttons."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from bloomline.ui.conditions.slider import ElidedLabel
from bloomline.ui.dressed import SwitchButton, say_as
from bloomline.ui.season.player import SPEEDS
from bloomline.ui.season.words import SeasonWords
from bloomline.ui.theme import em
from bloomline.words import tr

_BUTTONS = (
    "play_season",
    "day_today",
    "season_fit",
    "season_zoom_out",
    "season_zoom_in",
    "season_by_first_flower",
    "season_as_table",
)


class SeasonHead(QWidget):
    """Season, basis of the forecast and buttons for the panel's actions."""

    speed_changed = Signal(float)

    def __init__(
        self,
        actions: Mapping[str, QAction],
        words: SeasonWords,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        row = self._row = QHBoxLayout(self)
        margin = round(em() * 0.5)
        row.setContentsMargins(margin, round(em() * 0.3), margin, round(em() * 0.2))
        row.setSpacing(round(em() * 0.25))
        self.heading = QLabel()
        say_as(self.heading, "heading")
        self.basis = ElidedLabel()
        self.basis.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        say_as(self.basis, "muted")
        row.addWidget(self.heading)
        row.addSpacing(margin)
        row.addWidget(self.basis, 1)
        self.speed = QComboBox()
        self.speed.setObjectName("season_speed")
        self.speed.setAccessibleName(tr("Speed of the film"))
        self.speed.setToolTip(tr("Speed of the film"))
        for speed in SPEEDS:
            decimals = 0 if speed == int(speed) else 1
            times = words.number(speed, decimals)
            self.speed.addItem(tr("{times} ×", times=times), speed)
        self.speed.setCurrentIndex(SPEEDS.index(1.0))
        self.speed.currentIndexChanged.connect(self._change_speed)
        self.buttons: dict[str, QToolButton] = {}
        for name in _BUTTONS:
            action = actions[name]
            button = SwitchButton()
            button.setDefaultAction(action)
            button.setObjectName(f"button_{name}")
            button.setAccessibleName(action.text().replace("&", ""))
            button.setAccessibleDescription(action.statusTip())
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            row.addWidget(button)
            self.buttons[name] = button
            if name == "play_season":
                row.addWidget(self.speed)

    def put_switch(self, action: QAction) -> None:
        """Let another part's switch stand as a button after the others."""
        button = SwitchButton()
        button.setDefaultAction(action)
        button.setObjectName(action.objectName().replace("action", "button"))
        button.setAccessibleName(action.text().replace("&", ""))
        button.setAccessibleDescription(action.statusTip())
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._row.addWidget(button)
        QWidget.setTabOrder(self.buttons[_BUTTONS[-1]], button)

    def show_basis(self, words: str, *, shorter: str = "", is_failure: bool = False) -> None:
        """Say on what the forecast rests, or why there is none. shorter : where room is scarce."""
        name = "warning" if is_failure else "muted"
        if self.basis.objectName() != name:
            say_as(self.basis, name)
        self.basis.shorter = shorter
        self.basis.setText(words)
        self.basis.setToolTip(words)

    @Slot(int)
    def _change_speed(self, _index: int) -> None:
        self.speed_changed.emit(float(self.speed.currentData()))
