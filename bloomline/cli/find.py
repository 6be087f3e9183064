"""`bloomline find`: what in this yard an unknown flower could be."""

from __future__ import annotations

import argparse

from bloomline.cli.options import add_command, add_format, day, number
from bloomline.cli.output import put, put_csv, put_json, wrapped
from bloomline.cli.pots import pot_ids_named
from bloomline.cli.yard import add_yard, outlook_for

_EPILOG = """\
examples:
  bloomline find yard.bloomline --colour white --scented --opened 2027-04-03
  bloomline find yard.bloomline --pot "Zinc tub" --height 40
"""
_SHOWN = 8
_LEAST_SHARE = 0.01


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "find",
        usage="FILE [what was seen]",
        short="what in this yard an unknown flower could be",
        about="Rank the layers of a yard by what was seen of a flower whose label is lost.",
        epilog=_EPILOG,
    )
    add_yard(parser)
    parser.add_argument("--colour", metavar="WORD", help="white, yellow, orange, pink, red, …")
    scent = parser.add_mutually_exclusive_group()
    scent.add_argument("--scented", dest="scent", action="store_true", default=None)
    scent.add_argument("--unscented", dest="scent", action="store_false")
    parser.add_argument("--opened", type=day, metavar="YYYY-MM-DD", help="day of its first flower")
    parser.add_argument("--height", type=number, metavar="CM", help="how tall it stands")
    parser.add_argument("--kind", metavar="WORD", help="tulip, narcissus, crocus, …")
    parser.add_argument(
        "--pot", action="append", metavar="NAME|ID", help="only this pot; may be given again"
    )
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Rank what it could be."""
    from bloomline.errors import UsageError
    from bloomline.plan.paper.finder import family_named, find_unknown
    from bloomline.plan.season.yard import season_report

    seen = (args.colour, args.scent, args.opened, args.height, args.kind, args.pot)
    if all(each is None for each in seen):
        raise UsageError(
            "say what was seen: --colour, --scented, --opened, --height, --kind, --pot"
        )
    colour = None if args.colour is None else family_named(args.colour)
    outlook = outlook_for(args)
    found = find_unknown(
        outlook,
        colour=colour,
        scent=args.scent,
        opened=args.opened,
        height_cm=args.height,
        pots=pot_ids_named(season_report(outlook), args.pot),
        kind=args.kind,
    )
    rows = [
        {
            "share": round(each.share, 4),
            "cultivar": each.name,
            "pot": each.pot_name,
            "layer_id": each.layer_id,
            "why": "; ".join(each.why),
        }
        for each in found
    ]
    if args.format == "json":
        put_json(rows)
    elif args.format == "csv":
        put_csv(("share", "cultivar", "pot", "layer_id", "why"), rows)
    elif not found:
        put("Nothing in this yard can be that.")
    else:
        for place, each in enumerate(found[:_SHOWN]):
            if place > 0 and each.share < _LEAST_SHARE:
                break
            put(f"{100 * each.share:3.0f} %  {each.name}, {each.pot_name}")
            for line in wrapped("; ".join(each.why), indent="       "):
                put(line)
    return 0
