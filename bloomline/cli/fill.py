"""`bloomline fill`: what to plant in a gap, a pot or a whole yard, provably well."""

from __future__ import annotations

import argparse
import sys
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.cli.options import add_command, add_format, add_today, count, day, number
from bloomline.cli.output import put, put_csv, put_json, say
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.words import marked, tr

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from bloomline.model.yard import Yard
    from bloomline.plan.fill.answer import Answer, Answers
    from bloomline.plan.fill.gap import Filler, GapAnswer
    from bloomline.plan.fill.wishes import Wishes
    from bloomline.plan.season.outlook import Outlook

_EPILOG = marked("""\
examples:
  bloomline fill yard.bloomline --gap 2027-03-01 2027-04-10
  bloomline fill yard.bloomline --pot "Deep pot" --from 2027-02-20 --to 2027-05-09 --scent
  bloomline fill yard.bloomline --budget 60 --harmless --format json
  bloomline fill yard.bloomline --budget 60 --apply 1 --out filled.bloomline
  bloomline fill yard.bloomline --keep-wish 1

Without --gap or --pot the whole yard is filled. Layers that lie there stay.
Exit codes: 0 there is an answer, 1 there is none, 2 bad use, 3 bad input.
""")
_RULES = ("any", "near", "contrast", "single", "white")
_FAMILIES = ("white", "yellow", "orange", "pink", "red", "purple", "blue", "dark", "green")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "fill",
        usage="FILE [options]",
        short=tr("what to plant in a gap, a pot or the whole yard, and why"),
        about=tr(
            "Choose kinds, numbers and depths that bring most days of colour for the money: for a "
            "gap of days, for one pot, or for all pots. Says how far from the best an answer can "
            "be at most, what it costs, and what it gives up against the others."
        ),
        epilog=tr(_EPILOG),
    )
    add_yard(parser)
    parser.add_argument(
        "--gap",
        nargs=2,
        type=day,
        metavar=("FROM", "TO"),
        help=tr("what would fill these days, most days of colour for the money first"),
    )
    parser.add_argument(
        "--keep-wish",
        type=count,
        metavar="N",
        help=tr("the cheapest change found that keeps wish N of those that `season` tells"),
    )
    parser.add_argument(
        "--pot",
        action="append",
        metavar="NAME",
        help=tr("only the pot of this name or id; several may be given"),
    )
    parser.add_argument(
        "--from", dest="first", type=day, metavar="DAY", help=tr("first day wished for")
    )
    parser.add_argument(
        "--to", dest="last", type=day, metavar="DAY", help=tr("last day wished for")
    )
    parser.add_argument("--scent", action="store_true", help=tr("a scented kind in every pot"))
    parser.add_argument(
        "--scent-in",
        action="append",
        default=[],
        metavar="POT",
        help=tr("a scented kind in this pot; several may be given"),
    )
    parser.add_argument(
        "--colours", choices=_RULES, default="any", help=tr("which colours go together in a pot")
    )
    parser.add_argument(
        "--colour", choices=_FAMILIES, help=tr("the one colour, beside white where that is allowed")
    )
    parser.add_argument("--height", type=number, metavar="CM", help=tr("no taller plants"))
    parser.add_argument(
        "--harmless", action="store_true", help=tr("nothing that harms pets or children if eaten")
    )
    parser.add_argument(
        "--cupboard-first", action="store_true", help=tr("use what lies in the cupboard first")
    )
    parser.add_argument("--easy", action="store_true", help=tr("only kinds that never fail here"))
    parser.add_argument(
        "--budget", type=number, metavar="MONEY", help=tr("what may be spent in addition")
    )
    parser.add_argument(
        "--bulbs-only", action="store_true", help=tr("leave compost out of the budget")
    )
    parser.add_argument("--kinds", type=count, metavar="N", help=tr("no more different kinds"))
    parser.add_argument(
        "--like", action="append", default=[], metavar="KIND", help=tr("a cultivar or type wanted")
    )
    parser.add_argument(
        "--dislike", action="append", default=[], metavar="KIND", help=tr("one that is not wanted")
    )
    parser.add_argument(
        "--robust",
        action="store_true",
        help=tr("count only days that are in colour in eight years of ten"),
    )
    parser.add_argument(
        "--seconds",
        type=number,
        metavar="S",
        help=tr("how long to search for the best (5 to 30, by pots)"),
    )
    parser.add_argument(
        "--apply", type=count, metavar="N", help=tr("plant answer N and write the yard to --out")
    )
    parser.add_argument("--out", type=Path, metavar="FILE", help=tr("where --apply writes"))
    add_today(parser)
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Answer; 1 when there is nothing to plant."""
    from bloomline.errors import UsageError

    if (args.apply is None) != (args.out is None):
        raise UsageError(tr("--apply and --out go together"))
    if args.gap is not None and (args.first or args.last):
        raise UsageError(tr("--gap has its own days; leave out --from and --to"))
    if args.keep_wish is not None and (args.gap is not None or args.pot or args.first or args.last):
        raise UsageError(tr("--keep-wish has its own pots and days; leave out --gap and the like"))
    outlook = outlook_for(args)
    wishes = _wishes(args, outlook)
    pot_ids = None if args.pot is None else [_pot_id(outlook.yard, name) for name in args.pot]
    if args.gap is not None:
        return _gap(args, outlook, wishes, pot_ids)
    if args.keep_wish is not None:
        found = _kept(args, outlook, wishes)
    else:
        found = _answers(args, outlook, wishes, pot_ids)
    _show(args, found, outlook.yard)
    if not found.answers:
        return 1
    _apply(args, found.answers, outlook.yard)
    return 0


def _gap(
    args: argparse.Namespace, outlook: Outlook, wishes: Wishes, pot_ids: list[str] | None
) -> int:
    from bloomline.plan.fill.gap import fill_gap

    first, last = args.gap
    found = fill_gap(outlook, first, last, wishes=wishes, pot_ids=pot_ids, go=_progress())
    _end_progress()
    _show_gap(args.format, found, outlook.yard)
    if not found.fillers:
        return 1
    _apply(args, found.fillers, outlook.yard)
    return 0


def _answers(
    args: argparse.Namespace, outlook: Outlook, wishes: Wishes, pot_ids: list[str] | None
) -> Answers:
    from bloomline.plan.fill.pot import suggest_pot
    from bloomline.plan.fill.yard import fill_yard

    try:
        if pot_ids is not None and len(pot_ids) == 1:
            return suggest_pot(outlook, pot_ids[0], wishes, go=_progress())
        seconds = {} if args.seconds is None else {"seconds": max(args.seconds, 0.1)}
        return fill_yard(outlook, wishes, pot_ids=pot_ids, go=_progress(), **seconds)
    finally:
        _end_progress()


def _kept(args: argparse.Namespace, outlook: Outlook, wishes: Wishes) -> Answers:
    """The change that keeps a wish, as an answer."""
    from bloomline.errors import UsageError
    from bloomline.plan.fill.keeping import keep_wish

    known = outlook.yard.wishes
    if not 1 <= args.keep_wish <= len(known):
        raise UsageError(
            tr("there is no wish {n}: the yard has {count}", n=args.keep_wish, count=len(known))
        )
    try:
        return keep_wish(outlook, known[args.keep_wish - 1], wishes, go=_progress())
    finally:
        _end_progress()


def _wishes(args: argparse.Namespace, outlook: Outlook) -> Wishes:
    from bloomline.errors import UsageError
    from bloomline.model.colours import Family
    from bloomline.plan.fill.likings import liking_of
    from bloomline.plan.fill.wishes import Wishes

    if args.budget is not None and args.budget < 0:
        raise UsageError(tr("--budget can't be below nothing"))
    yard = outlook.yard
    budget = None if args.budget is None else Decimal(str(round(args.budget, 4)))
    return Wishes(
        first=args.first,
        last=args.last,
        scent=args.scent or bool(args.scent_in),
        scent_pots=tuple(_pot_id(yard, name) for name in args.scent_in),
        colours=args.colours,
        colour=None if args.colour is None else Family[args.colour.upper()],
        height_most_cm=args.height,
        harmless=args.harmless,
        cupboard_first=args.cupboard_first,
        easy=args.easy,
        budget=budget,
        bulbs_only=args.bulbs_only,
        kinds_most=args.kinds,
        liked=tuple(liking_of(outlook, text) for text in args.like),
        not_liked=tuple(liking_of(outlook, text) for text in args.dislike),
        robust=args.robust,
    )


def _pot_id(yard: Yard, text: str) -> str:
    from bloomline.cli.layout import pot_named

    return pot_named(yard, text).id


def _show(args: argparse.Namespace, found: Answers, yard: Yard) -> None:
    from bloomline.plan.fill.words import (
        LAYER_COLUMNS,
        answers_lines,
        answers_object,
        answers_rows,
    )

    if args.format == "json":
        put_json(answers_object(found, yard))
    elif args.format == "csv":
        put_csv(LAYER_COLUMNS, answers_rows(found, yard))
    else:
        for line in answers_lines(found, yard):
            put(line)


def _show_gap(form: str, found: GapAnswer, yard: Yard) -> None:
    from bloomline.plan.fill.words import FILLER_COLUMNS, gap_lines, gap_object, gap_rows

    if form == "json":
        put_json(gap_object(found, yard))
    elif form == "csv":
        put_csv(FILLER_COLUMNS, gap_rows(found, yard))
    else:
        for line in gap_lines(found, yard):
            put(line)


def _apply(args: argparse.Namespace, found: Sequence[Answer | Filler], yard: Yard) -> None:
    """Plant the answer that is asked for and write the yard."""
    from bloomline.errors import UsageError
    from bloomline.files.yardfile import save_yard

    if args.apply is None:
        return
    if args.apply > len(found):
        raise UsageError(
            tr("there is no answer {n}: they go from 1 to {count}", n=args.apply, count=len(found))
        )
    save_yard(args.out, found[args.apply - 1].apply(yard), seen=None)
    say(tr("{path} written", path=args.out))


def _progress() -> Callable[[float], bool]:
    """Tells on a terminal how far it is."""
    if not sys.stderr.isatty():
        return lambda _share: True

    def told(share: float) -> bool:
        print(f"\r{100 * share:3.0f} %", end="", file=sys.stderr, flush=True)
        return True

    return told


def _end_progress() -> None:
    if sys.stderr.isatty():
        print("\r     \r", end="", file=sys.stderr, flush=True)
