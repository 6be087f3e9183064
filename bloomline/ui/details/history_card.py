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
from bloomline.ui.details.words import full_day_words

_MOST = 12


class HistoryCard(Card):
    """The newest records of a layer; a click or Enter opens one."""

    record_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self.heading.setText(self.tr("What was seen"))
        self.heading.setVisible(True)
        self.setAccessibleName(self.tr("What was seen"))
        # A list and not links in a text: Shift+Tab never leaves a text with several links.
        self.lines = QListWidget(self)
        self.lines.setObjectName("history_lines")
        self.lines.setAccessibleName(self.tr("Records of this layer"))
        self.lines.setFrameShape(QFrame.Shape.NoFrame)
        self.lines.setWordWrap(True)
        self.lines.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.lines.setSizeAdjustPolicy(QAbstractScrollArea.SizeAdjustPolicy.AdjustToContents)
        self.lines.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        self.lines.itemActivated.connect(self._open)
        self.lines.itemClicked.connect(self._open)
        self.nothing = wrapping(self.tr("Nothing noted yet."), "muted", self)
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
            words = f"{full_day_words(record.day)}, {self._seen(record.seen)}"
            if record.note:
                words += f"\n{record.note}"
            item = QListWidgetItem(words, self.lines)
            item.setData(Qt.ItemDataRole.UserRole, record.id)
            item.setToolTip(self.tr("Open this record"))
        self.nothing.setVisible(not records)
        self.lines.setVisible(bool(records))
        earlier = len(records) - _MOST
        self.more.setVisible(earlier > 0)
        self.more.setText(self.tr("and {count} earlier").format(count=earlier))

    @Slot(QListWidgetItem)
    def _open(self, item: QListWidgetItem) -> None:
        self.record_asked.emit(item.data(Qt.ItemDataRole.UserRole))

    def _seen(self, seen: Seen) -> str:
        return {
            "nose": self.tr("nose showing"),
            "first-flower": self.tr("first flower"),
            "full": self.tr("full flower"),
            "over": self.tr("over"),
        }[seen]
