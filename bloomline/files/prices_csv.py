"""A price list as a table, out and in: RFC 4180, safe for spreadsheets, read back without loss.

Columns: cultivar_id, name, pack, price, currency, note. The name is for people; when the
list is read the id counts, and a row without one may be found by its name.

A spreadsheet runs text that begins with = + - @ (or their wide forms) as a formula, so such
text gets an apostrophe before it, which spreadsheets take as "text follows". Text that begins
with apostrophes and then such a sign gets one more, so that one apostrophe always comes off
again. Source: the usual remedy for formulas in exported tables, common practice.
"""

from __future__ import annotations

import csv
import difflib
import io
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from pydantic import ValidationError

from bloomline.errors import BloomlineError, DataError
from bloomline.files.atomic import replace_file
from bloomline.files.delimited import DelimitedTable, read_delimited
from bloomline.files.plain_text import FORMULA_STARTS
from bloomline.files.plain_text import plain as plain_characters
from bloomline.model.money import exact, plain
from bloomline.model.problems import describe
from bloomline.model.store import Price
from bloomline.words import quoted

COLUMNS = ("cultivar_id", "name", "pack", "price", "currency", "note")

_ALIASES = {"cultivar": "cultivar_id", "id": "cultivar_id", "size": "pack", "notes": "note"}
_SHOWN = 40


@dataclass(frozen=True, slots=True)
class BadPrice:
    """A row that is no price, and why. `line` is its line in the file."""

    line: int
    problem: str


@dataclass(frozen=True, slots=True)
class PriceList:
    """Prices in their order, the rows that are none, and what was odd about the whole table."""

    prices: tuple[Price, ...]
    bad: tuple[BadPrice, ...]
    warnings: tuple[str, ...]


def safe_text(text: str) -> str:
    """Text that a spreadsheet takes as text; `plain_text` undoes it.

    What could turn a terminal's or a spreadsheet's line about is replaced, and stays so.
    """
    text = plain_characters(text, keep="\n\t")
    return f"'{text}" if text.lstrip("'").startswith(FORMULA_STARTS) else text


def plain_text(cell: str) -> str:
    """What `safe_text` was given."""
    guarded = cell.startswith("'") and cell.lstrip("'").startswith(FORMULA_STARTS)
    return cell[1:] if guarded else cell


def price_table(
    prices: Iterable[Price], *, currency: str, name_of: Callable[[str], str] | None = None
) -> str:
    """A price list as text with CRLF line ends.

    name_of : the name of a cultivar by its id, for people to read.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for price in prices:
        name = "" if name_of is None else name_of(price.cultivar_id)
        writer.writerow(
            (
                price.cultivar_id,
                safe_text(name),
                price.pack,
                plain(exact(price.price), currency=currency),
                currency,
                safe_text(price.note),
            )
        )
    return out.getvalue()


def write_prices(
    path: Path,
    prices: Iterable[Price],
    *,
    currency: str,
    name_of: Callable[[str], str] | None = None,
) -> None:
    """Write a price list. Raises FileProblemError."""
    replace_file(path, price_table(prices, currency=currency, name_of=name_of).encode())


def read_prices(
    path: Path,
    *,
    currency: str,
    id_of: Callable[[str], str] | None = None,
) -> PriceList:
    """Read a price list, each row for itself: a bad one spoils no other.

    Columns may stand in any order; `pack` and `price` must be there, and `cultivar_id` or
    `name`. An empty currency is the yard's; another one makes the row bad, since nothing is
    converted here.

    id_of : the id of a cultivar meant by an id or a name; raises a BloomlineError when there is
    none. Without it ids are taken as they are, and names don't help.

    Raises FileProblemError, and DataError for the table as a whole.
    """
    table = read_delimited(path, aliases=_ALIASES)
    named = "cultivar_id" in table.columns or "name" in table.columns
    missing = [name for name in ("pack", "price") if name not in table.columns]
    if not named:
        missing.insert(0, "cultivar_id")
    if missing:
        told = f"there is no column {', '.join(missing)}; columns are {', '.join(COLUMNS)}"
        raise DataError(table.name, [told])
    prices: list[Price] = []
    bad: list[BadPrice] = []
    seen: dict[tuple[str, int], int] = {}
    for line, cells in table.rows:
        try:
            price = _price(cells, table, currency=currency, id_of=id_of)
            key = (price.cultivar_id, price.pack)
            if key in seen:
                raise ValueError(f"this pack is on line {seen[key]} already")
        except ValueError as error:
            bad.append(BadPrice(line, str(error)))
            continue
        seen[key] = line
        prices.append(price)
    warnings = tuple(_unknown(name) for name in table.columns if name and name not in COLUMNS)
    return PriceList(tuple(prices), tuple(bad), warnings)


def _unknown(name: str) -> str:
    near = difflib.get_close_matches(name, COLUMNS, n=1)
    hint = f"; is {quoted(near[0])} meant?" if near else ""
    return f"the column {quoted(name[:_SHOWN])} is not known and left out{hint}"


def _price(
    cells: tuple[str, ...],
    table: DelimitedTable,
    *,
    currency: str,
    id_of: Callable[[str], str] | None,
) -> Price:
    if any(cells[len(table.columns) :]):
        raise ValueError(f"{len(cells)} cells, but {len(table.columns)} columns")
    values = dict(zip(table.columns, cells, strict=False))
    given = values.get("currency", "").upper()
    if given and given != currency:
        raise ValueError(
            f"currency: {given[:_SHOWN]} is not the yard's, {currency}; amounts are not converted"
        )
    try:
        return Price(
            cultivar_id=_cultivar_id(values, id_of),
            pack=_whole(values.get("pack", ""), table),
            price=_amount(values.get("price", ""), table),
            note=plain_text(values.get("note", "")),
        )
    except ValidationError as error:
        raise ValueError("; ".join(describe(error)[:3])) from None


def _cultivar_id(values: dict[str, str], id_of: Callable[[str], str] | None) -> str:
    wanted = values.get("cultivar_id") or plain_text(values.get("name", ""))
    if not wanted:
        raise ValueError("cultivar_id: empty")
    if id_of is None:
        return wanted
    try:
        return id_of(wanted)
    except BloomlineError as error:
        raise ValueError(f"cultivar_id: {error}") from None


def _whole(text: str, table: DelimitedTable) -> int:
    try:
        value = table.number(text)
        if value != int(value):
            raise ValueError(text)
        return int(value)
    except (ValueError, OverflowError):
        raise ValueError(f"pack: {quoted(text[:_SHOWN])} is not a whole number") from None


def _amount(text: str, table: DelimitedTable) -> float:
    try:
        value = table.number(text)
        if not Decimal(repr(value)).is_finite():
            raise ValueError(text)
        return value
    except ValueError:
        raise ValueError(f"price: {quoted(text[:_SHOWN])} is not an amount like 4.95") from None
