"""`bloomline card`: a printable page a pot, how to plant it from the bottom up."""

from __future__ import annotations

import argparse
from pathlib import Path

from bloomline.cli.options import add_command, number
from bloomline.cli.output import put
from bloomline.cli.pots import pot_ids_named
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.words import marked, tr

_EPILOG = marked("""\
examples:
  bloomline card yard.bloomline --out cards.pdf
  bloomline card yard.bloomline --pot "Half barrel by the gate" --out barrel.png --page a4
""")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "card",
        usage="FILE --out CARDS [options]",
        short=tr("a printable planting card for each pot (.pdf, .png, .svg)"),
        about=tr(
            "Print a card a pot: short cautions, the pot cut open with a ruler "
            "from the rim, and a section for each day of planting: to where the "
            "pot is filled, how many bulbs go in and where, and what stays "
            "unfilled until a later day. The reasons stand once, on a last sheet. "
            "A4 and Letter have larger letters and plans. A pot without plants has "
            "no card unless it is asked for. Pictures of several pots are named by "
            "them (cards-stone-sink.png), the last sheet is cards-cautions.png."
        ),
        epilog=tr(_EPILOG),
    )
    add_yard(parser)
    parser.add_argument(
        "--out", type=Path, required=True, metavar="CARDS", help=tr(".pdf, .png, .svg")
    )
    parser.add_argument(
        "--pot", action="append", metavar="NAME|ID", help=tr("only this pot; may be given again")
    )
    parser.add_argument(
        "--empty", action="store_true", help=tr("a card for pots without plants as well")
    )
    parser.add_argument(
        "--units", choices=("metric", "imperial"), help=tr("other units than the yard's own")
    )
    parser.add_argument(
        "--page", choices=("a5", "a4", "letter"), default="a5", help=tr("paper (a5)")
    )
    parser.add_argument(
        "--dpi", type=number, default=300.0, help=tr("dots an inch of a .png (300)")
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Write the cards and say where they are."""
    from bloomline.errors import UsageError
    from bloomline.plan.paper.card import cards_for
    from bloomline.plan.season.yard import season_report
    from bloomline.plan.words.units import Units

    if args.out.suffix.lower() not in (".pdf", ".png", ".svg"):
        raise UsageError(tr("{out}: a .pdf, .png or .svg file is wanted", out=args.out))
    outlook = outlook_for(args)
    pots = pot_ids_named(season_report(outlook), args.pot)
    units = Units(imperial=args.units == "imperial") if args.units else None
    # A pot that is named is asked for, whatever is in it.
    with_empty = args.empty or args.pot is not None
    cards = cards_for(outlook, pot_ids=pots, units=units, with_empty=with_empty)
    from bloomline.draw.paper.card import card_pages
    from bloomline.draw.paper.card_export import write_cards
    from bloomline.draw.paper.label_export import pages_title

    pages = card_pages(cards, paper=args.page, cultivar_of=outlook.cultivar_of)
    title = pages_title(pages, yard_name=outlook.yard.name)
    for path in write_cards(pages, args.out, title=title, dpi=args.dpi):
        put(str(path))
    return 0
