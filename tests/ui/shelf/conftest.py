"""A shelf in a shown window, its windows worked out."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.shelf import ShelfPanel


@pytest.fixture
def shelf(document: Document, service: SeasonService, qtbot: QtBot) -> Iterator[ShelfPanel]:
    panel = ShelfPanel(document, service)
    qtbot.addWidget(panel)
    panel.resize(300, 700)
    with qtbot.waitExposed(panel):
        panel.show()
    panel.activateWindow()
    qtbot.waitUntil(lambda: bool(panel.windows), timeout=20_000)
    yield panel
    panel.stop()
