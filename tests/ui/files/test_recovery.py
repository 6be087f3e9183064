"""Work that was not saved when the program ended comes back."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from bloomline.files.journal import find_recoverable, write_entry
from bloomline.files.yardfile import load_yard, save_yard
from bloomline.model import edits
from bloomline.ui.document import Document
from bloomline.ui.files.desk import FileDesk
from bloomline.ui.files.recovery import RecoveryDialog

_KILLED = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QMainWindow
from bloomline.model import edits
from bloomline.reference.catalogue import load_catalogue
from bloomline.files.yardfile import load_yard
from bloomline.ui.document import Document
from bloomline.ui.files.desk import FileDesk

app = QApplication([])
window = QMainWindow()
loaded = load_yard(Path(sys.argv[1]))
document = Document(loaded.yard, catalogue=load_catalogue())
document.replace(loaded.yard, path=loaded.path, seen=loaded.digest)
desk = FileDesk(document, window, state=Path(sys.argv[2]))
count = 0
def edit():
    global count
    count += 1
    document.edit("Rename", lambda yard: edits.rename_yard(yard, f"Edit {count}"))
    print(count, flush=True)
timer = QTimer()
timer.timeout.connect(edit)
timer.start(50)
app.exec()
"""


def _entry(
    folder: Path, document: Document, name: str, path: Path | None, seen: str | None
) -> Path:
    """An entry of a program that is gone."""
    yard = edits.rename_yard(document.yard, name)
    file = write_entry(
        folder, name.replace(" ", "-"), yard, path=path, seen=seen, now=datetime.now().astimezone()
    )
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace(f'"pid": {os.getpid()},', f'"pid": {gone.pid},'), encoding="utf-8")
    return file


def test_a_killed_program_loses_less_than_two_seconds(
    make_desk: Callable[[Document], FileDesk], document: Document, tmp_path: Path, hand: Any
) -> None:
    path = tmp_path / "yard.bloomline"
    save_yard(path, document.yard, seen=None)
    state = tmp_path / "state"
    program = subprocess.Popen(
        [sys.executable, "-c", _KILLED, str(path), str(state)], stdout=subprocess.PIPE, text=True
    )
    assert program.stdout is not None
    # 45 edits take longer than two writings of the journal.
    for line in program.stdout:
        last = int(line)
        if last >= 45:
            break
    os.kill(program.pid, signal.SIGKILL)
    program.wait()
    program.stdout.close()
    (entry,) = find_recoverable(state)
    assert entry.yard is not None
    lost = last - int(entry.yard.name.split()[1])
    assert lost * 0.05 < 2.0

    desk = make_desk(document)
    hand.press("recovery", "restore")
    assert desk.offer_recovery()
    assert document.yard == entry.yard
    assert document.path == path
    assert desk.is_unsaved
    assert desk.save()
    assert load_yard(path).yard == entry.yard
    assert find_recoverable(state) == []


def test_the_journal_goes_when_the_yard_is_saved_and_when_the_window_closes(
    desk: FileDesk, document: Document, tmp_path: Path, hand: Any, qtbot: QtBot
) -> None:
    folder = tmp_path / "state" / "journal"
    with qtbot.waitSignal(desk.keeper.written, timeout=5000):
        document.edit("Rename", lambda yard: edits.rename_yard(yard, "One"))
    assert len(list(folder.iterdir())) == 1
    hand.choose(tmp_path / "a.bloomline")
    assert desk.save_as()
    qtbot.waitUntil(lambda: list(folder.iterdir()) == [], timeout=5000)
    with qtbot.waitSignal(desk.keeper.written, timeout=5000):
        document.edit("Rename", lambda yard: edits.rename_yard(yard, "Two"))
    desk.stop()
    assert list(folder.iterdir()) == []


def test_undo_back_to_the_saved_yard_leaves_no_entry(
    desk: FileDesk, document: Document, tmp_path: Path, qtbot: QtBot
) -> None:
    folder = tmp_path / "state" / "journal"
    with qtbot.waitSignal(desk.keeper.written, timeout=5000):
        document.edit("Rename", lambda yard: edits.rename_yard(yard, "One"))
    document.undo_stack.undo()
    qtbot.waitUntil(lambda: list(folder.iterdir()) == [], timeout=5000)


def test_later_keeps_everything_and_throwing_away_asks_first(
    desk: FileDesk, document: Document, tmp_path: Path, hand: Any
) -> None:
    state = tmp_path / "state"
    _entry(state, document, "One", None, None)
    hand.press("recovery", "later")
    assert not desk.offer_recovery()
    assert len(find_recoverable(state)) == 1

    hand.press("recovery", "throw_away")
    hand.press("question_throw_away", "cancel")
    hand.press("recovery", "throw_away")
    hand.press("question_throw_away", "discard")
    assert not desk.offer_recovery()
    assert find_recoverable(state) == []
    assert not desk.offer_recovery()  # nothing left, nothing shown


def test_the_list_says_what_became_of_the_file(
    document: Document, tmp_path: Path, qtbot: QtBot
) -> None:
    state = tmp_path / "state"
    path = tmp_path / "yard.bloomline"
    seen = save_yard(path, document.yard, seen=None)
    _entry(state, document, "Same", path, seen)
    _entry(state, document, "Changed", path, "0" * 64)
    _entry(state, document, "Gone", tmp_path / "gone.bloomline", seen)
    _entry(state, document, "Never saved", None, None)
    damaged = _entry(state, document, "Damaged", None, None)
    damaged.write_text("{", encoding="utf-8")
    dialog = RecoveryDialog(find_recoverable(state))
    qtbot.addWidget(dialog)
    shown = "\n".join(dialog.list.item(i).text() for i in range(dialog.list.count()))
    for words in ("as it was", "changed since", "is gone", "Never saved (never saved)", "damaged"):
        assert words in shown
    dialog.show()
    dialog.list.setCurrentRow(dialog.list.count() - 1)
    assert not dialog.restore_button.isEnabled()
    assert dialog.throw_button.isEnabled()
    dialog.list.setCurrentRow(0)
    QTest.keyClick(dialog.list, Qt.Key.Key_Return)
    assert dialog.chosen is not None


def test_a_journal_that_cannot_be_written_is_told_once(
    desk: FileDesk, document: Document, tmp_path: Path, qtbot: QtBot
) -> None:
    (tmp_path / "state").write_text("in the way")
    with qtbot.waitSignal(desk.told, timeout=5000) as told:
        document.edit("Rename", lambda yard: edits.rename_yard(yard, "One"))
    assert "not being kept" in told.args[0]


def test_a_yard_opened_after_a_restored_one_is_not_unsaved(
    make_desk: Callable[[Document], FileDesk], document: Document, tmp_path: Path, hand: Any
) -> None:
    path = tmp_path / "other.bloomline"
    save_yard(path, document.yard, seen=None)
    desk = make_desk(document)
    _entry(desk.keeper.folder, document, "Restored", None, None)
    hand.press("recovery", "restore")
    assert desk.offer_recovery() and desk.is_unsaved
    hand.press("question_unsaved", "discard")
    assert desk.open_path(path, where="here")
    assert not desk.is_unsaved
    assert document.is_clean
