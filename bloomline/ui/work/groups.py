"""What of a year's work is shown, and in which groups: overdue, this week, later, earlier."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from bloomline.model.yard import DoneTask
from bloomline.plan.work.year import Task, Week, WorkPlan

Span = Literal["week", "month", "year"]
GroupKind = Literal["overdue", "this", "next", "later", "earlier"]


@dataclass(frozen=True, slots=True)
class WorkFilter:
    """What is to be shown. `kind` and `pot_id` of None: all."""

    span: Span = "year"
    kind: str | None = None
    pot_id: str | None = None
    show_done: bool = False


@dataclass(frozen=True, slots=True)
class GroupedTask:
    """A task in one group, with its days there.

    ticks : days of its ticks that stand for this entry; taking the tick off removes them.
    """

    task: Task
    days: tuple[date, ...]
    checked: bool
    checkable: bool
    ticks: tuple[date, ...]

    def tick_day(self, today: date) -> date:
        """The day a tick is for: today, or the last turn of a recurring task in a week gone."""
        if self.task.repeat_days is not None and self.days[-1] < monday_of(today):
            return self.days[-1]
        return today


@dataclass(frozen=True, slots=True)
class Group:
    """The tasks of a week, or those overdue. `first` is its Monday, None for the overdue."""

    kind: GroupKind
    first: date | None
    label: str
    entries: tuple[GroupedTask, ...]
    minutes: int


def monday_of(day: date) -> date:
    """The Monday of a day's week (ISO 8601)."""
    return day - timedelta(days=day.weekday())


def shown_plan(plan: WorkPlan, wish: WorkFilter) -> WorkPlan:
    """The plan with only the tasks and days that are wished for."""
    first, last = _bounds(plan.today, wish.span)
    tasks = tuple(task for task in plan.tasks if _is_wanted(task, wish, today=plan.today))
    keys = {task.key for task in tasks}
    weeks = []
    for week in plan.between(first, last):
        kept = [
            (task, here)
            for task, days in zip(week.tasks, week.days, strict=True)
            if task.key in keys and (here := _days_at(task, days, wish.pot_id))
        ]
        if kept:
            mine, days_of = zip(*kept, strict=True)
            weeks.append(replace(week, tasks=mine, days=days_of))
    return replace(plan, tasks=tasks, weeks=tuple(weeks))


def _days_at(task: Task, days: tuple[date, ...], pot_id: str | None) -> tuple[date, ...]:
    """The days on which a task calls at a pot; all for no pot."""
    return tuple(day for day in days if pot_id is None or pot_id in task.pots_on(day))


def _bounds(today: date, span: Span) -> tuple[date | None, date | None]:
    if span == "week":
        return monday_of(today), monday_of(today) + timedelta(days=6)
    if span == "month":
        following = (today.replace(day=28) + timedelta(days=4)).replace(day=1)
        return today.replace(day=1), following - timedelta(days=1)
    return None, None


def _is_wanted(task: Task, wish: WorkFilter, *, today: date) -> bool:
    if wish.kind is not None and task.kind != wish.kind:
        return False
    if wish.pot_id is not None and wish.pot_id not in task.pot_ids:
        return False
    # What was ticked today stays in sight, so that a slip is seen and taken back.
    return wish.show_done or task.status not in ("done", "past") or task.done_on == today


def _is_late(task: Task, *, today: date) -> bool:
    late_today = task.done and task.done_on == today and task.latest < today
    return task.status == "overdue" or (late_today and task.repeat_days is None)


def groups_of(plan: WorkPlan, *, done: Iterable[DoneTask]) -> tuple[Group, ...]:
    """The groups in the order shown: overdue, this week and on, then what lies behind.

    plan : with only what is to be shown. done : the yard's ticks.
    """
    ticks: dict[str, list[date]] = {}
    for each in done:
        ticks.setdefault(each.task_key, []).append(each.day)
    today, monday = plan.today, monday_of(plan.today)
    late = [task for task in plan.tasks if _is_late(task, today=today)]
    once = {task.key for task in late if task.repeat_days is None}
    groups: list[Group] = []
    if late:
        entries = tuple(_entry(task, (_late_day(task),), ticks, today=today) for task in late)
        minutes = sum(task.minutes for task in late if not task.done)
        groups.append(Group("overdue", None, "", entries, minutes))
    ahead = [week for week in plan.weeks if week.first >= monday]
    behind = [week for week in reversed(plan.weeks) if week.first < monday]
    for week in (*ahead, *behind):
        if group := _group(week, once, ticks, today=today):
            groups.append(group)
    return tuple(groups)


def _late_day(task: Task) -> date:
    return task.next_turn or task.best


def _group(
    week: Week, once: set[str], ticks: dict[str, list[date]], *, today: date
) -> Group | None:
    kept = [
        (task, days)
        for task, days in zip(week.tasks, week.days, strict=True)
        if task.key not in once
    ]
    if not kept:
        return None
    monday = monday_of(today)
    kinds: dict[date, GroupKind] = {monday: "this", monday + timedelta(days=7): "next"}
    kind = kinds.get(week.first, "later" if week.first > monday else "earlier")
    entries = tuple(_entry(task, days, ticks, today=today) for task, days in kept)
    minutes = sum(task.minutes * len(days) for task, days in kept if not task.done)
    return Group(kind, week.first, week.label, entries, minutes)


def _entry(
    task: Task, days: tuple[date, ...], ticks: dict[str, list[date]], *, today: date
) -> GroupedTask:
    mine = sorted({day for key in task.keys for day in ticks.get(key, [])})
    if task.repeat_days is None:
        # Done without a tick: the yard itself says so, by a record or as planted.
        return GroupedTask(task, days, task.done, not task.done or bool(mine), tuple(mine))
    here = tuple(day for day in mine if day in days)
    checked = bool(here) and days[-1] <= here[-1]
    checkable = monday_of(days[0]) <= today and (checked or not task.done)
    return GroupedTask(task, days, checked, checkable, here)
