"""A year's work in words: text for a page, rows of a table, JSON, and events of a calendar."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import islice
from typing import Any, Literal

from bloomline.files.ical import CalendarEvent
from bloomline.files.json_text import Again
from bloomline.files.plain_text import broken, table, wrapped
from bloomline.plan.words.durations import duration_words
from bloomline.plan.work.task import Task, Week, WorkPlan, week_label
from bloomline.words import plural, short_day_words, short_weekday_words, tr

Reminders = Literal["week", "each"] | None

_MARKS = {"done": "x", "overdue": "!", "due": ">", "ahead": "", "past": "-"}
_TITLE_WIDTH = 62
_WHY_INDENT = " " * 11
WORK_COLUMNS = (
    "week",
    "day",
    "task",
    "kind",
    "key",
    "earliest",
    "best",
    "latest",
    "repeat_days",
    "status",
    "done_on",
    "moved_days",
    "moved_why",
    "minutes",
    "pots",
    "reason",
    "source",
)


def calendar_events(tasks: Iterable[Task], *, reminders: Reminders) -> list[CalendarEvent]:
    """Tasks as a calendar shows them.

    reminders : one a week, that names what is to be done in it; each task its own; or none. A
    round never rings by itself in the first case, since its event repeats.
    """
    todo = list(tasks)
    by_week: dict[str, list[Task]] = {}
    for task in todo:
        if not task.done and task.repeat_days is None:
            by_week.setdefault(week_label(task.best), []).append(task)
    first = {mine[0].key: mine for mine in by_week.values()}
    events = []
    for task in todo:
        words = None
        if reminders == "each" and not task.done:
            words = task.title
        elif reminders == "week" and task.key in first:
            words = "; ".join(each.title for each in first[task.key])
        events.append(_calendar_event(task, remind=words))
    return events


def _calendar_event(task: Task, *, remind: str | None) -> CalendarEvent:
    """A task as a calendar shows it."""
    lines = [task.reason]
    if task.repeat_days is None:
        lines.append(
            tr(
                "From {earliest} to {latest}; best {best}.",
                earliest=task.earliest,
                latest=task.latest,
                best=task.best,
            )
        )
    else:
        lines.append(
            tr(
                "Every {repeat_days} days until {latest}.",
                repeat_days=task.repeat_days,
                latest=task.latest,
            )
        )
    if task.pot_names:
        lines.append(tr("Pots: {pot_names}.", pot_names=", ".join(task.called)))
    lines += [
        tr("About {duration}.", duration=duration_words(task.minutes)),
        tr("Source: {source}.", source=task.source),
    ]
    return CalendarEvent(
        key=task.key,
        day=task.best,
        title=tr("Done: {title}", title=task.title) if task.done else task.title,
        description="\n".join(lines),
        categories=(tr("Garden"), task.kind),
        repeat_days=task.repeat_days,
        until=task.latest if task.repeat_days is not None else None,
        sequence=task.sequence,
        remind=remind,
    )


def kind_lines(plan: WorkPlan) -> list[str]:
    """The kinds of task with how many the year has of each, and which are left out."""
    rows = [
        ("off" if kind in plan.off else "on", kind, KINDS.get(kind, kind), number or "")
        for kind, number in plan.kinds
    ]
    lines = table(("", tr("kind"), tr("what"), tr("tasks")), rows, right=(3,))
    return [*lines, "", tr("--without KIND leaves one out, --with KIND takes it in again.")]


KINDS = {
    "order": "Order",
    "buy": "Buy",
    "prechill": "Chill before planting",
    "feet": "Set on feet",
    "plant": "Plant",
    "companion": "Plant on top",
    "mesh": "Lay wire mesh",
    "mesh-off": "Take wire mesh off",
    "frost": "Protect from frost",
    "frost-over": "Take frost cover off",
    "look": "Look for noses and first flowers",
    "tulip-fire": "Look for tulip fire",
    "slugs": "Look for slugs and snails",
    "fleece": "Keep fleece ready",
    "in": "Take in",
    "out": "Put out",
    "back": "Bring back in",
    "forward": "Bring forward",
    "cover": "Carry under cover",
    "stake": "Stake",
    "lily-beetle": "Look for lily beetle",
    "dead-head": "Dead-head",
    "away": "Move out of the way",
    "clear": "Clear out",
    "companion-out": "Take out from the top",
    "feed": "Feed",
    "stop-watering": "Stop watering",
    "lift": "Lift, dry and store",
    "lift-green": "Lift in the green",
    "keep": "Set in the shade for the rest",
    "store": "Lift and store before frost",
    "carry-in": "Carry in before frost",
    "refill": "Refill",
    "renew": "Renew the top compost",
    "repot": "Repot or top up",
    "vine-weevil": "Look for vine weevil",
    "water-autumn": "Water in autumn",
    "water-winter": "Water in winter",
    "water-spring": "Water in spring",
    "water-summer": "Water in summer",
}


def work_object(plan: WorkPlan, weeks: list[Week]) -> dict[str, Any]:
    """A year's work for JSON; tasks and weeks are made as they are written."""
    tasks = {task.key: task for week in weeks for task in week.tasks}
    pots: dict[str, Again] = {}  # most stand in dozens of tasks
    return {
        "yard": plan.yard_name,
        "place": plan.place_label,
        "season_year": plan.season_year,
        "today": plan.today.isoformat(),
        "overdue": [task.key for task in plan.overdue() if task.key in tasks],
        "moved": [task.key for task in plan.moved() if task.key in tasks],
        "tasks": (_task_object(task, pots) for task in tasks.values()),
        "weeks": (
            {
                "week": week.label,
                "first": week.first.isoformat(),
                "last": week.last.isoformat(),
                "minutes": week.minutes,
                "tasks": [
                    {
                        "key": task.key,
                        "days": [day.isoformat() for day in days],
                        "pots": list(task.names_on(*days)),
                    }
                    for task, days in zip(week.tasks, week.days, strict=True)
                ],
            }
            for week in weeks
        ),
    }


def _task_object(task: Task, pots: dict[str, Again]) -> dict[str, Any]:
    """A task for JSON. pots : by their ids, those that were met before."""
    moved = task.moved
    if not pots.keys() >= {*task.pot_ids}:
        for pot_id, name, n in zip(task.pot_ids, task.pot_names, task.pot_copies, strict=True):
            pots[pot_id] = Again(id=pot_id, name=name, copies=n)
    return {
        "key": task.key,
        "keys": list(task.keys),
        "kind": task.kind,
        "title": task.title,
        "earliest": task.earliest.isoformat(),
        "best": task.best.isoformat(),
        "latest": task.latest.isoformat(),
        "repeat_days": task.repeat_days,
        "next_turn": task.next_turn.isoformat() if task.next_turn else None,
        "status": task.status,
        "done": task.done,
        "done_on": task.done_on.isoformat() if task.done_on else None,
        "note": task.note,
        "moved": {"was": moved.was.isoformat(), "days": moved.days, "why": moved.why}
        if moved
        else None,
        "minutes": task.minutes,
        "pots": [pots[pot_id] for pot_id in task.pot_ids],
        "layer_ids": list(task.layer_ids),
        "reason": task.reason,
        "source": task.source,
    }


def work_rows(weeks: list[Week]) -> Iterator[dict[str, Any]]:
    """A row for each day on which a task falls due, with the columns of WORK_COLUMNS."""
    for week in weeks:
        entries = zip(week.tasks, week.days, strict=True)
        by_day = sorted(
            ((turn, task) for task, days in entries for turn in days), key=lambda entry: entry[0]
        )
        for turn, task in by_day:
            yield _csv_row(week, task, turn)


def _csv_row(week: Week, task: Task, turn: date) -> dict[str, Any]:
    return {
        "week": week.label,
        "day": turn,
        "task": task.title_on(turn),
        "kind": task.kind,
        "key": task.key,
        "earliest": task.earliest,
        "best": task.best,
        "latest": task.latest,
        "repeat_days": task.repeat_days,
        "status": task.status,
        "done_on": task.done_on,
        "moved_days": task.moved.days if task.moved else None,
        "moved_why": task.moved.why if task.moved else None,
        "minutes": task.minutes,
        "pots": "; ".join(task.names_on(turn)),
        "reason": task.reason,
        "source": task.source,
    }


def work_lines(
    plan: WorkPlan, weeks: list[Week], *, limited: bool = False, why: bool = False
) -> list[str]:
    """A year's work as text for a page 100 columns wide.

    limited : whether the weeks are a part of the year. why : add each task's reason, pots and
    key, where it stands for the first time.
    """
    lines = [
        tr(
            "{yard_name}, work of season {season_year}",
            yard_name=plan.yard_name,
            season_year=plan.season_year,
        ),
        plan.place_label,
    ]
    if not plan.tasks:
        return [*lines, "", tr("No bulbs are planted in this yard yet, so there is nothing to do.")]
    late = plan.overdue()
    if late and limited:
        lines.append(
            tr(
                "{tasks} overdue on {today}: without a week or days they show.",
                tasks=_tasks(len(late)),
                today=plan.today,
            )
        )
    elif late:
        lines += ["", tr("Overdue on {today}:", today=plan.today)]
        for task in late:
            lines += wrapped(
                tr("{title} (by {latest})", title=task.title, latest=task.latest), indent="  "
            )
    if not limited:
        lines += _moved_lines(plan)
    if not weeks:
        return [*lines, "", tr("Nothing is to be done in that time.")]
    shown = list(first_shown(weeks))
    rows = [[_rows(entry) for entry in entries] for entries, _ in shown]
    every = [row for week_rows in rows for task_rows in week_rows for row in task_rows]
    body = iter(table(("",) * 5, every, right=(4,))[2:])
    for week, mine, (entries, again) in zip(weeks, rows, shown, strict=True):
        time = (
            tr(", about {duration}", duration=duration_words(week.minutes)) if week.minutes else ""
        )
        span = tr(
            "{first} to {last}",
            first=short_day_words(week.first),
            last=short_day_words(week.last, year=True),
        )
        lines += ["", f"{week.label}, {span}{time}"]
        for entry, mine_of in zip(entries, mine, strict=True):
            lines += islice(body, len(mine_of))
            if why:
                lines += _why_lines(entry.task)
        if again:
            words = "; ".join(f"{day_list(each.days)} {each.title}" for each in again)
            lines += wrapped(tr("again {words}", words=words), indent="   ", hang="      ")
    return [
        *lines,
        "",
        tr("x done, ! overdue, > may be done now, - past; the day is the best one."),
    ]


@dataclass(frozen=True, slots=True)
class Shown:
    """A task as one week shows it, with its days there and the pots it calls at on them."""

    task: Task
    days: tuple[date, ...]
    title: str


def first_shown(weeks: Iterable[Week]) -> Iterator[tuple[list[Shown], list[Shown]]]:
    """Each week's tasks: those shown for the first time, and rounds that come again.

    A round that comes again names its pots only where they are others than the last time.
    """
    pots: dict[str, tuple[str, ...]] = {}
    for week in weeks:
        new: list[Shown] = []
        again: list[Shown] = []
        for task, days in zip(week.tasks, week.days, strict=True):
            here = task.pots_on(*days)
            if task.key not in pots:
                new.append(Shown(task, days, task.title_with(here)))
            else:
                same = pots[task.key] == here
                again.append(Shown(task, days, bare_head(task) if same else task.title_with(here)))
            pots[task.key] = here
        yield new, again


def bare_head(task: Task) -> str:
    """The title without its pots: "Water in growth"."""
    return task.head.replace(": {what}", "").replace(" {what}", "")


def day_list(days: Iterable[date]) -> str:
    """Days of a week: "Mon 1, Thu 4"."""
    return ", ".join(f"{short_weekday_words(day)} {day.day}" for day in days)


def _why_lines(task: Task) -> list[str]:
    pots = tr(" Pots: {pot_names}.", pot_names=", ".join(task.called)) if task.pot_names else ""
    words = tr("{reason}{pots} Key: {key}", reason=task.reason, pots=pots, key=task.key)
    return wrapped(words, indent=_WHY_INDENT, hang="")


def _tasks(number: int) -> str:
    return plural("{n} task is", "{n} tasks are", number)


def _moved_lines(plan: WorkPlan) -> list[str]:
    moved = [(task, task.moved) for task in plan.moved() if task.moved is not None]
    if not moved:
        return []
    lines = ["", tr("Moved since last time:")]
    for task, move in moved:
        way = tr("later") if move.days > 0 else tr("earlier")
        lines += wrapped(
            tr(
                "{title}: {best}, {days} days {way} ({why})",
                title=task.title,
                best=task.best,
                days=abs(move.days),
                way=way,
                why=move.why,
            ),
            indent="  ",
        )
    return lines


def _rows(entry: Shown) -> list[tuple[object, ...]]:
    """The rows of a task of a week."""
    task = entry.task
    span = f"{short_day_words(task.earliest)}–{short_day_words(task.latest)}"
    if task.repeat_days is not None:
        span = tr("every {repeat_days} days", repeat_days=task.repeat_days)
    parts = broken(entry.title, _TITLE_WIDTH) or [""]
    when = f"{short_weekday_words(entry.days[0])} {entry.days[0].day:2d}"
    first: tuple[object, ...] = (
        _MARKS[task.status], when, parts[0], span, duration_words(task.minutes)
    )  # fmt: skip
    return [first, *(("", "", part, "", "") for part in parts[1:])]
