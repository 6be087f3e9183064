"""Many forecast questions in one table: each row is read for itself, a bad one spoils no other."""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any, Literal, NamedTuple

from bloomline.errors import DataError
from bloomline.files.delimited import DelimitedTable, day_of, read_delimited, tidy_names
from bloomline.files.known import Known
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


class RequestRow(NamedTuple):
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
    reader = _Reader(table)
    rows = tuple([reader.row(line, cells) for line, cells in table.rows])
    seen: dict[str, int] = {}
    for row in rows:
        first = seen.setdefault(row.id, row.line)
        if first != row.line:
            warnings.append(f"line {row.line}: id {quoted(row.id)} is already on line {first}")
    return RequestTable(rows, tuple(warnings))


def column_of(name: str) -> str:
    """The column meant by a name as people write it."""
    (tidy,) = tidy_names([name])
    return _ALIASES.get(tidy, tidy)


def _unknown(name: str) -> str:
    near = difflib.get_close_matches(name, COLUMNS, n=1)
    hint = f"; is {quoted(near[0])} meant?" if near else ""
    return f"the column {quoted(name)} is not known and left out{hint}"


class _Problem(str):
    """What is wrong with a cell, in place of what it says."""

    __slots__ = ()


class _Reader:
    """Reads the rows of a table."""

    def __init__(self, table: DelimitedTable) -> None:
        self._table, self._width = table, len(table.columns)
        at = {name: number for number, name in enumerate(table.columns)}
        # A column that isn't there is an empty cell behind the others.
        self._id = at.get("id", self._width)
        reads: dict[str, Callable[[str], Any]] = {
            "place": partial(_name, "place"),
            "cultivar": partial(_name, "cultivar"),
            **{name: partial(self._number, name) for name in _LIMITS},
            "planted": _planted,
            "where": _where,
        }
        self._columns = [(Known(read), at.get(name, self._width)) for name, read in reads.items()]

    def row(self, line: int, cells: tuple[str, ...]) -> RequestRow | BadRow:
        """The request of a row, or what is wrong with it."""
        width = self._width
        extra: tuple[str, ...] = ()
        if len(cells) != width:
            cells, extra = (*cells[:width], *[""] * (width - len(cells))), cells[width:]
        cells += ("",)
        said = [known[cells[at]] for known, at in self._columns]
        place, cultivar, latitude_deg, longitude_deg, elevation_m, weeks, planted, where = said
        text = cells[self._id]
        name = text[:_LONGEST_CELL] or f"line-{line}"
        problems: list[str] = []
        if _Problem in map(type, said) or len(text) > _LONGEST_CELL or any(extra):
            if any(extra):
                problems.append(f"{width + len(extra)} cells, but {width} columns")
            problems += [each for each in (_name("id", text), *said) if type(each) is _Problem]
        if cultivar is None:
            problems.append("cultivar: empty")
        if not problems and (latitude_deg is None) != (longitude_deg is None):
            problems.append("latitude_deg and longitude_deg go together; one is empty")
        if not problems and place is None and latitude_deg is None:
            problems.append("no place: give place, or latitude_deg and longitude_deg")
        if problems:
            return BadRow(line, name, "; ".join(problems))
        return RequestRow(
            line,
            name,
            place,
            latitude_deg,
            longitude_deg,
            elevation_m,
            cultivar,
            planted,
            where,
            weeks or 0.0,
        )

    def _number(self, name: str, text: str) -> float | _Problem | None:
        if not text:
            return None
        low, high = _LIMITS[name]
        try:
            value = self._table.number(text)
        except ValueError:
            return _Problem(f"{name}: {quoted(text[:40])} is not a number")
        if not math.isfinite(value) or not low <= value <= high:
            return _Problem(f"{name}: {text[:40]} is outside {low:g} to {high:g}")
        return value


def _name(column: str, text: str) -> str | _Problem | None:
    if len(text) > _LONGEST_CELL:
        return _Problem(f"{column}: longer than {_LONGEST_CELL} characters")
    return text or None


def _where(text: str) -> Literal["pot", "ground"] | _Problem:
    where = _WHERE.get(" ".join(text.casefold().split()))
    return where or _Problem(f"where: {quoted(text)} is neither pot nor ground")


def _planted(text: str) -> date | _Problem | None:
    if not text:
        return None
    try:
        day = day_of(text)
    except ValueError:
        return _Problem(f"planted: {quoted(text[:40])} is not a date like 2025-11-01")
    if not 1900 <= day.year <= 2199:
        return _Problem(f"planted: {text} is outside 1900 to 2199")
    return day
