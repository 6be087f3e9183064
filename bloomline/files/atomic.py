"""Replace a file in one step: whoever looks sees the old content or the new, never a part."""

from __future__ import annotations

import contextlib
import hashlib
import os
import secrets
import stat
from pathlib import Path

from bloomline.errors import FileProblemError


def digest_of(data: bytes) -> str:
    """Return the SHA-256 of some content, by which a change on disk is noticed."""
    return hashlib.sha256(data).hexdigest()


def read_limited(path: Path, *, limit: int) -> bytes:
    """Read a regular file of at most `limit` bytes. Raises FileProblemError."""
    try:
        about = path.stat()
        if stat.S_ISDIR(about.st_mode):
            raise FileProblemError(str(path), "is a folder, not a file")
        if not stat.S_ISREG(about.st_mode):
            raise FileProblemError(str(path), "is not a regular file")
        with path.open("rb") as file:
            data = file.read(limit + 1)
    except FileNotFoundError:
        raise FileProblemError(str(path), "there is no such file") from None
    except (OSError, ValueError) as error:
        raise FileProblemError(str(path), f"can't be read: {reason(error)}") from None
    if len(data) > limit:
        raise FileProblemError(str(path), f"is larger than {limit // 1024**2} MiB")
    return data


def replace_file(path: Path, data: bytes, *, private: bool = False) -> None:
    """Write a file beside the wanted one, bring it to the disk, and put it in its place.

    Symbolic links are followed, the mode of a file that is there is kept. When anything
    fails, the old file stays as it was and nothing is left beside it. Raises FileProblemError.
    """
    try:
        target = path.resolve()
        mode = _mode_of(target)
    except (OSError, RuntimeError, ValueError) as error:
        raise FileProblemError(str(path), f"can't be written: {reason(error)}") from None
    if mode is not None and not os.access(target, os.W_OK):
        raise FileProblemError(str(path), "is read-only; save under another name")
    beside = target.with_name(f".bloomline-{secrets.token_hex(8)}.part")
    try:
        _write_new(beside, data, mode=0o600 if private else 0o666)
        if mode is not None and not private:
            os.chmod(beside, mode)
        os.replace(beside, target)
    except (OSError, ValueError) as error:
        raise FileProblemError(
            str(path), f"can't be written: {reason(error)}; what was there is as it was"
        ) from None
    finally:
        with contextlib.suppress(OSError, ValueError):
            os.unlink(beside)
    _sync_folder(target.parent)


def reason(error: Exception) -> str:
    """Say in a few words why the system refused."""
    if isinstance(error, OSError) and error.strerror:
        return error.strerror.lower()
    return str(error) or type(error).__name__


def _mode_of(target: Path) -> int | None:
    try:
        about = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(about.st_mode):
        raise IsADirectoryError(0, "it is a folder")
    if not stat.S_ISREG(about.st_mode):
        raise OSError(0, "it is not a regular file")
    return stat.S_IMODE(about.st_mode)


def _write_new(path: Path, data: bytes, *, mode: int) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    with open(os.open(path, flags, mode), "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    # The new file is in place by now: a folder that can't be synced (some file systems, all of
    # Windows) must not make the caller think that nothing was saved.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
