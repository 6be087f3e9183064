"""The yard's panel over the demo yard, shown and painted once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from bloomline.ui.yard.panel import YardPanel


@pytest.fixture
def panel(document, service, qtbot) -> Iterator[YardPanel]:
    """The demo yard in a panel of a usual size."""
    widget = YardPanel(document, service)
    qtbot.addWidget(widget)
    widget.resize(1300, 460)
    widget.show()
    qtbot.waitExposed(widget)
    yield widget
    widget.stop()


@pytest.fixture
def empty_panel(empty_document, empty_service, qtbot) -> Iterator[YardPanel]:
    """A yard without pots in a panel."""
    widget = YardPanel(empty_document, empty_service)
    qtbot.addWidget(widget)
    widget.resize(1000, 420)
    widget.show()
    qtbot.waitExposed(widget)
    yield widget
    widget.stop()
