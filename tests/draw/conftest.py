"""Drawing tests share one application and the invented yard of `sample_report`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(autouse=True)
def _one_application(qapp: Any) -> None:
    """Paint with the application that widget tests use: Qt allows one in a process."""
