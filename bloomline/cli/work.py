"""`bloomline work`: what is to be done in a yard, week by week, and the same as a calendar."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.cli.options import add_command, add_format, add_today, day, today_of, week
from bloomline.cli.output import put, put_csv, put_json, say
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.words import marked, tr

if TYPE_CHECKING:
    from bloomline.model.yard import Yard
    from bloomline.plan.work.task import Task
    from bloomline.plan.work.year import WorkPlan

_EPILOG = marked("""\
examples:
  bloomline work yard.bloomline
  bloomline work yard.bloomline --week 2027-W10 --why
  bloomline work yard.bloomline --from 2027-03-01 --to 2027-05-31 --format csv
  bloomline work yard.bloomline --out tasks.ics --alarms
  bloomline work yard.bloomline --tick frost:pot-4:2027
  bloomline work yard.bloomline --without slugs --without stake
  bloomline work yard.bloomline --kinds

A calendar written over an earlier one changes its events instead of doubling them; a whole year
written for the yard's own place is remembered in the yard file, so that other files follow on.
""")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "work",
        usage="FILE [options]",
        short=tr("what is to be done in a yard, week by week"),
        about=tr(
            "Show the year's work in a yard: each task with the days on which it may be done, "
            "the best of them, how long it takes and why. Dates come from the yard's own forecast."
        ),
        epilog=tr(_EPILOG),
    )
    add_yard(parser)
    parser.add_argument("--week", type=week, metavar="YYYY-Wnn", help=tr("only this week"))
    parser.add_argument(
        "--from", dest="first", type=day, metavar="DAY", help=tr("only tasks from this day on")
    )
    parser.add_argument("--to", dest="last", type=day, metavar="DAY", help=tr("and up to this day"))
    add_format(parser, "table", "json", "csv")
    parser.add_argument(
        "--why",
        action="store_true",
        help=tr("with the table: say why, in which pots, and the key of each task"),
    )
    parser.add_argument(
        "--out", type=Path, metavar="FILE.ics", help=tr("write a calendar file instead (iCalendar)")
    )
    parser.add_argument(
        "--alarms",
        nargs="?",
        const="week",
        choices=("week", "each"),
        help=tr(
            "let the calendar remind at 8: once a week (week, as without a word), or of each task"
        ),
    )
    parser.add_argument(
        "--kinds", action="store_true", help=tr("list the kinds of task, and which are left out")
    )
    parser.add_argument(
        "--without",
        action="append",
        default=[],
        metavar="KIND",
        help=tr("leave a kind of task out, now and later; kept in the yard file"),
    )
    parser.add_argument(
        "--with",
        dest="back",
        action="append",
        default=[],
        metavar="KIND",
        help=tr("take it in again"),
    )
    parser.add_argument(
        "--tick", action="append", default=[], metavar="KEY", help=tr("note a task as done today")
    )
    parser.add_argument(
        "--untick", action="append", default=[], metavar="KEY", help=tr("take that back")
    )
    parser.add_argument(
        "--remember",
        action="store_true",
        help=tr("keep today's dates in the yard file, to tell what has moved when you next look"),
    )
    add_today(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Show the tasks of a yard, or write them to a calendar."""
    from bloomline.errors import UsageError
    from bloomline.plan.work.words import (
        WORK_COLUMNS,
        kind_lines,
        work_lines,
        work_object,
        work_rows,
    )

    if args.week is not None and (args.first or args.last):
        raise UsageError(tr("--week goes without --from and --to"))
    first, last = args.week or (args.first, args.last)
    if first is not None and last is not None and first > last:
        raise UsageError(tr("--from {first} lies after --to {last}", first=first, last=last))
    if args.alarms and args.out is None:
        raise UsageError(tr("--alarms goes with --out: only a calendar can remind"))
    if args.remember and args.place is not None:
        raise UsageError(
            tr("--remember keeps the dates of the yard's own place; leave out --place")
        )
    if args.out is not None and args.out.suffix.lower() != ".ics":
        raise UsageError(tr("{out}: a calendar file is called .ics", out=args.out))
    if args.why and (args.out is not None or args.format != "table"):
        raise UsageError(tr("--why goes with the table; the other formats say why in any case"))
    if args.without or args.back:
        _switch(args)
    yard, plan = _plan(args)
    if args.kinds:
        for line in kind_lines(plan):
            put(line)
        return 0
    if args.tick or args.untick or args.remember:
        yard, plan = _keep(args, yard, plan)
    weeks = list(plan.between(first, last))
    if args.out is not None:
        tasks = {task.key: task for week in weeks for task in week.tasks}
        name = f"{plan.yard_name}: work in the pots"
        whole = first is None and last is None
        write_tasks(args, yard, plan, tasks.values(), name=name, whole=whole)
    elif args.format == "json":
        put_json(work_object(plan, weeks))
    elif args.format == "csv":
        put_csv(WORK_COLUMNS, list(work_rows(weeks)))
    else:
        limited = first is not None or last is not None
        put("\n".join(work_lines(plan, weeks, limited=limited, why=args.why)))
        if weeks and not args.why:
            put(tr("--why adds reasons, pots, and the keys by which tasks are ticked."))
    return 0


def _plan(args: argparse.Namespace) -> tuple[Yard, WorkPlan]:
    from bloomline.plan.work.year import work_plan

    outlook = outlook_for(args)
    return outlook.yard, work_plan(outlook)


def _switch(args: argparse.Namespace) -> None:
    """Keep in the yard file which kinds of task are left out."""
    import difflib

    from bloomline.errors import UnknownNameError
    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.model.task_edits import switch_task_kind
    from bloomline.reference.tasks import load_task_rules

    known = [rule.kind for rule in load_task_rules().rules]
    loaded = load_yard(args.file)
    changed = loaded.yard
    for kinds, on in ((args.without, False), (args.back, True)):
        for kind in kinds:
            if kind not in known and kind not in changed.settings.tasks_off:
                near = difflib.get_close_matches(kind, known, n=3)
                raise UnknownNameError("kind of task", kind, near=near)
            changed = switch_task_kind(changed, kind, on=on)
    if changed != loaded.yard:
        save_yard(args.file, changed, seen=loaded.digest)


def _keep(args: argparse.Namespace, yard: Yard, plan: WorkPlan) -> tuple[Yard, WorkPlan]:
    """Save ticks and dates in the yard file, and reckon again with the ticks."""
    import difflib

    from bloomline.errors import UnknownNameError
    from bloomline.files.ical import calendar_id_of
    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.model.task_edits import remember_tasks, tick_tasks, untick_tasks

    keys = [key for task in plan.tasks for key in task.keys]
    loaded = load_yard(args.file)
    changed = loaded.yard
    for key in args.tick:
        if key not in keys:
            raise UnknownNameError("task", key, near=difflib.get_close_matches(key, keys, n=3))
        changed = tick_tasks(changed, _parts(plan, key), today_of(args))
    for key in args.untick:
        changed = untick_tasks(changed, _parts(plan, key))
    if args.remember:
        changed = remember_tasks(changed, plan.to_remember(), calendar_id=calendar_id_of(changed))
    save_yard(args.file, changed, seen=loaded.digest)
    if args.tick or args.untick:
        return _plan(args)
    # What has moved is still told this once.
    return changed, plan


def _parts(plan: WorkPlan, key: str) -> tuple[str, ...]:
    """All parts of the task of that key; one part alone where its own key is given."""
    task = plan.task(key)
    if task is None:
        return (key,)
    return task.tick_keys if task.key == key or task.repeat_days is not None else (key,)


def write_tasks(
    args: argparse.Namespace,
    yard: Yard,
    plan: WorkPlan,
    tasks: Iterable[Task],
    *,
    name: str,
    whole: bool = False,
) -> None:
    """Write tasks of a yard to the calendar `args.out`, and remember in the yard what was written.

    whole : whether they are all of the season, so that events of others are cancelled.
    """
    from bloomline.files.ical import calendar_id_of, write_calendar
    from bloomline.plan.work.words import calendar_events

    now = datetime.now(UTC).replace(microsecond=0)
    if args.today is not None:
        now = datetime(args.today.year, args.today.month, args.today.day, tzinfo=UTC)
    alarms = getattr(args, "alarms", None)
    events = calendar_events(tasks, reminders=alarms)
    sequences = write_calendar(
        args.out,
        events,
        calendar_id=calendar_id_of(yard),
        name=name,
        now=now,
        alarms=alarms is not None,
        season=plan.season_year if whole else None,
    )
    if args.place is None:
        _remember_written(args, plan, sequences)
    put(str(args.out))
    if not events:
        say(tr("there is nothing to do in that time; the calendar has no new events"))


def _remember_written(args: argparse.Namespace, plan: WorkPlan, sequences: dict[str, int]) -> None:
    """Keep in the yard what was written, so that events in whichever file come after these."""
    from bloomline.errors import BloomlineError
    from bloomline.files.ical import calendar_id_of
    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.model.task_edits import remember_tasks

    loaded = load_yard(args.file)
    changed = remember_tasks(
        loaded.yard,
        plan.to_remember(),
        calendar_id=calendar_id_of(loaded.yard),
        sequences=sequences,
    )
    if changed == loaded.yard:
        return
    try:
        save_yard(args.file, changed, seen=loaded.digest)
    except (BloomlineError, OSError) as error:
        say(tr("the calendar is written, but the yard can't remember it: {error}", error=error))
