"""Two programs that write one file: neither's work is lost, and who waits too long is told."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from bloomline.errors import FileProblemError
from bloomline.files import locking
from bloomline.files.locking import locked
from bloomline.files.yardfile import load_yard, save_yard

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"

_ADD = """
import sys
from pathlib import Path
from bloomline.files.locking import locked
from bloomline.files.yardfile import load_yard, save_yard
path = Path(sys.argv[1])
for number in range(10):
    with locked(path, patience_s=60.0):
        loaded = load_yard(path)
        pots = (*loaded.yard.pots[:-1], loaded.yard.pots[-1].model_copy(
            update={"notes": loaded.yard.pots[-1].notes + sys.argv[2]}))
        save_yard(path, loaded.yard.model_copy(update={"pots": pots}), seen=loaded.digest)
"""

_HOLD = """
import sys
from pathlib import Path
from bloomline.files.locking import locked
with locked(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    made = tmp_path / "own.bloomline"
    made.write_bytes(DEMO.read_bytes())
    return made


def _python(code: str, *words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", code, *words],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parents[2],
    )


def test_two_programs_that_add_at_once_lose_nothing(file: Path) -> None:
    before = load_yard(file).yard.pots[-1].notes
    both = [_python(_ADD, str(file), word) for word in "ab"]
    for each in both:
        each.communicate(timeout=60)
        assert each.returncode == 0
    added = load_yard(file).yard.pots[-1].notes.removeprefix(before)
    assert sorted(added) == ["a"] * 10 + ["b"] * 10
    assert [each.name for each in file.parent.iterdir()] == [file.name]


def test_who_waits_too_long_is_told_and_a_killed_holder_stops_nobody(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(locking, "PATIENCE_S", 0.1)
    loaded = load_yard(file)
    holder = _python(_HOLD, str(file))
    assert holder.stdout is not None and holder.stdout.readline() == "held\n"
    try:
        with pytest.raises(FileProblemError, match="being written by another program"):
            save_yard(file, loaded.yard, seen=loaded.digest)
    finally:
        holder.kill()
        holder.communicate()
    save_yard(file, loaded.yard, seen=loaded.digest)


def test_a_lock_may_be_nested(file: Path) -> None:
    loaded = load_yard(file)
    with locked(file):
        save_yard(file, loaded.yard, seen=loaded.digest)
    assert not (file.parent / f".{file.name}.lock").exists()


def test_two_commands_that_add_a_record_at_once_both_keep_theirs(file: Path) -> None:
    layer = load_yard(file).yard.pots[0].layers[0].id
    before = len(load_yard(file).yard.records)
    command = [sys.executable, "-m", "bloomline", "records", str(file), "--add", layer]
    both = [
        subprocess.Popen(
            [*command, "--seen", "first-flower", "--day", day],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            cwd=Path(__file__).parents[2],
        )
        for day in ("2025-03-30", "2025-04-02")
    ]
    for each in both:
        _, told = each.communicate(timeout=60)
        assert each.returncode in (0, 1), told
    assert len(load_yard(file).yard.records) == before + 2
