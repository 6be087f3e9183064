"""What stands in place of a season while the yard has no pots: what to do, and what was open."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bloomline.ui.dressed import say_as
from bloomline.ui.hands.plain import shown
from bloomline.ui.theme import em
from bloomline.words import tr

_MOST = 6


class EmptyPage(QWidget):
    """One line, what to begin with, and the yards that were open lately."""

    fill_requested = Signal()
    open_requested = Signal()
    recent_requested = Signal(str)
    """The path of a file that was open lately."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        line = QLabel(
            tr("No pots yet. Add one, drop bulbs into it, and see here when they flower."), self
        )
        say_as(line, "muted")
        line.setWordWrap(True)
        line.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.button = QPushButton(self)
        self.button.setObjectName("season_empty_button")
        self.button.clicked.connect(self.fill_requested)
        self.open_button = QPushButton(tr("Open a yard…"), self)
        self.open_button.setObjectName("season_empty_open")
        self.open_button.clicked.connect(self.open_requested)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.button)
        buttons.addWidget(self.open_button)
        buttons.addStretch(1)
        self.recent = QWidget(self)
        self.recent.setObjectName("season_empty_recent")
        self.recent.hide()
        self._files = QGridLayout(self.recent)
        self._files.setContentsMargins(0, round(em()), 0, 0)
        self._files.setVerticalSpacing(round(0.2 * em()))
        column = QVBoxLayout(self)
        column.addStretch(1)
        column.addWidget(line)
        column.addLayout(buttons)
        column.addWidget(self.recent, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addStretch(1)

    def show_state(self, *, is_new: bool) -> None:
        """Offer what suits: to begin and to open in a new window, else to add a pot."""
        self.button.setText(tr("Plan a first yard…") if is_new else tr("Add a pot"))
        self.open_button.setVisible(is_new)
        self.recent.setVisible(is_new and self._files.count() > 0)

    def show_recent(self, paths: Sequence[Path]) -> None:
        """List the yards that were open lately, each a button with its folder behind it."""
        while (item := self._files.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        if not paths:
            self.recent.hide()
            return
        head = QLabel(tr("Open again"), self.recent)
        say_as(head, "heading")
        self._files.addWidget(head, 0, 0, 1, 2)
        for row, path in enumerate(paths[:_MOST], start=1):
            name = shown(path.name)
            button = QPushButton(name.replace("&", "&&"), self.recent)
            button.setObjectName("season_empty_file")
            button.setToolTip(shown(str(path)))
            button.setAccessibleName(tr("Open {name}", name=name))
            button.clicked.connect(partial(self.recent_requested.emit, str(path)))
            folder = QLabel(shown(str(path.parent)), self.recent)
            say_as(folder, "muted")
            folder.setTextFormat(Qt.TextFormat.PlainText)
            self._files.addWidget(button, row, 0)
            self._files.addWidget(folder, row, 1)
        self.recent.setVisible(not self.open_button.isHidden())
