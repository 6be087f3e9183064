"""`bloomline buy`: what to buy for a yard, what it costs, and how to stay within the budget."""

from __future__ import annotations

import argparse
import contextlib
import io
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.cli.options import add_catalogue, add_command, add_format, add_today
from bloomline.cli.output import put, put_csv, put_json, say

if TYPE_CHECKING:
    from bloomline.plan.pot.weight import PotWeight
    from bloomline.plan.season.outlook import Outlook
    from bloomline.plan.shop.budget import BudgetPlan
    from bloomline.plan.shop.buying import ShoppingList

_EPILOG = """\
examples:
  bloomline buy yard.bloomline
  bloomline buy yard.bloomline --write-prices prices.csv   a price list to fill in
  bloomline buy yard.bloomline --prices prices.csv --format csv --out list.csv

Exit codes: 0 done, 1 over the budget or some prices can't be read, 2 bad use, 3 bad input.
"""


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "buy",
        usage="FILE [options]",
        short="what to buy for a yard, what it costs, and what to leave out",
        about="List bulbs, compost, grit and pots that a yard still needs for its season: planned "
        "bulbs less what lies in the cupboard, packs and bags rounded up, when to order and to "
        "plant. Over the budget, the changes that cost least colour are named.",
        epilog=_EPILOG,
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="a yard file (.bloomline)")
    parser.add_argument(
        "--prices",
        type=Path,
        metavar="FILE",
        help="your price list, a table with cultivar_id,pack,price; it comes before the yard's",
    )
    parser.add_argument(
        "--write-prices",
        type=Path,
        metavar="FILE",
        help="write the prices of what is to be bought as a price list to edit, and stop",
    )
    parser.add_argument("--out", type=Path, metavar="FILE", help="write the answer to a file")
    add_catalogue(parser)
    add_today(parser)
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Show what to buy; 1 when it is over the budget or prices can't be read."""
    from bloomline.cli.yard import outlook_for
    from bloomline.files.atomic import replace_file
    from bloomline.plan.season.weights import weights
    from bloomline.plan.shop.budget import plan_budget
    from bloomline.plan.shop.buying import shopping_list

    outlook = outlook_for(args)
    unread = 0
    if args.prices is not None:
        outlook, unread = _with_prices(outlook, args.prices)
    shopping = shopping_list(outlook)
    if args.write_prices is not None:
        _write_prices(args.write_prices, outlook)
        return 1 if unread else 0
    plan = plan_budget(outlook) if shopping.over > 0 else None
    with contextlib.ExitStack() as stack:
        text = io.StringIO(newline="")
        if args.out is not None:
            stack.enter_context(contextlib.redirect_stdout(text))
        _show(
            args.format,
            shopping,
            plan,
            weights=list(weights(outlook).values()),
        )
    if args.out is not None:
        replace_file(args.out, text.getvalue().encode())
    return 1 if unread or shopping.over > 0 else 0


def _show(
    form: str, shopping: ShoppingList, plan: BudgetPlan | None, *, weights: list[PotWeight]
) -> None:
    from bloomline.plan.shop.words import COLUMNS, csv_rows, shopping_lines, shopping_object

    if form == "json":
        put_json(shopping_object(shopping, plan, weights))
    elif form == "csv":
        put_csv(COLUMNS, csv_rows(shopping))
    else:
        for line in shopping_lines(shopping, plan, weights):
            put(line)


def _with_prices(outlook: Outlook, path: Path) -> tuple[Outlook, int]:
    """The yard with a price list laid over its own; how many rows could not be read."""
    from bloomline.files.prices_csv import read_prices
    from bloomline.plan.shop.price_list import id_finder, with_prices

    yard = outlook.yard
    read = read_prices(path, currency=yard.money.currency, id_of=id_finder(outlook))
    for warning in read.warnings:
        say(f"{path}: {warning}")
    for bad in read.bad:
        say(f"{path}: line {bad.line}: {bad.problem}")
    return outlook.with_(yard=with_prices(yard, read.prices)), len(read.bad)


def _write_prices(path: Path, outlook: Outlook) -> None:
    """The prices in use of everything planned, and those the yard has beside."""
    from bloomline.files.prices_csv import write_prices
    from bloomline.plan.shop.price_list import name_finder, prices_in_use

    prices, unknown = prices_in_use(outlook)
    currency = outlook.yard.money.currency
    write_prices(path, prices, currency=currency, name_of=name_finder(outlook))
    if unknown:
        say(f"{path}: {unknown} prices are not known and stand as 0: fill them in before use")
