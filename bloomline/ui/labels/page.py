"""The page of labels: what to print, how it looks, and the finder of lost names."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMarginsF, Qt, QTimer, Slot
from PySide6.QtGui import (
    QAction,
    QGuiApplication,
    QHideEvent,
    QPageLayout,
    QPageSize,
    QShowEvent,
)
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.draw.base.qt import painting_font
from bloomline.draw.paper.label_export import pages_title
from bloomline.errors import BloomlineError, StoppedError
from bloomline.plan.season.outlook import Outlook
from bloomline.reference.label_sheets import label_sheet
from bloomline.ui import theme
from bloomline.ui.document import Document
from bloomline.ui.dressed import Splitter, say_as
from bloomline.ui.export.preview import PreviewPane
from bloomline.ui.labels.choices import LabelChoices
from bloomline.ui.labels.finder_box import FinderBox
from bloomline.ui.labels.jobs import (
    CARD_PAPERS,
    Copied,
    Found,
    PagePreview,
    WrittenPages,
    copying,
    finding,
    pages_of,
    previewing,
    print_pages,
    writing,
)
from bloomline.ui.page_commands import action_of, with_keys
from bloomline.ui.page_kit import is_printer_chosen
from bloomline.ui.progress import WorkingRow
from bloomline.ui.season_service import Beside, SeasonService
from bloomline.words import tr

_SOON_MS = 60
_PAGE_SIZES = {
    "a5": QPageSize.PageSizeId.A5,
    "a4": QPageSize.PageSizeId.A4,
    "letter": QPageSize.PageSizeId.Letter,
}


class LabelsPage(QWidget):
    """Labels of the open yard on paper, and which flower is which."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("labels_page")
        painting_font()  # registers the font in this thread, before another one paints
        self._document = document
        self._service = service
        self._stopped = False
        self._place = 0
        self._count = 0
        self._drawn = ""  # what the page on show is of: labels, or cards of a size
        self._previewing = Beside(self)
        self._previewing.answered.connect(self._show_preview)
        self._working = Beside(self)
        self._working.answered.connect(self._done)
        self._finding = Beside(self)
        self._finding.answered.connect(self._show_found)
        self.choices = LabelChoices(self)
        self.preview = PreviewPane(self)
        self.preview.setAccessibleName(tr("Preview of the page"))
        self.finder = FinderBox(self)
        self.status = QLabel(self)
        say_as(self.status, "muted")
        self.status.setWordWrap(True)
        self.working_row = WorkingRow(
            self, name="labels", what=tr("Writing pages"), stop=tr("Stop writing pages")
        )
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_SOON_MS)
        self._timer.timeout.connect(self._ask_preview)
        self._make_actions()
        self._lay_out()
        self.choices.changed.connect(self._soon)
        self.preview.resized.connect(self._soon)
        self.finder.asked.connect(self._find)
        self.finder.chosen.connect(self._select)
        document.yard_changed.connect(self._take_yard)
        service.report_ready.connect(self._take_report)
        self._update_buttons()

    def _make_actions(self) -> None:
        self._save = action_of("action_save_labels", self)
        self._save.triggered.connect(self.save)
        self._print = action_of("action_print_labels", self)
        self._print.triggered.connect(self.print_labels)
        self._copy = action_of("action_copy_labels", self)
        self._copy.triggered.connect(self.copy)
        self.addActions([self._save, self._print, self._copy])

    def actions(self) -> list[QAction]:
        """What this page can do."""
        return [self._save, self._print, self._copy]

    def _lay_out(self) -> None:
        def button(name: str, text: str, action: QAction) -> QPushButton:
            made = QPushButton(text, self)
            made.setObjectName(name)
            made.setToolTip(with_keys(action))
            made.clicked.connect(action.trigger)
            return made

        self.save_button = button("labels_save", tr("Save…"), self._save)
        self.print_button = button("labels_print", tr("Print…"), self._print)
        self.copy_button = button("labels_copy", tr("Copy"), self._copy)
        self.back = QPushButton(tr("Previous"), self)
        self.back.setObjectName("labels_back")
        self.back.setAccessibleName(tr("Previous page"))
        self.back.clicked.connect(self._go_back)
        self.on = QPushButton(tr("Next"), self)
        self.on.setObjectName("labels_on")
        self.on.setAccessibleName(tr("Next page"))
        self.on.clicked.connect(self._go_on)
        self.page_label = QLabel(self)
        self.page_label.setAlignment(Qt.AlignmentFlag.AlignCenter)
        left = QWidget(self)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.choices, 1)
        row = QHBoxLayout()
        row.setContentsMargins(11, 0, 11, 0)
        for each in (self.save_button, self.print_button, self.copy_button):
            row.addWidget(each)
        column.addLayout(row)
        self.status.setContentsMargins(11, 0, 11, 11)
        column.addWidget(self.working_row)
        column.addWidget(self.status)
        middle = QWidget(self)
        pages = QVBoxLayout(middle)
        pages.addWidget(self.preview, 1)
        turning = QHBoxLayout()
        turning.addWidget(self.back)
        turning.addWidget(self.page_label, 1)
        turning.addWidget(self.on)
        pages.addLayout(turning)
        split = Splitter(Qt.Orientation.Horizontal, self)
        for part in (left, middle, self.finder):
            split.addWidget(part)
        em = theme.em()
        split.setSizes([round(19 * em), round(38 * em), round(22 * em)])
        split.setStretchFactor(1, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(split)

    # What comes in

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        self._timer.stop()
        super().hideEvent(event)

    @Slot()
    def refresh(self) -> None:
        """Show the yard as it is now."""
        self.choices.show_yard(self._document.yard)
        self.finder.show_yard(self._document.yard, self._document.day)
        self._soon()
        self._find()

    @Slot(object)
    def _take_yard(self, _yard: object) -> None:
        if self.isVisible():
            self.choices.show_yard(self._document.yard)
            self.finder.show_yard(self._document.yard, self._document.day)

    @Slot(object)
    def _take_report(self, _report: object) -> None:
        if self.isVisible():
            self.refresh()

    def _outlook(self) -> Outlook | None:
        """What is printed: all weather years, once the season stands."""
        return None if self._service.report is None else self._document.outlook.usual

    # The preview

    @Slot()
    def _soon(self) -> None:
        if self.isVisible() and not self._stopped:
            self._timer.start()

    @Slot()
    def _ask_preview(self) -> None:
        outlook = self._outlook()
        if outlook is None:
            self._show_nothing(tr("The season is being worked out…"))
            return
        wish = self.choices.wish()
        if wish.what != self._drawn:  # never labels under the word cards
            # The buttons stay: they don't need the page on show, and one has the keyboard.
            self._previewing.drop()
            self.preview.show_words(tr("The pages are being drawn…"))
            self.page_label.clear()
            self._place, self._drawn = 0, wish.what
        job = previewing(
            outlook,
            wish,
            self._place,
            room=self.preview.room(),
            ratio=self.devicePixelRatioF(),
        )
        self._previewing.ask(job)

    @Slot(object)
    def _show_preview(self, answer: object) -> None:
        if isinstance(answer, PagePreview) and answer.image is not None:
            self._place, self._count = answer.place, answer.count
            self.preview.show_image(answer.image)
            self.page_label.setText(
                tr("Page {page} of {pages}", page=answer.place + 1, pages=answer.count)
            )
            self._update_buttons()
        elif isinstance(answer, BloomlineError):
            self._show_nothing(str(answer))
        else:
            self._show_nothing(
                tr("Tick a pot with bulbs in it, and its labels show here.")
                if any(pot.layers for pot in self._document.yard.pots)
                else tr("No bulbs are planted yet. Plant some on the yard's page first.")
            )

    def _show_nothing(self, words: str) -> None:
        self._drawn = ""
        self._place = self._count = 0
        self.preview.show_words(words)
        self.page_label.clear()
        self._update_buttons()

    def _update_buttons(self) -> None:
        ready = self._count > 0
        for action in self.actions():
            action.setEnabled(ready)
        for button in (self.save_button, self.print_button, self.copy_button):
            button.setEnabled(ready)
        self.back.setEnabled(self._place > 0)
        self.on.setEnabled(self._place + 1 < self._count)

    @Slot()
    def _go_back(self) -> None:
        self._place = max(0, self._place - 1)
        self._soon()

    @Slot()
    def _go_on(self) -> None:
        self._place = min(self._place + 1, max(self._count - 1, 0))
        self._soon()

    # What goes out

    @Slot()
    def save(self) -> None:
        """Ask for a file and write the labels."""
        kinds = ";;".join((tr("PDF (*.pdf)"), tr("PNG (*.png)"), tr("SVG (*.svg)")))
        if self.choices.wish().what in CARD_PAPERS:
            title, usual = tr("Save planting cards"), "cards.pdf"
        else:
            title, usual = tr("Save labels"), "labels.pdf"
        name, _ = QFileDialog.getSaveFileName(self, title, usual, kinds)
        if name:
            path = Path(name)
            self.save_to(path if path.suffix else path.with_suffix(".pdf"))

    def save_to(self, path: Path) -> None:
        """Write the labels beside the window."""
        outlook = self._outlook()
        if outlook is not None:
            self.status.setText(tr("Writing…"))
            progress = self.working_row.begin()
            self._working.ask(writing(outlook, self.choices.wish(), path, progress=progress))

    @Slot()
    def copy(self) -> None:
        """Put the page on show onto the clipboard."""
        outlook = self._outlook()
        if outlook is not None:
            self._working.ask(copying(outlook, self.choices.wish(), self._place))

    @Slot()
    def print_labels(self) -> None:
        """Ask for a printer and print at true size."""
        outlook = self._outlook()
        if outlook is None:
            return
        wish = self.choices.wish()
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        paper = CARD_PAPERS.get(wish.what, label_sheet(wish.sheet_id).paper.lower())
        size = _PAGE_SIZES[paper]
        printer.setPageSize(QPageSize(size))
        printer.setFullPage(True)
        printer.setPageMargins(QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Millimeter)
        if not is_printer_chosen(printer, self):
            return
        try:
            pages = pages_of(outlook, wish)
            printer.setDocName(pages_title(pages, yard_name=outlook.yard.name))
            print_pages(pages, printer)
        except BloomlineError as error:
            self.status.setText(str(error))

    @Slot(object)
    def _done(self, answer: object) -> None:
        if isinstance(answer, StoppedError) and not self.working_row.is_cancelled:
            return  # newer work is under way
        self.working_row.hide()
        if isinstance(answer, StoppedError):
            self.status.setText(tr("Stopped before the end."))
        elif isinstance(answer, WrittenPages):
            names = ", ".join(path.name for path in answer.paths)
            self.status.setText(tr("Saved {names}.", names=names))
        elif isinstance(answer, Copied):
            QGuiApplication.clipboard().setImage(answer.image)
            self.status.setText(tr("The page is on the clipboard."))
        else:
            self.status.setText(str(answer))

    # The finder

    @Slot()
    def _find(self) -> None:
        outlook, seen = self._outlook(), self.finder.seen()
        if outlook is None or self._stopped:
            return
        if seen.is_empty:
            self._finding.drop()
            self.finder.show_words(tr("Choose a colour or anything else that you see."))
        else:
            self._finding.ask(finding(outlook, seen))

    @Slot(object)
    def _show_found(self, answer: object) -> None:
        if isinstance(answer, Found):
            if not self.finder.seen().is_empty:
                self.finder.show_found(answer.candidates)
        else:
            self.finder.show_words(str(answer))

    @Slot(str)
    def _select(self, layer_id: str) -> None:
        if any(layer.id == layer_id for _, layer in self._document.yard.layers()):
            self._document.select(layer_id=layer_id)

    def stop(self) -> None:
        """End the work beside the window."""
        if not self._stopped:
            self._stopped = True
            self._timer.stop()
            self.working_row.drop()
            for each in (self._previewing, self._working, self._finding):
                each.stop()
