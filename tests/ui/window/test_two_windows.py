"""Pots and layers go from one running window into another."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from PySide6.QtCore import QMimeData, Qt
from PySide6.QtWidgets import QApplication

from bloomline.ui.clipboard import MIME_TYPE
from bloomline.ui.window import MainWindow

CTRL = Qt.KeyboardModifier.ControlModifier

_OTHER = """
import os
import sys
from pathlib import Path
from bloomline.ui.app import application
from bloomline.ui.clipboard import MIME_TYPE
from bloomline.ui.files.memory import Memory
from bloomline.ui.window import MainWindow

app = application()
folder = Path(sys.argv[2])
window = MainWindow(settings=Memory(folder / "other.json"), state=folder / "state")
window.files.open_path(Path(sys.argv[1]))
window.document.select(pot_id=window.document.yard.pots[0].id)
window.yard.commands.copy.trigger()
data = app.clipboard().mimeData()
sys.stdout.buffer.write(bytes(data.data(MIME_TYPE).data()))
sys.stdout.flush()
os._exit(0)
"""

_ENDS_WITH_A_COPY = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from bloomline.ui import app

def copy_and_quit():
    (window,) = [w for w in QApplication.topLevelWidgets() if w.objectName() == "main_window"]
    window.document.select_all([pot.id for pot in window.document.yard.pots])
    window.yard.commands.copy.trigger()
    window.yard.commands.paste.trigger()
    print(len(window.document.yard.pots), flush=True)
    window.document.undo_stack.setClean()
    window.close()

app.application()
timer = QTimer()
timer.setSingleShot(True)
timer.timeout.connect(copy_and_quit)
timer.start(0)
sys.exit(app.run(Path(sys.argv[1])))
"""


def test_the_program_ends_well_with_a_copy_on_the_clipboard(checkout: Path) -> None:
    yard = checkout / "demo" / "hollyhock-lane.bloomline"
    command = [sys.executable, "-c", _ENDS_WITH_A_COPY, str(yard)]
    done = subprocess.run(command, capture_output=True, timeout=120, env=os.environ)
    assert (done.returncode, done.stdout.split()) == (0, [b"20"]), done.stderr


def test_from_window_to_window_by_keys(open_window: Any, hands: Any, checkout: Path) -> None:
    one: MainWindow = open_window(checkout / "demo" / "hollyhock-lane.bloomline")
    source = one.document.yard.pots[0]
    one.document.select(pot_id=source.id)
    one.yard.setFocus()
    hands.key(Qt.Key.Key_C, CTRL)
    two: MainWindow = open_window(checkout / "demo" / "quince-steps.bloomline")
    before = two.document.yard
    two.yard.setFocus()
    hands.key(Qt.Key.Key_V, CTRL)
    new = two.document.yard.pots[-1]
    assert len(two.document.yard.pots) == len(before.pots) + 1
    assert new.name == source.name and new.id not in {pot.id for pot in before.pots}
    kinds = [(each.cultivar_id, each.count, each.cover_cm) for each in new.layers]
    assert kinds == [(each.cultivar_id, each.count, each.cover_cm) for each in source.layers]
    assert two.statusBar().currentMessage() == "Pasted: 1 pot"
    hands.key(Qt.Key.Key_Z, CTRL)
    assert two.document.yard == before and one.document.undo_stack.count() == 0


def test_what_another_process_copied_is_pasted_here(
    window: MainWindow, hands: Any, tmp_path: Path, checkout: Path
) -> None:
    # The offscreen platform shares no clipboard: hand over the bytes that one would.
    other = checkout / "demo" / "quince-steps.bloomline"
    done = subprocess.run(
        [sys.executable, "-c", _OTHER, str(other), str(tmp_path)],
        capture_output=True,
        check=True,
        timeout=120,
        env=os.environ,
    )
    data = QMimeData()
    data.setData(MIME_TYPE, done.stdout)
    QApplication.clipboard().setMimeData(data)
    before = len(window.document.yard.pots)
    window.document.select()
    window.season.setFocus()
    hands.key(Qt.Key.Key_V, CTRL)
    assert len(window.document.yard.pots) == before + 1
    assert window.document.selection.pots == (window.document.yard.pots[-1].id,)
