"""What was seen of a layer: its records by season, and a button to note another."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from bloomline.model.yard import Record, Seen
from bloomline.ui.details.cards import Card
from bloomline.ui.details.words import full_day_words

_MOST = 12


class HistoryCard(Card):
    """The newest records of a layer; each is a link that opens it."""

    record_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self.heading.setText(self.tr("What was seen"))
        self.heading.setVisible(True)
        self.setAccessibleName(self.tr("What was seen"))
        self.lines = QLabel(self)
        self.lines.setObjectName("history_lines")
        self.lines.setWordWrap(True)
        self.lines.setTextFormat(Qt.TextFormat.RichText)
        self.lines.setTextInteractionFlags(
            Qt.TextInteractionFlag.LinksAccessibleByMouse
            | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
        )
        self.lines.linkActivated.connect(self.record_asked)
        self.column.addWidget(self.lines)
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
        lines = []
        for record in sorted(records, key=lambda each: each.day, reverse=True)[:_MOST]:
            words = f"{full_day_words(record.day)}, {self._seen(record.seen)}"
            line = f'<a href="{escape(record.id)}">{escape(words)}</a>'
            if record.note:
                line += f"<br>{escape(record.note)}"
            lines.append(line)
        if len(records) > _MOST:
            lines.append(escape(self.tr("and {count} earlier").format(count=len(records) - _MOST)))
        self.lines.setText("<br>".join(lines) if lines else escape(self.tr("Nothing noted yet.")))
        # Without a link there is nothing that the keyboard could reach.
        reach = Qt.FocusPolicy.StrongFocus if lines else Qt.FocusPolicy.NoFocus
        self.lines.setFocusPolicy(reach)
        self.lines.setAccessibleName(self.tr("Records of this layer"))

    def _seen(self, seen: Seen) -> str:
        return {
            "nose": self.tr("nose showing"),
            "first-flower": self.tr("first flower"),
            "full": self.tr("full flower"),
            "over": self.tr("over"),
        }[seen]
