"""Help in a window of its own: first steps, keys, how dates arise, cautions, sources."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import QEvent, QSize, Qt, Slot
from PySide6.QtGui import QColor, QKeySequence, QShortcut, QTextCursor
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QTextBrowser,
    QTextEdit,
    QVBoxLayout,
    QWidget,
)

from bloomline.ui import theme
from bloomline.ui.dressed import say_as
from bloomline.ui.help.content import KeyGroup, Section, sections
from bloomline.words import tr

_MOST_MARKS = 200


class HelpPage(QDialog):
    """Shows the help beside the window; typing finds words in it."""

    def __init__(self, groups: Sequence[KeyGroup], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("help")
        self.setWindowTitle(tr("Help"))
        self._sections = sections(groups)
        self.search = QLineEdit(self)
        self.search.setObjectName("help_search")
        self.search.setPlaceholderText(tr("Find in the help"))
        self.search.setAccessibleName(tr("Find in the help"))
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self._find)
        self.search.returnPressed.connect(self.find_next)
        self.found = QLabel(self)
        say_as(self.found, "muted")
        self.list = QListWidget(self)
        self.list.setObjectName("help_sections")
        self.list.setAccessibleName(tr("Sections"))
        for section in self._sections:
            self.list.addItem(section.title)
        self.list.currentRowChanged.connect(self._go)
        self.text = QTextBrowser(self)
        self.text.setObjectName("help_text")
        self.text.setOpenExternalLinks(False)
        self.text.setAccessibleName(tr("Help"))
        self.text.setTabChangesFocus(True)
        close = QPushButton(tr("Close"), self)
        close.setObjectName("help_close")
        close.setAutoDefault(False)
        close.clicked.connect(self.close)
        QShortcut(QKeySequence(QKeySequence.StandardKey.Find), self, self._focus_search)
        QShortcut(QKeySequence(QKeySequence.StandardKey.FindNext), self, self.find_next)
        em = theme.em()
        self.list.setMaximumWidth(round(13 * em))
        top = QHBoxLayout()
        top.addWidget(self.search, 1)
        top.addWidget(self.found)
        middle = QHBoxLayout()
        middle.addWidget(self.list)
        middle.addWidget(self.text, 1)
        bottom = QHBoxLayout()
        bottom.addStretch(1)
        bottom.addWidget(close)
        layout = QVBoxLayout(self)
        layout.addLayout(top)
        layout.addLayout(middle, 1)
        layout.addLayout(bottom)
        wanted = QSize(round(46 * em), round(34 * em))
        self.resize(wanted.boundedTo(self.screen().availableSize() * 0.95))
        self._fill()
        self.list.setCurrentRow(0)
        self.search.setFocus(Qt.FocusReason.OtherFocusReason)

    def _fill(self) -> None:
        self.text.setHtml("".join(html_of(section) for section in self._sections))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "text"):
            self._find(self.search.text())

    @Slot()
    def _focus_search(self) -> None:
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    @Slot(int)
    def _go(self, row: int) -> None:
        if 0 <= row < len(self._sections):
            self.text.scrollToAnchor(self._sections[row].id)

    @Slot(str)
    def _find(self, text: str) -> None:
        """Mark all places of the text, and go to the first."""
        wanted = text.strip()
        marks: list[QTextEdit.ExtraSelection] = []
        tone = theme.tone_of(theme.current_theme())
        if wanted:
            document = self.text.document()
            cursor = document.find(wanted)
            while not cursor.isNull() and len(marks) < _MOST_MARKS:
                mark = QTextEdit.ExtraSelection()
                mark.cursor = cursor
                mark.format.setBackground(QColor(tone.accent))
                mark.format.setForeground(QColor(tone.on_accent))
                marks.append(mark)
                cursor = document.find(wanted, cursor)
        self.text.setExtraSelections(marks)
        self.text.moveCursor(QTextCursor.MoveOperation.Start)
        if not wanted:
            self.found.clear()
        elif not marks:
            self.found.setText(tr("not found"))
        else:
            count = len(marks)
            words = tr("1 place") if count == 1 else tr("{n} places", n=count)
            self.found.setText(words)
            self.text.find(wanted)

    @Slot()
    def find_next(self) -> None:
        """Go to the next place, round again at the end."""
        wanted = self.search.text().strip()
        if wanted and not self.text.find(wanted):
            self.text.moveCursor(QTextCursor.MoveOperation.Start)
            self.text.find(wanted)


def html_of(section: Section) -> str:
    """A section as rich text."""
    body = "".join(
        each if each.startswith("<table") else f"<p>{each}</p>" for each in section.paragraphs
    )
    return f'<h3><a name="{section.id}">{escape(section.title)}</a></h3>{body}'
