"""Names of files, and whether two are the same."""

from __future__ import annotations

from pathlib import Path

_LONGEST = 80


def same_file(path: Path, other: Path) -> bool:
    """Whether two paths lead to one file."""
    try:
        return path.samefile(other)
    except OSError:
        return path == other


def file_stem(name: str) -> str:
    """A yard's name without what file systems refuse."""
    kept = "".join("-" if each in '<>:"/\\|?*' else each for each in name).strip(" .")
    return kept[:_LONGEST].strip(" .") or "yard"
