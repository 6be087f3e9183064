"""The details panel in a shown window."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from bloomline.ui.details import DetailsPanel
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService


@pytest.fixture
def details(document: Document, service: SeasonService, qtbot: QtBot) -> Iterator[DetailsPanel]:
    panel = DetailsPanel(document, service)
    qtbot.addWidget(panel)
    panel.resize(330, 760)
    with qtbot.waitExposed(panel):
        panel.show()
    panel.activateWindow()
    yield panel
    panel.stop()
