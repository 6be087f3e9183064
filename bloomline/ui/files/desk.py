"""New, open, save and all that keeps a gardener's work from being lost."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QObject, QProcess, QStandardPaths, Signal, Slot
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QDialog, QFileDialog, QWidget

from bloomline.errors import BloomlineError
from bloomline.files.journal import JournalEntry, discard, find_recoverable
from bloomline.files.yardfile import SUFFIX, ChangedOnDiskError, load_yard, save_yard
from bloomline.model.yard import Yard
from bloomline.ui.document import Document
from bloomline.ui.files import questions
from bloomline.ui.files.dropping import handle_file_drop
from bloomline.ui.files.keeper import JournalKeeper
from bloomline.ui.files.memory import Memory, ProgramSettings
from bloomline.ui.files.menu import RecentMenu
from bloomline.ui.files.names import file_stem, same_file
from bloomline.ui.files.questions import Answer, tell_problem, waiting
from bloomline.ui.files.recent import RecentFiles
from bloomline.ui.files.recovery import RecoveryDialog
from bloomline.ui.files.watch import FileWatch
from bloomline.ui.hands.typing import commit_pending, is_pending
from bloomline.ui.icons import icon
from bloomline.words import tr

__all__ = ["FileDesk", "handle_file_drop"]

Where = Literal["ask", "here"]


class FileDesk(QObject):
    """Files of one window. The window asks `maybe_close` before it closes, then calls `stop`."""

    told = Signal(str)
    """A short message for the status line."""

    def __init__(
        self,
        document: Document,
        window: QWidget,
        *,
        settings: ProgramSettings | None = None,
        state: Path | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._window = window
        self._is_asking = False
        self._is_stopped = False
        self._settings = settings or Memory()
        self.recent = RecentFiles(self._settings)
        self.keeper = JournalKeeper(document, folder=state, parent=self)
        self.keeper.failed.connect(self._tell_journal)
        self._watch = FileWatch(document, window, self)
        self._watch.changed.connect(self._file_changed)
        self._watch.gone.connect(self._file_gone)
        self._make_actions()
        self.recent_menu = RecentMenu(self.recent, window)
        self.recent_menu.chosen.connect(self.open_recent)
        document.undo_stack.cleanChanged.connect(self.refresh)
        document.file_changed.connect(self.refresh)
        self.refresh()

    # Actions

    def _make_actions(self) -> None:
        def action(
            name: str, text: str, picture: str, key: QKeySequence | QKeySequence.StandardKey | None
        ) -> QAction:
            made = QAction(text, self)
            made.setObjectName(f"action_{name}")
            made.setIcon(icon(picture))
            if key is not None:
                made.setShortcut(QKeySequence(key))
            return made

        keys = QKeySequence.StandardKey
        self.action_new = action("new_yard", tr("&New yard…"), "new", keys.New)
        self.action_open = action("open", tr("&Open…"), "open", keys.Open)
        self.action_save = action("save", tr("&Save"), "save", keys.Save)
        self.action_save_as = action(
            "save_as", tr("Save &as…"), "save-as", QKeySequence("Ctrl+Shift+S")
        )
        self.action_revert = action("revert", tr("&Go back to the saved yard"), "revert", None)
        self.action_new.triggered.connect(self.new_yard)
        self.action_open.triggered.connect(self.open)
        self.action_save.triggered.connect(self.save)
        self.action_save_as.triggered.connect(self.save_as)
        self.action_revert.triggered.connect(self.revert)
        self.action_new.setToolTip(
            tr("Begin a yard: place, pots, wishes, then whole pots of layers to choose from")
        )
        self.action_open.setToolTip(tr("Open a yard file"))
        self.action_save.setToolTip(tr("Save the yard"))
        self.action_save_as.setToolTip(tr("Save the yard under another name"))
        self.action_revert.setToolTip(tr("Throw the changes since the last save away"))

    def actions(self) -> list[QAction]:
        """What the window puts into its menu, in order, Open recent as a submenu."""
        return [
            self.action_new,
            self.action_open,
            self.recent_menu.menuAction(),
            self.action_save,
            self.action_save_as,
            self.action_revert,
        ]

    @Slot()
    @Slot(bool)
    def refresh(self, _clean: bool = True) -> None:
        """Offer to save and to go back where there is something to save."""
        if self._is_stopped:
            return  # the undo stack tells of its own end
        saved = self._document.path is not None
        self.action_revert.setEnabled(saved and self.is_unsaved)
        # A yard without a file can always be saved.
        self.action_save.setEnabled(self.is_unsaved or not saved)

    @property
    def is_unsaved(self) -> bool:
        """Whether closing now would lose something, half typed or not saved."""
        return not self._document.is_clean or is_pending(self._window)

    # New and open

    @Slot()
    def new_yard(self) -> bool:
        """Ask about unsaved changes, then guide through a first yard."""
        from bloomline.ui.files.guide import FirstYardGuide

        if not self._may_leave():
            return False
        guide = FirstYardGuide(self._document.outlook, parent=self._window)
        try:
            made = guide.yard() if guide.exec() == QDialog.DialogCode.Accepted else None
        finally:
            guide.stop()
            guide.deleteLater()
        if made is None:
            return False
        self.take_unsaved(made)
        return True

    def take_unsaved(
        self, yard: Yard, *, path: Path | None = None, seen: str | None = None
    ) -> None:
        """Show a yard that lies in no file yet: there is nothing to undo, but to save."""
        self._document.replace(yard, path=path, seen=seen)
        self._document.undo_stack.resetClean()
        self.refresh()

    @Slot()
    def open(self) -> bool:
        """Ask for a file and open it."""
        dialog = self._file_dialog(tr("Open a yard"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.setOption(QFileDialog.Option.ReadOnly)  # no deleting or renaming from there
        chosen = self._ask_file(dialog)
        return chosen is not None and self.open_path(chosen)

    @Slot(str)
    def open_recent(self, path: str) -> None:
        """Open a file that was open lately."""
        self.open_path(Path(path))

    def open_path(self, path: Path, *, where: Where = "ask") -> bool:
        """Open a file, here or (when a yard is open already) as is asked.

        Returns whether the yard is now open in this window.
        """
        path = Path(os.path.abspath(path))
        commit_pending(self._window)
        if self._document.path is not None and same_file(path, self._document.path):
            self._watch.check()
            self.told.emit(tr("{name} is open here.", name=path.name))
            return True
        if where == "ask" and self._is_taken():
            answer = questions.ask_where(self._window, path=path, title=self._document.title)
            if answer is Answer.ELSEWHERE:
                self._open_elsewhere(path)
            if answer is not Answer.HERE:
                return False
        if not self._may_leave():
            return False
        return self._load(path)

    def _is_taken(self) -> bool:
        return self._document.path is not None or self.is_unsaved

    def _load(self, path: Path) -> bool:
        try:
            with waiting():
                loaded = load_yard(path)
        except BloomlineError as error:
            self._tell(tr("The yard can't be opened"), error)
            return False
        self._document.replace(loaded.yard, path=path, seen=loaded.digest)
        self.recent.add(path)
        return True

    def _open_elsewhere(self, path: Path) -> None:
        command = ["-m", "bloomline", str(path)]
        started = QProcess.startDetached(sys.executable, command)
        ok = started[0] if isinstance(started, tuple) else started
        if not ok:
            self.told.emit(tr("Another window can't be started; open it in this one."))

    @Slot()
    def revert(self) -> bool:
        """Go back to what the file holds, after asking."""
        commit_pending(self._window)
        path = self._document.path
        if path is None:
            return False
        if self.is_unsaved and questions.ask_revert(self._window, path=path) is not Answer.DISCARD:
            return False
        return self._load(path)

    # Save

    @Slot()
    def save(self) -> bool:
        """Save into the yard's file, or ask for one. Returns whether it is saved."""
        commit_pending(self._window)
        path = self._document.path
        if path is None:
            return self.save_as()
        return self._write(path, seen=self._document.seen)

    @Slot()
    def save_as(self) -> bool:
        """Ask for a name and save under it."""
        commit_pending(self._window)
        dialog = self._file_dialog(tr("Save the yard"))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setFileMode(QFileDialog.FileMode.AnyFile)
        dialog.setDefaultSuffix(SUFFIX.removeprefix("."))
        here = self._document.path
        dialog.selectFile(here.name if here else f"{file_stem(self._document.yard.name)}{SUFFIX}")
        chosen = self._ask_file(dialog)
        return chosen is not None and self._write(chosen, seen=None)

    def _write(self, path: Path, *, seen: str | None) -> bool:
        try:
            with waiting():
                digest = save_yard(path, self._document.yard, seen=seen)
        except ChangedOnDiskError:
            return self._settle(path)
        except BloomlineError as error:
            self._tell(tr("The yard is not saved"), error)
            return False
        self._document.saved_as(path, digest)
        self.recent.add(path)
        self.told.emit(tr("Saved {name}.", name=path.name))
        return True

    def _settle(self, path: Path) -> bool:
        with self._asking():
            answer = questions.ask_overwrite_changed(self._window, path=path)
        if answer is Answer.OVERWRITE:
            return self._write(path, seen=None)
        if answer is Answer.SAVE_AS:
            return self.save_as()
        if answer is Answer.RELOAD:
            return self._load(path)
        return False

    # Unsaved changes

    def maybe_close(self) -> bool:
        """Ask about unsaved changes; whether the window may close."""
        return self._may_leave()

    def _may_leave(self) -> bool:
        commit_pending(self._window)
        if not self.is_unsaved:
            return True
        answer = questions.ask_unsaved(self._window, title=self._document.title)
        if answer is Answer.SAVE:
            return self.save()
        return answer is Answer.DISCARD

    # What happens on disk

    @Slot(str)
    def _file_changed(self, _digest: str) -> None:
        path = self._document.path
        if path is None or self._is_asking:
            return
        commit_pending(self._window)
        with self._asking():
            answer = questions.ask_reload(self._window, path=path, unsaved=self.is_unsaved)
        if answer is Answer.RELOAD:
            self._load(path)
        else:
            # What is here is no longer what the file holds; saving will ask again.
            self._document.undo_stack.resetClean()
            self.refresh()

    @Slot()
    def _file_gone(self) -> None:
        self._document.undo_stack.resetClean()
        self.refresh()
        self.told.emit(
            tr("{name} is gone from the disk; save to put it back.", name=self._document.title)
        )

    # Recovery

    def offer_recovery(self) -> bool:
        """Offer what a killed program left; whether something was restored into this window."""
        entries = find_recoverable(self.keeper.folder)
        if not entries:
            return False
        dialog = RecoveryDialog(entries, self._window)
        dialog.exec()
        chosen = dialog.chosen
        dialog.deleteLater()
        if chosen is None or not self._may_leave():
            return False
        return self._restore(chosen)

    def _restore(self, entry: JournalEntry) -> bool:
        if entry.yard is None:
            return False
        self.take_unsaved(entry.yard, path=entry.path, seen=entry.seen)
        try:
            # The new entry is on disk before the old one goes.
            self.keeper.write_now()
            discard(entry)
        except BloomlineError as error:
            self._tell_journal(str(error))
        self.told.emit(tr("Restored; save it to keep it."))
        return True

    @Slot(str)
    def _tell_journal(self, words: str) -> None:
        self.told.emit(tr("Work is not being kept against a crash: {why}", why=words))

    # Small things

    @contextlib.contextmanager
    def _asking(self) -> Iterator[None]:
        self._is_asking = True
        try:
            yield
        finally:
            self._is_asking = False

    def _tell(self, head: str, error: BloomlineError) -> None:
        tell_problem(self._window, head, error)

    def _file_dialog(self, title: str) -> QFileDialog:
        dialog = QFileDialog(self._window, title, str(self._folder()))
        dialog.setObjectName("file_dialog")
        dialog.setNameFilters(
            [
                tr("Yards (*{suffix})", suffix=SUFFIX),
                tr("All files (*)"),
            ]
        )
        return dialog

    def _folder(self) -> Path:
        if self._document.path is not None:
            return self._document.path.parent
        for path in self.recent.paths():
            if path.parent.is_dir():
                return path.parent
        place = QStandardPaths.StandardLocation.DocumentsLocation
        return Path(QStandardPaths.writableLocation(place) or Path.home())

    def _ask_file(self, dialog: QFileDialog) -> Path | None:
        accepted = dialog.exec() == QDialog.DialogCode.Accepted
        chosen = dialog.selectedFiles()
        dialog.deleteLater()
        return Path(chosen[0]) if accepted and chosen else None

    def stop(self, *, keep_journal: bool = False) -> None:
        """End what runs beside the window; safe to call twice."""
        self._is_stopped = True
        self._watch.stop()
        self.keeper.stop(keep=keep_journal)
