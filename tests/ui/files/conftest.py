"""A desk on a window, and a hand that answers the dialogs it opens."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QFileDialog,
    QLineEdit,
    QMainWindow,
    QPushButton,
)
from pytestqt.qtbot import QtBot

from bloomline.ui.document import Document
from bloomline.ui.files.desk import FileDesk
from bloomline.ui.files.memory import Memory


class Hand(QObject):
    """Answers modal dialogs in the order given; each step waits for a dialog to be there."""

    def __init__(self) -> None:
        super().__init__()
        self.steps: list[tuple[str, Callable[[Any], None]]] = []
        self.seen: list[str] = []
        self.texts: list[str] = []
        self._timer = QTimer(self)
        self._timer.setInterval(10)
        self._timer.timeout.connect(self._look)
        self._timer.start()
        self._answered: object = None
        self._met: list[object] = []

    def press(self, dialog: str, button: str) -> None:
        def act(shown: Any) -> None:
            found = shown.findChild(QPushButton, button)
            assert found is not None, f"no button {button} in {dialog}"
            assert found.isEnabled()
            found.click()

        self.steps.append((dialog, act))

    def choose(self, path: Path) -> None:
        def act(shown: Any) -> None:
            assert isinstance(shown, QFileDialog)
            edit = shown.findChild(QLineEdit, "fileNameEdit")
            assert edit is not None
            edit.setText(str(path))
            shown.accept()

        self.steps.append(("file_dialog", act))

    def do(self, dialog: str, act: Callable[[Any], None]) -> None:
        self.steps.append((dialog, act))

    def _look(self) -> None:
        shown = QApplication.activeModalWidget()
        if shown is None or shown is self._answered:
            return
        is_expected = bool(self.steps) and self.steps[0][0] == shown.objectName()
        if not is_expected and any(shown is each for each in self._met):
            return  # what it asked in turn is closed, and it is about to close, too
        self._answered = shown
        self._met.append(shown)
        if not is_expected:
            # Not expected: close it, and let the test fail on `seen`.
            self.seen.append(f"unexpected {shown.objectName()}")
            if isinstance(shown, QDialog):
                shown.reject()
            return
        name, act = self.steps.pop(0)
        self.seen.append(name)
        text = getattr(shown, "text", None)
        if callable(text):
            self.texts.append(f"{text()}\n{shown.informativeText()}")
        # From the event loop: what it does may open a dialog in turn, which waits for this timer.
        QTimer.singleShot(0, lambda: act(shown))

    def stop(self) -> None:
        self._timer.stop()


@pytest.fixture
def hand(qapp: QApplication) -> Iterator[Hand]:
    one = Hand()
    yield one
    one.stop()
    assert one.steps == []
    assert [each for each in one.seen if each.startswith("unexpected")] == []


@pytest.fixture
def window(qtbot: QtBot) -> QMainWindow:
    shown = QMainWindow()
    qtbot.addWidget(shown)
    shown.resize(600, 400)
    shown.show()
    return shown


@pytest.fixture
def make_desk(window: QMainWindow, tmp_path: Path) -> Iterator[Callable[[Document], FileDesk]]:
    made: list[FileDesk] = []

    def make(document: Document) -> FileDesk:
        desk = FileDesk(
            document,
            window,
            settings=Memory(tmp_path / "settings" / "window.json"),
            state=tmp_path / "state",
        )
        made.append(desk)
        return desk

    yield make
    for desk in made:
        desk.stop()
        desk.stop()


@pytest.fixture
def desk(make_desk: Callable[[Document], FileDesk], document: Document) -> FileDesk:
    return make_desk(document)
