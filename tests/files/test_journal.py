from __future__ import annotations

import json
import os
import signal
import stat
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bloomline.errors import FileProblemError
from bloomline.files import journal
from bloomline.files.journal import discard, discard_key, find_recoverable, write_entry

sys.path.insert(0, str(Path(__file__).parent))
from yards import small_yard

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
WRITE = """
import sys, time
sys.path[:0] = [{root!r}, {here!r}]
from datetime import UTC, datetime
from pathlib import Path
from bloomline.files.journal import write_entry
from yards import small_yard
write_entry(Path({folder!r}), "w1", small_yard(name="Unsaved"), path=Path({path!r}),
            seen="abc", now=datetime(2026, 11, 25, tzinfo=UTC))
print("written", flush=True)
time.sleep(120)
"""


def forge(file, **changes):
    """Make an entry as another program would have left it."""
    entry = {**json.loads(file.read_bytes()), "pid": 2**22 + 1, **changes}
    file.write_text(json.dumps(entry), "utf-8")


def test_the_work_of_a_killed_program_is_found_and_that_of_a_running_one_is_not(tmp_path):
    here = Path(__file__).parent
    script = WRITE.format(
        root=str(here.parents[1]),
        here=str(here),
        folder=str(tmp_path),
        path=str(tmp_path / "y.bloomline"),
    )
    with subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE) as program:
        assert program.stdout is not None
        assert program.stdout.readline().strip() == b"written"
        assert find_recoverable(tmp_path) == []
        program.send_signal(getattr(signal, "SIGKILL", signal.SIGTERM))
        program.wait(20)
    (entry,) = find_recoverable(tmp_path)
    assert entry.yard == small_yard(name="Unsaved")
    assert entry.path == tmp_path / "y.bloomline"
    assert entry.seen == "abc"
    assert entry.written == datetime(2026, 11, 25, tzinfo=UTC)
    assert entry.problem == ""
    discard(entry)
    assert find_recoverable(tmp_path) == []
    discard(entry)  # gone already


def test_own_entries_are_not_offered(tmp_path):
    write_entry(tmp_path, "w1", small_yard(), path=None, seen=None, now=NOW)
    assert find_recoverable(tmp_path) == []
    discard_key(tmp_path, "w1")
    assert list((tmp_path / "journal").iterdir()) == []


def test_an_entry_of_another_boot_or_of_a_reused_number_is_offered(tmp_path, monkeypatch):
    monkeypatch.setattr(journal, "_boot", lambda: "boot-2")
    monkeypatch.setattr(journal, "_process_start", lambda _pid: "500")
    file = write_entry(tmp_path, "w1", small_yard(), path=None, seen=None, now=NOW)
    assert find_recoverable(tmp_path) == []
    forge(file, pid=os.getpid(), boot="boot-1")
    assert len(find_recoverable(tmp_path)) == 1
    forge(file, pid=os.getpid(), boot="boot-2", started="499")
    assert len(find_recoverable(tmp_path)) == 1
    forge(file, pid=os.getpid(), started="500")
    assert find_recoverable(tmp_path) == []


def test_the_youngest_comes_first(tmp_path):
    for hours, key in ((0, "a"), (2, "b"), (1, "c")):
        moment = NOW + timedelta(hours=hours)
        forge(write_entry(tmp_path, key, small_yard(), path=None, seen=None, now=moment))
    assert [entry.journal_file.stem for entry in find_recoverable(tmp_path)] == ["b", "c", "a"]


def test_an_entry_is_written_over_whole(tmp_path, monkeypatch):
    file = write_entry(tmp_path, "w1", small_yard(), path=None, seen=None, now=NOW)

    def fail(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", fail)
        with pytest.raises(FileProblemError, match="no space left"):
            write_entry(tmp_path, "w1", small_yard(name="B"), path=None, seen=None, now=NOW)
    assert list(file.parent.iterdir()) == [file]
    forge(file)
    assert find_recoverable(tmp_path)[0].yard == small_yard()


@pytest.mark.skipif(os.name != "posix", reason="file modes of POSIX")
def test_entries_are_for_their_owner_only(tmp_path):
    file = write_entry(tmp_path / "state", "w1", small_yard(), path=None, seen=None, now=NOW)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700


DAMAGED = [
    b"",
    b"{",
    b"[]",
    b"{}",
    b"\xff\xfe",
    b'{"pid": "x", "written": 5, "path": 7, "yard": []}',
    b'{"format": "bloomline-journal", "written": "0001-01-01", '
    b'"yard": {"format": "bloomline-yard"}}',
]


@pytest.mark.parametrize("content", DAMAGED)
def test_a_damaged_entry_is_listed_with_its_problem(content, tmp_path):
    (tmp_path / "journal").mkdir()
    (tmp_path / "journal" / "w1.json").write_bytes(content)
    (entry,) = find_recoverable(tmp_path)
    assert entry.yard is None
    assert "w1.json" in entry.problem


def test_no_folder_means_nothing_to_recover(tmp_path):
    assert find_recoverable(tmp_path / "none") == []


@pytest.mark.parametrize("key", ["", "../x", "a/b", "a" * 101, "a b"])
def test_a_key_can_not_lead_out_of_the_folder(key, tmp_path):
    with pytest.raises(ValueError, match="journal key"):
        write_entry(tmp_path, key, small_yard(), path=None, seen=None, now=NOW)


def test_the_state_folder_is_the_users_own():
    folder = journal.state_folder()
    assert folder.is_absolute()
    assert folder.name == "bloomline"
