"""A yard file that is dragged onto the window."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMimeData

from bloomline.files.yardfile import SUFFIX


def handle_file_drop(mime: QMimeData) -> Path | None:
    """The yard file that a drag carries; None when it carries anything else, or several files."""
    if not mime.hasUrls():
        return None
    urls = mime.urls()
    if len(urls) != 1 or not urls[0].isLocalFile():
        return None
    path = Path(urls[0].toLocalFile())
    return path if path.suffix.lower() == SUFFIX else None
