"""Makes a picture of the season: what it shows, how large, and where it goes."""

from __future__ import annotations

import os
import threading
from dataclasses import replace
from datetime import date
from pathlib import Path

from PySide6.QtCore import QSize, QStandardPaths, Qt, QTimer, Slot
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.draw.base.qt import painting_font
from bloomline.errors import BloomlineError
from bloomline.ui import theme
from bloomline.ui.document import Document
from bloomline.ui.dressed import say_as
from bloomline.ui.export.choices import ChoicesPanel
from bloomline.ui.export.jobs import (
    ChartPreview,
    picturing,
    plan_chart,
    previewing,
    writing,
)
from bloomline.ui.export.preview import PreviewPane
from bloomline.ui.export.printing import print_plan, printer_for
from bloomline.ui.files.memory import Memory, ProgramSettings
from bloomline.ui.files.questions import tell_problem
from bloomline.ui.icons import icon
from bloomline.ui.page_kit import is_printer_chosen
from bloomline.ui.season_service import Beside
from bloomline.words import tr

_FOLDER_KEY = "export_folder"
_PREVIEW_MS = 60


class ExportDialog(QDialog):
    """Season chart as PNG, SVG, PDF, on the clipboard or on paper, with a live preview."""

    def __init__(
        self,
        document: Document,
        parent: QWidget | None = None,
        *,
        settings: ProgramSettings | None = None,
        today: date | None = None,
        by_first_flower: bool = False,
        to_print: bool = False,
    ) -> None:
        """by_first_flower : how the season is sorted in the window now.

        to_print : Enter prints rather than saves.
        """
        super().__init__(parent)
        self.setObjectName("export")
        painting_font()  # registers the font in this thread, before another one paints
        self._settings = settings or Memory()
        self._document = document
        self._outlook = document.outlook
        self._stop_writing = threading.Event()
        self._last: ChartPreview | None = None
        self.saved: Path | None = None
        self._previewing = Beside(self)
        self._previewing.answered.connect(self._show_preview)
        self._working = Beside(self)
        self._working.answered.connect(self._done)
        self.choices = ChoicesPanel(
            document.yard,
            settings=self._settings,
            today=today or date.today(),
            by_first_flower=by_first_flower,
            parent=self,
        )
        self.choices.changed.connect(self._soon)
        self.preview = PreviewPane(self)
        self.preview.resized.connect(self._soon)
        self.size_label = QLabel(self)
        say_as(self.size_label, "muted")
        self.size_label.setWordWrap(True)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_PREVIEW_MS)
        self._timer.timeout.connect(self._preview)
        self._lay_out()
        self.setWindowTitle(
            tr("Print the season chart") if to_print else tr("Export the season chart")
        )
        if to_print:
            self.print_button.setDefault(True)
            self.print_button.setFocus(Qt.FocusReason.OtherFocusReason)
        self.finished.connect(self.stop)
        self._soon()

    def _lay_out(self) -> None:
        self.save_button = QPushButton(icon("export"), tr("&Save picture…"), self)
        self.save_button.setObjectName("export_save")
        self.save_button.setDefault(True)
        self.save_button.clicked.connect(self.save)
        self.copy_button = QPushButton(icon("copy"), tr("&Copy picture"), self)
        self.copy_button.setObjectName("export_copy")
        self.copy_button.setAutoDefault(False)
        self.copy_button.clicked.connect(self.copy)
        self.print_button = QPushButton(icon("print"), tr("&Print…"), self)
        self.print_button.setObjectName("export_print")
        self.print_button.setAutoDefault(False)
        self.print_button.clicked.connect(self.print)
        self.close_button = QPushButton(tr("Close"), self)
        self.close_button.setObjectName("export_close")
        self.close_button.setAutoDefault(False)
        self.close_button.clicked.connect(self.reject)
        self.progress = QProgressBar(self)
        self.progress.setRange(0, 0)
        self.progress.setTextVisible(False)
        self.progress.setAccessibleName(tr("Making the picture"))
        self.progress.hide()
        self.cancel_button = QPushButton(tr("S&top"), self)
        self.cancel_button.setObjectName("export_cancel")
        self.cancel_button.setAutoDefault(False)
        self.cancel_button.clicked.connect(self._cancel)
        self.cancel_button.hide()
        self.told = QLabel(self)
        self.told.setWordWrap(True)
        self.told.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        left = QVBoxLayout()
        left.addWidget(self.choices, 1)
        left.addWidget(self.size_label)
        right = QVBoxLayout()
        right.addWidget(self.preview, 1)
        right.addWidget(self.told)
        top = QHBoxLayout()
        top.addLayout(left)
        top.addLayout(right, 1)
        bottom = QHBoxLayout()
        bottom.addWidget(self.copy_button)
        bottom.addWidget(self.print_button)
        bottom.addWidget(self.progress)
        bottom.addWidget(self.cancel_button)
        bottom.addStretch(1)
        bottom.addWidget(self.close_button)
        bottom.addWidget(self.save_button)
        em = theme.em()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(round(em), round(em), round(em), round(em))
        layout.addLayout(top, 1)
        layout.addLayout(bottom)
        wanted = QSize(round(58 * em), round(34 * em))
        self.resize(wanted.boundedTo(self.screen().availableSize() * 0.95))

    # Preview

    @Slot()
    def _soon(self) -> None:
        self._timer.start()

    @Slot()
    def _preview(self) -> None:
        wish = self.choices.wish()
        has_pots = wish.pot_ids is None or bool(wish.pot_ids)
        for button in (self.save_button, self.copy_button, self.print_button):
            button.setEnabled(has_pots and not self._is_working)
        if not has_pots:
            self._previewing.drop()
            self.preview.show_words(tr("Tick at least one pot."))
            self.size_label.clear()
            return
        self._previewing.ask(
            previewing(
                wish,
                self._outlook,
                room=self.preview.room(),
                ratio=self.preview.devicePixelRatioF(),
            )
        )

    @Slot(object)
    def _show_preview(self, answer: object) -> None:
        if isinstance(answer, ChartPreview):
            self._last = answer
            self.preview.show_image(answer.image)
            self.size_label.setText(self._size_words(answer))
        elif isinstance(answer, BloomlineError):
            self.preview.show_words(str(answer))
            self.size_label.clear()

    def _size_words(self, shown: ChartPreview) -> str:
        width_mm, height_mm = shown.paper_mm
        paper = tr("{width:.0f} × {height:.0f} mm on paper", width=width_mm, height=height_mm)
        if shown.wish.format == "png":
            across, down = shown.pixels
            pixels = tr("{across} × {down} pixels", across=across, down=down)
            return f"{pixels}, {paper}"
        if shown.wish.format == "pdf" and shown.wish.a4:
            return tr("One A4 page")
        return paper

    # Save, copy, print

    @property
    def _is_working(self) -> bool:
        return self._working.is_busy

    def _begin(self) -> None:
        self.told.clear()
        self._stop_writing = threading.Event()
        self.progress.show()
        self.cancel_button.show()
        for button in (self.save_button, self.copy_button, self.print_button):
            button.setEnabled(False)

    @Slot()
    def _cancel(self) -> None:
        self._stop_writing.set()
        self._working.drop()
        self._end(tr("Stopped; nothing was written."))

    def _end(self, words: str) -> None:
        self.progress.hide()
        self.cancel_button.hide()
        for button in (self.save_button, self.copy_button, self.print_button):
            button.setEnabled(True)
        self.told.setText(words)

    @Slot()
    def save(self) -> None:
        """Ask for a name and write the file."""
        wish = self.choices.wish()
        dialog = QFileDialog(self, tr("Save the chart"), str(self._folder()))
        dialog.setObjectName("file_dialog")
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setFileMode(QFileDialog.FileMode.AnyFile)
        dialog.setDefaultSuffix(wish.format)
        dialog.setNameFilter(f"{wish.format.upper()} (*.{wish.format})")
        dialog.selectFile(f"season-{self._document.yard.season_year}.{wish.format}")
        accepted = dialog.exec() == QDialog.DialogCode.Accepted
        chosen = dialog.selectedFiles()
        dialog.deleteLater()
        if accepted and chosen:
            self.save_to(Path(chosen[0]))

    def save_to(self, target: Path) -> None:
        """Write the file; its suffix is made to agree with the format."""
        wish = self.choices.wish()
        if target.suffix.lower() != f".{wish.format}":
            target = target.with_name(f"{target.name}.{wish.format}")
        self.choices.remember()
        self._settings.setValue(_FOLDER_KEY, os.fsdecode(target.parent))
        self._begin()
        self._working.ask(writing(wish, self._outlook, target, self._stop_writing))

    @Slot()
    def copy(self) -> None:
        """Put the picture on the clipboard."""
        self.choices.remember()
        self._begin()
        self._working.ask(picturing(self.choices.wish(), self._outlook))

    @Slot(object)
    def _done(self, answer: object) -> None:
        if isinstance(answer, Path):
            self.saved = answer
            self._end(tr("Saved {path}", path=answer))
        elif isinstance(answer, QImage):
            QGuiApplication.clipboard().setImage(answer)
            self._end(tr("The picture is on the clipboard."))
        elif isinstance(answer, BloomlineError):
            self._end("")
            tell_problem(self, tr("The picture is not made"), answer)
        else:
            self._end("")

    @Slot()
    def print(self) -> None:
        """Ask for a printer and print one page, always on light ground."""
        wish = replace(self.choices.wish(), theme="light")
        try:
            plan = plan_chart(self._outlook, wish)
            printer = printer_for(plan)
            if not is_printer_chosen(printer, self):
                return
            self.choices.remember()
            print_plan(plan, printer)
        except BloomlineError as error:
            tell_problem(self, tr("The chart is not printed"), error)
            return
        self.told.setText(tr("Sent to the printer."))

    def _folder(self) -> Path:
        kept = self._settings.value(_FOLDER_KEY)
        if isinstance(kept, str) and Path(kept).is_dir():
            return Path(kept)
        if self._document.path is not None:
            return self._document.path.parent
        place = QStandardPaths.StandardLocation.PicturesLocation
        return Path(QStandardPaths.writableLocation(place) or Path.home())

    @Slot()
    def stop(self) -> None:
        """End what runs beside; safe to call twice."""
        self._timer.stop()
        self._stop_writing.set()
        self._previewing.stop()
        self._working.stop()
