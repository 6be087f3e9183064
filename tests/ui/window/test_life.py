"""What comes back after a killed program, and what is gone after a closed window."""

from __future__ import annotations

import gc
import os
import signal
import subprocess
import sys
import weakref
from pathlib import Path
from typing import Any

import pytest
import shiboken6
from PySide6.QtCore import QEvent, QThread
from PySide6.QtWidgets import QApplication, QSplitter
from pytestqt.qtbot import QtBot

from bloomline.draw.base.petals import DARK, LIGHT
from bloomline.files.journal import find_recoverable
from bloomline.files.yardfile import load_yard, save_yard
from bloomline.ui.theme import dress
from bloomline.ui.window import MainWindow

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
EDIT_MS = 50

_KILLED = f"""
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from bloomline.model import edits
from bloomline.ui.app import application
from bloomline.ui.files.memory import Memory
from bloomline.ui.window import MainWindow

app = application()
folder = Path(sys.argv[2])
window = MainWindow(settings=Memory(folder / "other.json"), state=folder / "state")
window.start(Path(sys.argv[1]))
window.show()
count = 0
def edit():
    global count
    count += 1
    window.document.edit("Rename", lambda yard: edits.rename_yard(yard, f"Edit {{count}}"))
    print(count, flush=True)
timer = QTimer()
timer.timeout.connect(edit)
timer.start({EDIT_MS})
app.exec()
"""


def test_work_of_a_killed_window_comes_back_in_the_next(
    open_window: Any, hands: Any, tmp_path: Path
) -> None:
    path = tmp_path / "yard.bloomline"
    save_yard(path, load_yard(DEMO).yard, seen=None)
    program = subprocess.Popen(
        [sys.executable, "-c", _KILLED, str(path), str(tmp_path)],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert program.stdout is not None
    last = 0
    for line in program.stdout:
        last = int(line)
        if last >= 50:
            break
    os.kill(program.pid, signal.SIGKILL)
    program.wait()
    program.stdout.close()
    assert last >= 50

    hands.press("recovery", "restore")
    window = open_window()
    assert hands.asked == ["recovery"]
    found = window.document.yard
    assert found.name.startswith("Edit ")
    # The promise is two seconds; a busy machine may hold the program's own timer up.
    assert (last - int(found.name.split()[1])) * EDIT_MS / 1000 < 2.0
    assert window.document.path == path
    assert window.isWindowModified()
    assert window.files.save()
    assert load_yard(path).yard == found
    assert find_recoverable(tmp_path / "state") == []


_ASKED_TO_END = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from bloomline.model import edits
from bloomline.ui import app

def edit():
    (window,) = [w for w in QApplication.topLevelWidgets() if w.objectName() == "main_window"]
    if sys.argv[2] == "unsaved":
        window.document.edit("Rename", lambda yard: edits.rename_yard(yard, "Half done"))
    print("ready", flush=True)

app.application()
timer = QTimer()
timer.setSingleShot(True)
timer.timeout.connect(edit)
timer.start(0)
sys.exit(app.run(Path(sys.argv[1])))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows ends a process without asking it")
@pytest.mark.may_skip
@pytest.mark.parametrize("state", ["saved", "unsaved"])
@pytest.mark.parametrize("wish", [signal.SIGTERM, signal.SIGINT])
def test_a_wish_to_end_is_followed_and_loses_nothing(
    tmp_path: Path, state: str, wish: signal.Signals
) -> None:
    path = tmp_path / "yard.bloomline"
    save_yard(path, load_yard(DEMO).yard, seen=None)
    kept = tmp_path / "state"
    program = subprocess.Popen(
        [sys.executable, "-c", _ASKED_TO_END, str(path), state],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "XDG_STATE_HOME": str(kept), "XDG_CONFIG_HOME": str(tmp_path)},
    )
    assert program.stdout is not None and program.stderr is not None
    assert program.stdout.readline() == "ready\n"
    program.send_signal(wish)
    _, errors = program.communicate(timeout=30)
    assert program.returncode == 0, errors
    assert "Traceback" not in errors
    left = find_recoverable(kept / "bloomline")
    names = [entry.yard.name for entry in left if entry.yard is not None]
    assert names == (["Half done"] if state == "unsaved" else [])
    assert load_yard(path).yard == load_yard(DEMO).yard


def threads() -> list[QThread]:
    gc.collect()
    return [
        each
        for each in gc.get_objects()
        # By its type: asking a dead weak proxy for its class raises.
        if issubclass(type(each), QThread) and shiboken6.isValid(each) and each.isRunning()
    ]


# The offscreen platform says so when the help page comes to the front.
@pytest.mark.qt_log_ignore("This plugin does not support raise")
def test_nothing_of_a_closed_window_stays(open_window: Any, hands: Any, qtbot: QtBot) -> None:
    def close(dialog: Any) -> None:
        dialog.reject()

    gc.collect()
    widgets_before, threads_before = len(QApplication.allWidgets()), len(threads())
    window = open_window(DEMO)
    assert len(threads()) > threads_before
    # Sums and rota begin when the season rests.
    page = window.details.yard_page
    qtbot.waitUntil(lambda: page.money.isEnabled() and page.scent.watch.is_up_to_date)
    within = len(window.findChildren(QThread))
    for _ in range(2):  # a dialog that stays behind would be there twice
        for name, show in (("about", window.show_about), ("export", window.export_chart)):
            hands.do(name, close)
            show()
    window.show_help()
    help_page = window._help
    assert help_page is not None
    help_page.close()
    QApplication.processEvents()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert len(window.findChildren(QThread)) == within
    window.document.undo_stack.setClean()
    window.close()
    assert len(threads()) == threads_before
    parts = (window, window.season, window.yard, window.shelf, window.details, window.conditions)
    gone = [weakref.ref(each) for each in (*parts, window.document, window.service)]
    open_window.opened.clear()
    hands._answered.clear()
    del window, parts, help_page, show
    gc.collect()
    QApplication.processEvents()
    gc.collect()
    left = [ref() for ref in gone if ref() is not None and shiboken6.isValid(ref())]
    assert left == []
    qtbot.waitUntil(lambda: len(QApplication.allWidgets()) <= widgets_before, timeout=5000)


def test_geometry_is_remembered(open_window: Any, qtbot: QtBot) -> None:
    # Within the offscreen screen of 800 × 800, into which a remembered window is put back.
    first = open_window(width=790, height=650)
    size = first.size()
    first._across.setSizes([230, 340, 220])
    first._middle.setSizes([200, 260])
    shares = [_shares(first._across), _shares(first._middle)]
    first.close()
    again = open_window.made()
    again.show()
    assert again.size() == size
    # The splitters are laid out a moment after the window is shown.
    qtbot.waitUntil(lambda: sum(again._middle.sizes()) == sum(first._middle.sizes()), timeout=2000)
    now = [_shares(again._across), _shares(again._middle)]
    assert now[0] == pytest.approx(shares[0], abs=0.03)
    assert now[1] == pytest.approx(shares[1], abs=0.03)


def _shares(splitter: QSplitter) -> list[float]:
    sizes = splitter.sizes()
    return [size / sum(sizes) for size in sizes]


def test_light_and_dark(window: MainWindow, qapp: QApplication) -> None:
    def ground(widget: Any) -> int:
        image = widget.grab().toImage()
        values = [
            image.pixelColor(x, y).lightness()
            for x in range(2, image.width(), 23)
            for y in range(2, image.height(), 23)
        ]
        return sorted(values)[len(values) // 2]

    dress(qapp, LIGHT)
    panels = (window.conditions, window.shelf, window.season, window.yard, window.details)
    try:
        QApplication.processEvents()
        assert all(ground(panel) > 200 for panel in panels)
        dress(qapp, DARK)
        QApplication.processEvents()
        assert all(ground(panel) < 80 for panel in panels)
    finally:
        dress(qapp, LIGHT)
    QApplication.processEvents()
    assert all(ground(panel) > 200 for panel in panels)
