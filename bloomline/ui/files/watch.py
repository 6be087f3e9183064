"""Notices when the open file changes on disk."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QFileSystemWatcher, QObject, QTimer, Signal, Slot
from PySide6.QtWidgets import QWidget

from bloomline.errors import FileProblemError
from bloomline.files.yardfile import digest_on_disk
from bloomline.ui.document import Document

_SETTLE_MS = 300


class FileWatch(QObject):
    """Compares the file with what was read: when the system says so, and on coming back."""

    changed = Signal(str)
    """The file holds something else; its digest."""
    gone = Signal()
    """The file is no longer there."""

    def __init__(self, document: Document, window: QWidget, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._window = window
        self._watcher = QFileSystemWatcher(self)
        self._watcher.fileChanged.connect(self._soon)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_SETTLE_MS)
        self._timer.timeout.connect(self.check)
        self._told: str | None = None
        document.file_changed.connect(self._follow)
        window.installEventFilter(self)
        self._follow()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.WindowActivate:
            self._soon()
        return super().eventFilter(watched, event)

    @Slot()
    @Slot(str)
    def _soon(self, _path: str = "") -> None:
        # Programs write in several steps; look when they are done.
        if self._document.path is not None:
            self._timer.start()

    @Slot()
    def _follow(self) -> None:
        self._told = None
        watched = self._watcher.files()
        path = self._document.path
        wanted = str(path) if path is not None else ""
        if watched and watched != [wanted]:
            self._watcher.removePaths(watched)
        if wanted and wanted not in self._watcher.files() and Path(wanted).exists():
            self._watcher.addPath(wanted)

    @Slot()
    def check(self) -> None:
        """Compare now, and tell each state of the file once."""
        path, seen = self._document.path, self._document.seen
        if path is None or seen is None:
            return
        try:
            now = digest_on_disk(path)
        except FileProblemError:
            return  # saving will say why
        # A file that was replaced is no longer watched.
        if now is not None and str(path) not in self._watcher.files():
            self._watcher.addPath(str(path))
        if now == seen:
            self._told = None
        elif now is None:
            if self._told != "":
                self._told = ""
                self.gone.emit()
        elif now != self._told:
            self._told = now
            self.changed.emit(now)

    def stop(self) -> None:
        """Look no more."""
        self._timer.stop()
        self._window.removeEventFilter(self)
        if files := self._watcher.files():
            self._watcher.removePaths(files)
