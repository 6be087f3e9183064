"""One writer at a time: a lock between programs that read, check and replace the same file."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

from bloomline.errors import FileProblemError

PATIENCE_S = 5.0
"""How long another program's writing is waited for."""

_AGAIN_S = 0.02
# Systems and file systems without locks or without the right to make a file beside: the check
# of the content before replacing it is then all there is.
_WITHOUT = {errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOSYS, errno.ENOLCK, errno.ENOENT}
_WITHOUT |= {errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOTDIR, errno.ENOSPC, errno.EDQUOT}
_WITHOUT |= {errno.ENAMETOOLONG, errno.EINVAL}
_held = threading.local()


@contextlib.contextmanager
def locked(path: Path, *, patience_s: float | None = None) -> Iterator[None]:
    """Keep other programs of ours from writing a file meanwhile; may be nested in a thread.

    A small hidden file beside it carries the lock, which the system gives up when its program
    ends, however that ends. Raises FileProblemError when another program holds it for too long.
    """
    try:
        target = path.resolve()
    except (OSError, RuntimeError, ValueError):
        target = path  # reading or writing it says what is wrong with it
    ours: set[Path] = _held.__dict__.setdefault("paths", set())
    if target in ours:
        yield
        return
    lock = target.with_name(f".{target.name[:100]}.lock")
    patience_s = PATIENCE_S if patience_s is None else patience_s
    handle = _taken(lock, path, patience_s=patience_s)
    ours.add(target)
    try:
        yield
    finally:
        ours.discard(target)
        if handle is not None:
            _give_up(lock, handle)


def _taken(lock: Path, path: Path, *, patience_s: float) -> int | None:
    until = time.monotonic() + patience_s
    while True:
        try:
            handle = os.open(lock, os.O_RDWR | os.O_CREAT, 0o600)
        except (OSError, ValueError) as error:
            if isinstance(error, OSError) and error.errno not in _WITHOUT:
                raise FileProblemError(str(path), f"can't be locked: {error}") from None
            return None
        try:
            _try(handle)
            # Its last holder may have taken the file away between opening and locking it.
            if sys.platform == "win32" or _is_same(handle, lock):
                return handle
            os.close(handle)
            continue
        except OSError as error:
            os.close(handle)
            if error.errno not in (errno.EAGAIN, errno.EACCES, errno.EDEADLK):
                return None
        if time.monotonic() > until:
            raise FileProblemError(
                str(path), "is being written by another program just now; try again"
            )
        time.sleep(_AGAIN_S)


def _is_same(handle: int, lock: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), os.stat(lock))
    except OSError:
        return False


def _give_up(lock: Path, handle: int) -> None:
    with contextlib.suppress(OSError):
        if sys.platform != "win32":
            os.unlink(lock)  # while it is held, so that nobody's lock goes but ours
    with contextlib.suppress(OSError):
        os.close(handle)
    with contextlib.suppress(OSError):
        if sys.platform == "win32":
            os.unlink(lock)


if sys.platform == "win32":

    def _try(handle: int) -> None:
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)

else:

    def _try(handle: int) -> None:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
