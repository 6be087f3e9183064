"""The window's colours and font are put on once, since every widget is gone through."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QFont, QFontInfo
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from bloomline.draw.base.petals import DARK, LIGHT
from bloomline.ui.theme import current_theme, dress, least_px


class _Watched(QWidget):
    def __init__(self) -> None:
        super().__init__()
        self.changes = 0

    def changeEvent(self, event: QEvent) -> None:
        self.changes += event.type() == QEvent.Type.PaletteChange
        super().changeEvent(event)


def test_colours_that_are_so_already_restyle_nothing(
    dressed: None, qapp: QApplication, qtbot: QtBot
) -> None:
    widget = _Watched()
    qtbot.addWidget(widget)
    widget.show()
    before = widget.changes
    dress(qapp, LIGHT)
    qapp.processEvents()
    assert widget.changes == before
    dress(qapp, DARK)
    qapp.processEvents()
    assert widget.changes == before + 1
    assert current_theme().name == "dark"


def test_the_smallest_words_are_nine_points(dressed: None, qapp: QApplication) -> None:
    font = QFont(qapp.font())
    font.setPixelSize(least_px())
    assert QFontInfo(font).pointSizeF() >= 8.99
