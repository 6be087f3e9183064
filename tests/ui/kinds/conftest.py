"""A window's part for own kinds, with a data folder of its own."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from bloomline.ui.document import Document
from bloomline.ui.kinds.desk import KindsDesk


@pytest.fixture
def desk(document: Document, qtbot: QtBot) -> Iterator[KindsDesk]:
    """The desk of the demo yard."""
    holder = QWidget()
    qtbot.addWidget(holder)
    found = KindsDesk(document, holder)
    yield found
    found.stop()
