"""Tables of text that people export from elsewhere: any usual separator, header in any order."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path

from bloomline.errors import DataError, FileProblemError
from bloomline.files.atomic import read_limited

MAX_BYTES = 32 * 1024**2
MAX_ROWS = 200_000

_SEPARATORS = (",", ";", "\t")
# Spreadsheets drop leading zeros and may add a midnight.
_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[ T]00:00(?::00)?)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class DelimitedTable:
    """A table as text. `columns` are tidy names; each row comes with its line in the file."""

    name: str
    separator: str
    columns: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]

    def number(self, text: str) -> float:
        """Read a number; a decimal comma counts where commas don't part the cells.

        Raises ValueError.
        """
        plain = text.strip().replace("−", "-")
        if self.separator != "," and "." not in plain:
            plain = plain.replace(",", ".")
        if "_" in plain:
            raise ValueError(text)
        return float(plain)


def read_delimited(path: Path, *, aliases: Mapping[str, str] | None = None) -> DelimitedTable:
    """Read a table parted by commas, semicolons or tabs; its first row names the columns.

    Column names lose case, outer blanks and the difference of blank, hyphen and underscore;
    `aliases` brings other usual names to ours. Blank rows are left out, cells are stripped.

    Raises FileProblemError when it is no such table, DataError for a column named twice.
    """
    shown = str(path)
    text = _text(read_limited(path, limit=MAX_BYTES), shown)
    separator = _separator(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[tuple[int, tuple[str, ...]]] = []
    columns: tuple[str, ...] | None = None
    line = 1
    try:
        for cells in reader:
            stripped = tuple(map(str.strip, cells))
            if any(stripped):
                if columns is None:
                    columns = _columns(stripped, aliases or {})
                else:
                    rows.append((line, stripped))
            if len(rows) > MAX_ROWS:
                raise FileProblemError(shown, f"has more than {MAX_ROWS:,} rows; part it")
            line = reader.line_num + 1
    except csv.Error as error:
        raise FileProblemError(
            shown, f"is not a well-formed table ({error})", where=f"line {line}"
        ) from None
    if columns is None:
        raise FileProblemError(shown, "is empty: the first line must name the columns")
    _refuse_doubles(columns, shown)
    return DelimitedTable(shown, separator, columns, tuple(rows))


def _text(data: bytes, shown: str) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise FileProblemError(shown, "is UTF-16 text; save the table as CSV with UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise FileProblemError(
            shown, "is not UTF-8 text; save the table as CSV with UTF-8", where=f"line {line}"
        ) from None
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise FileProblemError(shown, "holds zero bytes: it is no text table", where=f"line {line}")
    return text


def _separator(text: str) -> str:
    """The separator that the first line with content has most of; commas in doubt."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    bare = "".join(part for i, part in enumerate(first.split('"')) if i % 2 == 0)
    return max(_SEPARATORS, key=bare.count)


def _columns(cells: Sequence[str], aliases: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(aliases.get(name, name) for name in tidy_names(cells))


def tidy_names(names: Sequence[str]) -> list[str]:
    """Names without case, outer blanks and the difference of blank, hyphen and underscore."""
    plain = (name.casefold().replace("-", " ").replace("_", " ") for name in names)
    return ["_".join(name.split()) for name in plain]


def _refuse_doubles(columns: Sequence[str], shown: str) -> None:
    doubles = sorted({name for name in columns if name and columns.count(name) > 1})
    if doubles:
        raise DataError(shown, [f"the column {name} is there twice" for name in doubles])


@lru_cache(maxsize=4096)  # a table says few days, and each of them often
def day_of(text: str) -> date:
    """Read a day written year-month-day. Raises ValueError."""
    match = _DAY.fullmatch(text)
    if match is None:
        raise ValueError(text)
    year, month, of_month = (int(part) for part in match.groups())
    return date(year, month, of_month)
