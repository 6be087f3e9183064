"""`bloomline kinds`: a yard's own kinds and mixtures, from packets and tables."""

from __future__ import annotations

import argparse
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_catalogue, add_command, add_format, number
from bloomline.cli.output import put, put_json, say, shorten, table, wrapped
from bloomline.words import marked, plural, short_day_words, tr

if TYPE_CHECKING:
    from bloomline.model.cultivar import Cultivar
    from bloomline.model.yard import OwnCultivar, Yard
    from bloomline.plan.kinds.packet import PacketEntry
    from bloomline.plan.season.outlook import Outlook
    from bloomline.reference.catalogue import Catalogue

_EPILOG = marked("""\
examples:
  bloomline kinds yard.bloomline --add "Evening Tale" --type tulip --class Triumph \\
      --flowers "April-May" --country "United Kingdom" --colour apricot --height 45
  bloomline kinds yard.bloomline --add mixed --type tulip
  bloomline kinds yard.bloomline --mix "Sunrise" --part "Apricot Beauty=40" --part "Shirley=60"
  bloomline kinds yard.bloomline --export kinds.csv
  bloomline kinds other.bloomline --import kinds.csv

Exit codes: 0 done, 1 done, and something about it is unusual, 2 bad use, 3 bad input.
""")
_SCENTS = ("none", "light", "strong")
_OF_PACKET = (
    *("type", "bulb_class", "flowers", "country", "colour", "height", "depth", "size", "scent"),
    *("price", "pack"),
)


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "kinds",
        usage="FILE [options]",
        short=tr("a yard's own kinds: from packets, mixtures, tables"),
        about=tr(
            "List the kinds of a yard that the catalogue lacks, make one from what stands on "
            "its packet, mix several, or bring them to other yards as a table with the columns "
            "of the catalogue. What a packet doesn't say is taken from its class; its months "
            "are turned into dates by the climate of their country."
        ),
        epilog=tr(_EPILOG),
    )
    parser.add_argument("file", type=Path, metavar="FILE", help=tr("a yard file (.bloomline)"))
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--add", metavar="NAME", help=tr("a kind by the name on its packet"))
    what.add_argument("--mix", metavar="NAME", help=tr("a mixture, of the kinds in --part"))
    what.add_argument("--remove", metavar="ID", help=tr("take a kind out that isn't planted"))
    what.add_argument(
        "--import", dest="table", type=Path, metavar="FILE.csv", help=tr("take in a table of kinds")
    )
    what.add_argument(
        "--export", type=Path, metavar="FILE.csv", help=tr("write the yard's own kinds as a table")
    )
    what.add_argument(
        "--keep", metavar="ID", help=tr("keep a kind for your other yards, in your data folder")
    )
    what.add_argument(
        "--take-kept", action="store_true", help=tr("take in all kinds kept for your yards")
    )
    parser.add_argument("--type", metavar="TYPE", help=tr("tulip, narcissus, crocus, or a genus"))
    parser.add_argument(
        "--class", dest="bulb_class", metavar="CLASS", help=tr("its class, or number of division")
    )
    parser.add_argument(
        "--flowers", metavar="MONTHS", help=tr("April-May, late March, weeks 15-18")
    )
    parser.add_argument(
        "--country", metavar="NAME", help=tr("where these months hold (the country of the yard)")
    )
    parser.add_argument("--colour", metavar="WORD", help=tr("a word, or #RRGGBB"))
    parser.add_argument("--height", type=number, metavar="CM", help=tr("height in flower"))
    parser.add_argument("--depth", type=number, metavar="CM", help=tr("soil over the bulb's tip"))
    parser.add_argument("--size", type=number, metavar="CM", help=tr("the bulb's circumference"))
    parser.add_argument("--scent", choices=_SCENTS, help=tr("how strong its scent is"))
    parser.add_argument("--price", type=number, metavar="AMOUNT", help=tr("price of the pack"))
    parser.add_argument("--pack", type=int, metavar="N", help=tr("bulbs in the pack"))
    parser.add_argument(
        "--part",
        action="append",
        default=[],
        metavar="KIND=SHARE",
        help=tr("a kind of the mixture, with bulbs or a share"),
    )
    add_catalogue(parser)
    add_format(parser, "table", "json")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """List, make, remove, import, export or keep own kinds; 1 when something is unusual."""
    from bloomline.files.locking import locked
    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.plan.kinds.table import keep_shared, write_kinds

    _refuse_odd_use(args)
    changes = any((args.add, args.mix, args.remove, args.table, args.take_kept))
    with locked(args.file) if changes else nullcontext():
        loaded = load_yard(args.file)
        yard, asked = _changed(loaded.yard, args)
        if yard is not loaded.yard:
            save_yard(args.file, yard, seen=loaded.digest)
    for words in asked:
        say(words)
    if args.export is not None:
        write_kinds(args.export, yard.own_cultivars)
        count = len(yard.own_cultivars)
        say(
            plural(
                "{n} kind written to {file}", "{n} kinds written to {file}", count, file=args.export
            )
        )
        return 0
    if args.keep is not None:
        from bloomline.model.kind_edits import own_kind

        keep_shared([own_kind(yard, args.keep)])
        say(tr("{name} is kept for your other yards", name=own_kind(yard, args.keep).name))
        return 0
    if args.format == "json":
        put_json([_object(kind, yard) for kind in yard.own_cultivars])
    else:
        for line in _lines(yard):
            put(line)
    return 1 if asked else 0


def _refuse_odd_use(args: argparse.Namespace) -> None:
    from bloomline.errors import UsageError

    given = [name for name in _OF_PACKET if getattr(args, name) is not None]
    if args.add is None and [name for name in given if name not in ("price", "pack")]:
        raise UsageError(tr("--type and what stands on a packet go with --add NAME"))
    if args.add is not None and args.type is None:
        raise UsageError(tr("--add needs --type: tulip, narcissus, crocus, …"))
    if args.add is None and args.mix is None and given:
        raise UsageError(tr("--price and --pack go with --add or --mix"))
    if bool(args.mix) != bool(args.part):
        raise UsageError(tr("--mix NAME and --part KIND=SHARE go together"))


def _changed(yard: Yard, args: argparse.Namespace) -> tuple[Yard, list[str]]:
    """The yard with what was asked for, and what is unusual about it."""
    from bloomline.model.kind_edits import put_kind, remove_kind
    from bloomline.plan.kinds.table import load_shared, read_kinds, take_kinds

    if args.remove is not None:
        return remove_kind(yard, args.remove), []
    if args.table is not None:
        return take_kinds(yard, read_kinds(args.table)), []
    if args.take_kept:
        kinds, problem = load_shared()
        return take_kinds(yard, kinds), [problem] if problem else []
    if args.add is None and args.mix is None:
        return yard, []
    from bloomline.cli.yard import outlook_on
    from bloomline.plan.kinds.prices import with_pack

    kind, asked = _made(args, outlook_on(args, yard))
    return with_pack(put_kind(yard, kind), kind.id, pack=args.pack, price=args.price), asked


def _made(args: argparse.Namespace, outlook: Outlook) -> tuple[OwnCultivar, list[str]]:
    catalogue = outlook.kinds
    taken = [each.id for each in catalogue]
    if args.mix is not None:
        from bloomline.plan.kinds.mixtures import mixture_from

        parts = [_part(text, catalogue) for text in args.part]
        return mixture_from(args.mix, parts, taken=taken), []
    from bloomline.errors import UsageError
    from bloomline.plan.kinds.making import kind_of
    from bloomline.plan.kinds.questions import questions

    entry, forecaster = _entry(args, outlook.yard), outlook.forecaster
    found = questions(entry, forecaster=forecaster, taken=catalogue)
    grave = [f"{field}: {each.words}" for field, each in found.items() if each.grave]
    if grave:
        raise UsageError("; ".join(grave))
    asked = [f"{field}: {each.words}" for field, each in found.items()]
    return kind_of(entry, forecaster=forecaster, taken=taken), asked


def _entry(args: argparse.Namespace, yard: Yard) -> PacketEntry:
    from bloomline.plan.kinds.classes import colours, find_class
    from bloomline.plan.kinds.packet import PacketEntry, country_of

    genus, group = find_class(args.type, args.bulb_class or "")
    colour = args.colour or ""
    petals = colours().get(colour.casefold(), ("", None))
    if colour.startswith("#"):
        colour, petals = "", (colour, None)
    return PacketEntry(
        genus=genus,
        group=group,
        name=args.add,
        flowers=args.flowers or "",
        country=args.country if args.country is not None else country_of(yard.place),
        colour=colour,
        colour_hex=petals[0],
        second_hex=petals[1],
        height_cm=args.height,
        cover_cm=args.depth,
        size_cm=args.size,
        scent=_SCENTS.index(args.scent or "none"),
    )


def _part(text: str, catalogue: Catalogue) -> tuple[Cultivar, float]:
    from bloomline.errors import UsageError

    name, equals, share = text.rpartition("=")
    try:
        weight = float(share.strip().removesuffix("%"))
    except ValueError:
        equals = ""
    if not equals:
        raise UsageError(tr("“{text}”: write a kind and its bulbs or share, Shirley=60", text=text))
    return catalogue.find(name.strip()), weight


def _object(kind: OwnCultivar, yard: Yard) -> dict[str, Any]:
    from bloomline.model.kind_edits import where_used

    found: dict[str, Any] = kind.model_dump(mode="json", exclude={"parts"})
    found["parts"] = [
        {"id": part.id, "name": part.name, "share": round(share, 4)} for part, share in kind.shares
    ]
    found["in"] = where_used(yard, kind.id)
    return found


def _lines(yard: Yard) -> list[str]:
    from bloomline.model.kind_edits import where_used
    from bloomline.plan.kinds.mixtures import parts_words

    kinds = yard.own_cultivars
    if not kinds:
        return [tr("{name} has no kinds of its own", name=yard.name)]
    rows = [
        (
            kind.id,
            shorten(kind.name, 34),
            short_day_words(kind.ref_start.in_year(2001)),
            f"{kind.ref_sd_days:.0f}",
            f"{kind.height_cm:.0f}",
            len(where_used(yard, kind.id)) or "",
        )
        for kind in kinds
    ]
    columns = (tr("id"), tr("kind"), tr("opens near London"), "±", tr("cm"), tr("used in"))
    lines = table(columns, rows, right=(3, 4, 5))
    for kind in kinds:
        about = parts_words(kind) or kind.date_note
        lines += wrapped(f"{kind.name}: {about}", hang="  ") if about else []
    return lines
