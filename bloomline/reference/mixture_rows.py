"""Rows of mixtures in a table of kinds: an id, a name, and in one cell the kinds with shares."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bloomline.errors import BloomlineError, DataError
from bloomline.model.cultivar import Cultivar, MixPart
from bloomline.model.mixing import mixture_of, plain
from bloomline.model.yard import OwnCultivar
from bloomline.reference.tables import ROW_NUMBER, Row
from bloomline.words import quoted

PARTS = "parts"
"""The column, as `tulipa-shirley = 60; tulipa-apricot-beauty = 40`; blank for a single kind."""


def parts_cell(mixture: Cultivar) -> str:
    """The kinds of a mixture with their shares, by their ids."""
    return "; ".join(f"{part.kind.id} = {part.share:g}" for part in mixture.parts)


def split_rows(rows: Sequence[Row]) -> tuple[list[Row], list[Row]]:
    """Rows of single kinds, without the column of parts, and those of mixtures."""
    single, mixed = [], []
    for row in rows:
        if row.get(PARTS, ""):
            mixed.append(row)
        else:
            single.append({name: value for name, value in row.items() if name != PARTS})
    return single, mixed


def mixtures_from(
    rows: Sequence[Row], find: Callable[[str], Cultivar], *, taken: Sequence[str], shown: str
) -> tuple[OwnCultivar, ...]:
    """The mixtures of rows. find : a kind by its id or name. taken : ids of the table's kinds.

    Raises DataError that names each row at fault.
    """
    made: list[OwnCultivar] = []
    problems: list[str] = []
    for row in rows:
        row_id, where = row.get("id", ""), f"row {row[ROW_NUMBER]}"
        if not row_id:
            problems.append(f"{where}: id: empty; every row needs one")
            continue
        if row_id in taken or row_id in {each.id for each in made}:
            problems.append(f"{where}: id: {quoted(row_id)} stands twice")
            continue
        try:
            parts = [_part(text, find) for text in row[PARTS].split(";") if text.strip()]
            made.append(mixture_of(row_id, row.get("name", ""), parts))
        except (BloomlineError, ValueError) as error:
            problems.append(f"{where} ({row_id}): {PARTS}: {error}")
    if problems:
        raise DataError(shown, problems)
    return tuple(made)


def _part(text: str, find: Callable[[str], Cultivar]) -> MixPart:
    name, equals, share = text.rpartition("=")
    try:
        weight = float(share)
    except ValueError:
        equals = ""
    if not equals or not 0 < weight <= 10_000:
        raise ValueError(f"{quoted(text.strip()[:60])} is not like tulipa-shirley = 60")
    return MixPart(kind=plain(find(name.strip())), share=weight)
