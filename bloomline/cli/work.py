"""`bloomline work`: what is to be done in a yard, week by week, and the same as a calendar."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_command, add_format, add_today, day, today_of
from bloomline.cli.output import put, put_csv, put_json, say, table, wrapped
from bloomline.cli.yard import add_yard, report_for

if TYPE_CHECKING:
    from bloomline.files.ical import CalendarEvent
    from bloomline.model.yard import Yard
    from bloomline.plan.work import Task, Week, WorkPlan

_EPILOG = """\
examples:
  bloomline work yard.bloomline
  bloomline work yard.bloomline --week 2027-W10
  bloomline work yard.bloomline --from 2027-03-01 --to 2027-05-31 --format csv
  bloomline work yard.bloomline --out tasks.ics --alarms
  bloomline work yard.bloomline --tick frost:pot-4:2027

A calendar written over an earlier one changes its events instead of doubling them.
"""
_WEEK = re.compile(r"(\d{4})-W(\d{2})")
_MARKS = {"done": "x", "overdue": "!", "due": ">", "ahead": "", "past": "-"}
_TITLE_WIDTH = 62
_CSV_COLUMNS = (
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


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "work",
        usage="FILE [options]",
        short="what is to be done in a yard, week by week",
        about="Show the year's work in a yard: each task with the days on which it may be done, "
        "the best of them, how long it takes and why. Dates come from the yard's own forecast.",
        epilog=_EPILOG,
    )
    add_yard(parser)
    parser.add_argument("--week", type=_week, metavar="YYYY-Wnn", help="only this week")
    parser.add_argument(
        "--from", dest="first", type=day, metavar="DAY", help="only tasks from this day on"
    )
    parser.add_argument("--to", dest="last", type=day, metavar="DAY", help="and up to this day")
    add_format(parser, "table", "json", "csv")
    parser.add_argument(
        "--out", type=Path, metavar="FILE.ics", help="write a calendar file instead (iCalendar)"
    )
    parser.add_argument(
        "--alarms", action="store_true", help="let the calendar remind at 8 on the day"
    )
    parser.add_argument(
        "--tick", action="append", default=[], metavar="KEY", help="note a task as done today"
    )
    parser.add_argument(
        "--untick", action="append", default=[], metavar="KEY", help="take that back"
    )
    parser.add_argument(
        "--remember",
        action="store_true",
        help="keep today's dates in the yard file, to tell what has moved when you next look",
    )
    add_today(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Show the tasks of a yard, or write them to a calendar."""
    from bloomline.errors import UsageError

    if args.week is not None and (args.first or args.last):
        raise UsageError("--week goes without --from and --to")
    first, last = args.week or (args.first, args.last)
    if first is not None and last is not None and first > last:
        raise UsageError(f"--from {first} lies after --to {last}")
    if args.alarms and args.out is None:
        raise UsageError("--alarms goes with --out: only a calendar can remind")
    if args.remember and args.place is not None:
        raise UsageError("--remember keeps the dates of the yard's own place; leave out --place")
    if args.out is not None and args.out.suffix.lower() != ".ics":
        raise UsageError(f"{args.out}: a calendar file is called .ics")
    yard, plan = _plan(args)
    if args.tick or args.untick or args.remember:
        yard, plan = _keep(args, yard, plan)
    weeks = list(plan.between(first, last))
    if args.out is not None:
        _write(args, yard, plan, weeks, whole=first is None and last is None)
    elif args.format == "json":
        put_json(work_object(plan, weeks))
    elif args.format == "csv":
        put_csv(_CSV_COLUMNS, list(_csv_rows(weeks)))
    else:
        for line in work_lines(plan, weeks, limited=first is not None or last is not None):
            put(line)
    return 0


def _week(text: str) -> tuple[date, date]:
    """The Monday and Sunday of a week written YYYY-Wnn, for argparse."""
    found = _WEEK.fullmatch(text)
    try:
        if found is None:
            raise ValueError
        monday = date.fromisocalendar(int(found[1]), int(found[2]), 1)
        return monday, monday + timedelta(days=6)
    except (ValueError, OverflowError):
        raise argparse.ArgumentTypeError(f"{text!r} is not a week like 2027-W10") from None


def _plan(args: argparse.Namespace) -> tuple[Yard, WorkPlan]:
    from bloomline.cli.options import catalogue_of
    from bloomline.cli.where import garden_meant
    from bloomline.cli.yard import recorded_for
    from bloomline.plan.forecaster import Forecaster
    from bloomline.plan.work import work_plan
    from bloomline.plan.yard_solve import find_cultivar

    yard, report = report_for(args)
    catalogue = catalogue_of(args)
    garden = None
    if args.place is not None:
        garden = garden_meant(args.place, elevation_m=args.elevation)
    plan = work_plan(
        yard,
        report,
        cultivar_of=lambda name: find_cultivar(yard, name, catalogue=catalogue),
        forecaster=Forecaster(),
        today=today_of(args),
        garden=garden,
        recorded=recorded_for(args, yard),
    )
    return yard, plan


def _keep(args: argparse.Namespace, yard: Yard, plan: WorkPlan) -> tuple[Yard, WorkPlan]:
    """Save ticks and dates in the yard file, and reckon again with the ticks."""
    import difflib

    from bloomline.errors import UnknownNameError
    from bloomline.files.ical import calendar_id_of
    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.model.task_edits import remember_tasks, tick_task, untick_task

    keys = [task.key for task in plan.tasks]
    loaded = load_yard(args.file)
    changed = loaded.yard
    for key in args.tick:
        if key not in keys:
            raise UnknownNameError("task", key, near=difflib.get_close_matches(key, keys, n=3))
        changed = tick_task(changed, key, today_of(args))
    for key in args.untick:
        changed = untick_task(changed, key)
    if args.remember:
        changed = remember_tasks(changed, plan.to_remember(), calendar_id=calendar_id_of(changed))
    save_yard(args.file, changed, seen=loaded.digest)
    if args.tick or args.untick:
        return _plan(args)
    # What has moved is still told this once.
    return changed, plan


def _write(
    args: argparse.Namespace, yard: Yard, plan: WorkPlan, weeks: list[Week], *, whole: bool
) -> None:
    from bloomline.files.ical import calendar_id_of, write_calendar

    now = datetime.now(UTC).replace(microsecond=0)
    if args.today is not None:
        now = datetime(args.today.year, args.today.month, args.today.day, tzinfo=UTC)
    tasks = {task.key: task for week in weeks for task in week.tasks}
    write_calendar(
        args.out,
        [calendar_event(task) for task in tasks.values()],
        calendar_id=calendar_id_of(yard),
        name=f"{plan.yard_name}: work in the pots",
        now=now,
        alarms=args.alarms,
        season=plan.season_year if whole else None,
    )
    put(str(args.out))
    if not tasks:
        say("there is nothing to do in that time; the calendar has no new events")


def calendar_event(task: Task) -> CalendarEvent:
    """A task as a calendar shows it."""
    from bloomline.files.ical import CalendarEvent

    lines = [task.reason]
    if task.repeat_days is None:
        lines.append(f"From {task.earliest} to {task.latest}; best {task.best}.")
    else:
        lines.append(f"Every {task.repeat_days} days until {task.latest}.")
    if task.pot_names:
        lines.append(f"Pots: {', '.join(task.pot_names)}.")
    lines += [f"About {task.minutes} min.", f"Source: {task.source}."]
    return CalendarEvent(
        key=task.key,
        day=task.best,
        title=f"Done: {task.title}" if task.done else task.title,
        description="\n".join(lines),
        categories=("Garden", task.kind),
        repeat_days=task.repeat_days,
        until=task.latest if task.repeat_days is not None else None,
        sequence=task.sequence,
        remind=not task.done,
    )


def work_object(plan: WorkPlan, weeks: list[Week]) -> dict[str, Any]:
    """A year's work for JSON."""
    tasks = {task.key: task for week in weeks for task in week.tasks}
    return {
        "yard": plan.yard_name,
        "place": plan.place_label,
        "season_year": plan.season_year,
        "today": plan.today.isoformat(),
        "overdue": [task.key for task in plan.overdue() if task.key in tasks],
        "moved": [task.key for task in plan.moved() if task.key in tasks],
        "tasks": [_task_object(task) for task in tasks.values()],
        "weeks": [
            {
                "week": week.label,
                "first": week.first.isoformat(),
                "last": week.last.isoformat(),
                "minutes": week.minutes,
                "tasks": [
                    {"key": task.key, "days": [day.isoformat() for day in days]}
                    for task, days in zip(week.tasks, week.days, strict=True)
                ],
            }
            for week in weeks
        ],
    }


def _task_object(task: Task) -> dict[str, Any]:
    moved = task.moved
    return {
        "key": task.key,
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
        "pots": [
            {"id": pot_id, "name": name}
            for pot_id, name in zip(task.pot_ids, task.pot_names, strict=True)
        ],
        "layer_ids": list(task.layer_ids),
        "reason": task.reason,
        "source": task.source,
    }


def _csv_rows(weeks: list[Week]) -> Iterator[dict[str, Any]]:
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
        "task": task.title,
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
        "pots": "; ".join(task.pot_names),
        "reason": task.reason,
        "source": task.source,
    }


def work_lines(plan: WorkPlan, weeks: list[Week], *, limited: bool = False) -> list[str]:
    """A year's work as text for a page 100 columns wide."""
    lines = [f"{plan.yard_name}, work of season {plan.season_year}", plan.place_label]
    if not plan.tasks:
        return [*lines, "", "No bulbs are planted in this yard yet, so there is nothing to do."]
    late = plan.overdue()
    if late and limited:
        lines.append(
            f"{_tasks(len(late))} overdue on {plan.today}: without a week or days they show."
        )
    elif late:
        lines += ["", f"Overdue on {plan.today}:"]
        for task in late:
            lines += wrapped(f"{task.title} (by {task.latest})", indent="  ")
    if not limited:
        lines += _moved_lines(plan)
    if not weeks:
        return [*lines, "", "Nothing is to be done in that time."]
    rows = [_rows(week) for week in weeks]
    body = table(("",) * 5, [row for each in rows for row in each], right=(4,))[2:]
    for week, mine in zip(weeks, rows, strict=True):
        time = f", about {_duration(week.minutes)}" if week.minutes else ""
        span = f"{week.first.day} {week.first:%b} to {week.last.day} {week.last:%b %Y}"
        lines += ["", f"{week.label}, {span}{time}"]
        lines += [body.pop(0) for _ in mine]
    return [*lines, "", "x done, ! overdue, > may be done now, - past; the day is the best one."]


def _tasks(number: int) -> str:
    return "1 task is" if number == 1 else f"{number} tasks are"


def _moved_lines(plan: WorkPlan) -> list[str]:
    moved = [(task, task.moved) for task in plan.moved() if task.moved is not None]
    if not moved:
        return []
    lines = ["", "Moved since last time:"]
    for task, move in moved:
        way = "later" if move.days > 0 else "earlier"
        lines += wrapped(
            f"{task.title}: {task.best}, {abs(move.days)} days {way} ({move.why})", indent="  "
        )
    return lines


def _rows(week: Week) -> list[tuple[object, ...]]:
    import textwrap

    rows: list[tuple[object, ...]] = []
    for task, days in zip(week.tasks, week.days, strict=True):
        span = f"{task.earliest:%d %b}–{task.latest:%d %b}"
        if task.repeat_days is not None:
            span = f"every {task.repeat_days} days"
        parts = textwrap.wrap(task.title, _TITLE_WIDTH) or [""]
        when = f"{days[0]:%a} {days[0].day:2d}"
        rows.append((_MARKS[task.status], when, parts[0], span, f"{task.minutes} min"))
        rows += [("", "", part, "", "") for part in parts[1:]]
    return rows


def _duration(minutes: int) -> str:
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60:02d}"
