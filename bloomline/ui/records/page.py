"""The records of a yard: what was seen, against the forecast, and what the yard learned."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QEvent, QModelIndex, Qt, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.record_edits import confirm_records, remove_records
from bloomline.plan.season.lesson import Lesson, ListedRecords, lesson, record_rows
from bloomline.ui.details.cards import wrapping
from bloomline.ui.document import Document
from bloomline.ui.dressed import Splitter
from bloomline.ui.page_frame import PageFrame
from bloomline.ui.page_kit import EmptyState
from bloomline.ui.records.desk import RecordsDesk
from bloomline.ui.records.fact_view import FactView
from bloomline.ui.records.files import RecordFiles
from bloomline.ui.records.filters import FilterBar
from bloomline.ui.records.history import HistoryView
from bloomline.ui.records.learned_card import LearnedCard
from bloomline.ui.records.model import RecordsModel
from bloomline.ui.records.table import RecordsTable
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.words import plural, tr

_MOST_NEW = 50


class RecordsPage(PageFrame):
    """Everything that was seen in the yard."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent, name="records_page")
        self.setAccessibleName(tr("Records"))
        self.listed: ListedRecords | None = None
        self.lesson: Lesson | None = None
        self._listing = self._beside(self._take_rows)
        self._learning = self._beside(self._take_lesson)
        self.files = RecordFiles(document, self)
        self.desk = RecordsDesk(document, service, self)
        self.model = RecordsModel(self)
        self._make_parts()
        self._make_actions()
        self._lay_out()
        self._connect()
        self._follow_document()

    # Parts

    def _make_parts(self) -> None:
        self.filters = FilterBar(self)
        self.table = RecordsTable(self.model, self)
        self.history = HistoryView(self)
        self.facts = FactView(self)
        self.learned = LearnedCard(self._document, self)
        self.empty = EmptyState(
            tr(
                "Nothing was noted yet. Note the day of a first flower, and next year's forecast "
                "comes closer to this yard."
            ),
            tr("Note what is seen…"),
            self,
        )
        self.tabs = QTabWidget(self)
        self.tabs.setObjectName("records_tabs")
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setDrawBase(False)
        self.tabs.setAccessibleName(tr("Views of the records"))

    def _make_actions(self) -> None:
        self._note = self._action("action_records_note", self.desk.note)
        self._edit = self._action("action_records_edit", self.edit)
        self._confirm = self._action("action_records_confirm", self.confirm)
        self._delete = self._action("action_records_delete", self.delete)
        self._import = self._action("action_records_import", self.files.ask_import)
        self._export = self._action("action_records_export", self.files.ask_export)

    def _lay_out(self) -> None:
        gap = round(em() * 0.7)
        self._buttons = [(self._button(action), action) for action in self._actions]
        listed = QWidget(self)
        inner = QVBoxLayout(listed)
        inner.setContentsMargins(0, round(gap * 0.7), 0, 0)
        inner.setSpacing(round(gap * 0.7))
        inner.addWidget(self.filters)
        inner.addWidget(self.table, 1)
        note = tr("Forecasts and days off are without the yard's own offset.")
        inner.addWidget(wrapping(note, "muted", listed))
        self.tabs.addTab(listed, tr("What was seen"))
        self.tabs.addTab(self.history, tr("Across the years"))
        self.tabs.addTab(self.facts, tr("Forecast against fact"))
        across = Splitter(Qt.Orientation.Horizontal, self)
        across.addWidget(self.tabs)
        across.addWidget(self.learned)
        across.setStretchFactor(0, 1)
        across.setSizes([round(47 * em()), round(20 * em())])
        self.stack = QStackedWidget(self)
        self.stack.addWidget(across)
        self.stack.addWidget(self.empty)
        foot = QHBoxLayout()
        for at, (button, _) in enumerate(self._buttons):
            if at == 4:
                foot.addStretch(1)
            foot.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addWidget(self.notice)
        column.addWidget(self.stack, 1)
        column.addLayout(foot)
        self.table.addActions(self._actions[:4])
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self._enable()

    def _connect(self) -> None:
        self.filters.changed.connect(self._filter)
        self.table.edit_asked.connect(self.edit)
        self.table.delete_asked.connect(self.delete)
        self.table.selectionModel().selectionChanged.connect(self._enable)
        self.table.selectionModel().currentRowChanged.connect(self._choose)
        self.model.modelReset.connect(self._enable)
        self.history.record_chosen.connect(self.show_record)
        self.facts.record_chosen.connect(self.show_record)
        self.learned.correct_asked.connect(self.desk.edit)
        self.learned.confirm_asked.connect(self._confirm_one)
        self.empty.button.clicked.connect(self.desk.note)
        self.files.message.connect(self.message)
        self.files.told.connect(self._tell)

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        if not self._stopped:
            self.desk.stop()
            self.files.stop()
        super().stop()

    # Working it out

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "facts"):
            for view in (self.table.viewport(), self.facts.plot, self.history.plot):
                view.update()

    def _work_out(self) -> None:
        document = self._document
        has_records = bool(document.yard.records)
        self.stack.setCurrentIndex(0 if has_records else 1)
        self._listing.ask(partial(record_rows, self._outlook))
        self._learning.ask(partial(lesson, self._outlook))

    @property
    def is_busy(self) -> bool:
        """Whether something is being worked out beside the window."""
        return any(each.is_busy for each in (self._listing, self._learning, self.files))

    @Slot(str)
    def _tell(self, words: str) -> None:
        self.notice.tell(words)

    @Slot(object)
    def _take_rows(self, answer: object) -> None:
        if not isinstance(answer, ListedRecords):
            self.notice.tell(str(answer))
            return
        chosen = self._newly_there(answer) or self.table.chosen_ids()
        self.listed = answer
        self.filters.offer(answer.rows)
        self._wish()
        self.model.show_rows(answer.rows)
        self.table.choose(chosen)
        self.history.show_rows(answer.rows)
        self._summarise()

    def _newly_there(self, listed: ListedRecords) -> list[str]:
        """A few records that an edit has brought since the last list, to be chosen."""
        if self.listed is None or not self._document.undo_stack.count():
            return []
        before = {row.record.id for row in self.listed.rows}
        new = [row.record.id for row in listed.rows if row.record.id not in before]
        return new if len(new) <= _MOST_NEW else []

    @Slot(object)
    def _take_lesson(self, answer: object) -> None:
        if not isinstance(answer, Lesson):
            self.notice.tell(str(answer))
            return
        self.lesson = answer
        chosen = self.table.chosen_ids()
        self.model.show_lesson(answer.facts, answer.questions)
        self.table.choose(chosen)
        self.learned.show_lesson(answer)
        self.facts.show_lesson(answer)
        self.history.show_lesson(answer)
        if self.listed is not None and self.listed.yard is answer.yard:
            self.table.wanted = []
        self._summarise()
        self._enable()

    def _wish(self) -> None:
        filters = self.filters
        self.model.filter(
            season=filters.season.currentData(),
            cultivar_id=filters.cultivar.currentData(),
            odd_only=filters.odd.isChecked(),
        )

    @Slot()
    def _filter(self, *_: object) -> None:
        chosen = self.table.chosen_ids()
        self._wish()
        self.table.choose(chosen)
        kind = self.filters.cultivar.currentData()
        if kind is not None:
            self.history.choose(kind)
        self._summarise()

    def _summarise(self) -> None:
        n_asked = 0 if self.lesson is None else len(self.lesson.questions)
        self.filters.summarise(self.model.rowCount(), n_asked)

    @Slot()
    def _enable(self, *_: object) -> None:
        chosen = self.table.chosen_ids()
        asked = {} if self.lesson is None else self.lesson.questions
        has_records = bool(self._document.yard.records)
        self._note.setEnabled(any(pot.layers for pot in self._document.yard.pots))
        self._edit.setEnabled(len(chosen) == 1)
        self._delete.setEnabled(bool(chosen))
        self._confirm.setEnabled(any(each in asked for each in chosen))
        self._import.setEnabled(self._note.isEnabled())
        self._export.setEnabled(has_records)
        for button, action in self._buttons:
            button.setEnabled(action.isEnabled())
        self.empty.button.setEnabled(self._note.isEnabled())

    @Slot(QModelIndex, QModelIndex)
    def _choose(self, now: QModelIndex, _before: QModelIndex) -> None:
        row = self.model.row(now)
        if row is None or self.table.is_restoring:
            return
        self.history.choose(row.cultivar_id)
        if any(layer.id == row.record.layer_id for _, layer in self._document.yard.layers()):
            self._document.select(layer_id=row.record.layer_id)

    @Slot(str)
    def show_record(self, record_id: str) -> None:
        """Show a record in the table, whatever the filters hid."""
        if not self.model.find(record_id).isValid():
            self.filters.clear()
        self.tabs.setCurrentIndex(0)
        self.table.choose([record_id])
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    # Changing the yard

    @Slot()
    def edit(self) -> None:
        """Correct the record chosen."""
        chosen = self.table.chosen_ids()
        if len(chosen) == 1:
            self.desk.edit(chosen[0])

    @Slot()
    def confirm(self) -> None:
        """Say that the questioned entries among those chosen are right."""
        asked = {} if self.lesson is None else self.lesson.questions
        self._confirm_these([each for each in self.table.chosen_ids() if each in asked])

    @Slot(str)
    def _confirm_one(self, record_id: str) -> None:
        self._confirm_these([record_id])

    def _confirm_these(self, record_ids: list[str]) -> None:
        known = self._still_there(record_ids)
        if known:
            self._document.edit(tr("Confirm a record"), lambda yard: confirm_records(yard, known))

    @Slot()
    def delete(self) -> None:
        """Delete the records chosen; undo brings them back."""
        known = self._still_there(self.table.chosen_ids())
        if not known:
            return
        after = self.table.neighbour_of(known)
        name = plural("Delete {n} record", "Delete {n} records", len(known))
        if self._document.edit(name, lambda yard: remove_records(yard, known)):
            self.table.wanted = [after] if after else []
            self.message.emit(
                plural(
                    "{n} record deleted; undo brings them back",
                    "{n} records deleted; undo brings them back",
                    len(known),
                )
            )

    def _still_there(self, record_ids: list[str]) -> list[str]:
        known = {record.id for record in self._document.yard.records}
        return [each for each in record_ids if each in known]
