"""Help names every key; the about box names every licence and the safety note."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence, QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from bloomline import __version__
from bloomline.draw.base.petals import DARK
from bloomline.reference.rules import load_rules
from bloomline.ui import theme
from bloomline.ui.document import Document
from bloomline.ui.files.desk import FileDesk
from bloomline.ui.help.about import LICENCES, AboutBox
from bloomline.ui.help.content import KeyGroup, key_line
from bloomline.ui.help.page import HelpPage


@pytest.fixture
def actions(qapp: QApplication) -> list[QAction]:
    made = []
    for text, keys in (
        ("&Fit the season…", "Ctrl+0"),
        ("Salt && <pepper>", ""),
        ("&Delete the pot", "Delete"),
    ):
        action = QAction(text)
        if keys:
            action.setShortcut(QKeySequence(keys))
        made.append(action)
    made[0].setToolTip("Show all of it")
    return made


@pytest.fixture
def page(actions: list[QAction], qtbot: QtBot) -> HelpPage:
    shown = HelpPage([KeyGroup("File", tuple(map(key_line, actions)))])
    qtbot.addWidget(shown)
    shown.show()
    return shown


def test_every_action_is_listed_with_its_keys(page: HelpPage) -> None:
    text = page.text.toPlainText()
    for words in ("Fit the season", "Ctrl+0", "Show all of it", "Salt & <pepper>", "Del"):
        assert words in text
    assert "&Fit" not in text


def test_actions_of_the_file_desk_are_listed(
    document: Document, qtbot: QtBot, tmp_path: Path
) -> None:
    from PySide6.QtWidgets import QMainWindow

    window = QMainWindow()
    qtbot.addWidget(window)
    desk = FileDesk(document, window, state=tmp_path)
    shown = HelpPage([KeyGroup("File", tuple(map(key_line, desk.actions())))])
    qtbot.addWidget(shown)
    text = shown.text.toPlainText()
    for action in desk.actions():
        assert action.text().replace("&", "").rstrip("…") in text
        for keys in action.shortcuts():
            assert keys.toString(QKeySequence.SequenceFormat.NativeText) in text
    desk.stop()


def test_all_cautions_and_their_sources_are_told(page: HelpPage) -> None:
    text = page.text.toPlainText()
    cautions = load_rules().cautions()
    assert cautions
    for caution in cautions:
        assert caution.message in text and caution.source in text
    for words in ("Gloves", "poisons line", "Heavy pots", "splits in frost", "local codes"):
        assert words in text


def test_words_are_found_and_marked(page: HelpPage) -> None:
    assert QApplication.focusWidget() is page.search
    QTest.keyClicks(page.search, "station")
    count = len(page.text.extraSelections())
    assert count == page.text.toPlainText().lower().count("station") > 0
    assert str(count) in page.found.text()
    first = page.text.textCursor().position()
    QTest.keyClick(page.search, Qt.Key.Key_Return)
    assert page.text.textCursor().position() > first
    assert page.isVisible()  # Enter in the search closes nothing
    for _ in range(count):
        page.find_next()
    assert page.text.textCursor().hasSelection()  # went round
    page.search.setText("qqqq")
    assert page.found.text() == "not found"
    page.search.clear()
    assert page.text.extraSelections() == []


def test_sections_are_reached_by_keyboard(page: HelpPage) -> None:
    page.resize(500, 300)
    page.list.setFocus()
    QTest.keyClick(page.list, Qt.Key.Key_End)
    assert page.text.verticalScrollBar().value() > 0
    QTest.keyClick(page, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert QApplication.focusWidget() is page.search
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert not page.isVisible()


def test_about_names_version_licences_data_and_safety(
    qtbot: QtBot, checkout: Path, qapp: QApplication
) -> None:
    box = AboutBox()
    qtbot.addWidget(box)
    box.show()
    text = box.text.toPlainText()
    labels = " ".join(each.text() for each in box.findChildren(QLabel))
    assert __version__ in labels
    for words in ("MIT", "LGPL-3.0", "OFL-1.1", "CC0 1.0", "CC BY 4.0", "KNMI", "poisonous"):
        assert words in text
    # Each library the program needs is named.
    project = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))
    needed = {re.split(r"[<>=;\s]", line)[0] for line in project["project"]["dependencies"]}
    assert needed == {package for _, package, _, _ in LICENCES if package}
    button = box.findChild(QPushButton, "about_close")
    assert button is not None
    QTest.keyClick(button, Qt.Key.Key_Return)
    assert not box.isVisible()


def _mark(page: HelpPage) -> str:
    marks = page.text.extraSelections()
    return marks[0].format.background().color().name()


def test_marks_follow_the_palette(page: HelpPage, qapp: QApplication, qtbot: QtBot) -> None:
    page.search.setText("frost")
    before = QPalette(qapp.palette())
    light = _mark(page)
    try:
        qapp.setPalette(theme.palette_of(DARK))
        qtbot.waitUntil(lambda: _mark(page) != light, timeout=2000)
    finally:
        qapp.setPalette(before)
