"""The journal: what is being edited, kept in a folder of its own until it is saved.

A program that is killed leaves its entries behind; the next start finds them by their dead
process and offers them. An entry names the file it belongs to and the content that was read.
"""

from __future__ import annotations

import json
import os
import re
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TypeGuard

from bloomline.errors import DataError, FileProblemError
from bloomline.files.atomic import read_limited, reason, replace_file
from bloomline.files.yardfile import MAX_BYTES, dump_yard, parse_object, yard_of
from bloomline.model.yard import Yard

WRITE_EVERY_S = 1.0
"""How often at most an edited yard is written, so that under two seconds of work are lost."""

_FORMAT = "bloomline-journal"
_SUFFIX = ".json"


@dataclass(frozen=True, slots=True)
class JournalEntry:
    """Unsaved work that a program left behind.

    `path` is the yard file it belongs to (None: never saved) and `seen` the digest of its
    content when read. `yard` is None when the entry is damaged; `problem` then says how.
    """

    journal_file: Path
    path: Path | None
    seen: str | None
    written: datetime | None
    yard: Yard | None
    problem: str = ""


def state_folder() -> Path:
    """Return the folder where this user's program state belongs on this system."""
    import platformdirs

    return platformdirs.user_state_path("bloomline", appauthor=False)


def write_entry(
    folder: Path, key: str, yard: Yard, *, path: Path | None, seen: str | None, now: datetime
) -> Path:
    """Write the entry of one open yard, over its former one, and return its file.

    `key` tells apart the yards that are open at once: letters, digits, hyphens.
    Raises FileProblemError.
    """
    file = _entry_file(folder, key)
    head = {
        "format": _FORMAT,
        "version": 1,
        "path": None if path is None else os.fsdecode(path.absolute()),
        "seen": seen,
        "written": now.isoformat(),
        "pid": os.getpid(),
        "started": _process_start(os.getpid()),
        "boot": _boot(),
    }
    # The yard keeps its own layout, so that even a damaged entry can be rescued by hand.
    start = json.dumps(head, ensure_ascii=True)[:-1]
    data = start.encode() + b',\n"yard": ' + dump_yard(yard).rstrip() + b"}\n"
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise FileProblemError(str(file.parent), f"can't be made: {reason(error)}") from None
    replace_file(file, data, private=True)
    return file


def discard(entry: JournalEntry | Path) -> None:
    """Remove an entry; one that is gone already is fine. Raises FileProblemError."""
    file = entry if isinstance(entry, Path) else entry.journal_file
    try:
        file.unlink(missing_ok=True)
    except OSError as error:
        raise FileProblemError(str(file), f"can't be removed: {reason(error)}") from None


def discard_key(folder: Path, key: str) -> None:
    """Remove the entry of one open yard, after it was saved or closed."""
    discard(_entry_file(folder, key))


def find_recoverable(folder: Path) -> list[JournalEntry]:
    """List the entries whose program is gone, the youngest first, damaged ones last.

    Entries of programs that still run (this one too) are left out.
    """
    try:
        files = sorted((folder / "journal").glob(f"*{_SUFFIX}"))
    except OSError:
        return []
    found = [entry for file in files if (entry := _read(file)) is not None]
    return sorted(
        found, key=lambda entry: entry.written.timestamp() if entry.written else 0.0, reverse=True
    )


def _entry_file(folder: Path, key: str) -> Path:
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]{0,99}", key):
        raise ValueError(f"a journal key holds letters, digits and hyphens, not “{key[:40]}”")
    return folder / "journal" / f"{key}{_SUFFIX}"


def _read(file: Path) -> JournalEntry | None:
    try:
        document = parse_object(read_limited(file, limit=MAX_BYTES), name=file.name)
    except FileProblemError as error:
        if not file.exists():  # its program has just saved or closed
            return None
        return JournalEntry(file, None, None, None, None, str(error))
    if _still_runs(document):
        return None
    path, seen, written = (document.get(key) for key in ("path", "seen", "written"))
    yard: Yard | None = None
    problem = ""
    content = document.get("yard")
    try:
        if document.get("format") != _FORMAT or not _is_document(content):
            raise FileProblemError(file.name, "is not a journal entry")
        yard = yard_of(content, name=file.name)
    except (FileProblemError, DataError) as error:
        problem = str(error)
    return JournalEntry(
        journal_file=file,
        path=Path(path) if isinstance(path, str) and path else None,
        seen=seen if isinstance(seen, str) else None,
        written=_moment(written),
        yard=yard,
        problem=problem,
    )


def _is_document(value: object) -> TypeGuard[dict[str, object]]:
    return isinstance(value, dict)


def _moment(value: object) -> datetime | None:
    try:
        moment = datetime.fromisoformat(value) if isinstance(value, str) else None
        if moment is not None:
            moment.timestamp()  # the list is sorted by it
    except (ValueError, OverflowError, OSError):
        return None
    return moment


def _still_runs(document: dict[str, object]) -> bool:
    pid = document.get("pid")
    if not isinstance(pid, int) or isinstance(pid, bool) or not 0 < pid < 2**31:
        return False
    boot = document.get("boot")
    if isinstance(boot, str) and boot and _boot() and boot != _boot():
        return False
    if not _is_alive(pid):
        return False
    # The same number may meanwhile be another program's.
    started = document.get("started")
    now = _process_start(pid)
    return not (isinstance(started, str) and started and now and started != now)


def _is_alive(pid: int) -> bool:
    if sys.platform == "win32":
        return _is_alive_on_windows(pid)
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True  # it is there, and someone else's
    return True


def _is_alive_on_windows(pid: int) -> bool:
    # os.kill would end the process there.
    import ctypes

    kernel = getattr(ctypes, "windll").kernel32  # noqa: B009 - absent on other systems
    handle = kernel.OpenProcess(0x1000, False, pid)
    if not handle:
        return False
    code = ctypes.c_ulong()
    known = kernel.GetExitCodeProcess(handle, ctypes.byref(code))
    kernel.CloseHandle(handle)
    return not known or code.value == 259


def _boot() -> str:
    """Name the time since the machine was started, "" where the system doesn't tell."""
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text("ascii").strip()
    except (OSError, ValueError):
        return ""


def _process_start(pid: int) -> str:
    """Say when a process was started, in the system's own count; "" where it doesn't tell."""
    try:
        about = Path(f"/proc/{pid}/stat").read_bytes()
    except OSError:
        return ""
    # The program's name, in brackets, may hold blanks: count from behind it.
    fields = about.rpartition(b")")[2].split()
    return fields[19].decode("ascii", "replace") if len(fields) > 19 else ""
