"""What was seen as a table, out and in: RFC 4180, safe for spreadsheets, each row for itself.

Columns: day, layer_id, pot, cultivar, seen, note, photo. The layer is found by its id, or by the
names of its pot and its cultivar where the id is empty, the latter as people write it. Text that a
spreadsheet would run as a formula gets an apostrophe before it, as in price lists.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from bloomline.errors import DataError, UnknownNameError
from bloomline.files.atomic import replace_file
from bloomline.files.delimited import DelimitedTable, day_of, read_delimited
from bloomline.files.prices_csv import plain_text, safe_text
from bloomline.model.problems import describe
from bloomline.model.yard import Record, Seen, Yard
from bloomline.words import quoted

COLUMNS = ("day", "layer_id", "pot", "cultivar", "seen", "note", "photo")

_ALIASES = {"date": "day", "layer": "layer_id", "what": "seen", "stage": "seen", "notes": "note"}
_SEEN: dict[str, Seen] = {
    "nose": "nose",
    "noses": "nose",
    "nose showing": "nose",
    "first-flower": "first-flower",
    "first flower": "first-flower",
    "first": "first-flower",
    "full": "full",
    "full flower": "full",
    "over": "over",
}
_SHOWN = 40
_LINES_SHOWN = 5


@dataclass(frozen=True, slots=True)
class BadRecord:
    """A row that is no record, and why. `line` is its line in the file."""

    line: int
    problem: str


@dataclass(frozen=True, slots=True)
class RecordTable:
    """Records with their lines, in the file's order, and the rows that are none.

    Their ids are `line-N` until the yard gives them its own.
    """

    records: tuple[tuple[int, Record], ...]
    bad: tuple[BadRecord, ...]
    warnings: tuple[str, ...]


def record_table(yard: Yard, *, name_of: Callable[[str], str]) -> str:
    """All records of a yard as text with CRLF line ends. name_of : a cultivar's name by id."""
    places = {layer.id: (pot, layer) for pot, layer in yard.layers()}
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for record in yard.records:
        pot, layer = places[record.layer_id]
        texts = (pot.name, name_of(layer.cultivar_id), record.seen, record.note, record.photo or "")
        writer.writerow((record.day, record.layer_id, *map(safe_text, texts)))
    return out.getvalue()


def write_records(path: Path, yard: Yard, *, name_of: Callable[[str], str]) -> None:
    """Write all records of a yard. Raises FileProblemError."""
    replace_file(path, record_table(yard, name_of=name_of).encode())


def read_records(
    path: Path,
    yard: Yard,
    *,
    name_of: Callable[[str], str],
    kind_of: Callable[[str], str] | None = None,
) -> RecordTable:
    """Read records for the layers of a yard; a bad row spoils no other.

    kind_of : the id of the yard's kind that a name means which is not written as `name_of` does;
    it raises UnknownNameError.
    `day` and `seen` must be there, and `layer_id` or `pot` or `cultivar`. Records the yard has
    already (same day, layer and stage) are told in the warnings and left out.
    Raises FileProblemError, DataError for the table as a whole.
    """
    table = read_delimited(path, aliases=_ALIASES)
    missing = [name for name in ("day", "seen") if name not in table.columns]
    if not {"layer_id", "pot", "cultivar"} & set(table.columns):
        missing.append("layer_id")
    if missing:
        known = ", ".join(COLUMNS)
        raise DataError(
            table.name,
            [f"there is no column {quoted(name)}; columns are {known}" for name in missing],
        )
    warnings = [
        f"the column {quoted(name)} is not known and left out"
        for name in table.columns
        if name and name not in COLUMNS
    ]
    finder = _Finder(yard, name_of, kind_of)
    had = {(record.day, record.layer_id, record.seen) for record in yard.records}
    good: list[tuple[int, Record]] = []
    bad: list[BadRecord] = []
    doubles: list[int] = []
    for line, cells in table.rows:
        try:
            record = _record(line, cells, table, finder)
        except ValueError as error:
            bad.append(BadRecord(line, str(error)))
            continue
        key = (record.day, record.layer_id, record.seen)
        if key in had:
            doubles.append(line)
            continue
        had.add(key)
        good.append((line, record))
    if doubles:
        warnings.append(_already_there(doubles))
    return RecordTable(tuple(good), tuple(bad), tuple(warnings))


def _already_there(lines: list[int]) -> str:
    if len(lines) == 1:
        return f"1 row is there already and left out (line {lines[0]})"
    shown = ", ".join(str(line) for line in lines[:_LINES_SHOWN])
    more = " and more" if len(lines) > _LINES_SHOWN else ""
    return f"{len(lines)} rows are there already and left out (lines {shown}{more})"


class _Finder:
    """Finds a layer by id, or by the names of its pot and cultivar."""

    def __init__(
        self,
        yard: Yard,
        name_of: Callable[[str], str],
        kind_of: Callable[[str], str] | None,
    ) -> None:
        self._kind_of = kind_of
        self._looked_up: dict[str, tuple[str, str]] = {}
        self._ids: set[str] = set()
        # By pot, by cultivar, and by both; either name may be missing in a row.
        self._named: dict[tuple[str, str], list[str]] = {}
        kinds: dict[str, set[str]] = {}
        for pot, layer in yard.layers():
            self._ids.add(layer.id)
            kind = layer.cultivar_id
            if kind not in kinds:
                kinds[kind] = {kind.casefold(), name_of(kind).casefold(), ""}
            for pot_name in {pot.id.casefold(), pot.name.casefold(), ""}:
                for cultivar_name in kinds[kind]:
                    self._named.setdefault((pot_name, cultivar_name), []).append(layer.id)

    def layer_id(self, values: dict[str, str]) -> str:
        """The one layer that a row means. Raises ValueError."""
        given = values.get("layer_id", "")
        if given:
            if given not in self._ids:
                raise ValueError(f"layer_id: there is no layer {quoted(given[:_SHOWN])}")
            return given
        pot, cultivar = (plain_text(values.get(name, "")) for name in ("pot", "cultivar"))
        if not pot and not cultivar:
            raise ValueError("no layer: give layer_id, or pot and cultivar")
        found = self._named.get((pot.casefold(), cultivar.casefold()), [])
        meant = " in ".join(quoted(each[:_SHOWN]) for each in (cultivar, pot) if each)
        if not found and cultivar and self._kind_of is not None:
            kind, near = self._meant(cultivar)
            if near:
                raise ValueError(f"no layer: there is no {meant}; did you mean {near}?")
            found = self._named.get((pot.casefold(), kind.casefold()), []) if kind else []
        if not found:
            raise ValueError(f"no layer: there is no {meant}")
        if len(found) > 1:
            raise ValueError(f"{meant} are {len(found)} layers ({', '.join(found[:4])})")
        return found[0]

    def _meant(self, name: str) -> tuple[str, str]:
        """The id of the kind a name means, else the names it may mean; looked up once a name."""
        if name not in self._looked_up:
            assert self._kind_of is not None
            try:
                self._looked_up[name] = (self._kind_of(name), "")
            except UnknownNameError as error:
                self._looked_up[name] = ("", ", ".join(error.near))
        return self._looked_up[name]


def _record(line: int, cells: tuple[str, ...], table: DelimitedTable, finder: _Finder) -> Record:
    if any(cells[len(table.columns) :]):
        raise ValueError(f"{len(cells)} cells, but {len(table.columns)} columns")
    values = dict(zip(table.columns, cells, strict=False))
    text = values.get("day", "")
    try:
        day = day_of(text)
    except ValueError:
        raise ValueError(f"day: {quoted(text[:_SHOWN])} is not a date like 2027-04-11") from None
    what = values.get("seen", "").casefold()
    if what not in _SEEN:
        raise ValueError(f"seen: {quoted(what[:_SHOWN])} is none of nose, first-flower, full, over")
    try:
        return Record(
            id=f"line-{line}",
            day=day,
            layer_id=finder.layer_id(values),
            seen=_SEEN[what],
            note=plain_text(values.get("note", "")),
            photo=plain_text(values.get("photo", "")) or None,
        )
    except ValidationError as error:
        raise ValueError("; ".join(describe(error)[:3])) from None
