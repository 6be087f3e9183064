"""Many forecast questions in one table: each row is read for itself, a bad one spoils no other."""

from __future__ import annotations

import difflib
import math
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from bloomline.errors import DataError
from bloomline.files.delimited import DelimitedTable, day_of, read_delimited, tidy_names
from bloomline.model.garden_place import HIGHEST_M, LOWEST_M
from bloomline.words import quoted

COLUMNS = (
    "id",
    "place",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "cultivar",
    "planted",
    "where",
    "prechill_weeks",
)

_ALIASES = {
    "latitude": "latitude_deg",
    "lat": "latitude_deg",
    "longitude": "longitude_deg",
    "lon": "longitude_deg",
    "elevation": "elevation_m",
    "prechill": "prechill_weeks",
}
_LIMITS = {
    "latitude_deg": (-90.0, 90.0),
    "longitude_deg": (-180.0, 180.0),
    "elevation_m": (LOWEST_M, HIGHEST_M),
    "prechill_weeks": (0.0, 40.0),
}
_WHERE: dict[str, Literal["pot", "ground"]] = {
    "": "pot",
    "pot": "pot",
    "container": "pot",
    "ground": "ground",
    "open ground": "ground",
    "border": "ground",
    "bed": "ground",
}
_LONGEST_CELL = 200


@dataclass(frozen=True, slots=True)
class RequestRow:
    """One question, checked as far as a table can be. `line` is its line in the file."""

    line: int
    id: str
    place: str | None
    latitude_deg: float | None
    longitude_deg: float | None
    elevation_m: float | None
    cultivar: str
    planted: date | None
    where: Literal["pot", "ground"]
    prechill_weeks: float


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that can't be answered, and why."""

    line: int
    id: str
    problem: str


@dataclass(frozen=True, slots=True)
class RequestTable:
    """The rows in their order, and what was odd about the table as a whole."""

    rows: tuple[RequestRow | BadRow, ...]
    warnings: tuple[str, ...]


def read_requests(path: Path) -> RequestTable:
    """Read a table of forecast requests.

    Columns may stand in any order; all but `cultivar` may be missing, and an empty cell is
    the default. A column we don't know is named in the warnings and left out. A row without
    an id gets its line number. Raises FileProblemError, DataError for the table as a whole.
    """
    return requests_of(read_delimited(path, aliases=_ALIASES))


def requests_of(table: DelimitedTable) -> RequestTable:
    """The requests of a table that was read. Raises DataError for the table as a whole."""
    if "cultivar" not in table.columns:
        near = difflib.get_close_matches("cultivar", table.columns, n=1, cutoff=0.5)
        hint = f"; is {quoted(near[0])} meant?" if near else ""
        raise DataError(
            table.name,
            [
                f"there is no column “cultivar”{hint} Columns are {', '.join(COLUMNS)}"
                if hint
                else f"there is no column “cultivar”; columns are {', '.join(COLUMNS)}"
            ],
        )
    if not table.rows:
        raise DataError(table.name, ["there is no row below the header"])
    warnings = [_unknown(name) for name in table.columns if name and name not in COLUMNS]
    rows = tuple(_row(line, cells, table) for line, cells in table.rows)
    seen: dict[str, int] = {}
    for row in rows:
        if row.id in seen:
            warnings.append(
                f"line {row.line}: id {quoted(row.id)} is already on line {seen[row.id]}"
            )
        seen.setdefault(row.id, row.line)
    return RequestTable(rows, tuple(warnings))


def column_of(name: str) -> str:
    """The column meant by a name as people write it."""
    (tidy,) = tidy_names([name])
    return _ALIASES.get(tidy, tidy)


def _unknown(name: str) -> str:
    near = difflib.get_close_matches(name, COLUMNS, n=1)
    hint = f"; is {quoted(near[0])} meant?" if near else ""
    return f"the column {quoted(name)} is not known and left out{hint}"


def _row(line: int, cells: tuple[str, ...], table: DelimitedTable) -> RequestRow | BadRow:
    extra = [cell for cell in cells[len(table.columns) :] if cell]
    values = dict(zip(table.columns, cells, strict=False))
    request_id = values.get("id", "")[:_LONGEST_CELL] or f"line-{line}"
    problems: list[str] = []
    if extra:
        problems.append(f"{len(cells)} cells, but {len(table.columns)} columns")
    for name in ("id", "place", "cultivar"):
        if len(values.get(name, "")) > _LONGEST_CELL:
            problems.append(f"{name}: longer than {_LONGEST_CELL} characters")
    numbers = {
        name: _number(name, text, table, problems) if (text := values.get(name, "")) else None
        for name in _LIMITS
    }
    planted = _planted(values.get("planted", ""), problems)
    where = _WHERE.get(" ".join(values.get("where", "").casefold().split()))
    if where is None:
        problems.append(f"where: {quoted(values['where'])} is neither pot nor ground")
    cultivar = values.get("cultivar", "")
    if not cultivar:
        problems.append("cultivar: empty")
    place = values.get("place") or None
    one_missing = (numbers["latitude_deg"] is None) != (numbers["longitude_deg"] is None)
    if not problems and one_missing:
        problems.append("latitude_deg and longitude_deg go together; one is empty")
    if not problems and place is None and numbers["latitude_deg"] is None:
        problems.append("no place: give place, or latitude_deg and longitude_deg")
    if problems or where is None:
        return BadRow(line, request_id, "; ".join(problems))
    return RequestRow(
        line=line,
        id=request_id,
        place=place,
        latitude_deg=numbers["latitude_deg"],
        longitude_deg=numbers["longitude_deg"],
        elevation_m=numbers["elevation_m"],
        cultivar=cultivar,
        planted=planted,
        where=where,
        prechill_weeks=numbers["prechill_weeks"] or 0.0,
    )


def _number(name: str, text: str, table: DelimitedTable, problems: list[str]) -> float | None:
    low, high = _LIMITS[name]
    try:
        value = table.number(text)
    except ValueError:
        problems.append(f"{name}: {quoted(text[:40])} is not a number")
        return None
    if not math.isfinite(value) or not low <= value <= high:
        problems.append(f"{name}: {text[:40]} is outside {low:g} to {high:g}")
        return None
    return value


def _planted(text: str, problems: list[str]) -> date | None:
    if not text:
        return None
    try:
        day = day_of(text)
    except ValueError:
        problems.append(f"planted: {quoted(text[:40])} is not a date like 2025-11-01")
        return None
    if not 1900 <= day.year <= 2199:
        problems.append(f"planted: {text} is outside 1900 to 2199")
        return None
    return day
