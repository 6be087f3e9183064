"""`bloomline layout`: lays out the layers of pots properly, and says what it changed."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_command, add_format
from bloomline.cli.output import put, put_json, wrapped
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.words import marked, plural, tr

if TYPE_CHECKING:
    from bloomline.model.yard import Pot, Yard
    from bloomline.plan.pot.fitting import CultivarOf
    from bloomline.plan.pot.layout import PotLayout

_EPILOG = marked("""\
examples:
  bloomline layout yard.bloomline                     what would change
  bloomline layout yard.bloomline --pot "Zinc tub" --write

Bulbs that are planted already are never moved.
Exit codes: 0 all lies well or was written, 1 something would change, 2 bad use, 3 bad input.
""")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "layout",
        usage="FILE [options]",
        short=tr("lay out the layers of pots: order, depth, compost between them"),
        about=tr(
            "Lay out the layers of every pot: the latest and tallest lowest, each at its proper "
            "depth, with compost between and below. Says what would change, or writes it."
        ),
        epilog=tr(_EPILOG),
    )
    add_yard(parser)
    parser.add_argument("--pot", metavar="NAME", help=tr("only the pot of this name or id"))
    parser.add_argument("--write", action="store_true", help=tr("write the changes into the file"))
    add_format(parser, "table", "json")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Lay out pots; 1 when something would change and is not written."""
    from bloomline.files.yardfile import digest_on_disk, save_yard
    from bloomline.plan.pot.layout import lay_out_pot, lay_out_yard
    from bloomline.plan.season.advice import flowering_days
    from bloomline.plan.season.yard import season_report

    seen = digest_on_disk(args.file)
    outlook = outlook_for(args)
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    days = flowering_days(season_report(outlook))
    if args.pot is None:
        after, layouts = lay_out_yard(yard, cultivar_of=cultivar_of, flowering_days=days)
    else:
        one = lay_out_pot(
            yard, pot_named(yard, args.pot).id, cultivar_of=cultivar_of, flowering_days=days
        )
        after, layouts = one.yard, (one,)
    changed = any(layout.moves for layout in layouts)
    written = args.write and changed
    if written:
        save_yard(args.file, after, seen=seen)
    if args.format == "json":
        put_json(_object(yard, after, layouts, written=written, cultivar_of=cultivar_of))
    else:
        for line in _lines(yard, after, layouts, written=written, cultivar_of=cultivar_of):
            put(line)
    return 1 if changed and not written else 0


def pot_named(yard: Yard, text: str) -> Pot:
    """The pot of that id or name. Raises UnknownNameError, UsageError for a name twice."""
    from bloomline.errors import UsageError
    from bloomline.model.yard import unknown

    wanted = text.strip().casefold()
    found = [pot for pot in yard.pots if pot.id == text or pot.name.casefold() == wanted]
    if not found:
        raise unknown("pot", text, [pot.name for pot in yard.pots])
    if len(found) > 1:
        ids = ", ".join(pot.id for pot in found)
        raise UsageError(
            tr("several pots are called “{text}”; give an id: {ids}", text=text, ids=ids)
        )
    return found[0]


def _lines(
    yard: Yard,
    after: Yard,
    layouts: tuple[PotLayout, ...],
    *,
    written: bool,
    cultivar_of: CultivarOf,
) -> list[str]:
    from bloomline.plan.pot.layout import finding_words

    lines: list[str] = []
    for layout in layouts:
        if layout.left_alone == "empty":
            continue
        lines += wrapped(layout.pot_name)
        if layout.left_alone:
            lines += wrapped(
                tr("left as it is, {left_alone}", left_alone=layout.left_alone), indent="  "
            )
        elif not layout.moves:
            lines.append(tr("  lies as well as it can here") if layout.after else tr("  lies well"))
        for move in layout.moves:
            lines += wrapped(move.words, indent="  ")
        for finding in layout.after:
            words = finding_words(finding, after.pot(layout.pot_id), cultivar_of=cultivar_of)
            lines += wrapped(tr("still to mind: {words}", words=words), indent="  ")
    moved = sum(len(layout.moves) for layout in layouts)
    if not lines:
        lines.append(tr("No pot holds a layer."))
    elif moved:
        what = plural("{n} layer", "{n} layers", moved)
        lines += [
            "",
            tr("{what} changed.", what=what)
            if written
            else tr("{what} would change; --write does it.", what=what),
        ]
    return lines


def _object(
    yard: Yard,
    after: Yard,
    layouts: tuple[PotLayout, ...],
    *,
    written: bool,
    cultivar_of: CultivarOf,
) -> dict[str, Any]:
    from bloomline.plan.pot.layout import finding_words

    return {
        "yard": yard.name,
        "written": written,
        "pots": [
            {
                "id": layout.pot_id,
                "name": layout.pot_name,
                "left_alone": layout.left_alone or None,
                "moves": [
                    {
                        "layer_id": move.layer_id,
                        "cultivar": move.cultivar_name,
                        "from_cover_cm": move.from_cover_cm,
                        "to_cover_cm": move.to_cover_cm,
                        "from_place": move.from_place,
                        "to_place": move.to_place,
                    }
                    for move in layout.moves
                ],
                "before": [
                    finding_words(each, yard.pot(layout.pot_id), cultivar_of=cultivar_of)
                    for each in layout.before
                ],
                "after": [
                    finding_words(each, after.pot(layout.pot_id), cultivar_of=cultivar_of)
                    for each in layout.after
                ],
            }
            for layout in layouts
        ],
    }
