"""The groups of tasks as a tree for a view: groups on top, their tasks below."""

from __future__ import annotations

from datetime import date
from typing import Any

from PySide6.QtCore import (
    QAbstractItemModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFont

from bloomline.plan.words.durations import duration_words
from bloomline.plan.work.year import Task
from bloomline.ui.theme import current_theme, tone_of
from bloomline.ui.work.groups import Group, GroupedTask
from bloomline.words import plural, short_day_words, short_span_words, tr

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
TASK, POTS, DAY, WINDOW, TIME, STATE = range(6)
_SHAPES = {"done": "✓", "overdue": "▲", "due": "●", "ahead": "○", "past": "–"}


class WorkModel(QAbstractItemModel):
    """Thin over groups: it asks for ticks by a signal and changes nothing itself."""

    tick_asked = Signal(object, bool)
    """An Entry is to be ticked (or unticked)."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._groups: tuple[Group, ...] = ()
        self._today = date.min

    def show_groups(self, groups: tuple[Group, ...], *, today: date) -> None:
        """Show other groups. Rows stay where they are if only what they say is new."""
        if self._shape(groups) == self._shape(self._groups):
            self._groups, self._today = groups, today
            last = self.columnCount() - 1
            for row, group in enumerate(groups):
                top = self.index(row, 0)
                self.dataChanged.emit(top, self.index(row, last))
                if group.entries:
                    end = self.index(len(group.entries) - 1, last, top)
                    self.dataChanged.emit(self.index(0, 0, top), end)
            return
        self.beginResetModel()
        self._groups, self._today = groups, today
        self.endResetModel()

    @staticmethod
    def _shape(groups: tuple[Group, ...]) -> list[tuple[object, ...]]:
        return [
            (group.kind, group.first, *(entry.task.key for entry in group.entries))
            for group in groups
        ]

    def entry(self, index: Index) -> GroupedTask | None:
        """The task of a row; None for a group's."""
        if not index.isValid() or index.internalId() == 0:
            return None
        return self._groups[index.internalId() - 1].entries[index.row()]

    def group(self, index: Index) -> Group | None:
        """The group of a group's row."""
        if not index.isValid() or index.internalId() != 0:
            return None
        return self._groups[index.row()]

    def find(self, key: str) -> QModelIndex:
        """The first row of a task."""
        for at, group in enumerate(self._groups):
            for row, entry in enumerate(group.entries):
                if entry.task.key == key:
                    return self.index(row, 0, self.index(at, 0))
        return QModelIndex()

    # What Qt asks

    def index(self, row: int, column: int, parent: Index = QModelIndex()) -> QModelIndex:  # noqa: B008
        if not self.hasIndex(row, column, parent):
            return QModelIndex()
        return self.createIndex(row, column, parent.row() + 1 if parent.isValid() else 0)

    def parent(self, index: Index = QModelIndex()) -> QModelIndex:  # type: ignore[override]  # noqa: B008
        if not index.isValid() or index.internalId() == 0:
            return QModelIndex()
        return self.createIndex(index.internalId() - 1, 0, 0)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        if not parent.isValid():
            return len(self._groups)
        if parent.internalId() == 0 and parent.column() == 0:
            return len(self._groups[parent.row()].entries)
        return 0

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return STATE + 1

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole
    ) -> Any:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Role.TextAlignmentRole:
            right = section == TIME
            side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        if role != Role.DisplayRole:
            return None
        return (
            tr("Task"),
            tr("Pots"),
            tr("Best day"),
            tr("From – to"),
            tr("Time"),
            tr("State"),
        )[section]

    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        entry = self.entry(index)
        if entry is not None:
            flags |= Qt.ItemFlag.ItemNeverHasChildren
            if index.column() == TASK and entry.checkable:
                flags |= Qt.ItemFlag.ItemIsUserCheckable
        return flags

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        if not index.isValid():
            return None
        group = self.group(index)
        if group is not None:
            return self._group_data(group, index.column(), role)
        entry = self.entry(index)
        return None if entry is None else self._entry_data(entry, index.column(), role)

    def setData(self, index: Index, value: Any, role: int = Role.EditRole) -> bool:
        entry = self.entry(index)
        if entry is None or role != Role.CheckStateRole or not entry.checkable:
            return False
        self.tick_asked.emit(entry, Qt.CheckState(value) == Qt.CheckState.Checked)
        return True

    def _group_data(self, group: Group, column: int, role: int) -> Any:
        if role == Role.DisplayRole and column == TASK:
            return self.heading(group)
        if role == Role.AccessibleTextRole and column == TASK:
            return self.heading(group)
        if role == Role.FontRole:
            font = QFont()
            font.setBold(True)
            return font
        if role == Role.ForegroundRole and group.kind == "overdue":
            return QColor(tone_of(current_theme()).warning)
        return None

    def heading(self, group: Group) -> str:
        """What a group is called: its week and how long its tasks take."""
        number = plural("{n} task", "{n} tasks", len(group.entries))
        time = duration_words(group.minutes) if group.minutes else tr("nothing left to do")
        if group.first is None:
            name = tr("▲ Overdue")
        else:
            last = date.fromordinal(group.first.toordinal() + 6)
            days = short_span_words(group.first, last, year=True)
            words = {
                "this": tr("This week, {days}"),
                "next": tr("Next week, {days}"),
                "earlier": tr("Earlier, {days}"),
            }.get(group.kind, "{days}")
            name = f"{words.format(days=days)} ({group.label})"
        return f"{name}  ·  {number}  ·  {time}"

    def _entry_data(self, entry: GroupedTask, column: int, role: int) -> Any:
        if role == Role.DisplayRole:
            return self._words(entry, column)
        if role == Role.CheckStateRole and column == TASK:
            return Qt.CheckState.Checked if entry.checked else Qt.CheckState.Unchecked
        if role == Role.TextAlignmentRole and column == TIME:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if role == Role.ForegroundRole:
            return self._colour(entry.task, column)
        if role == Role.ToolTipRole:
            if column == POTS:
                return ", ".join(entry.task.called)
            return entry.task.title if column == TASK else None
        if role == Role.AccessibleTextRole:
            words = self._words(entry, column)
            return f"{words}, {self.state(entry.task)}" if column == TASK else words
        return None

    def _words(self, entry: GroupedTask, column: int) -> str:
        task = entry.task
        if column == TASK:
            return task.title_on(*entry.days)
        if column == POTS:
            names = task.names_on(*entry.days)
            if len(names) > 2:
                more = plural("and {n} more", "and {n} more", len(names) - 1)
                return f"{names[0]} {more}"
            return ", ".join(names)
        if column == DAY:
            first = short_day_words(entry.days[0], weekday=True)
            return first if len(entry.days) == 1 else f"{first} + {len(entry.days) - 1}"
        if column == WINDOW:
            if task.repeat_days is not None:
                return plural("every {n} day", "every {n} days", task.repeat_days)
            if task.earliest == task.latest:
                return tr("that day")
            return short_span_words(task.earliest, task.latest)
        if column == TIME:
            return duration_words(task.minutes)
        moved = f"  {self.moved(task, short=True)}" if task.moved and not task.done else ""
        return f"{_SHAPES[task.status]} {self.state(task)}{moved}"

    def state(self, task: Task) -> str:
        """How a task stands, in words."""
        return {
            "done": tr("Done"),
            "overdue": tr("Overdue"),
            "due": tr("Open now"),
            "ahead": tr("Ahead"),
            "past": tr("Past, not ticked"),
        }[task.status]

    def moved(self, task: Task, *, short: bool = False) -> str:
        """How far a task has moved, in words."""
        if task.moved is None:
            return ""
        days = abs(task.moved.days)
        if short:
            later, earlier = (
                plural("→ {n} day", "→ {n} days", days),
                plural("← {n} day", "← {n} days", days),
            )
        else:
            later = plural("{n} day later than last time", "{n} days later than last time", days)
            earlier = plural(
                "{n} day earlier than last time", "{n} days earlier than last time", days
            )
        return later if task.moved.days > 0 else earlier

    def _colour(self, task: Task, column: int) -> QColor | None:
        tone = tone_of(current_theme())
        if task.status in ("done", "past"):
            return QColor(tone.muted)
        if column == STATE and task.status == "overdue":
            return QColor(tone.warning)
        return QColor(tone.muted) if column in (POTS, WINDOW, TIME) else None
