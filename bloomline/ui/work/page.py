"""The work of the year: tasks by week with ticks, filters, a calendar file, next year's yard."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QEvent, QModelIndex, Qt, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.files.ical import calendar_id_of
from bloomline.model.task_edits import remember_tasks, switch_task_kind, tick_tasks, untick_tasks
from bloomline.model.yard import Yard
from bloomline.plan.carry.rollover import RollOver
from bloomline.ui.document import Document
from bloomline.ui.dressed import Splitter, say_as
from bloomline.ui.page_frame import PageFrame
from bloomline.ui.page_kit import EmptyState, ask_and_print, ask_save_path, start_folder
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.ui.work.groups import Group, GroupedTask, Span, WorkFilter, groups_of, shown_plan
from bloomline.ui.work.jobs import Worked, WrittenCalendar, rolling, working, writing
from bloomline.ui.work.model import WorkModel
from bloomline.ui.work.rollover_dialog import RollOverDialog
from bloomline.ui.work.task_card import TaskCard
from bloomline.ui.work.tree import WorkTree
from bloomline.ui.work.words import kind_words, plan_html
from bloomline.words import plural, tr

_SPANS: tuple[Span, ...] = ("week", "month", "year")


class WorkPage(PageFrame):
    """Everything that is to be done in the yard."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent, name="work_page")
        self.setAccessibleName(tr("Work"))
        self._worked: Worked | None = None
        self._groups: tuple[Group, ...] = ()
        self._choosing = False
        self._told: tuple[object, ...] = ()  # the moves that the notice is about
        self._planning = self._beside(self._take)
        self._writing = self._beside(self._written)
        self.model = WorkModel(self)
        self.model.tick_asked.connect(self._tick)
        self._make_parts()
        self._make_actions()
        self._lay_out()
        self._follow_document()

    # Parts

    def _make_parts(self) -> None:
        self.span = QComboBox(self)
        self.span.setObjectName("work_span")
        self.span.setAccessibleName(tr("Which days"))
        self.span.addItems([tr("This week"), tr("This month"), tr("Whole year")])
        self.span.setCurrentIndex(2)
        self.kind = QComboBox(self)
        self.kind.setObjectName("work_kind")
        self.kind.setAccessibleName(tr("Kind of task"))
        self.pot = QComboBox(self)
        self.pot.setObjectName("work_pot")
        self.pot.setAccessibleName(tr("Pot"))
        self.kind.addItem(tr("All kinds"), None)
        self.pot.addItem(tr("All pots"), None)
        for box in (self.span, self.kind, self.pot):
            box.currentIndexChanged.connect(self._filter)
        self.done = QCheckBox(tr("Done and past"), self)
        self.done.setObjectName("work_done")
        self.done.toggled.connect(self._filter)
        self.kinds = QPushButton(self)
        self.kinds.setObjectName("work_kinds")
        self.kinds.setText(tr("Kinds shown…"))
        self.kinds.setToolTip(tr("Kinds of task that the list shows or leaves out"))
        self.kinds_menu = QMenu(self.kinds)
        self.kinds_menu.setObjectName("work_kinds_menu")
        self.kinds_menu.aboutToShow.connect(self._fill_kinds)
        self.kinds.setMenu(self.kinds_menu)
        self.summary = QLabel(self)
        say_as(self.summary, "muted")
        self.tree = WorkTree(self.model, self)
        self.tree.selectionModel().currentChanged.connect(self._choose)
        self.setFocusProxy(self.tree)
        self.card = TaskCard(self.model, self)
        self.notice.button.clicked.connect(self.remember)
        self.empty = EmptyState(
            tr("Nothing is planted yet, so there is nothing to do."),
            tr("Look again"),
            self,
        )
        self.empty.button.clicked.connect(self.refresh)
        self.reminders = QCheckBox(tr("with reminders"), self)
        self.reminders.setObjectName("work_reminders")
        self.reminders.setToolTip(
            tr("The calendar reminds once a week, at 8 in the morning of the first task")
        )

    def _make_actions(self) -> None:
        self._calendar = self._action("action_work_calendar", self.export_calendar)
        self._action("action_work_copy", self.copy)
        self._action("action_work_print", self.print_tasks)
        self._keep = self._action("action_remember_tasks", self.remember)
        self._keep.setToolTip(tr("Be told next time which of these days have moved"))
        self._roll = self._action("action_roll_over", self.roll_over)

    def _lay_out(self) -> None:
        filters = QHBoxLayout()
        for widget in (self.span, self.kind, self.pot, self.done, self.kinds):
            filters.addWidget(widget)
        filters.addStretch(1)
        filters.addWidget(self.summary)
        foot = QHBoxLayout()
        foot.addWidget(self._button(self._calendar))
        foot.addWidget(self.reminders)
        for action in self._actions[1:3]:
            foot.addWidget(self._button(action))
        foot.addStretch(1)
        foot.addWidget(self._button(self._keep))
        foot.addWidget(self._button(self._roll))
        across = Splitter(Qt.Orientation.Horizontal, self)
        across.addWidget(self.tree)
        across.addWidget(self.card)
        across.setStretchFactor(0, 1)
        across.setSizes([round(60 * em()), round(17 * em())])
        self.stack = QStackedWidget(self)
        self.stack.addWidget(across)
        self.stack.addWidget(self.empty)
        column = QVBoxLayout(self)
        gap = round(em() * 0.7)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addLayout(filters)
        column.addWidget(self.notice)
        column.addWidget(self.stack, 1)
        column.addLayout(foot)

    # Working it out

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "tree"):
            self.tree.viewport().update()

    def _work_out(self) -> None:
        self._planning.ask(partial(working, self._outlook))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, Worked):
            self._worked = answer
            self._fill_filters(answer)
            self._show_moves()
            self._filter()
        elif isinstance(answer, tuple):
            self._offer_roll_over(*answer)
        else:
            self.notice.tell(str(answer))

    def _fill_filters(self, worked: Worked) -> None:
        kinds = dict.fromkeys(task.kind for task in worked.plan.tasks)
        for box, entries in (
            (self.kind, [(kind_words(kind), kind) for kind in kinds]),
            (self.pot, [(pot.name, pot.id) for pot in worked.yard.pots]),
        ):
            chosen = box.currentData()
            box.blockSignals(True)
            while box.count() > 1:
                box.removeItem(1)
            for words, value in entries:
                box.addItem(words, value)
            box.setCurrentIndex(max(0, box.findData(chosen)))
            box.blockSignals(False)

    @Slot()
    def _fill_kinds(self) -> None:
        """Every kind of the year with its tick; the menu is made as it opens."""
        self.kinds_menu.clear()
        if self._worked is None:
            return
        off = self._document.yard.settings.tasks_off
        for kind, number in self._worked.plan.kinds:
            if number or kind in off:
                action = self.kinds_menu.addAction(kind_words(kind))
                action.setObjectName(f"work_kind_{kind}")
                action.setCheckable(True)
                action.setChecked(kind not in off)
                action.toggled.connect(partial(self._switch_kind, kind))

    def _switch_kind(self, kind: str, on: bool) -> None:
        name = tr("Show a kind of task") if on else tr("Leave out a kind of task")
        self._document.edit(name, lambda yard: switch_task_kind(yard, kind, on=on))

    def _show_moves(self) -> None:
        moved = self._worked.plan.moved() if self._worked else ()
        now = tuple((task.key, task.best) for task in moved)
        if now == self._told:
            return  # it is shown already, or was closed
        if self._told and not now:
            self.notice.hide()
        self._told = now
        if now:
            words = plural(
                "{n} task moved since last time; State says how far.",
                "{n} tasks moved since last time; State says how far.",
                len(moved),
            )
            self.notice.tell(words, button=tr("Remember the new days"))

    @Slot()
    def _filter(self) -> None:
        if self._worked is None:
            return
        wish = WorkFilter(
            span=_SPANS[self.span.currentIndex()],
            kind=self.kind.currentData(),
            pot_id=self.pot.currentData(),
            show_done=self.done.isChecked(),
        )
        self._shown = shown_plan(self._worked.plan, wish)
        self._groups = groups_of(self._shown, done=self._worked.yard.done)
        entry = self.model.entry(self.tree.currentIndex())
        self._choosing = True
        self.model.show_groups(self._groups, today=self._worked.plan.today)
        if entry is not None and self.model.entry(self.tree.currentIndex()) is None:
            again = self.model.find(entry.task.key)
            if again.isValid():
                self.tree.setCurrentIndex(again)
        self._choosing = False
        self._show_card()
        self.stack.setCurrentIndex(0 if self._worked.plan.tasks else 1)
        left = [task for task in self._shown.tasks if not task.done]
        number = (
            plural("{n} task to do", "{n} tasks to do", len(left))
            if left
            else tr("Nothing to do here")
        )
        self.summary.setText(number)
        for action in self._actions[:4]:
            action.setEnabled(bool(self._worked.plan.tasks))

    @Slot(QModelIndex, QModelIndex)
    def _choose(self, _now: QModelIndex, _before: QModelIndex) -> None:
        if self._choosing:
            return
        self._show_card()
        entry = self.model.entry(self.tree.currentIndex())
        if entry is None:
            return
        yard = self._document.yard
        layers = {layer.id for _, layer in yard.layers()}
        pots = [pot.id for pot in yard.pots if pot.id in entry.task.pot_ids]
        if len(entry.task.layer_ids) == 1 and entry.task.layer_ids[0] in layers:
            self._document.select(layer_id=entry.task.layer_ids[0])
        elif pots:
            self._document.select(pot_id=pots[0])

    def _show_card(self) -> None:
        entry = self.model.entry(self.tree.currentIndex())
        self.card.show_task(entry.task if entry else None)

    # Changing the yard

    @Slot(object, bool)
    def _tick(self, entry: GroupedTask, on: bool) -> None:
        keys, day = entry.task.keys, entry.tick_day(self._outlook.today)
        if on:
            self._document.edit(
                tr("Tick a task"),
                lambda yard: self._kept(tick_tasks(yard, entry.task.tick_keys, day)),
            )
            return

        def untick(yard: Yard) -> Yard:
            for each in entry.ticks:
                yard = untick_tasks(yard, keys, each)
            return yard

        self._document.edit(tr("Untick a task"), untick)

    def _kept(self, yard: Yard) -> Yard:
        """With the days kept to compare with next time, unless some are kept already."""
        if self._worked is None or yard.seen_tasks:
            return yard
        return self._remembered(yard, self._worked)

    @staticmethod
    def _remembered(yard: Yard, worked: Worked, sequences: dict[str, int] | None = None) -> Yard:
        return remember_tasks(
            yard,
            worked.plan.to_remember(),
            calendar_id=calendar_id_of(yard),
            sequences=sequences,
        )

    @Slot()
    def remember(self) -> None:
        """Keep the days of all tasks, to tell next time what has moved."""
        worked = self._worked
        if worked is not None:
            self._document.edit(
                tr("Remember the days of tasks"),
                lambda yard: self._remembered(yard, worked),
            )

    @Slot()
    def roll_over(self) -> None:
        """Work out next year's yard and ask before it takes this one's place."""
        self._planning.ask(partial(rolling, self._outlook))

    def _offer_roll_over(self, yard: Yard, rolled: RollOver) -> None:
        if yard is not self._document.yard:
            self.roll_over()
            return
        dialog = RollOverDialog(yard, rolled, self)
        if dialog.exec() == RollOverDialog.DialogCode.Accepted:
            self._document.edit(tr("Make next year's yard"), lambda _yard: rolled.yard)
        dialog.deleteLater()

    # Out of the window

    @Slot()
    def export_calendar(self) -> None:
        """Ask for a file and write the tasks to it as a calendar."""
        name = f"{self._document.yard.name} {self._document.yard.season_year}.ics"
        proposed = start_folder(self._document) / name.replace("/", "-")
        path = ask_save_path(
            self,
            title=tr("Export a calendar"),
            proposed=proposed,
            kind=tr("Calendar (*.ics)"),
        )
        if path is not None:
            self.write_calendar(path)

    def write_calendar(self, path: Path) -> None:
        """Write the tasks to a calendar file, beside the window."""
        if self._worked is not None:
            alarms = self.reminders.isChecked()
            self._writing.ask(partial(writing, self._worked, path=path, alarms=alarms))

    @Slot(object)
    def _written(self, answer: object) -> None:
        if not isinstance(answer, WrittenCalendar):
            self.notice.tell(str(answer))
            return
        worked, sequences = answer.worked, answer.sequences
        # The name it goes by in calendars is kept, so that a later export finds it again.
        self._document.edit(
            tr("Remember the days of tasks"),
            lambda yard: self._remembered(yard, worked, sequences),
        )
        self.message.emit(
            tr("{number} tasks written to {path}", number=answer.events, path=answer.path)
        )

    @Slot()
    def copy(self) -> None:
        """Put the tasks shown on the clipboard as text."""
        from bloomline.plan.work.words import work_lines

        if self._worked is not None:
            lines = work_lines(self._shown, list(self._shown.weeks))
            QGuiApplication.clipboard().setText("\n".join(lines) + "\n")
            self.message.emit(tr("The tasks shown are on the clipboard"))

    def html(self) -> str:
        """The tasks shown, for paper."""
        return plan_html(self._shown, self._groups)

    @Slot()
    def print_tasks(self) -> None:
        """Ask for a printer and print the tasks shown."""
        if self._worked is not None:
            name = tr("{yard_name}: work in the pots", yard_name=self._shown.yard_name)
            ask_and_print(self, name=name, html=self.html())
