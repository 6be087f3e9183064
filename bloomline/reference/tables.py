"""Read the tables under shared/: CSV rows with the place of every mistake."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from importlib.resources.abc import Traversable
from pathlib import Path

from bloomline.errors import DataError, FileProblemError

MAX_TABLE_BYTES = 20_000_000

# Key under which a row carries its number in the file.
ROW_NUMBER = "#"

Row = dict[str, str]


def read_rows(source: Traversable | Path) -> list[dict[str, str]]:
    """Return the rows of a UTF-8 CSV file with a header, values stripped of outer blanks.

    Semicolons or tabs may stand for the commas.

    Raises FileProblemError when the file can't be read or has no header, DataError when a
    row has more or fewer cells than the header.
    """
    shown = source.name if not isinstance(source, Path) else str(source)
    try:
        raw = source.read_bytes()
    except OSError as error:
        raise FileProblemError(shown, f"can't be read ({error.strerror or error})") from error
    if len(raw) > MAX_TABLE_BYTES:
        raise FileProblemError(shown, "larger than 20 MB: that is no table of plants or places")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileProblemError(
            shown, "not UTF-8 text; save the table as CSV with UTF-8", where=f"byte {error.start}"
        ) from error
    if "\0" in text:
        raise FileProblemError(shown, "not a text table (it holds zero bytes)")
    reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=_delimiter(text))
    try:
        return _rows(reader, shown)
    except csv.Error as error:
        raise FileProblemError(
            shown, f"not a well-formed CSV table ({error})", where=f"line {reader.line_num}"
        ) from error


def _delimiter(text: str) -> str:
    """Comma, unless the heading has none: spreadsheets of many countries write semicolons."""
    heading = text.partition("\n")[0]
    return "," if "," in heading else max(";\t,", key=heading.count)


def _rows(lines: Iterator[list[str]], shown: str) -> list[dict[str, str]]:
    header = [cell.strip() for cell in next(lines, [])]
    if not any(header):
        raise FileProblemError(shown, "empty: the first line must name the columns")
    doubles = sorted({name for name in header if header.count(name) > 1})
    if doubles:
        raise FileProblemError(shown, f"column named twice: {', '.join(doubles)}")
    rows: list[dict[str, str]] = []
    problems: list[str] = []
    for number, cells in enumerate(lines, start=2):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(header):
            problems.append(f"row {number}: {len(cells)} cells, but {len(header)} columns")
            continue
        rows.append(dict(zip(header, map(str.strip, cells), strict=True)))
        rows[-1][ROW_NUMBER] = str(number)
    if problems:
        raise DataError(shown, problems)
    return rows
