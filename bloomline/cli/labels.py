"""`bloomline labels`: labels for the pots of a yard, and a sheet of what is in which pot."""

from __future__ import annotations

import argparse
from pathlib import Path

from bloomline.cli.options import add_command, count, number
from bloomline.cli.output import put
from bloomline.cli.pots import pot_ids_named
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.words import marked, tr

_EPILOG = marked("""\
examples:
  bloomline labels yard.bloomline --out labels.pdf
  bloomline labels yard.bloomline --out labels.pdf --sheet a4-3x7 --skip 5 --cut-marks
  bloomline labels yard.bloomline --out pots.pdf --overview

Each label has a QR code with its plain text: any telephone reads it, without this program.
""")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    from bloomline.reference.label_sheets import DEFAULT_SHEET, load_label_sheets

    sheets = "\n".join(f"  {sheet.id:13} {sheet.label}" for sheet in load_label_sheets())
    parser = add_command(
        subparsers,
        "labels",
        usage="FILE --out LABELS [options]",
        short=tr("labels with names and QR codes to print (.pdf, .png, .svg)"),
        about=tr(
            "Print a label a layer: name, kind, colour, expected flowering, bulbs "
            "and depth (compost over the tips), pot, and the day it was planted or "
            "is to be planted. A QR code holds the same as plain text, what "
            "matters most first, as far as it stays small; or print a sheet of "
            "what is in which pot."
        ),
        epilog=tr("{epilog}\nsheets:\n{sheets}\n", epilog=tr(_EPILOG), sheets=sheets),
    )
    add_yard(parser)
    parser.add_argument(
        "--out", type=Path, required=True, metavar="LABELS", help=tr(".pdf, .png, .svg")
    )
    parser.add_argument(
        "--sheet",
        default=DEFAULT_SHEET,
        metavar="ID",
        help=tr("see below ({default_sheet})", default_sheet=DEFAULT_SHEET),
    )
    parser.add_argument(
        "--pot", action="append", metavar="NAME|ID", help=tr("only this pot; may be given again")
    )
    parser.add_argument(
        "--skip",
        type=count,
        default=0,
        metavar="N",
        help=tr("labels of the first sheet already used"),
    )
    parser.add_argument(
        "--every-pot",
        action="store_true",
        help=tr("as many labels as a bench of equal pots has, not one that says × 60"),
    )
    parser.add_argument("--cut-marks", action="store_true", help=tr("crosses at the corners"))
    parser.add_argument(
        "--overview", action="store_true", help=tr("what is in which pot, instead of labels")
    )
    parser.add_argument(
        "--dpi", type=number, default=300.0, help=tr("dots an inch of a .png (300)")
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Write the labels and say where they are."""
    from bloomline.errors import UsageError
    from bloomline.plan.paper.labels import labels_for, pot_contents
    from bloomline.plan.season.yard import season_report
    from bloomline.reference.label_sheets import label_sheet

    if args.out.suffix.lower() not in (".pdf", ".png", ".svg"):
        raise UsageError(tr("{out}: a .pdf, .png or .svg file is wanted", out=args.out))
    if args.overview and (args.skip or args.cut_marks or args.every_pot):
        raise UsageError(
            tr("--skip, --cut-marks and --every-pot are for labels, not for --overview")
        )
    sheet = label_sheet(args.sheet)
    outlook = outlook_for(args)
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    pots = pot_ids_named(season_report(outlook), args.pot)
    from bloomline.draw.paper.label_export import pages_title, write_pages
    from bloomline.draw.paper.label_pages import Page, label_pages, pots_pages

    pages: tuple[Page, ...]
    if args.overview:
        contents = pot_contents(outlook, pot_ids=pots)
        pages = pots_pages(contents, title=yard.name, paper=sheet.paper, cultivar_of=cultivar_of)
    else:
        labels = labels_for(outlook, pot_ids=pots, every_pot=args.every_pot)
        pages = label_pages(labels, sheet, skip=args.skip, cut_marks=args.cut_marks)
    title = pages_title(pages, yard_name=yard.name)
    for path in write_pages(pages, args.out, title=title, dpi=args.dpi):
        put(str(path))
    return 0
