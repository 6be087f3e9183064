"""Writes a picture so that it appears whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from bloomline.errors import FileProblemError
from bloomline.words import tr


def write_whole(target: Path, write: Callable[[Path], None]) -> None:
    """Have `write` fill a file beside the target, then move it there.

    Raises FileProblemError; the target is then as it was and nothing is left beside it.
    """
    if target.is_dir():
        raise FileProblemError(str(target), tr("is a folder; give the name of a file"))
    try:
        part = _part_beside(target)
        try:
            write(part)
            with part.open("rb+") as written:
                os.fsync(written.fileno())
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise FileProblemError(
            str(target),
            tr(
                "can't be written ({strerror}); choose another folder or name",
                strerror=error.strerror or error,
            ),
        ) from error


def _part_beside(target: Path) -> Path:
    """Make an empty file beside the target, to be moved over it when complete."""
    number, name = tempfile.mkstemp(
        prefix=f".{target.stem[:40]}-", suffix=".part", dir=target.parent
    )
    os.close(number)
    part = Path(name)
    # mkstemp makes a private file; a picture gets the permissions of any new file.
    mask = os.umask(0)
    os.umask(mask)
    part.chmod(0o666 & ~mask)
    return part
