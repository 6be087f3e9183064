"""An error that nobody caught costs no work and can be passed on."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from bloomline.files.yardfile import load_yard
from bloomline.ui import crash
from bloomline.ui.crash import CrashDialog, CrashHook
from bloomline.ui.document import Document


@pytest.fixture
def hook(document: Document, tmp_path: Path) -> Iterator[CrashHook]:
    made = crash.install(lambda: document.yard, folder=tmp_path)
    yield made
    made.remove()
    made.deleteLater()


def _raise(words: str = "on purpose") -> tuple[Any, Any, Any]:
    try:
        raise RuntimeError(words)
    except RuntimeError:
        return sys.exc_info()


def _shown() -> CrashDialog | None:
    shown = QApplication.activeModalWidget()
    return shown if isinstance(shown, CrashDialog) else None


def test_the_yard_is_rescued_and_the_report_can_be_copied(
    hook: CrashHook, document: Document, tmp_path: Path, qtbot: QtBot
) -> None:
    seen: list[str] = []

    def answer() -> None:
        dialog = _shown()
        if dialog is None:
            QTimer.singleShot(20, answer)
            return
        dialog.findChild(QPushButton, "copy_report").click()
        seen.append(dialog.report.toPlainText())
        dialog.findChild(QPushButton, "go_on").click()

    hook.handle(*_raise())
    QTimer.singleShot(20, answer)
    qtbot.waitUntil(lambda: bool(seen) and _shown() is None, timeout=5000)
    assert "RuntimeError: on purpose" in seen[0]
    assert QGuiApplication.clipboard().text() == seen[0]
    (rescued,) = (tmp_path / "rescued").iterdir()
    assert load_yard(rescued).yard == document.yard
    assert "on purpose" in (tmp_path / "errors.log").read_text(encoding="utf-8")


def test_the_same_error_is_told_once_and_logged_each_time(
    hook: CrashHook, tmp_path: Path, qtbot: QtBot
) -> None:
    told: list[str] = []
    hook._reported.disconnect()
    hook._reported.connect(lambda report, _rescued: told.append(report))
    for _ in range(3):
        hook.handle(*_raise())
    assert len(told) == 1
    assert (tmp_path / "errors.log").read_text(encoding="utf-8").count(
        "RuntimeError: on purpose"
    ) == 3
    assert len(list((tmp_path / "rescued").iterdir())) == 1  # one yard, one copy


def test_an_error_while_handling_ends_there(
    tmp_path: Path, qapp: QApplication, capsys: pytest.CaptureFixture[str]
) -> None:
    calls: list[int] = []

    def bad_yard() -> None:
        calls.append(1)
        hook.handle(*_raise("inner"))  # as if the handling led back to itself
        raise ValueError("no yard")

    blocked = tmp_path / "file"
    blocked.write_text("in the way of the folder")
    hook = CrashHook(bad_yard, folder=blocked)
    hook._reported.disconnect()
    hook.handle(*_raise("outer"))
    assert calls == [1]
    said = capsys.readouterr().err
    assert "outer" in said and "inner" in said


def test_another_thread_is_covered(hook: CrashHook, tmp_path: Path) -> None:
    hook._reported.disconnect()

    def work() -> None:
        raise KeyError("elsewhere")

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert "elsewhere" in (tmp_path / "errors.log").read_text(encoding="utf-8")


def test_being_stopped_is_no_crash(hook: CrashHook, tmp_path: Path) -> None:
    hook.handle(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert not (tmp_path / "errors.log").exists()


def test_an_error_in_a_slot_of_a_real_program_is_told_and_the_program_goes_on(
    tmp_path: Path, checkout: Path
) -> None:
    code = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from bloomline.ui import crash
from bloomline.files.yardfile import load_yard
app = QApplication([])
yard = load_yard(Path(sys.argv[1])).yard
crash.install(lambda: yard, folder=Path(sys.argv[2]))
def fail():
    raise ZeroDivisionError("in a slot")
def look():
    dialog = QApplication.activeModalWidget()
    if dialog is not None:
        print(type(dialog).__name__, flush=True)
        dialog.accept()
        app.exit(7)
timer = QTimer()
timer.timeout.connect(look)
timer.start(20)
QTimer.singleShot(0, fail)
QTimer.singleShot(20000, app.quit)
sys.exit(app.exec())
"""
    done = subprocess.run(
        [sys.executable, "-c", code, "demo/hollyhock-lane.bloomline", str(tmp_path)],
        cwd=checkout,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 7, done.stderr
    assert done.stdout.strip() == "CrashDialog"
    assert "in a slot" in (tmp_path / "errors.log").read_text(encoding="utf-8")
    assert len(list((tmp_path / "rescued").iterdir())) == 1
