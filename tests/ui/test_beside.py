"""Work beside the window, whose owner may go at any time."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from bloomline.errors import BloomlineError
from bloomline.ui.season_service import Beside, end_all


@pytest.fixture
def owner(qapp: QApplication) -> QObject:
    """A dialog, say, that is about to be closed."""
    return QObject()


def test_a_job_ends_by_itself_when_its_owner_goes(
    owner: QObject, qapp: QApplication, qtbot: QtBot
) -> None:
    begun, go_on, done = Event(), Event(), Event()

    def job() -> None:
        begun.set()
        go_on.wait(10.0)
        done.set()

    answers: list[object] = []
    beside = Beside(owner)
    beside.answered.connect(answers.append)
    beside.ask(job)
    assert begun.wait(10.0)
    owner.deleteLater()
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert not done.is_set()  # nobody waited
    go_on.set()
    assert done.wait(10.0)
    qtbot.wait(50)
    assert answers == []


def test_one_that_was_stopped_is_asked_in_vain(owner: QObject, qtbot: QtBot) -> None:
    beside = Beside(owner)
    beside.stop()
    beside.stop()
    asked: list[int] = []
    beside.ask(lambda: asked.append(1))
    qtbot.wait(50)
    assert asked == []


def test_a_fault_in_a_job_is_told_and_leaves_nobody_waiting(owner: QObject, qtbot: QtBot) -> None:
    def fails() -> None:
        raise ZeroDivisionError("on purpose")

    beside = Beside(owner)
    with qtbot.captureExceptions() as told:
        with qtbot.waitSignal(beside.answered, timeout=10_000) as answer:
            beside.ask(fails)
        qtbot.waitUntil(lambda: bool(told), timeout=10_000)
    assert isinstance(answer.args[0], BloomlineError)
    assert [str(value) for _, value, _ in told] == ["on purpose"]
    assert not beside.is_busy
    with qtbot.waitSignal(beside.answered, timeout=10_000) as answer:
        beside.ask(lambda: 7)
    assert answer.args == [7]
    beside.stop()


def ended(code: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """How a process that runs some code ended."""
    return subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env=os.environ | environment,
    )


_ENDS = """
import os, sys, time
os.environ["QT_QPA_PLATFORM"] = "offscreen"
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication
from bloomline.errors import BloomlineError
from bloomline.ui.season_service import Beside

app = QApplication([])
owner = QObject()
beside = Beside(owner)
beside.ask(lambda: (time.sleep(0.5), print("done", flush=True)))
raise ValueError("on purpose")
"""


def test_a_program_that_fails_ends_after_the_job_under_way() -> None:
    done = ended(_ENDS)
    assert done.returncode == 1, done.stderr
    assert done.stderr.strip().endswith("ValueError: on purpose")
    assert done.stdout in ("done\n", "")  # it may not have begun


def test_a_window_that_closes_does_not_wait_for_a_long_job(owner: QObject, qtbot: QtBot) -> None:
    begun, go_on, done = Event(), Event(), Event()

    def job() -> None:
        begun.set()
        go_on.wait(20.0)
        done.set()

    beside = Beside(owner)
    beside.ask(job)
    assert begun.wait(10.0)
    beside.stop()
    assert not done.is_set()
    assert not end_all(0.05)
    go_on.set()
    beside.finish()
    assert done.is_set()
    assert end_all(10.0)


_CLOSES = """
import os, sys, time
from pathlib import Path
os.environ["QT_QPA_PLATFORM"] = "offscreen"
from PySide6.QtCore import QTimer
from bloomline.ui import app
from bloomline.errors import BloomlineError
from bloomline.ui.season_service import Beside
from bloomline.ui.window import MainWindow

begun = []

def start(self, path):
    self.late = Beside(self)
    self.late.ask(lambda: (begun.append(1), time.sleep(600)))
    timer = QTimer(self)
    timer.timeout.connect(lambda: begun and self.close())
    timer.start(50)

MainWindow.start = start
sys.exit(app.run(None))
"""


def test_the_program_ends_without_answers_nobody_will_see(tmp_path: Path) -> None:
    done = ended(_CLOSES, XDG_CONFIG_HOME=str(tmp_path), XDG_STATE_HOME=str(tmp_path))
    assert (done.returncode, done.stderr) == (0, "")
