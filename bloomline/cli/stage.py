"""`bloomline stage`: the places where pots stand, and what is fixed there by hand."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_catalogue, add_command, add_format, count, day, number
from bloomline.cli.output import put, put_json
from bloomline.words import marked, tr

if TYPE_CHECKING:
    from bloomline.model.yard import Yard

_EPILOG = marked("""\
examples:
  bloomline stage yard.bloomline
  bloomline stage yard.bloomline --add "Front step" --pots 3 --width 120 --view 2 --wanted easter:3
  bloomline stage yard.bloomline --add "Behind the shed" --kind rest --pots 12 --light half-shade
  bloomline stage yard.bloomline --add Garage --kind shelter --cover garage --pots 20
  bloomline stage yard.bloomline --set Terrace --wanted 05-01:05-31:2 --by-path yes --nose 110
  bloomline stage yard.bloomline --rename Terrace "Garden terrace"
  bloomline stage yard.bloomline --remove Balcony
  bloomline stage yard.bloomline --fix "Zinc tub" "Front step" --from 2027-04-10 --to 2027-05-02
  bloomline stage yard.bloomline --free "Zinc tub"

Changes are kept in the yard file. Pots follow a place that is renamed; those of one that is
removed have none.
""")
_FIELDS = {
    "kind": "kind",
    "cover": "site",
    "pots": "capacity",
    "width": "width_cm",
    "light": "sun",
    "exposure": "exposure",
    "seen_from": "seen_from",
    "view": "view_weight",
    "nose": "nose_height_cm",
    "raised": "raised_cm",
    "by_path": "by_path",
    "no_trolley": "no_trolley",
}


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "stage",
        usage="FILE [options]",
        short=tr("the places where pots are shown or rest: make, change, fix by hand"),
        about=tr(
            "List, make, change, rename and remove the places of a yard where pots are shown, "
            "rest or winter, and fix by hand who stands where. bloomline rota plans the rest."
        ),
        epilog=tr(_EPILOG),
    )
    parser.add_argument("file", type=Path, metavar="FILE", help=tr("a yard file (.bloomline)"))
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--add", metavar="NAME", help=tr("make a place"))
    what.add_argument("--set", metavar="NAME", help=tr("change a place"))
    what.add_argument("--rename", nargs=2, metavar=("OLD", "NEW"), help=tr("rename a place"))
    what.add_argument("--remove", metavar="NAME", help=tr("take a place away"))
    what.add_argument(
        "--fix",
        nargs=2,
        metavar=("POT", "PLACE"),
        help=tr("let a pot stand at a place, with --from and --to; - is its own spot"),
    )
    what.add_argument(
        "--free", metavar="POT", help=tr("leave a pot to the rota again, on some days or on all")
    )
    parser.add_argument("--from", dest="first", type=day, metavar="DAY", help=tr("from this day"))
    parser.add_argument("--to", dest="last", type=day, metavar="DAY", help=tr("up to this day"))
    parser.add_argument(
        "--kind",
        choices=("display", "rest", "shelter"),
        help=tr("what the place is for: display, resting place or winter shelter"),
    )
    parser.add_argument(
        "--cover",
        choices=("cold-frame", "cold-greenhouse", "shed", "garage"),
        help=tr("what a winter shelter is (shed); garage: against the house, or a cellar"),
    )
    parser.add_argument("--pots", type=count, metavar="N", help=tr("room for how many pots"))
    parser.add_argument("--width", type=number, metavar="CM", help=tr("room side by side; 0: any"))
    parser.add_argument(
        "--light", choices=("sun", "half-shade", "shade", "dark"), help=tr("how light it is")
    )
    parser.add_argument("--exposure", metavar="WORDS", help=tr("how it lies, in your words"))
    parser.add_argument("--seen-from", metavar="WORDS", help=tr("from where it is looked at"))
    parser.add_argument(
        "--view", type=number, metavar="WEIGHT", help=tr("how much flowers count there (1)")
    )
    parser.add_argument(
        "--wanted",
        action="append",
        metavar="DAYS:WEIGHT",
        help=tr(
            "when it is to look its best: easter:3, or 05-01:05-31:2; may be given again, none "
            "takes all back"
        ),
    )
    for name, words in (
        ("--no-trolley", tr("steps, or no way for a trolley")),
        ("--by-path", tr("one walks past, so scent counts")),
    ):
        parser.add_argument(name, choices=("yes", "no"), help=words)
    parser.add_argument(
        "--nose", type=number, metavar="CM", help=tr("height of the nose there (150); 0: as usual")
    )
    parser.add_argument(
        "--raised", type=number, metavar="CM", help=tr("how high pots stand above the path")
    )
    add_catalogue(parser)
    add_format(parser, "table", "json")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Change the places as the options say, and list them."""
    from bloomline.errors import UsageError
    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.plan.stage.place_words import fixed_lines, place_lines

    fields = _fields(args)
    if fields and args.add is None and args.set is None:
        raise UsageError(tr("what a place is like goes with --add or --set"))
    if args.set is not None and not fields:
        raise UsageError(tr("--set changes nothing without an option like --pots or --view"))
    by_hand = args.fix is not None or args.free is not None
    if (args.first or args.last) and not by_hand:
        raise UsageError(tr("--from and --to go with --fix or --free"))
    if args.fix is not None and args.first is None:
        raise UsageError(tr("--fix wants --from: the day from which the pot stands there"))
    if args.last is not None and args.first is not None and args.last < args.first:
        raise UsageError(
            tr("--from {first} lies after --to {last}", first=args.first, last=args.last)
        )
    if args.free is not None and args.last is not None and args.first is None:
        raise UsageError(tr("--to goes with --from"))
    loaded = load_yard(args.file)
    if args.fix is not None:
        _refuse_what_cannot_be(args, loaded.yard)
    changed = _changed(args, loaded.yard, fields)
    if changed != loaded.yard:
        save_yard(args.file, changed, seen=loaded.digest)
    if args.format == "json":
        put_json(
            {
                "places": [each.model_dump(mode="json") for each in changed.display_places],
                "fixed": [each.model_dump(mode="json") for each in changed.fixed_stands],
            }
        )
        return 0
    for line in (*place_lines(changed.display_places), *fixed_lines(changed)):
        put(line)
    return 0


def _refuse_what_cannot_be(args: argparse.Namespace, yard: Yard) -> None:
    """Refuse to fix a pot where nobody can carry it, in the words of the window's drop."""
    from bloomline.cli.yard import outlook_on
    from bloomline.errors import EditRefusedError
    from bloomline.plan.stage.drops import why_not

    pot, place = args.fix
    why = why_not(outlook_on(args, yard), _pot_id(yard, pot), None if place == "-" else place)
    if why is not None:
        raise EditRefusedError(why)


def _changed(args: argparse.Namespace, yard: Yard, fields: dict[str, Any]) -> Yard:
    from bloomline.model.stage_edits import (
        add_place,
        change_stage_place,
        fix_stand,
        free_stand,
        remove_place,
        rename_place,
    )

    if args.add is not None:
        return add_place(yard, args.add, **fields)
    if args.set is not None:
        return change_stage_place(yard, args.set, **fields)
    if args.rename is not None:
        return rename_place(yard, *args.rename)
    if args.remove is not None:
        return remove_place(yard, args.remove)
    first: date | None = args.first
    if args.fix is not None and first is not None:
        pot, place = args.fix
        where = None if place == "-" else place
        return fix_stand(yard, _pot_id(yard, pot), where, first, args.last)
    if args.free is not None:
        return free_stand(yard, _pot_id(yard, args.free), first, args.last)
    return yard


def _pot_id(yard: Yard, name: str) -> str:
    from bloomline.cli.pots import pot_id_of

    return pot_id_of([(pot.id, pot.name) for pot in yard.pots], name)


def _fields(args: argparse.Namespace) -> dict[str, Any]:
    """The fields of a place that the options give; 0 takes back what may be left open."""
    found: dict[str, Any] = {}
    for option, field in _FIELDS.items():
        value = getattr(args, option)
        if value is None:
            continue
        if option in ("width", "nose") and value == 0:
            value = None
        elif option in ("by_path", "no_trolley"):
            value = value == "yes"
        found[field] = value
    if args.wanted is not None:
        found["wanted"] = tuple(_wanted(args.wanted))
    return found


def _wanted(given: Iterable[str]) -> Iterable[dict[str, Any]]:
    from bloomline.errors import UsageError

    for text in given:
        if text == "none":
            continue
        parts = text.split(":")
        try:
            if parts[0] == "easter" and len(parts) <= 2:
                days: dict[str, Any] = {"feast": "easter"}
                weight = parts[1:]
            else:
                days = {"first": parts[0], "last": parts[1]}
                weight = parts[2:]
            if len(weight) > 1:
                raise ValueError
            yield {**days, "weight": float(weight[0])} if weight else days
        except (ValueError, IndexError):
            raise UsageError(
                tr("“{text}” is not like easter:3 or 05-01:05-31:2", text=text)
            ) from None
