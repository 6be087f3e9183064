"""What the year's work looks like: tasks with their windows, grouped by week."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import islice
from typing import Literal, NamedTuple

from bloomline.model.yard import MAX_SEEN_TASKS
from bloomline.plan.words.benches import times_words
from bloomline.words import listed

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


class Span(NamedTuple):
    """Days on which a round calls at one pot, and the layers it is for.

    key : what this part of the round is called, and was called when it stood alone.
    """

    key: str
    pot_id: str
    layer_ids: tuple[str, ...]
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do, in one pot or in several.

    key : the same from one reckoning to the next. keys : of the single tasks it is made of, in
    the order of their ids; the first is `key`, so that a pot that is added changes nothing. Of a
    round: what its parts are called should it part.
    pot_copies : equal pots that each stands for. minutes : for one turn, all pots together;
    judgement. repeat_days : days between turns of a
    round that recurs from its best day to its latest. spans : which pot the round calls at when;
    empty where every pot has all days. done_on : the day it was done, or last done; it is
    finished when `done`. rests_on : tells in short what the best day rests on, to be remembered
    with it.
    """

    key: str
    keys: tuple[str, ...]
    kind: str
    title: str
    head: str  # the title with {what} where the pots come in
    earliest: date
    best: date
    latest: date
    reason: str
    source: str
    pot_ids: tuple[str, ...]
    pot_names: tuple[str, ...]
    pot_copies: tuple[int, ...]
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
    sequence: int
    spans: tuple[Span, ...] = ()
    rests_on: Callable[[], str] = field(default=str, repr=False, compare=False)
    _called_at: dict[tuple[date, date], list[str]] | None = field(
        default=None, init=False, repr=False, compare=False
    )
    _called: dict[str, str] | None = field(default=None, init=False, repr=False, compare=False)

    @property
    def called(self) -> tuple[str, ...]:
        """Its pots as they are called, a bench with its number."""
        return tuple(self._names.values())

    @property
    def tick_keys(self) -> tuple[str, ...]:
        """The keys that a tick is noted under: of each part, so that it counts for its pot."""
        return (self.key,) if self.repeat_days is not None else self.keys

    def pots_on(self, *days: date) -> tuple[str, ...]:
        """Ids of the pots that it calls at on any of some days."""
        if not self.spans:
            return self.pot_ids
        turns = sorted(days)
        wanted: set[str] = set()
        for (first, last), pot_ids in self._by_days().items():
            at = bisect_left(turns, first)
            if at < len(turns) and turns[at] <= last:
                wanted.update(pot_ids)
        if len(wanted) == len(self.pot_ids):
            return self.pot_ids
        return tuple(filter(wanted.__contains__, self.pot_ids))

    def _by_days(self) -> dict[tuple[date, date], list[str]]:
        """Pots by the days between which they are called at; many share theirs."""
        if self._called_at is not None:
            return self._called_at
        found: dict[tuple[date, date], list[str]] = {}
        for span in self.spans:
            found.setdefault((span.first, span.last), []).append(span.pot_id)
        object.__setattr__(self, "_called_at", found)  # follows from `spans`, which stay
        return found

    def names_on(self, *days: date) -> tuple[str, ...]:
        """Names of those pots."""
        return tuple(map(self._names.__getitem__, self.pots_on(*days)))

    @property
    def _names(self) -> dict[str, str]:
        """What its pots are called, by their ids."""
        if self._called is not None:
            return self._called
        found = dict(zip(self.pot_ids, self.pot_names, strict=True))
        if any(n != 1 for n in self.pot_copies):
            copies = zip(self.pot_ids, self.pot_copies, strict=True)
            found.update({pot_id: times_words(found[pot_id], n) for pot_id, n in copies})
        object.__setattr__(self, "_called", found)  # follows from what stays
        return found

    def title_on(self, *days: date) -> str:
        """The title with the pots of some days only."""
        if not self.spans:
            return self.title
        return self.title_with(self.pots_on(*days))

    def title_with(self, pot_ids: tuple[str, ...]) -> str:
        """The title with some of its pots only."""
        if not self.spans:
            return self.title
        return self.head.replace("{what}", listed(map(self._names.__getitem__, pot_ids)))

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
    kinds: tuple[tuple[str, int], ...] = ()  # every kind of the year and its tasks, off or on
    off: tuple[str, ...] = ()  # kinds that are switched off

    def overdue(self) -> tuple[Task, ...]:
        """What should have been done by now."""
        return tuple(task for task in self.tasks if task.overdue)

    def moved(self) -> tuple[Task, ...]:
        """What has moved since it was last looked at and is not done yet."""
        return tuple(task for task in self.tasks if task.moved is not None and not task.done)

    def task(self, key: str) -> Task | None:
        """The task of a key, its own or that of a single pot or layer; None if there is none."""
        return next((task for task in self.tasks if key in task.keys), None)

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

        Every part of a task that was put together, since it may stand alone one day. Of more
        than a yard remembers, those that lie nearest to today.
        """
        near = sorted(self.tasks, key=lambda task: abs((task.best - self.today).days))
        seen = (
            (key, day)
            for task in near
            for day in [(task.best, task.rests_on())]  # once for all keys
            for key in task.keys
        )
        return dict(islice(seen, MAX_SEEN_TASKS))


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
