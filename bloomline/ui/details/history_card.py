"""What was seen of a layer: its records by season, and a button to note another."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QFrame,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSizePolicy,
    QWidget,
)

from bloomline.model.yard import Record, Seen
from bloomline.ui.details.cards import Card, wrapping
from bloomline.words import short_day_words, tr

_MOST = 12


class HistoryCard(Card):
    """The newest records of a layer; a click or Enter opens one."""

    record_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self.heading.setText(tr("What was seen"))
        self.heading.setVisible(True)
        self.setAccessibleName(tr("What was seen"))
        # A list and not links in a text: Shift+Tab never leaves a text with several links.
        self.lines = QListWidget(self)
        self.lines.setObjectName("history_lines")
        self.lines.setAccessibleName(tr("Records of this layer"))
        self.lines.setFrameShape(QFrame.Shape.NoFrame)
        self.lines.setWordWrap(True)
        self.lines.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.lines.setSizeAdjustPolicy(QAbstractScrollArea.SizeAdjustPolicy.AdjustToContents)
        self.lines.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        self.lines.itemActivated.connect(self._open)
        self.lines.itemClicked.connect(self._open)
        self.nothing = wrapping(tr("Nothing noted yet."), "muted", self)
        self.more = wrapping("", "muted", self)
        self.column.addWidget(self.nothing)
        self.column.addWidget(self.lines)
        self.column.addWidget(self.more)
        self.note = QPushButton(self)
        self.note.setObjectName("details_note_seen")
        self.note.hide()
        self.column.addWidget(self.note, 0, Qt.AlignmentFlag.AlignLeft)

    def offer(self, action: QAction) -> None:
        """Show the button that notes something new."""
        self.note.setText(action.text().replace("&", ""))
        keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        self.note.setToolTip(f"{self.note.text()} ({keys})")
        self.note.clicked.connect(action.trigger)
        self.note.show()

    def show_records(self, records: Sequence[Record]) -> None:
        """Show the records of a layer, the newest first."""
        self.lines.clear()
        for record in sorted(records, key=lambda each: each.day, reverse=True)[:_MOST]:
            words = f"{short_day_words(record.day, year=True)}, {self._seen(record.seen)}"
            if record.note:
                words += f"\n{record.note}"
            item = QListWidgetItem(words, self.lines)
            item.setData(Qt.ItemDataRole.UserRole, record.id)
            item.setToolTip(tr("Open this record"))
        self.nothing.setVisible(not records)
        self.lines.setVisible(bool(records))
        earlier = len(records) - _MOST
        self.more.setVisible(earlier > 0)
        self.more.setText(tr("and {count} earlier", count=earlier))

    @Slot(QListWidgetItem)
    def _open(self, item: QListWidgetItem) -> None:
        self.record_asked.emit(item.data(Qt.ItemDataRole.UserRole))

    def _seen(self, seen: Seen) -> str:
        return {
            "nose": tr("nose showing"),
            "first-flower": tr("first flower"),
            "full": tr("full flower"),
            "over": tr("over"),
        }[seen]
