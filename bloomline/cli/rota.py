"""`bloomline rota`: which pot stands where in each week, and which are to be carried when."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.cli.options import add_command, add_format, add_today, day, week
from bloomline.cli.output import put, put_csv, put_json, say
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.words import marked, tr

if TYPE_CHECKING:
    from bloomline.plan.season.outlook import Outlook
    from bloomline.plan.stage.rota import StagePlan

_EPILOG = marked("""\
examples:
  bloomline rota yard.bloomline
  bloomline rota yard.bloomline --date 2027-04-14
  bloomline rota yard.bloomline --week 2027-W15 --format csv
  bloomline rota yard.bloomline --winter
  bloomline rota yard.bloomline --out shed-door.pdf --page a4
  bloomline rota yard.bloomline --out moves.ics

bloomline stage makes the places and fixes by hand who stands where.
""")
_PICTURES = (".pdf", ".png", ".svg")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "rota",
        usage="FILE [options]",
        short=tr("which pot stands where in each week, and which to carry when"),
        about=tr(
            "Plan the stage: which pot stands at which display place in each week, so that the "
            "places show the most colour and scent while they are looked at. Heavy pots move "
            "little or never; room, light and frost are heeded, and what is fixed by hand stays."
        ),
        epilog=tr(_EPILOG),
    )
    add_yard(parser)
    parser.add_argument("--week", type=week, metavar="YYYY-Wnn", help=tr("only this week"))
    parser.add_argument(
        "--date", type=day, metavar="DAY", help=tr("who stands where on this day, and its flowers")
    )
    add_format(parser, "table", "json", "csv")
    parser.add_argument(
        "--out",
        type=Path,
        metavar="FILE",
        help=tr(
            "write the moves: a sheet for the shed door (.pdf, .png, .svg) or a calendar (.ics)"
        ),
    )
    parser.add_argument(
        "--winter",
        action="store_true",
        help=tr(
            "write into the pots, in the yard file, that they winter in the shelters that are "
            "offered to them; season and work then have them there too"
        ),
    )
    parser.add_argument("--page", choices=("a4", "letter"), default="a4", help=tr("paper (a4)"))
    add_today(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Show the rota, or write its moves."""
    from bloomline.errors import UsageError
    from bloomline.plan.stage.rota import stage_plan
    from bloomline.plan.stage.words import (
        ROTA_COLUMNS,
        rota_lines,
        rota_object,
        rota_rows,
        standing_lines,
    )

    if args.week is not None and args.date is not None:
        raise UsageError(tr("--week goes without --date"))
    if args.out is not None:
        suffix = args.out.suffix.lower()
        if suffix not in (*_PICTURES, ".ics"):
            raise UsageError(tr("{out}: a .pdf, .png, .svg or .ics file is wanted", out=args.out))
        if args.week is not None or args.date is not None or args.format != "table":
            raise UsageError(tr("--out writes all moves; leave out --week, --date and --format"))
    if args.winter and (args.place is not None or args.out is not None):
        raise UsageError(tr("--winter changes the yard: it goes without --place and --out"))
    outlook = outlook_for(args)
    plan = stage_plan(outlook)
    if plan is None:
        if not outlook.yard.display_places:
            say(tr("this yard has no display places; bloomline stage FILE --add NAME makes one"))
        else:
            say(tr("there are no pots in this yard yet"))
        return 1
    if args.winter:
        plan = _wintered(args, plan)
    first, last = args.week or (args.date, args.date)
    if args.out is not None:
        _write(args, outlook, plan)
    elif args.format == "json":
        put_json(rota_object(plan, first=first, last=last))
    elif args.format == "csv":
        put_csv(ROTA_COLUMNS, list(rota_rows(plan, first=first, last=last)))
    elif args.date is not None:
        for line in standing_lines(plan, args.date):
            put(line)
    else:
        for line in rota_lines(plan, first=first, last=last):
            put(line)
    return 0


def _wintered(args: argparse.Namespace, plan: StagePlan) -> StagePlan:
    """The rota once the pots say that they winter where it is offered to them."""
    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.plan.stage.rota import stage_plan
    from bloomline.plan.stage.winter import winter_yard

    if not plan.offers:
        say(tr("no pot would fare better under cover than where it stands now"))
        return plan
    loaded = load_yard(args.file)
    save_yard(args.file, winter_yard(loaded.yard, plan.offers), seen=loaded.digest)
    # What is left has no room, or no shelter that is warm enough.
    return stage_plan(outlook_for(args)) or plan


def _write(args: argparse.Namespace, outlook: Outlook, plan: StagePlan) -> None:
    """The moves as a sheet or as a calendar, the events of which are those of `work`."""
    if args.out.suffix.lower() == ".ics":
        _write_calendar(args, outlook)
        return
    from bloomline.draw.paper.stage_sheet import write_stage_sheet

    pages = write_stage_sheet(plan, args.out, paper=args.page, cultivar_of=outlook.cultivar_of)
    for path in pages:
        put(str(path))


def _write_calendar(args: argparse.Namespace, outlook: Outlook) -> None:
    from bloomline.cli.work import write_tasks
    from bloomline.plan.work.stage import STAGE_KINDS
    from bloomline.plan.work.year import work_plan

    work = work_plan(outlook)
    tasks = [task for task in work.tasks if task.kind in STAGE_KINDS]
    name = tr("{yard}: pots to carry", yard=work.yard_name)
    write_tasks(args, outlook.yard, work, tasks, name=name)
