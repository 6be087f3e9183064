"""What the year's work looks like: tasks with their windows, grouped by week."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Literal

from bloomline.model.yard import MAX_SEEN_TASKS

Status = Literal["done", "overdue", "due", "ahead", "past"]


@dataclass(frozen=True, slots=True)
class Window:
    """When a task may be done, and the day that is best. earliest ≤ best ≤ latest."""

    earliest: date
    best: date
    latest: date

    @classmethod
    def of(cls, earliest: date, best: date, latest: date) -> Window:
        """The window of three days; a day out of order is moved to the best one."""
        return cls(min(earliest, best), best, max(latest, best))


@dataclass(frozen=True, slots=True)
class Move:
    """How far a task's best day has moved since it was last looked at, and why."""

    was: date
    days: int  # above zero: later than it was
    why: str


@dataclass(frozen=True, slots=True)
class Draft:
    """A task before ticks and memory are laid over it.

    done_by_state : the day on which the yard itself says that it was done. lapses : the day
    after which it makes no sense any more, if not done.
    """

    key: str
    kind: str
    title: str
    window: Window
    reason: str
    source: str
    pot_ids: tuple[str, ...]
    layer_ids: tuple[str, ...]
    minutes: float
    repeat_days: int | None = None
    done_by_state: date | None = None
    lapses: date | None = None
    companion_ids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do.

    key : the same from one reckoning to the next. minutes : for one turn, all pots together;
    judgement. repeat_days : days between turns of a task that recurs from its best day to its
    latest. done_on : the day it was done, or last done; it is finished when `done`.
    basis : in short what the best day rests on, to be remembered with it.
    """

    key: str
    kind: str
    title: str
    earliest: date
    best: date
    latest: date
    reason: str
    source: str
    pot_ids: tuple[str, ...]
    pot_names: tuple[str, ...]
    layer_ids: tuple[str, ...]
    minutes: int
    repeat_days: int | None
    done: bool
    done_on: date | None
    note: str
    status: Status
    turns: tuple[date, ...]  # the days on which it falls due: the best day, or each turn
    next_turn: date | None  # None once it is done or past
    moved: Move | None
    basis: str
    sequence: int

    @property
    def overdue(self) -> bool:
        """Whether it should have been done by now."""
        return self.status == "overdue"


@dataclass(frozen=True, slots=True)
class Week:
    """The tasks whose day falls in one week, Monday to Sunday (ISO 8601).

    days : for each task the days of this week on which it falls due.
    """

    label: str  # 2027-W10
    first: date
    tasks: tuple[Task, ...]
    days: tuple[tuple[date, ...], ...]

    @property
    def last(self) -> date:
        """The Sunday of the week."""
        return self.first + timedelta(days=6)

    @property
    def minutes(self) -> int:
        """Minutes of what is still to be done, every turn of the week counted."""
        return sum(
            task.minutes * len(days)
            for task, days in zip(self.tasks, self.days, strict=True)
            if not task.done
        )


@dataclass(frozen=True, slots=True)
class WorkPlan:
    """A yard's tasks in order of their best days, and by week."""

    yard_name: str
    place_label: str
    season_year: int
    today: date
    tasks: tuple[Task, ...]
    weeks: tuple[Week, ...] = field(default=())

    def overdue(self) -> tuple[Task, ...]:
        """What should have been done by now."""
        return tuple(task for task in self.tasks if task.overdue)

    def moved(self) -> tuple[Task, ...]:
        """What has moved since it was last looked at and is not done yet."""
        return tuple(task for task in self.tasks if task.moved is not None and not task.done)

    def task(self, key: str) -> Task | None:
        """The task of a key, if there is one."""
        return next((task for task in self.tasks if task.key == key), None)

    def between(self, first: date | None, last: date | None) -> Iterator[Week]:
        """The weeks with only what falls due from one day to another."""
        for week in self.weeks:
            kept = [
                (task, chosen)
                for task, days in zip(week.tasks, week.days, strict=True)
                if (
                    chosen := tuple(
                        day
                        for day in days
                        if (first is None or day >= first) and (last is None or day <= last)
                    )
                )
            ]
            if kept:
                yield _week(week.first, kept)

    def to_remember(self) -> dict[str, tuple[date, str]]:
        """What `bloomline.model.task_edits.remember_tasks` keeps of this plan.

        Of more tasks than a yard remembers, those that lie nearest to today.
        """
        near = sorted(self.tasks, key=lambda task: abs((task.best - self.today).days))
        return {task.key: (task.best, task.basis) for task in near[:MAX_SEEN_TASKS]}


def week_label(day: date) -> str:
    """The ISO 8601 week of a day, written like 2027-W10."""
    iso = day.isocalendar()
    return f"{iso.year}-W{iso.week:02d}"


def by_week(tasks: tuple[Task, ...]) -> tuple[Week, ...]:
    """Group tasks by the weeks in which they fall due; recurring ones stand in several."""
    found: dict[date, dict[int, list[date]]] = {}
    for at, task in enumerate(tasks):
        for turn in task.turns:
            monday = turn - timedelta(days=turn.weekday())
            found.setdefault(monday, {}).setdefault(at, []).append(turn)
    return tuple(
        _week(monday, [(tasks[at], tuple(days)) for at, days in found[monday].items()])
        for monday in sorted(found)
    )


def _week(monday: date, entries: list[tuple[Task, tuple[date, ...]]]) -> Week:
    ordered = sorted(entries, key=lambda entry: entry[1][0])
    return Week(
        label=week_label(monday),
        first=monday,
        tasks=tuple(task for task, _ in ordered),
        days=tuple(days for _, days in ordered),
    )
