"""The page Stage: the yard's places at the left, who stands there over the season at the right."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QMarginsF, Qt, Slot
from PySide6.QtGui import QHideEvent, QPageLayout, QPageSize, QShowEvent
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.draw.paper.stage_sheet import StagePaper
from bloomline.errors import BloomlineError, StoppedError
from bloomline.files.ical import calendar_id_of
from bloomline.model.task_edits import remember_tasks
from bloomline.plan.stage.rota import StagePlan
from bloomline.plan.stage.winter import winter_yard
from bloomline.plan.stage.winter_words import offer_words, offers_in_short
from bloomline.plan.stage.words import gap_words
from bloomline.ui.document import Document
from bloomline.ui.dressed import Splitter, say_as
from bloomline.ui.labels.jobs import print_pages
from bloomline.ui.page_frame import PageFrame
from bloomline.ui.page_kit import EmptyState, ask_save_path, is_printer_chosen, start_folder
from bloomline.ui.progress import WorkingRow
from bloomline.ui.season_service import SeasonService
from bloomline.ui.stage.desk import StageDesk
from bloomline.ui.stage.jobs import (
    Sheets,
    WrittenMoves,
    WrittenSheet,
    laying_out,
    writing_moves,
    writing_sheet,
)
from bloomline.ui.stage.lane_view import LaneView
from bloomline.ui.stage.places_box import PlacesBox
from bloomline.ui.stage.table import StageTable
from bloomline.ui.stage.watch import StageWatch
from bloomline.ui.theme import em
from bloomline.words import day_words, plural, tr

_SIZES = {"a4": QPageSize.PageSizeId.A4, "letter": QPageSize.PageSizeId.Letter}
_CONFLICTS_SHOWN = 3


class StagePage(PageFrame):
    """Which pot stands where in which week."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent, name="stage_page")
        self.setAccessibleName(tr("Stage"))
        self.watch = StageWatch(document, self)
        self.desk = StageDesk(document, self.watch, self)
        self._working = self._beside(self._done)
        self._make_parts()
        self._make_actions()
        self._lay_out()
        self.watch.changed.connect(self._show_plan)
        self.watch.failed.connect(self._fail)
        self.desk.said.connect(self.message)
        self.places.said.connect(self.message)
        self.lanes.current_changed.connect(self._offer_freeing)
        self.table.current_changed.connect(self._offer_freeing)
        document.yard_changed.connect(self._choose_state)
        document.day_changed.connect(self._show_day)
        self._choose_state()

    # Parts

    def _make_parts(self) -> None:
        self.places = PlacesBox(self._document, self._service, self)
        self.lanes = LaneView(self._document, self.desk, self)
        self.table = StageTable(self._document, self.desk, self)
        self.told = QLabel(self)
        say_as(self.told, "muted")
        self.told.setWordWrap(True)
        self.conflicts = QLabel(self)
        say_as(self.conflicts, "caution")
        self.conflicts.setWordWrap(True)
        for label in (self.told, self.conflicts):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.offered = QWidget(self)
        self.offer_told = QLabel(self.offered)
        say_as(self.offer_told, "caution")
        self.offer_told.setWordWrap(True)
        self.offer_told.setTextFormat(Qt.TextFormat.PlainText)
        self.doing = QLabel(self)
        say_as(self.doing, "muted")
        self.waiting = QLabel(tr("Working out who stands where…"), self)
        say_as(self.waiting, "muted")
        self.waiting.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.waiting.setWordWrap(True)
        self.paper = QComboBox(self)
        self.paper.setObjectName("stage_paper")
        self.paper.setAccessibleName(tr("Paper of the sheet"))
        self.paper.addItem(tr("A4"), "a4")
        self.paper.addItem(tr("Letter"), "letter")
        self.working_row = WorkingRow(
            self, name="stage", what=tr("Writing the sheet"), stop=tr("Stop writing")
        )
        self.empty = EmptyState(
            tr(
                "Where do pots stand to be seen? Make a place, and the rota tells who stands there."
            ),
            tr("Add a place"),
            self,
        )
        self.empty.button.clicked.connect(self._add_first)

    def _make_actions(self) -> None:
        self._add = self._action("action_add_place", self.places.add)
        self._rename = self._action("action_rename_place", self.places.rename)
        self._remove = self._action("action_remove_place", self.places.remove)
        self._as_table = self._action("action_stage_table", self._show_table)
        self._as_table.setCheckable(True)
        self._free = self._action("action_free_stand", self.free)
        self._winter = self._action("action_winter_pots", self.winter)
        self._sheet = self._action("action_stage_sheet", self.export_sheet)
        self._print = self._action("action_stage_print", self.print_sheet)
        self._calendar = self._action("action_stage_calendar", self.export_calendar)

    def _lay_out(self) -> None:
        gap = round(0.7 * em())
        self.places.put_buttons([self._button(a) for a in (self._add, self._rename, self._remove)])
        head = QHBoxLayout()
        self.heading = QLabel(self)
        say_as(self.heading, "heading")
        table = self._button(self._as_table)
        table.setCheckable(True)
        self._as_table.toggled.connect(table.setChecked)
        head.addWidget(self.heading, 1)
        head.addWidget(self._button(self._free))
        head.addWidget(table)
        self.pages = QStackedWidget(self)
        for widget in (self.lanes, self.table, self.waiting):
            self.pages.addWidget(widget)
        right = QWidget(self)
        column = QVBoxLayout(right)
        column.setContentsMargins(round(0.4 * em()), 0, 0, 0)
        column.setSpacing(round(0.4 * em()))
        column.addLayout(head)
        column.addWidget(self.conflicts)
        column.addWidget(self.offered)
        offer = QHBoxLayout(self.offered)
        offer.setContentsMargins(0, 0, 0, 0)
        offer.addWidget(self.offer_told, 1)
        offer.addWidget(self._button(self._winter))
        column.addWidget(self.pages, 1)
        column.addWidget(self.told)
        across = Splitter(Qt.Orientation.Horizontal, self)
        across.addWidget(self.places)
        across.addWidget(right)
        across.setStretchFactor(1, 1)
        across.setSizes([round(18 * em()), round(60 * em())])
        foot = QHBoxLayout()
        foot.addWidget(self._button(self._sheet))
        foot.addWidget(self._button(self._print))
        foot.addWidget(self.paper)
        foot.addWidget(self._button(self._calendar))
        foot.addWidget(self.working_row, 1)
        foot.addWidget(self.doing, 1)
        whole = QWidget(self)
        inner = QVBoxLayout(whole)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(gap)
        inner.addWidget(across, 1)
        inner.addLayout(foot)
        self.stack = QStackedWidget(self)
        self.stack.addWidget(whole)
        self.stack.addWidget(self.empty)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(gap, gap, gap, gap)
        outer.setSpacing(gap)
        outer.addWidget(self.notice)
        outer.addWidget(self.stack, 1)
        self.setFocusProxy(self.lanes)

    # What is seen

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.watch.wake(True)
        self._show_plan()

    def hideEvent(self, event: QHideEvent) -> None:
        self.watch.wake(False)
        super().hideEvent(event)

    def _work_out(self) -> None:
        self.watch.wake(True)

    @Slot()
    def _choose_state(self, *_: object) -> None:
        has_places = bool(self._document.yard.display_places)
        self.stack.setCurrentIndex(0 if has_places else 1)
        for action in (self._rename, self._remove):
            action.setEnabled(has_places)
        self._choose_page()

    def _choose_page(self) -> None:
        plan, yard = self.watch.plan, self._document.yard
        if not yard.pots:
            self.waiting.setText(tr("There are no pots yet; add some on the page Yard."))
        else:
            self.waiting.setText(tr("Working out who stands where…"))
        shown: QWidget = self.table if self._as_table.isChecked() else self.lanes
        if plan is None or not yard.pots:
            shown = self.waiting
        had_focus = self.lanes.hasFocus() or self.table.table.hasFocus()
        self.pages.setCurrentWidget(shown)
        self.setFocusProxy(shown)
        if had_focus:
            shown.setFocus()
        for action in (self._sheet, self._print, self._calendar):
            action.setEnabled(plan is not None)
        self._offer_freeing()

    @Slot()
    def _offer_freeing(self) -> None:
        current = self.lanes.current()
        stay = None if current is None else current.stay
        if self._as_table.isChecked():
            stay = self.table.current
        self._free.setEnabled(stay is not None and stay.by_hand)

    @Slot()
    def _show_plan(self) -> None:
        plan = self.watch.plan
        self.lanes.show_plan(plan)
        self.table.show_plan(plan)
        self._choose_state()
        self._show_day()
        self.notice.hide()
        self.told.setText("" if plan is None else _told(plan))
        conflicts = () if plan is None else plan.conflicts
        self.conflicts.setText("\n".join(conflicts[:_CONFLICTS_SHOWN]))
        self.conflicts.setToolTip("\n".join(conflicts))
        self.conflicts.setVisible(bool(conflicts))
        offers = () if plan is None else plan.offers
        self.offer_told.setText(offers_in_short(offers))
        self.offer_told.setToolTip("\n".join(offer_words(each) for each in offers))
        self.offered.setVisible(bool(offers))
        self._winter.setEnabled(bool(offers))

    @Slot()
    def _show_day(self, *_: object) -> None:
        self.heading.setText(tr("Stage on {day}", day=self._document.day))

    @Slot(str)
    def _fail(self, words: str) -> None:
        self.notice.tell(words)

    @Slot(str)
    def _tell(self, words: str) -> None:
        self.doing.setText(words)

    @Slot()
    def _show_table(self) -> None:
        self._choose_page()

    @Slot()
    def _add_first(self) -> None:
        self.places.add()

    @Slot()
    def free(self) -> None:
        """Leave the stay that the keyboard is on to the rota again."""
        (self.table if self._as_table.isChecked() else self.lanes).free()

    @Slot()
    def winter(self) -> None:
        """Write into the pots that they winter in the shelters that are offered to them."""
        plan = self.watch.plan
        if plan is None or not plan.offers or not self.watch.is_up_to_date:
            return
        edit = partial(winter_yard, offers=plan.offers)
        if self._document.edit(tr("Let pots winter under cover"), edit):
            self._say(
                plural(
                    "{n} pot winters under cover; its season is worked out for there.",
                    "{n} pots winter under cover; their season is worked out for there.",
                    sum(each.copies for each in plan.offers),
                )
            )

    # Out of the window

    def _ask_path(self, title: str, name: str, kind: str) -> Path | None:
        yard = self._document.yard
        proposed = start_folder(self._document) / f"{yard.name} {yard.season_year}{name}".replace(
            "/", "-"
        )
        return ask_save_path(self, title=title, proposed=proposed, kind=kind)

    @property
    def _chosen_paper(self) -> StagePaper:
        return "letter" if self.paper.currentData() == "letter" else "a4"

    @Slot()
    def export_sheet(self) -> None:
        """Ask for a file and write the sheet for the shed door to it."""
        kinds = tr("PDF, picture (*.pdf *.png *.svg)")
        path = self._ask_path(tr("Save the sheet"), ".pdf", kinds)
        if path is not None:
            self.save_sheet(path)

    def save_sheet(self, path: Path) -> None:
        """Write the sheet beside the window."""
        self.doing.setText("")
        progress = self.working_row.begin()
        paper = self._chosen_paper
        self._working.ask(
            partial(writing_sheet, self._outlook, path=path, paper=paper, progress=progress)
        )

    @Slot()
    def print_sheet(self) -> None:
        """Lay the sheet out beside the window, then ask for a printer."""
        self._working.ask(partial(laying_out, self._outlook, paper=self._chosen_paper))

    @Slot()
    def export_calendar(self) -> None:
        """Ask for a file and write the moves to it as a calendar."""
        path = self._ask_path(tr("Save the moves"), " moves.ics", tr("Calendar (*.ics)"))
        if path is not None:
            self.write_calendar(path)

    def write_calendar(self, path: Path) -> None:
        """Write the moves to a calendar file, beside the window."""
        self._working.ask(partial(writing_moves, self._outlook, path=path))

    @Slot(object)
    def _done(self, answer: object) -> None:
        self.working_row.hide()
        if isinstance(answer, StoppedError):
            self._tell(tr("Stopped before the end."))
        elif isinstance(answer, WrittenSheet):
            names = ", ".join(path.name for path in answer.paths)
            self._say(tr("Saved {names}.", names=names))
        elif isinstance(answer, WrittenMoves):
            self._keep(answer)
        elif isinstance(answer, Sheets):
            self._print_pages(answer)
        else:
            self.notice.tell(str(answer))

    def _say(self, words: str) -> None:
        self._tell(words)
        self.message.emit(words)

    def _keep(self, written: WrittenMoves) -> None:
        """Remember what was written, so that a later calendar finds the same events again."""
        self._document.edit(
            tr("Remember the days of tasks"),
            lambda yard: remember_tasks(
                yard,
                written.work.to_remember(),
                calendar_id=calendar_id_of(yard),
                sequences=written.sequences,
            ),
        )
        self._say(
            plural(
                "{n} move written to {path}",
                "{n} moves written to {path}",
                written.events,
                path=written.path,
            )
        )

    def _print_pages(self, sheets: Sheets) -> None:
        if not sheets.pages:
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setDocName(sheets.title)
        printer.setPageSize(QPageSize(_SIZES[self._chosen_paper]))
        printer.setFullPage(True)
        printer.setPageMargins(QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Millimeter)
        if not is_printer_chosen(printer, self):
            return
        try:
            print_pages(sheets.pages, printer)
        except BloomlineError as error:
            self.notice.tell(str(error))

    def stop(self) -> None:
        self.working_row.drop()
        self.watch.stop()
        self.places.form.stop()
        super().stop()


def _told(plan: StagePlan) -> str:
    """How good the rota is, and what is to be carried next."""
    words = gap_words(plan)
    ahead = [move for move in plan.moves if move.day >= plan.today]
    if not ahead:
        return words
    day = ahead[0].day
    number = sum(1 for move in ahead if move.day == day)
    carried = plural(
        "The next move is on {day}.",
        "The next {n} moves are on {day}.",
        number,
        day=day_words(day),
    )
    return f"{words} {carried}"
