"""`bloomline buy`: what to buy for a yard, what it costs, and how to stay within the budget."""

from __future__ import annotations

import argparse
import contextlib
import io
import textwrap
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_catalogue, add_command, add_format, add_today, catalogue_of
from bloomline.cli.output import (
    advice_lines,
    advice_object,
    put,
    put_csv,
    put_json,
    say,
    shorten,
    table,
    wrapped,
)

if TYPE_CHECKING:
    from bloomline.model.yard import Yard
    from bloomline.plan.budget import BudgetPlan
    from bloomline.plan.buying import BulbLine, ShoppingList
    from bloomline.reference.catalogue import Catalogue

_EPILOG = """\
examples:
  bloomline buy yard.bloomline
  bloomline buy yard.bloomline --write-prices prices.csv   a price list to fill in
  bloomline buy yard.bloomline --prices prices.csv --format csv --out list.csv

Exit codes: 0 done, 1 over the budget or some prices can't be read, 2 bad use, 3 bad input.
"""
_COLUMNS = (
    "kind",
    "id",
    "name",
    "unit",
    "needed",
    "in_cupboard",
    "to_buy",
    "packs",
    "bought",
    "spare",
    "cost",
    "currency",
    "price_basis",
    "planned",
    "usual_day",
    "plant_from",
    "plant_to",
    "order_by",
)
_NAME_WIDTH = 34
_WORDS_WIDTH = 70


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
    from bloomline.cli.options import today_of
    from bloomline.cli.yard import _refuse_unknown
    from bloomline.files.atomic import replace_file
    from bloomline.files.yardfile import load_yard
    from bloomline.plan.buying import shopping_list

    yard = load_yard(args.file).yard
    catalogue = catalogue_of(args)
    _refuse_unknown(yard, catalogue, name=str(args.file))
    unread = 0
    if args.prices is not None:
        yard, unread = _with_prices(yard, args.prices, catalogue=catalogue)
    shopping = shopping_list(yard, catalogue=catalogue, today=today_of(args))
    if args.write_prices is not None:
        _write_prices(args.write_prices, yard, shopping, catalogue=catalogue)
        return 1 if unread else 0
    plan = _budget_plan(yard, catalogue) if shopping.over > 0 else None
    with contextlib.ExitStack() as stack:
        text = io.StringIO(newline="")
        if args.out is not None:
            stack.enter_context(contextlib.redirect_stdout(text))
        _show(args.format, shopping, plan)
    if args.out is not None:
        replace_file(args.out, text.getvalue().encode())
    return 1 if unread or shopping.over > 0 else 0


def _show(form: str, shopping: ShoppingList, plan: BudgetPlan | None) -> None:
    if form == "json":
        put_json(shopping_object(shopping, plan))
    elif form == "csv":
        put_csv(_COLUMNS, _csv_rows(shopping))
    else:
        for line in shopping_lines(shopping, plan):
            put(line)


def _with_prices(yard: Yard, path: Path, *, catalogue: Catalogue) -> tuple[Yard, int]:
    """The yard with a price list laid over its own; how many rows could not be read."""
    from bloomline.files.prices_csv import read_prices
    from bloomline.model.store_edits import set_prices

    own = {cultivar.id for cultivar in yard.own_cultivars}

    def id_of(text: str) -> str:
        return text if text in own else catalogue.find(text).id

    read = read_prices(path, currency=yard.money.currency, id_of=id_of)
    for warning in read.warnings:
        say(f"{path}: {warning}")
    for bad in read.bad:
        say(f"{path}: line {bad.line}: {bad.problem}")
    told = {price.cultivar_id for price in read.prices}
    kept = [price for price in yard.prices if price.cultivar_id not in told]
    return set_prices(yard, [*kept, *read.prices]), len(read.bad)


def _write_prices(path: Path, yard: Yard, shopping: ShoppingList, *, catalogue: Catalogue) -> None:
    """The prices in use of everything planned, and those the yard has beside."""
    from bloomline.errors import BloomlineError
    from bloomline.files.prices_csv import write_prices
    from bloomline.model.store import Price
    from bloomline.plan.buying import offers_for
    from bloomline.plan.yard_solve import find_cultivar

    prices = list(yard.prices)
    priced = {price.cultivar_id for price in prices}
    unknown = 0
    for line in shopping.bulbs:
        if line.cultivar_id in priced:
            continue
        offers, basis = offers_for(find_cultivar(yard, line.cultivar_id, catalogue=catalogue), yard)
        for offer in offers:
            unknown += offer.price is None
            prices.append(
                Price(
                    cultivar_id=line.cultivar_id,
                    pack=offer.size,
                    price=float(offer.price or 0),
                    note="typical, from memory" if basis == "typical" else "fill in the price",
                )
            )

    def name_of(cultivar_id: str) -> str:
        try:
            return find_cultivar(yard, cultivar_id, catalogue=catalogue).name
        except BloomlineError:
            return ""

    write_prices(path, prices, currency=yard.money.currency, name_of=name_of)
    if unknown:
        say(f"{path}: {unknown} prices are not known and stand as 0: fill them in before use")


def _budget_plan(yard: Yard, catalogue: Catalogue) -> BudgetPlan:
    from bloomline.plan.budget import plan_budget
    from bloomline.plan.forecaster import Forecaster

    return plan_budget(yard, catalogue=catalogue, forecaster=Forecaster())


def _packs(line: BulbLine) -> str:
    return " + ".join(f"{n} × {size}" for size, n in line.packs)


def _amount(shopping: ShoppingList, cost: Decimal | None) -> str | None:
    from bloomline.model.money import plain, rounded

    if cost is None:
        return None
    return plain(rounded(cost, currency=shopping.currency), currency=shopping.currency)


def shopping_object(shopping: ShoppingList, plan: BudgetPlan | None) -> dict[str, Any]:
    """A shopping list for JSON. Amounts of money are text, so that none is rounded."""
    return {
        "yard": shopping.yard_name,
        "season_year": shopping.season_year,
        "currency": shopping.currency,
        "total": _amount(shopping, shopping.total),
        "bulbs_total": _amount(shopping, shopping.bulbs_total),
        "budget": _amount(shopping, shopping.budget),
        "over": _amount(shopping, shopping.over),
        "without_a_price": list(shopping.unpriced),
        "bulbs": [
            {
                "cultivar": {"id": line.cultivar_id, "name": line.name},
                "needed": line.needed,
                "in_cupboard": line.in_cupboard,
                "to_buy": line.to_buy,
                "packs": [{"size": size, "count": n} for size, n in line.packs],
                "bought": line.bought,
                "spare": line.spare,
                "cost": _amount(shopping, line.cost),
                "price_basis": line.basis,
                "planned": line.planned_day.isoformat(),
                "usual_day": line.usual_day.isoformat(),
                "plant_from": line.window[0].isoformat(),
                "plant_to": line.window[1].isoformat(),
                "order_by": line.order_by.isoformat(),
                "pot_ids": list(line.pot_ids),
            }
            for line in shopping.bulbs
        ],
        "bags": [
            {
                "material": line.material,
                "label": line.label,
                "need_l": round(line.need_l, 1),
                "bags": [{"label": label, "count": n} for label, n in line.bags],
                "bought_l": round(line.bought_l, 1),
                "left_l": round(line.left_l, 1),
                "cost": _amount(shopping, line.cost),
                "price_basis": line.basis,
                "source": line.source,
            }
            for line in shopping.bags
        ],
        "crocks_l": round(shopping.crocks_l, 1),
        "pots": [
            {"label": line.label, "count": line.count, "pot_ids": list(line.pot_ids)}
            for line in shopping.pots
        ],
        "fills": [
            {
                "pot": {"id": fill.pot_id, "name": fill.pot_name},
                "mix": {"id": fill.recipe.id, "label": fill.recipe.label},
                "compost_l": round(fill.volumes.compost_l, 1),
                "loose_l": round(fill.loose_l, 1),
                "bulbs_l": round(fill.volumes.bulbs_l, 2),
                "crocks_l": round(fill.volumes.crocks_l, 1),
                "top_dressing_l": round(fill.dressing_l, 2),
                "top_dressing_kg": [
                    round(fill.dressing_kg.low, 1),
                    round(fill.dressing_kg.high, 1),
                ],
            }
            for fill in shopping.fills
        ],
        "changes": None if plan is None else _plan_object(shopping, plan),
        "advice": [advice_object(each) for each in shopping.advice],
    }


def _plan_object(shopping: ShoppingList, plan: BudgetPlan) -> dict[str, Any]:
    return {
        "enough": plan.enough,
        "total_after": _amount(shopping, plan.shopping.total),
        "steps": [
            {
                "kind": each.kind,
                "words": each.words,
                "layer_ids": list(each.layer_ids),
                "saved": _amount(shopping, each.saved),
                "bulbs_fewer": each.bulbs_fewer,
                "weeks_of_colour_before": round(each.weeks_before, 1),
                "weeks_of_colour_after": round(each.weeks_after, 1),
            }
            for each in plan.savings
        ],
    }


def _csv_rows(shopping: ShoppingList) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = [
        {
            "kind": "bulbs",
            "id": line.cultivar_id,
            "name": line.name,
            "unit": "bulb",
            "needed": line.needed,
            "in_cupboard": line.in_cupboard,
            "to_buy": line.to_buy,
            "packs": _packs(line),
            "bought": line.bought,
            "spare": line.spare,
            "cost": _amount(shopping, line.cost),
            "currency": shopping.currency,
            "price_basis": line.basis,
            "planned": line.planned_day,
            "usual_day": line.usual_day,
            "plant_from": line.window[0],
            "plant_to": line.window[1],
            "order_by": line.order_by,
        }
        for line in shopping.bulbs
    ]
    rows += [
        {
            "kind": "bags",
            "id": line.material,
            "name": line.label,
            "unit": "L",
            "needed": round(line.need_l, 1),
            "to_buy": round(line.need_l, 1),
            "packs": " + ".join(f"{n} × {label}" for label, n in line.bags),
            "bought": round(line.bought_l, 1),
            "spare": round(line.left_l, 1),
            "cost": _amount(shopping, line.cost),
            "currency": shopping.currency,
            "price_basis": line.basis,
        }
        for line in shopping.bags
    ]
    rows += [
        {
            "kind": "pots",
            "name": line.label,
            "unit": "pot",
            "needed": line.count,
            "to_buy": line.count,
            "currency": shopping.currency,
            "price_basis": "unknown",
        }
        for line in shopping.pots
    ]
    return rows


def shopping_lines(shopping: ShoppingList, plan: BudgetPlan | None) -> list[str]:
    """A shopping list as text for a page 100 columns wide."""
    lines = [f"{shopping.yard_name}, to buy for the season of {shopping.season_year}"]
    if not shopping.bulbs and not shopping.pots:
        return [*lines, "", "Nothing to buy: no layer is planned for this season."]
    if shopping.bulbs:
        lines += ["", *_bulb_lines(shopping)]
    if shopping.bags:
        lines += ["", *_bag_lines(shopping)]
    lines += [f"{line.count} × {line.label}" for line in shopping.pots]
    if shopping.fills:
        lines += ["", *_fill_lines(shopping)]
    lines += ["", *_total_lines(shopping)]
    if plan is not None:
        lines += ["", *_plan_lines(shopping, plan)]
    told = advice_lines(shopping.advice)
    return [*lines, "", *told] if told else lines


def _marked(shopping: ShoppingList, cost: Decimal | None, basis: str) -> str:
    if cost is None:
        return "? "
    return f"{_amount(shopping, cost)}{'~' if basis == 'typical' else ' '}"


def _bulb_lines(shopping: ShoppingList) -> list[str]:
    rows = [
        (
            line.needed,
            line.in_cupboard or "",
            _packs(line) or "none",
            line.spare,
            _marked(shopping, line.cost, line.basis),
            shorten(line.name, _NAME_WIDTH),
            f"{line.window[0]:%d %b}–{line.window[1]:%d %b}",
            line.order_by if line.to_buy else "",
        )
        for line in shopping.bulbs
    ]
    columns = (
        "need",
        "have",
        "packs",
        "spare",
        shopping.currency + " ",
        "bulbs",
        "plant",
        "order by",
    )
    return table(columns, rows, right=(0, 1, 2, 3, 4))


def _bag_lines(shopping: ShoppingList) -> list[str]:
    rows = [
        (
            f"{line.need_l:.0f}",
            f"{line.left_l:.0f}",
            _marked(shopping, line.cost, line.basis),
            " + ".join(f"{n} × {label}" for label, n in line.bags),
        )
        for line in shopping.bags
    ]
    lines = table(
        ("need L", "left L", shopping.currency + " ", "for the pots"), rows, right=(0, 1, 2)
    )
    if shopping.crocks_l > 0:
        lines += wrapped(f"and {shopping.crocks_l:.0f} L of broken clay for crocks")
    return lines


def _fill_lines(shopping: ShoppingList) -> list[str]:
    rows = [
        (
            f"{fill.loose_l:.0f}",
            f"{fill.volumes.crocks_l:.1f}" if fill.volumes.crocks_l else "",
            f"{fill.dressing_l:.1f} ({fill.dressing_kg.middle:.1f} kg)" if fill.dressing else "",
            shorten(fill.pot_name, 30),
            shorten(fill.recipe.label, 36),
        )
        for fill in shopping.fills
    ]
    columns = ("compost L", "crocks L", "dressing L", "pot", "mix by volume")
    return table(columns, rows, right=(0, 1, 2))


def _total_lines(shopping: ShoppingList) -> list[str]:
    from bloomline.model.money import written

    def money(amount: Decimal) -> str:
        return written(amount, currency=shopping.currency)

    rest = shopping.total - shopping.bulbs_total
    lines = [
        f"Total {money(shopping.total)}: bulbs {money(shopping.bulbs_total)}, "
        f"compost and dressing {money(rest)}"
    ]
    if any(line.basis == "typical" for line in shopping.bulbs) or any(
        line.basis == "typical" for line in shopping.bags
    ):
        lines.append("~ typical price, from memory")
    if shopping.unpriced:
        lines += wrapped(f"? no price known: {', '.join(shopping.unpriced)}")
    if shopping.budget is not None:
        left = shopping.budget - shopping.total
        words = f"{money(left)} left" if left >= 0 else f"{money(shopping.over)} over"
        lines.append(f"Budget {money(shopping.budget)}: {words}")
    return lines


def _plan_lines(shopping: ShoppingList, plan: BudgetPlan) -> list[str]:
    from bloomline.model.money import written

    total = written(plan.shopping.total, currency=shopping.currency)
    if not plan.savings:
        return ["No change brings it under the budget."]
    head = "To come under the budget" if plan.enough else "Not enough, but the most that can be"
    lines = [f"{head}, with the least loss of colour:"]
    rows: list[tuple[object, ...]] = []
    for each in plan.savings:
        first, *more = textwrap.wrap(each.words, _WORDS_WIDTH)
        figures = (_amount(shopping, each.saved), each.bulbs_fewer or "", f"{each.weeks_after:.1f}")
        rows += [(*figures, first), *(("", "", "", f"  {words}") for words in more)]
    lines += table(("saves", "bulbs −", "weeks", "change, in this order"), rows, right=(0, 1, 2))
    weeks = plan.savings[0].weeks_before
    lines += wrapped(f"Then {total}. Weeks of colour now {weeks:.1f}; after each change as shown.")
    return lines
