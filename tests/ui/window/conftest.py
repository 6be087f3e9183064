"""The whole window, opened as the program opens it, and hands that work it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import shiboken6
from PySide6.QtCore import QPoint, QPointF, Qt, QTimer
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog, QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from bloomline.plan.carry.drops import Cargo
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.ui.cargo import mime_of
from bloomline.ui.conditions.slider import GestureSlider
from bloomline.ui.files.memory import Memory
from bloomline.ui.hands.typing import commit_pending
from bloomline.ui.season_service import Beside
from bloomline.ui.window import MainWindow

LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier
DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"


class Hands:
    """What a gardener does with mouse and keys."""

    def __init__(self, qtbot: QtBot) -> None:
        self.qtbot = qtbot
        self.asked: list[str] = []
        self._steps: list[tuple[str, Callable[[Any], None]]] = []
        self._answered: list[object] = []
        self._timer = QTimer()
        self._timer.setInterval(10)
        self._timer.timeout.connect(self._look)
        self._timer.start()

    # Waiting

    def rest(self, window: MainWindow) -> None:
        """Wait until the season stands, and all that is worked out beside the window."""

        def is_idle() -> bool:
            besides = window.findChildren(Beside)
            return not window.service.is_busy and not any(each.is_busy for each in besides)

        self.qtbot.waitUntil(is_idle, timeout=20_000)
        QApplication.processEvents()

    # Mouse

    def click(self, widget: QWidget) -> None:
        QTest.mouseClick(widget, LEFT, NONE, widget.rect().center())

    def slide(self, slider: GestureSlider, by_px: int) -> None:
        """Take the handle and drag it in some moves."""
        start = slider.handle_centre().toPoint()
        QTest.mousePress(slider, LEFT, NONE, start)
        for step in range(1, 6):
            QTest.mouseMove(slider, start + QPoint(round(by_px * step / 5), 0))
            QApplication.processEvents()
        QTest.mouseRelease(slider, LEFT, NONE, start + QPoint(by_px, 0))

    def drop(self, canvas: QWidget, cargo: Cargo, point: QPointF) -> bool:
        """Carry a cargo over the yard and let go, with the events the system sends."""
        data = mime_of(cargo)
        actions = Qt.DropAction.CopyAction | Qt.DropAction.MoveAction
        enter = QDragEnterEvent(point.toPoint(), actions, data, LEFT, NONE)
        QApplication.sendEvent(canvas, enter)
        move = QDragMoveEvent(point.toPoint(), actions, data, LEFT, NONE)
        QApplication.sendEvent(canvas, move)
        drop = QDropEvent(point, actions, data, LEFT, NONE)
        drop.ignore()
        QApplication.sendEvent(canvas, drop)
        return drop.isAccepted()

    # Keys

    def key(self, key: Qt.Key, modifiers: Qt.KeyboardModifier = NONE) -> None:
        """Press a key wherever the keyboard is."""
        focus = QApplication.focusWidget()
        assert focus is not None, "nothing has the keyboard"
        QTest.keyClick(focus, key, modifiers)

    def type(self, words: str) -> None:
        focus = QApplication.focusWidget()
        assert focus is not None, "nothing has the keyboard"
        QTest.keyClicks(focus, words)

    def tab_to(self, widget: QWidget) -> None:
        """Go to a widget by Tab alone."""
        for _ in range(150):
            if QApplication.focusWidget() is widget:
                return
            self.key(Qt.Key.Key_Tab)
        raise AssertionError(f"Tab never reaches {widget.objectName()}")

    # Dialogs, answered in the order given

    def press(self, dialog: str, button: str) -> None:
        def act(shown: Any) -> None:
            found = shown.findChild(QPushButton, button)
            assert found is not None, f"no button {button} in {dialog}"
            self.click(found)

        self.do(dialog, act)

    def choose_file(self, path: Path, *, by_keys: bool = False) -> None:
        def act(shown: Any) -> None:
            assert isinstance(shown, QFileDialog)
            edit = shown.findChild(QLineEdit, "fileNameEdit")
            assert edit is not None
            if by_keys:
                edit.setFocus()
                edit.selectAll()
                QTest.keyClicks(edit, str(path))
                QTest.keyClick(edit, Qt.Key.Key_Return)
            else:
                edit.setText(str(path))
                shown.accept()

        self.do("file_dialog", act)

    def do(self, dialog: str, act: Callable[[Any], None]) -> None:
        self._steps.append((dialog, act))

    def _look(self) -> None:
        shown = QApplication.activeModalWidget()
        if shown is None or any(shown is each for each in self._answered):
            return
        self._answered.append(shown)
        self.asked.append(shown.objectName())
        if self._steps and self._steps[0][0] == shown.objectName():
            _, act = self._steps.pop(0)
            QTimer.singleShot(0, lambda: self._act(act, shown))
        elif isinstance(shown, QDialog):
            self.asked[-1] = f"unexpected {shown.objectName()}"
            shown.reject()

    @staticmethod
    def _act(act: Callable[[Any], None], shown: Any) -> None:
        try:
            act(shown)
        except BaseException:
            shown.reject()  # or the test would wait for it for ever
            raise

    def end(self) -> None:
        self._timer.stop()
        assert self._steps == [], f"never asked: {[name for name, _ in self._steps]}"
        assert [each for each in self.asked if each.startswith("unexpected")] == []


@pytest.fixture
def hands(qtbot: QtBot) -> Iterator[Hands]:
    made = Hands(qtbot)
    yield made
    made.end()


def end_of(window: MainWindow) -> None:
    """Close a window without a question, and be rid of it."""
    if not shiboken6.isValid(window):
        return
    commit_pending(window)
    window.document.undo_stack.setClean()
    window.close()
    shiboken6.delete(window)


class OpenWindow:
    """Opens windows that share settings and the folder for rescued work."""

    def __init__(self, forecaster: Forecaster, folder: Path, qtbot: QtBot) -> None:
        self._forecaster = forecaster
        self._folder = folder
        self._qtbot = qtbot
        self.opened: list[MainWindow] = []

    def made(self) -> MainWindow:
        """A window that has not been shown."""
        window = MainWindow(
            forecaster=self._forecaster,
            settings=Memory(self._folder / "settings" / "window.json"),
            state=self._folder / "state",
        )
        self.opened.append(window)
        return window

    def __call__(
        self, path: Path | None = None, *, width: int = 1280, height: int = 800
    ) -> MainWindow:
        window = self.made()
        window.resize(width, height)
        window.show()
        with self._qtbot.waitSignal(window.service.report_ready, timeout=20_000):
            window.start(path)
        window.activateWindow()
        self._qtbot.waitUntil(window.isActiveWindow, timeout=5000)
        self._qtbot.waitUntil(lambda: not window.service.is_busy, timeout=20_000)
        return window


@pytest.fixture
def open_window(forecaster: Forecaster, tmp_path: Path, qtbot: QtBot) -> Iterator[OpenWindow]:
    start = OpenWindow(forecaster, tmp_path, qtbot)
    yield start
    for window in start.opened:
        end_of(window)


@pytest.fixture
def window(open_window: OpenWindow) -> MainWindow:
    """The window with the demo yard."""
    return open_window(DEMO)


@pytest.fixture
def yard_file(tmp_path: Path) -> Path:
    """The demo yard in a file of its own."""
    file = tmp_path / "own.bloomline"
    file.write_bytes(DEMO.read_bytes())
    return file
