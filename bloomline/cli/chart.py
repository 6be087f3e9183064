"""`bloomline chart`: the season of a yard as a picture to pin up."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.cli.options import add_command, day, number
from bloomline.cli.output import put
from bloomline.cli.pots import pot_ids_named
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.words import marked, tr

if TYPE_CHECKING:
    pass

_EPILOG = marked("""\
examples:
  bloomline chart yard.bloomline --out season.png
  bloomline chart yard.bloomline --out season.pdf --theme light
  bloomline chart yard.bloomline --out door.svg --pot "Long trough" --today
""")
_NOW = "now"


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "chart",
        usage="FILE --out PICTURE [options]",
        short=tr("the season of a yard as a picture (.png, .svg, .pdf)"),
        about=tr(
            "Paint the season of a yard: a row for each layer, the chance of colour above, "
            "bare and crowded days marked."
        ),
        epilog=tr(_EPILOG),
    )
    add_yard(parser)
    parser.add_argument(
        "--out", type=Path, required=True, metavar="PICTURE", help=tr(".png, .svg or .pdf")
    )
    parser.add_argument(
        "--width", type=number, default=1600.0, metavar="PX", help=tr("at 96 dots an inch (1600)")
    )
    parser.add_argument(
        "--height", type=number, metavar="PX", help=tr("at 96 dots an inch (as tall as needed)")
    )
    parser.add_argument("--dpi", type=number, default=96.0, help=tr("dots an inch of a .png (96)"))
    parser.add_argument("--theme", choices=("light", "dark"), default="light", help="(light)")
    parser.add_argument(
        "--today",
        nargs="?",
        type=_day_or_now,
        const=_NOW,
        dest="day_line",  # only drawn: what is known stays what is known now
        metavar="YYYY-MM-DD",
        help=tr("draw the line of today, or of another day"),
    )
    parser.add_argument(
        "--pot", action="append", metavar="NAME|ID", help=tr("only this pot; may be given again")
    )
    parser.add_argument(
        "--by-first-flower",
        action="store_true",
        help=tr("pots that flower first on top (the order of the yard)"),
    )
    parser.set_defaults(run=run)


def _day_or_now(text: str) -> date | str:
    return _NOW if text == _NOW else day(text)


def run(args: argparse.Namespace) -> int:
    """Write the picture and say where it is."""
    from bloomline.errors import UsageError
    from bloomline.plan.carry.succession import successions
    from bloomline.plan.season.yard import season_report

    if args.out.suffix.lower() not in (".png", ".svg", ".pdf"):
        raise UsageError(tr("{out}: a chart is a .png, .svg or .pdf file", out=args.out))
    outlook = outlook_for(args)
    report = season_report(outlook)
    today = date.today() if args.day_line == _NOW else args.day_line
    pots = pot_ids_named(report, args.pot)
    from bloomline.draw.season.chart import ChartOptions, plan_season
    from bloomline.draw.season.chart_export import write_plan
    from bloomline.draw.season.wish_lane import told_spans
    from bloomline.plan.fill.targets import targets

    options = ChartOptions(
        width=args.width,
        height=args.height,
        theme=args.theme,
        today=today,
        pot_ids=pots,
        by_first_flower=args.by_first_flower,
        conflicts=successions(outlook),
        wishes=told_spans(targets(outlook)),
    )
    path = write_plan(plan_season(report, options), args.out, dpi=args.dpi)
    put(str(path))
    return 0
