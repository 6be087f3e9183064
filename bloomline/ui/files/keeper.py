"""Keeps the journal of the open yard, so that a killed program loses under two seconds."""

from __future__ import annotations

import contextlib
import secrets
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from bloomline.errors import BloomlineError
from bloomline.files.journal import WRITE_EVERY_S, discard_key, state_folder, write_entry
from bloomline.model.yard import Yard
from bloomline.ui.document import Document
from bloomline.ui.season_service import Beside


class JournalKeeper(QObject):
    """Writes the yard beside the window while it has unsaved changes; removes it when saved."""

    failed = Signal(str)
    """The journal can't be written; told once until it can again."""
    written = Signal()

    def __init__(
        self, document: Document, *, folder: Path | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.draft: Callable[[], Yard] = lambda: document.yard
        """The yard with what is being typed and is no step of it yet; the window says how."""
        self._document = document
        self.folder = folder or state_folder()
        self.key = f"yard-{secrets.token_hex(8)}"
        self._has_entry = False
        self._has_failed = False
        self._stopped = False
        self._beside = Beside(self)
        self._beside.answered.connect(self._take)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(round(WRITE_EVERY_S * 1000))
        self._timer.timeout.connect(self._write)
        document.yard_changed.connect(self._start)
        document.file_changed.connect(self._start)
        document.undo_stack.cleanChanged.connect(self._start)

    @Slot()
    @Slot(object)
    @Slot(bool)
    def _start(self, _what: object = None) -> None:
        # Not started anew while it runs: a long drag must not put the writing off.
        if self._stopped:
            return
        if self._document.is_clean and self._has_entry and not self._is_typing():
            self._forget()
        elif not self._timer.isActive():
            self._timer.start()

    @Slot()
    def typed(self) -> None:
        """Something was typed: keep it within a second, though it is no step of the yard yet."""
        if not self._stopped and not self._timer.isActive() and self._is_typing():
            self._timer.start()

    def _is_typing(self) -> bool:
        return self.draft() is not self._document.yard

    @Slot()
    def _write(self) -> None:
        if self._stopped:
            return
        if self._document.is_clean and not self._is_typing():
            self._forget()
            return
        self._has_entry = True
        self._beside.ask(self._job())

    def write_now(self) -> None:
        """Write the entry before going on. Raises FileProblemError."""
        self._has_entry = True
        self._job()()

    def _job(self) -> Callable[[], object]:
        return _writing(
            self.folder, self.key, self.draft(), self._document.path, self._document.seen
        )

    def _forget(self) -> None:
        if self._has_entry:
            self._has_entry = False
            # In the same queue as the writing, so that none comes after it.
            self._beside.ask(_discarding(self.folder, self.key))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, BloomlineError):
            if not self._has_failed:
                self._has_failed = True
                self.failed.emit(str(answer))
            return
        self._has_failed = False
        self.written.emit()

    def stop(self, *, keep: bool = False) -> None:
        """End the work; the entry goes unless it is to be kept for the next start."""
        if self._stopped:
            return
        self._stopped = True
        self._timer.stop()
        self._beside.finish()  # an entry that is being written would come after it is gone
        if not keep:
            with contextlib.suppress(BloomlineError):
                discard_key(self.folder, self.key)


def _writing(
    folder: Path, key: str, yard: Yard, path: Path | None, seen: str | None
) -> Callable[[], object]:
    def work() -> object:
        return write_entry(folder, key, yard, path=path, seen=seen, now=datetime.now().astimezone())

    return work


def _discarding(folder: Path, key: str) -> Callable[[], object]:
    def work() -> object:
        discard_key(folder, key)
        return None

    return work
