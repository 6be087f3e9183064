"""What every test gets: own settings folders, one locale and time zone, and no leftovers."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

FIXED_ENVIRONMENT = {
    "LANG": "C.UTF-8",
    "LC_ALL": "C.UTF-8",
    "LANGUAGE": "en",
    "TZ": "UTC",
    "NO_COLOR": "1",
    "QT_QPA_PLATFORM": "offscreen",
    "QT_SCALE_FACTOR": "1",
    "QT_STYLE_OVERRIDE": "Fusion",
}
# Where platformdirs and Qt look for a person's own files, on each system.
PERSONAL_FOLDERS = (
    "APPDATA",
    "HOME",
    "LOCALAPPDATA",
    "XDG_CACHE_HOME",
    "XDG_CONFIG_HOME",
    "XDG_DATA_HOME",
    "XDG_RUNTIME_DIR",
    "XDG_STATE_HOME",
)

# A shared machine is slow now and then, so neither profile has a deadline; `ci` tries the same
# examples every time, `dev` looks for new ones.
settings.register_profile(
    "dev", deadline=None, max_examples=50, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("ci", settings.get_profile("dev"), max_examples=100, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "dev")


def pytest_configure() -> None:
    # Before the first QApplication, which reads it once.
    os.environ.update(FIXED_ENVIRONMENT)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    """In CI a skipped test is a failed test, so that no check goes silently missing."""
    report: Any = yield
    skipped = report.skipped and not hasattr(report, "wasxfail")
    if skipped and os.environ.get("CI") and item.get_closest_marker("may_skip") is None:
        report.outcome = "failed"
        report.longrepr = f"skipped, which CI does not allow: {report.longrepr}"
    return report


@pytest.fixture(autouse=True)
def _own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path_factory.mktemp("home")
    for name in PERSONAL_FOLDERS:
        folder = home / name.lower()
        folder.mkdir(mode=0o700)
        monkeypatch.setenv(name, str(folder))


@pytest.fixture(autouse=True)
def _fixed_qt_locale() -> None:
    core = sys.modules.get("PySide6.QtCore")
    if core is not None:
        core.QLocale.setDefault(core.QLocale(core.QLocale.Language.English))


@pytest.fixture(autouse=True)
def _no_leftovers() -> Iterator[None]:
    """Fail a test that leaves a thread running or a window behind."""
    threads_before = set(threading.enumerate())
    windows_before = _windows()
    yield
    threads = [each.name for each in set(threading.enumerate()) - threads_before if each.is_alive()]
    assert not threads, f"threads still running: {threads}"
    windows = [repr(each) for each in _windows() if each not in windows_before and each.isVisible()]
    assert not windows, f"windows still open: {windows}"


def _windows() -> list[Any]:
    widgets = sys.modules.get("PySide6.QtWidgets")
    if widgets is None or not isinstance(widgets.QApplication.instance(), widgets.QApplication):
        return []
    return list(widgets.QApplication.topLevelWidgets())


@pytest.fixture(scope="session")
def checkout() -> Path:
    """The folder that holds the project."""
    return Path(__file__).resolve().parent.parent
