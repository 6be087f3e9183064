"""Commands that paint need the application that window tests use too."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def _one_application(qapp: object) -> None:
    """Have pytest-qt make the application, before a chart makes a lesser one of its own."""
