"""Every page, dialog and state: nothing cut, laid over another or too small, no letter twice."""

from __future__ import annotations

import importlib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication, QCheckBox, QLabel, QListWidget, QPushButton, QWidget

from bloomline.words import use_language

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
_BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
_SMALL_ON_PAPER = ("page-labels",)
"""Pages of labels and cards are shown smaller than they are printed."""
_STIFF = ("page-fill",)
"""Its column of wishes is as wide as English needs."""


@pytest.fixture(scope="module")
def looks() -> Iterator[ModuleType]:
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(_BENCHMARKS))
        yield importlib.import_module("looking")


@pytest.fixture
def long_words(looks: ModuleType, tmp_path: Path) -> Iterator[None]:
    looks.speak_long(tmp_path / "locale")
    yield
    use_language("en")


def _seen(looks: ModuleType, window: Any, *, quick: bool) -> tuple[list[str], list[str]]:
    """The names of all states, and what is amiss in them."""
    names: list[str] = []
    faults: list[str] = []

    def look(name: str, widget: QWidget) -> None:
        names.append(name)
        for _ in range(20):
            QApplication.processEvents()
        small: set[str] = set()
        with looks.watching_paint(small):
            widget.grab()
        found = looks.faults_of(widget) + looks.mnemonic_faults(widget)
        if not name.startswith(_SMALL_ON_PAPER):
            found += sorted(small)
        faults.extend(f"{name}: {each}" for each in found)

    def wanted(name: str) -> bool:
        slow = ("dialog-guide", "dialog-suggest", "page-fill-answers")
        return not (quick and name.startswith(slow))

    looks.walk(window, look, wanted=wanted, rest_s=0.2)
    return names, faults


def test_every_state_at_the_size_of_a_small_screen(
    looks: ModuleType, dressed: None, open_window: Any
) -> None:
    window = open_window(DEMO, width=1280, height=720)
    names, faults = _seen(looks, window, quick=True)
    assert len(names) > 30
    assert not faults, "\n".join(faults)


def test_an_empty_yard(looks: ModuleType, dressed: None, open_window: Any) -> None:
    window = open_window(width=1280, height=720)
    assert looks.faults_of(window) == [] and looks.mnemonic_faults(window) == []
    assert "bare" not in window.details.yard_page.subtitle.text()


@pytest.mark.slow
def test_every_state_with_words_two_fifths_longer(
    looks: ModuleType, dressed: None, long_words: None, open_window: Any
) -> None:
    window = open_window(DEMO, width=1280, height=720)
    names, faults = _seen(looks, window, quick=False)
    faults = [each for each in faults if not each.startswith(_STIFF)]
    assert len(names) > 36
    assert not faults, "\n".join(faults)


def test_each_fault_would_be_seen(looks: ModuleType, qtbot: Any) -> None:
    root = QWidget()
    qtbot.addWidget(root)
    root.resize(200, 100)
    one, other = QLabel("A sentence that is far too long for its place", root), QLabel("&B", root)
    one.setGeometry(QRect(0, 0, 60, 20))
    other.setGeometry(QRect(30, 0, 60, 20))
    low = QLabel("words that take more than one line of their label", root)
    low.setWordWrap(True)
    low.setGeometry(QRect(0, 30, 90, 20))
    outside = QPushButton("&Press", root)
    outside.setGeometry(QRect(150, 60, 120, 30))
    box = QCheckBox("&Please", root)
    box.setGeometry(QRect(0, 60, 30, 20))
    small = QLabel("small", root)
    font = small.font()
    font.setPointSizeF(7.0)
    small.setFont(font)
    small.setGeometry(QRect(100, 30, 60, 20))
    table = QListWidget(root)
    table.setObjectName("table")
    table.setGeometry(QRect(0, 85, 60, 15))
    under = QLabel("under it", root)
    under.setGeometry(QRect(0, 80, 60, 18))
    root.show()
    faults = " ".join(looks.faults_of(root))
    for word in (
        "cut: QLabel",
        "lies over",
        "low: QLabel",
        "reaches out",
        "cut: QCheckBox",
        "7 pt",
        "QListWidget table",
    ):
        assert word in faults, word
    assert looks.mnemonic_faults(root) != []
    found: set[str] = set()
    picture = QImage(60, 60, QImage.Format.Format_RGB32)
    with looks.watching_paint(found):
        painter = QPainter(picture)
        painter.scale(0.5, 0.5)
        painter.drawText(5, 20, "half")
        painter.end()
    assert len(found) == 1
