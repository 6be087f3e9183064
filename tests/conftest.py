"""What every test gets: own settings folders, one locale and time zone, and no leftovers."""

from __future__ import annotations

import os
import re
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from bloomline.words.region import use_habits

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
def _fixed_habits() -> None:
    use_habits(imperial=False, month_first=False)


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


# A language that is none: every message accented and longer, so that what is not one shows.
STANDS_FOR = "fi"
"""A real language's code, so that days and numbers come from the CLDR and are seen as well."""
_PLAIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
_ACCENTED = "àƀçđéƒğĥîĵķļɱñôþǫŕšţûṽŵẋýžÀƁÇĐÉƑĞĤÎĴĶĻṀÑÔÞǪŔŠŢÛṼŴẊÝŽ"
_ACCENTS = str.maketrans(_PLAIN, _ACCENTED)
_KEPT = re.compile(r"(\{[^{}]*\}|<[^<>]+>|%\(\w+\)s|&\w+;)")
_WORD = re.compile(r"[A-Za-z][A-Za-z]+")
UNITS = "cm mm km kg mi ft lb cu in min dpi px GBP EUR USD RHS AGM QR UK"
KEYS = "Cancel Ins Ctrl Shift Alt Del Tab Esc Return Space Home End PgUp PgDown"


def pseudo(text: str) -> str:
    """A message in the language that is none; gaps, tags and edges stay."""
    parts = _KEPT.split(text)
    said = "".join(part if at % 2 else part.translate(_ACCENTS) for at, part in enumerate(parts))
    body = said.rstrip()
    return f"{body}{'·' * (len(body) // 4 + 1)}{said[len(body) :]}"


def pseudo_catalogue(checkout: Path) -> bytes:
    """The compiled catalogue of the language that is none."""
    from babel.messages.catalog import Catalog

    from bloomline.words.catalogues import messages, written

    made = Catalog(locale=STANDS_FOR, domain="bloomline", fuzzy=False)
    for message in messages(checkout):
        if not message.id:
            continue
        if isinstance(message.id, tuple):
            made.add(message.id, tuple(pseudo(each) for each in message.id))
        else:
            made.add(message.id, pseudo(message.id), context=message.context)
    return written(made, compiled=True)


@pytest.fixture(scope="session")
def pseudo_folder(checkout: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("locale")
    file = folder / STANDS_FOR / "LC_MESSAGES" / "bloomline.mo"
    file.parent.mkdir(parents=True)
    file.write_bytes(pseudo_catalogue(checkout))
    return folder


@pytest.fixture
def pseudo_language(pseudo_folder: Path) -> Iterator[str]:
    from bloomline.words import use_language

    assert use_language(STANDS_FOR, folder=pseudo_folder) == STANDS_FOR
    yield STANDS_FOR
    use_language("en")


def _words(text: str) -> set[str]:
    return set(_WORD.findall(text))


@pytest.fixture(scope="session")
def unmarked(checkout: Path) -> Callable[..., set[str]]:
    """Tells the words of a text that went through no message; names and units are none of them."""
    from babel import Locale

    from bloomline.files.yardfile import load_yard
    from bloomline.reference.catalogue import load_catalogue, load_companions

    demo = checkout / "demo" / "hollyhock-lane.bloomline"
    yard = load_yard(demo).yard
    locale = Locale.parse(STANDS_FOR)
    names = _words(demo.read_text("utf-8")) - _words(yard.model_dump_json(include={"notes"}))
    names |= _words(f"{UNITS} {KEYS}")
    for each in load_catalogue():
        names |= _words(
            " ".join((each.id, each.name, each.genus, each.group, each.common_type, *each.synonyms))
        )
        names |= _words(f"{each.date_note} {each.chill_note}")  # sources, as they were printed
    names |= _words(" ".join(each.name for each in load_companions()))
    names |= _words(
        "Bilt Netherlands Rothamsted Uppsala Red Emperor ja"
    )  # asked for; Finnish "and"
    for width in ("wide", "abbreviated"):
        for form in ("format", "stand-alone"):
            names |= _words(" ".join(locale.months[form][width].values()))
            names |= _words(" ".join(locale.days[form][width].values()))

    def found(text: str, allowed: str = "") -> set[str]:
        text = re.sub(r"\w+…|[\w-]+:[\w:-]+", "", text)  # a name that is cut, a task's key
        return _words(text) - names - _words(allowed)

    return found
