"""The page Stage of the demo yard, worked out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

import pytest

from bloomline.ui.stage.page import StagePage

TODAY = date(2026, 11, 20)


@pytest.fixture
def clock() -> Callable[[], date]:
    return lambda: TODAY


@pytest.fixture
def page(document, service, qtbot) -> Iterator[StagePage]:
    page = StagePage(document, service)
    qtbot.addWidget(page)
    page.resize(1280, 640)
    page.show()
    document.look_at(date(2027, 4, 14))
    settle(page, qtbot)
    yield page
    page.stop()
    page.stop()


def settle(page, qtbot) -> None:
    """Wait for the rota of the yard as it is now."""
    watch = page.watch
    qtbot.waitUntil(lambda: watch.is_up_to_date and watch.plan is not None, timeout=20_000)
