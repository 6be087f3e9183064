"""Offers the unsaved work that a program left behind when it ended without saving."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import BloomlineError
from bloomline.files.journal import JournalEntry, discard
from bloomline.files.yardfile import digest_on_disk
from bloomline.ui import theme
from bloomline.ui.files.questions import ask_throw_away, tell_problem
from bloomline.ui.hands.plain import shown
from bloomline.words import short_day_words, tr


class RecoveryDialog(QDialog):
    """Lists what was found: Restore one, Throw away, or Later."""

    def __init__(self, entries: Sequence[JournalEntry], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("recovery")
        self.setWindowTitle(tr("Unsaved work was found"))
        self.chosen: JournalEntry | None = None
        self._entries = list(entries)
        head = QLabel(
            tr(
                "bloomline ended without saving. This work was kept; nothing on disk has been "
                "altered."
            ),
            self,
        )
        head.setWordWrap(True)
        self.list = QListWidget(self)
        self.list.setObjectName("recovery_list")
        self.list.setAccessibleName(tr("Unsaved work"))
        self.list.setAlternatingRowColors(True)
        self.list.setWordWrap(True)
        self.list.currentRowChanged.connect(self._refresh)
        self.list.itemActivated.connect(self._restore)
        self.restore_button = QPushButton(tr("&Restore"), self)
        self.restore_button.setObjectName("restore")
        self.restore_button.setDefault(True)
        self.restore_button.clicked.connect(self._restore)
        self.throw_button = QPushButton(tr("&Throw away"), self)
        self.throw_button.setObjectName("throw_away")
        self.throw_button.setAutoDefault(False)
        self.throw_button.clicked.connect(self._throw_away)
        later = QPushButton(tr("&Later"), self)
        later.setObjectName("later")
        later.setAutoDefault(False)
        later.setToolTip(tr("Keep it all and ask at the next start"))
        later.clicked.connect(self.reject)
        row = QHBoxLayout()
        row.addWidget(self.throw_button)
        row.addStretch(1)
        row.addWidget(later)
        row.addWidget(self.restore_button)
        layout = QVBoxLayout(self)
        layout.addWidget(head)
        layout.addWidget(self.list, 1)
        layout.addLayout(row)
        em = theme.em()
        self.resize(round(30 * em), round(16 * em))
        for entry in self._entries:
            name, more = self.words_of(entry)
            self.list.addItem(QListWidgetItem(f"{shown(name)}\n{shown(more)}"))
        self.list.setCurrentRow(0)
        self.list.setFocus()

    def words_of(self, entry: JournalEntry) -> tuple[str, str]:
        """What an entry is called, and when it was written and what became of its file."""
        if entry.path is not None:
            name = str(entry.path)
        elif entry.yard is not None:
            name = tr("{name} (never saved)", name=entry.yard.name)
        else:
            name = entry.journal_file.name
        parts = []
        if entry.written is not None:
            moment = entry.written.astimezone()
            when = f"{short_day_words(moment, year=True)} {moment:%H:%M}"
            parts.append(tr("left on {when}", when=when))
        if entry.yard is None:
            parts.append(tr("damaged: {problem}", problem=entry.problem))
        elif entry.path is not None:
            parts.append(self._state_of_file(entry))
        return name, " · ".join(part for part in parts if part)

    def _state_of_file(self, entry: JournalEntry) -> str:
        assert entry.path is not None
        try:
            now = digest_on_disk(entry.path)
        except BloomlineError:
            return tr("the file can't be read now")
        if now is None:
            return tr("the file is gone")
        if entry.seen is not None and now != entry.seen:
            return tr("the file has been changed since")
        return tr("the file is as it was")

    def _current(self) -> JournalEntry | None:
        row = self.list.currentRow()
        return self._entries[row] if 0 <= row < len(self._entries) else None

    @Slot()
    def _refresh(self) -> None:
        entry = self._current()
        self.restore_button.setEnabled(entry is not None and entry.yard is not None)
        self.throw_button.setEnabled(entry is not None)

    @Slot()
    def _restore(self) -> None:
        entry = self._current()
        if entry is not None and entry.yard is not None:
            self.chosen = entry
            self.accept()

    @Slot()
    def _throw_away(self) -> None:
        entry = self._current()
        if entry is None or not ask_throw_away(self, name=self.words_of(entry)[0]):
            return
        try:
            discard(entry)
        except BloomlineError as error:
            tell_problem(self, tr("It can't be removed"), error)
            return
        row = self.list.currentRow()
        del self._entries[row]
        self.list.takeItem(row)
        if not self._entries:
            self.reject()
        self._refresh()
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)
