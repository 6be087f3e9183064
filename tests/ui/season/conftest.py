"""A season panel on screen, as wide as in the window."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from bloomline.draw.base.petals import LIGHT
from bloomline.ui.document import Document
from bloomline.ui.season.panel import SeasonPanel
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import dress

TODAY = date(2026, 11, 25)


def show(document: Document, service: SeasonService, qtbot: QtBot) -> SeasonPanel:
    panel = SeasonPanel(document, service, today=lambda: TODAY)
    qtbot.addWidget(panel)
    panel.resize(1000, 560)
    with qtbot.waitExposed(panel):
        panel.show()
    panel.view.setFocus()
    return panel


@pytest.fixture
def panel(
    qapp: QApplication, document: Document, service: SeasonService, qtbot: QtBot
) -> Iterator[SeasonPanel]:
    """The demo yard's season."""
    dress(qapp, LIGHT)
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    document.look_at(date(2027, 4, 15))
    made = show(document, service, qtbot)
    yield made
    made.stop()
    QLocale.setDefault(before)
