"""What the full-width pages share: days in words, a notice, paper, files to choose."""

from __future__ import annotations

import re
from html import escape
from pathlib import Path

import shiboken6
from PySide6.QtCore import (
    QCoreApplication,
    QMarginsF,
    QPointF,
    QRectF,
    QSizeF,
    QStandardPaths,
    Qt,
)
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QTextDocument, QTextTable
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.draw.base.qt import painting_font
from bloomline.ui.document import Document
from bloomline.ui.dressed import CardFrame, say_as
from bloomline.ui.theme import em
from bloomline.words import tr

translate = QCoreApplication.translate

_MARGIN_MM = 15.0
_PAPER_STYLE = """
    body { color: #000000; }
    h1 { font-size: 14pt; margin-bottom: 0; }
    h2 { font-size: 10pt; margin-top: 10pt; margin-bottom: 2pt; }
    p { margin-top: 2pt; margin-bottom: 2pt; }
    td { vertical-align: top; }
    th { text-align: left; }
"""


_MOST_BROKEN_ROWS = 100
_NEW_PAGE = 'style="page-break-before: always"'
_SLACK_DOTS = 8.0  # of the printer, where a page begins a hair before its time
_FOOT_MM = 6.0


class Notice(CardFrame):
    """A sentence at the top of a page, with one button and one to close it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.button = QPushButton(self)
        self.button.setObjectName("notice_button")
        self._close = QPushButton(tr("Close"), self)
        self._close.setObjectName("notice_close")
        self._close.setAccessibleName(tr("Close this notice"))
        self._close.clicked.connect(self.hide)
        row = QHBoxLayout(self)
        gap = round(em() * 0.4)
        row.setContentsMargins(2 * gap, gap, gap, gap)
        row.addWidget(self.words, 1)
        row.addWidget(self.button)
        row.addWidget(self._close)
        self.hide()

    def tell(self, words: str, *, button: str = "") -> None:
        """Show a sentence."""
        self.words.setText(words)
        self.setAccessibleName(words)
        self.button.setText(button)
        self.button.setVisible(bool(button))
        self.show()


class EmptyState(QWidget):
    """One line that says why there is nothing, and one button."""

    def __init__(self, words: str, button: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = QLabel(words, self)
        say_as(self.words, "muted")
        self.words.setWordWrap(True)
        self.words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.button = QPushButton(button, self)
        self.button.setObjectName("empty_button")
        column = QVBoxLayout(self)
        column.addStretch(2)
        column.addWidget(self.words)
        column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addStretch(3)


def start_folder(document: Document) -> Path:
    """Where a file dialog begins: beside the yard's file, else among the documents."""
    if document.path is not None:
        return document.path.parent
    where = QStandardPaths.StandardLocation.DocumentsLocation
    return Path(QStandardPaths.writableLocation(where) or Path.home())


def ask_table_path(parent: QWidget, *, title: str, document: Document) -> Path | None:
    """Ask for a table to read; None where none was chosen."""
    name, _ = QFileDialog.getOpenFileName(
        parent,
        title,
        str(start_folder(document)),
        tr("Tables (*.csv *.tsv *.txt)") + ";;" + tr("All files (*)"),
        options=QFileDialog.Option.ReadOnly,  # no deleting or renaming from there
    )
    return Path(name) if name else None


def ask_save_path(parent: QWidget, *, title: str, proposed: Path, kind: str) -> Path | None:
    """Ask where to save a file; the suffix of the proposed one is added where none is given."""
    chosen, _ = QFileDialog.getSaveFileName(parent, title, str(proposed), kind)
    if not chosen:
        return None
    path = Path(chosen)
    return path if path.suffix else path.with_suffix(proposed.suffix)


def html_table(
    columns: tuple[str, ...],
    rows: list[tuple[str, ...]],
    *,
    widths: tuple[int, ...] = (),
    padding: int = 3,
    size_pt: float | None = None,
) -> str:
    """A table for paper; all text is escaped. widths : of the columns, in hundredths.

    padding : of the cells, in points. size_pt : of the letters; the page's own by default.
    """
    head = "".join(f"<th>{escape(name)}</th>" for name in columns)
    set_widths = [f' width="{width}%"' for width in widths] or [""] * max(map(len, rows), default=0)
    size = "" if size_pt is None else f' style="font-size: {size_pt:g}pt"'
    body = "".join(
        "<tr>"
        + "".join(
            f"<td{w}{size}>{escape(text)}</td>" for w, text in zip(set_widths, row, strict=True)
        )
        + "</tr>"
        for row in rows
    )
    top = f"<tr>{head}</tr>" if any(columns) else ""
    # Qt's rich text knows the padding of cells from the attribute only.
    return f'<table width="100%" cellspacing="0" cellpadding="{padding}">{top}{body}</table>'


def paper(html: str) -> QTextDocument:
    """A text laid out for black ink on white paper."""
    text = QTextDocument()
    font = text.defaultFont()
    font.setFamily(painting_font())
    font.setPointSizeF(9.5)
    text.setDefaultFont(font)
    text.setDefaultStyleSheet(_PAPER_STYLE)
    text.setHtml(f"<body>{html}</body>")
    return text


def laid_out(html: str, printer: QPrinter) -> QTextDocument:
    """A text on pages of the printer's, with a new page before each row that would be broken.

    Qt breaks rows of tables between their lines, and knows page breaks before whole tables only:
    the table is parted there. A row longer than a page stays as it is.
    """
    for _ in range(_MOST_BROKEN_ROWS):
        text = _on_pages(html, printer)
        broken = _first_broken_row(text, page_height=text.pageSize().height())
        if broken is None:
            break
        row = list(re.finditer("<tr>", html))[broken].start()
        begin = html.rindex("<table", 0, row)
        tag = html[begin : html.index(">", begin) + 1]
        if begin + len(tag) == row and _NEW_PAGE in tag:
            break
        new = tag if _NEW_PAGE in tag else tag.replace("<table", f"<table {_NEW_PAGE}", 1)
        if begin + len(tag) == row:
            html = html[:begin] + new + html[row:]
        else:
            html = f"{html[:row]}</table>{new}{html[row:]}"
    return text


def _on_pages(html: str, printer: QPrinter) -> QTextDocument:
    text = paper(html)
    text.documentLayout().setPaintDevice(printer)
    text.setDocumentMargin(0.0)
    foot = _FOOT_MM / 25.4 * printer.logicalDpiY()
    text.setPageSize(QSizeF(printer.width(), printer.height() - foot))
    return text


def print_text(html: str, printer: QPrinter) -> int:
    """Print a text with the number of each page at its foot; how many pages that were."""
    text = laid_out(html, printer)
    size = text.pageSize()
    painter = QPainter(printer)
    painter.setFont(text.defaultFont())
    for page in range(text.pageCount()):
        if page:
            printer.newPage()
        painter.save()
        painter.translate(0.0, -page * size.height())
        text.drawContents(painter, QRectF(QPointF(0.0, page * size.height()), size))
        painter.restore()
        foot = QRectF(0.0, size.height(), size.width(), printer.height() - size.height())
        where = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom
        painter.drawText(foot, where, f"{page + 1} / {text.pageCount()}")
    painter.end()
    return text.pageCount()


def _first_broken_row(text: QTextDocument, *, page_height: float) -> int | None:
    """The number of the first row that stands on two pages, of all rows of the text."""
    layout = text.documentLayout()
    number = 0
    for table in text.rootFrame().childFrames():
        if not isinstance(table, QTextTable):
            continue
        for row in range(table.rows()):
            pages: set[int] = set()
            for column in range(table.columns()):
                cell = table.cellAt(row, column)
                block = cell.firstCursorPosition().block()
                last = cell.lastCursorPosition().block().blockNumber()
                while block.isValid() and block.blockNumber() <= last:
                    place = layout.blockBoundingRect(block)
                    top, bottom = place.top() + _SLACK_DOTS, place.bottom() - _SLACK_DOTS
                    pages |= {int(top // page_height), int(bottom // page_height)}
                    block = block.next()
            if len(pages) > 1:
                return number
            number += 1
    return None


def new_printer(name: str) -> QPrinter:
    """A printer set to upright A4 with margins."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(name)
    printer.setCreator("bloomline")
    printer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    printer.setPageMargins(
        QMarginsF(_MARGIN_MM, _MARGIN_MM, _MARGIN_MM, _MARGIN_MM), QPageLayout.Unit.Millimeter
    )
    return printer


def ask_and_print(parent: QWidget, *, name: str, html: str) -> bool:
    """Ask for a printer and print a text; whether it was printed."""
    printer = new_printer(name)
    accepted = is_printer_chosen(printer, parent)
    if accepted:
        print_text(html, printer)
    return accepted


def is_printer_chosen(printer: QPrinter, parent: QWidget) -> bool:
    """Ask how to print with a printer; False when it is cancelled."""
    dialog = QPrintDialog(printer, parent)
    dialog.setObjectName("print_dialog")
    dialog.setWindowTitle(tr("Print"))
    try:
        return bool(dialog.exec() == QPrintDialog.DialogCode.Accepted)
    finally:
        # At once: it holds the printer, which its maker may let go on the next line.
        shiboken6.delete(dialog)
