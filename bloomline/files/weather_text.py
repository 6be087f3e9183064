"""Cells of weather tables as people export them: rows, days, times of day and figures."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from bloomline.errors import FileProblemError
from bloomline.files.atomic import read_limited

MAX_BYTES = 64 * 1024**2
MAX_ROWS = 600_000

DateOrder = Literal["ymd", "dmy", "mdy"]

_SEPARATORS = (";", "\t", ",", "|")
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})", re.ASCII)
_COMPACT = re.compile(r"((?:18|19|20|21)\d\d)([01]\d)([0-3]\d)(?:([0-2]\d)([0-5]\d)?)?", re.ASCII)
_OTHER = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})", re.ASCII)
_NAMED = re.compile(
    r"(?:(\d{1,2})[-/. ]+([^\W\d_]{3,10})\.?|([^\W\d_]{3,10})\.? +(\d{1,2}))[-/., ]+(\d{4}|\d{2})"
)
# The first three letters of months, which tell them apart: English, then where other languages
# differ (German, Dutch, French, Spanish, Italian, Portuguese). From general knowledge of them.
_MONTHS = {
    letters: number
    for number, each in enumerate(
        ("jan ene gen", "feb fev fév", "mar mär mrz mrt", "apr abr avr", "may mai mei maj mag",
         "jun", "jul", "aug ago aoû", "sep set", "oct okt ott out", "nov", "dec dez déc dic"),
        start=1,
    )
    for letters in each.split()
} | {"juin": 6, "juil": 7, "giu": 6, "lug": 7}  # fmt: skip
_LONGEST_TIME = 80  # characters; no day with its time of day is longer
_CLOCK = re.compile(
    r"(\d{1,2}):(\d{2})(?::\d{2}(?:\.\d+)?)?\s*([AaPp]\.?[Mm]\.?)?\s*(?:Z|UTC|[+-]\d{2}:?\d{2})?",
    re.ASCII,
)
_NUMBER = re.compile(r"[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)", re.ASCII)
_UNIT_TAIL = re.compile(r"\s*(?:°\s*[CFcf]|[CFK]|º\s*[CFcf])$")
_MISSING = frozenset(
    [
        "-",
        "--",
        "---",
        ".",
        "*",
        "/",
        "//",
        "///",
        "na",
        "n/a",
        "nan",
        "null",
        "none",
        "nil",
        "missing",
        "m",
        "x",
        "?",
        "fehlt",
        "-99.9",
        "-999",
        "-999.0",
        "-999.9",
        "-9999",
        "-9999.0",
        "9999",
        "9999.0",
        "999.9",
        "32767",
        "-32768",
    ]
) | {""}


@dataclass(frozen=True, slots=True)
class WeatherTable:
    """Rows of cells as text, each with its line in the file; `header` names the columns.

    Without a line of names the columns are called 1, 2, 3 and so on.
    """

    name: str
    separator: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]

    @property
    def has_names(self) -> bool:
        """Whether the file names its columns."""
        return self.header != tuple(str(i + 1) for i in range(len(self.header)))


def read_table(path: Path) -> WeatherTable:
    """Read a weather table: any usual separator and coding, words above the table passed over.

    Raises FileProblemError when there is no row with a day and a figure.
    """
    shown = str(path)
    text = _decoded(read_limited(path, limit=MAX_BYTES), shown)
    separator = _separator(text)
    rows: list[tuple[int, tuple[str, ...]]] = []
    for line, cells in _cells(text, separator, shown):
        if any(cells):
            rows.append((line, cells))
        if len(rows) > MAX_ROWS:
            raise FileProblemError(shown, f"has more than {MAX_ROWS:,} rows; part it")
    begin = next((i for i, (_, cells) in enumerate(rows) if is_data(cells)), None)
    if begin is None:
        raise FileProblemError(
            shown, "has no row with a day and a temperature; a table with one row a day is wanted"
        )
    width = Counter(len(cells) for _, cells in rows[begin : begin + 200]).most_common(1)[0][0]
    header = tuple(str(i + 1) for i in range(width))
    if begin > 0:
        above = rows[begin - 1][1]
        if len(above) == width or len(above) == width - 1:
            header = tuple(cell.lstrip("# ") for cell in above) + ("",) * (width - len(above))
    return WeatherTable(shown, separator, header, tuple(rows[begin:]))


def _decoded(data: bytes, shown: str) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        coding = "utf-16"
    else:
        coding = "utf-8-sig"
    try:
        text = data.decode(coding)
    except UnicodeDecodeError:
        # Older exports; only names of columns can hold other letters than ASCII.
        text = data.decode("cp1252", errors="replace")
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise FileProblemError(shown, "holds zero bytes: it is no text table", where=f"line {line}")
    return text


def _separator(text: str) -> str:
    """The sign that parts most lines into the same number of cells; a blank if none does."""
    lines = [line for line in text[:200_000].splitlines() if line.strip()][:120]
    best, score = " ", 0
    for sign in _SEPARATORS:
        counts = Counter(_outside_quotes(line).count(sign) for line in lines)
        counts.pop(0, None)
        if counts:
            parts, often = counts.most_common(1)[0]
            # A decimal comma parts each figure as well; only a real separator stands alone.
            if often > score * 1.2 or (often >= score and sign != "," and parts > 0):
                best, score = sign, often
    if best == ",":
        halves = sum(bool(re.search(r"\s-?\d+,\d+(?:\s|$)", line)) for line in lines)
        if halves > len(lines) / 2:
            return " "
    return best if score * 2 >= len(lines) or score >= 10 else " "


def _outside_quotes(line: str) -> str:
    return "".join(part for i, part in enumerate(line.split('"')) if i % 2 == 0)


def _cells(text: str, separator: str, shown: str) -> list[tuple[int, tuple[str, ...]]]:
    if separator == " ":
        return [
            (line, tuple(words.split())) for line, words in enumerate(text.splitlines(), start=1)
        ]
    found = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    line = 1
    try:
        for cells in reader:
            found.append((line, tuple(cell.strip() for cell in cells)))
            line = reader.line_num + 1
    except csv.Error as error:
        raise FileProblemError(
            shown, f"is not a well-formed table ({error})", where=f"line {line}"
        ) from None
    return found


def is_data(cells: tuple[str, ...]) -> bool:
    """Whether a row holds a day (or a year, a month and a day) and a figure beside it."""
    days = [cell for cell in cells if looks_like_day(cell)]
    figures = [cell for cell in cells if figure(cell) is not None and not looks_like_day(cell)]
    if days and figures:
        return True
    numbers = [figure(cell) for cell in cells]
    return (
        any(
            year is not None
            and 1800 <= year <= 2199
            and month is not None
            and 1 <= month <= 12
            and day is not None
            and 1 <= day <= 31
            for year, month, day in zip(numbers, numbers[1:], numbers[2:], strict=False)
        )
        and sum(each is not None for each in numbers) > 3
    )


def figure(text: str) -> float | None:
    """A figure with a decimal point or comma, with or without its unit; None if it is none."""
    plain = _UNIT_TAIL.sub("", text.strip().replace("−", "-"))
    if _NUMBER.fullmatch(plain) is None:
        return None
    return float(plain.replace(",", "."))


def is_missing(text: str) -> bool:
    """Whether a cell says that nothing was measured."""
    return text.strip().casefold() in _MISSING


def looks_like_day(text: str) -> bool:
    """Whether a cell reads like a calendar day in any order."""
    head = split_clock(text)[0]
    if _ISO.fullmatch(head) or _OTHER.fullmatch(head) or _named_day(head) is not None:
        return True
    compact = _COMPACT.fullmatch(head)
    return compact is not None and 1 <= int(compact[2]) <= 12 and 1 <= int(compact[3]) <= 31


def split_clock(text: str) -> tuple[str, str]:
    """A cell's day and its time of day ("" when it has none)."""
    plain = text.strip()
    compact = _COMPACT.fullmatch(plain)
    if compact is not None and compact[4] is not None:
        return plain[:8], f"{compact[4]}:{compact[5] or '00'}"
    if len(plain) > _LONGEST_TIME:
        return plain, ""
    for at, sign in enumerate(plain):
        if sign in "T " and _CLOCK.fullmatch(tail := plain[at + 1 :].strip()):
            return plain[:at].strip(), tail
    return plain, ""


def _named_day(text: str) -> tuple[int, int, int] | None:
    """Day, month and year of a day whose month is a word: "3 Apr 2027", "April 3, 2027"."""
    match = _NAMED.fullmatch(text)
    if match is None:
        return None
    word = (match[2] or match[3]).casefold()
    month = _MONTHS.get(word[:4]) or _MONTHS.get(word[:3])
    return None if month is None else (int(match[1] or match[4]), month, _full_year(match[5]))


def _full_year(text: str) -> int:
    year = int(text)
    if len(text) == 2:
        year += 1900 if year >= 70 else 2000
    return year


def parts_of_day(text: str) -> tuple[int, int, int, str] | None:
    """Three numbers of a day as written, and how sure their order is.

    The last says "ymd" for days that begin with the year, "dmy" for dotted ones (common
    practice, no source) and those with a month in words, "" where day and month could stand
    either way.
    """
    if match := _ISO.fullmatch(text) or _COMPACT.fullmatch(text):
        return int(match[1]), int(match[2]), int(match[3]), "ymd"
    if match := _OTHER.fullmatch(text):
        return int(match[1]), int(match[3]), _full_year(match[4]), "dmy" if match[2] == "." else ""
    if named := _named_day(text):
        return (*named, "dmy")
    return None


def day_in_order(text: str, order: DateOrder) -> date:
    """A day written in an order (the year first always counts). Raises ValueError."""
    parts = parts_of_day(text)
    if parts is None:
        raise ValueError(text)
    a, b, c, sure = parts
    if sure == "ymd":
        return date(a, b, c)
    return date(c, a, b) if order == "mdy" and sure != "dmy" else date(c, b, a)
