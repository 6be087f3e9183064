"""A gardener's own daily temperatures from a table: good rows are kept, every odd line is named."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Sized
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bloomline.errors import DataError
from bloomline.files.delimited import DelimitedTable, day_of, read_delimited
from bloomline.words import quoted

COLUMNS = ("date", "tmin_c", "tmax_c")

_ALIASES = {"day": "date", "tmin": "tmin_c", "tmax": "tmax_c"}
LOWEST_C, HIGHEST_C = -90.0, 60.0
FIRST_YEAR, LAST_YEAR = 1900, 2199
MOST_TOLD = 100
_GOOD_FOR_A_BAD_ONE = 4


@dataclass(frozen=True, slots=True, eq=False)
class DailyTemperatures:
    """Daily extremes, each day once and ascending; days may be missing. [°C]

    days, tmin_c, tmax_c : shape (n,). n_gaps : rows left out for want of a temperature.
    bad : what is wrong with lines that were left out, "line 7: …" each.
    """

    days: NDArray[np.datetime64]
    tmin_c: NDArray[np.float64]
    tmax_c: NDArray[np.float64]
    n_gaps: int = 0
    bad: tuple[str, ...] = ()


def kept_in_spite_of(problems: Iterable[str], *, n_good: int, name: str) -> tuple[str, ...]:
    """What is wrong with a few lines, "line 7: …" each, in their order.

    Raises DataError where more than a line in five is bad, or none is good: then it is not the
    lines that are wrong but how the table is read, and what looks right is wrong as well.
    """
    told = sorted(problems, key=_line_of)
    n_bad = len({_line_of(each) for each in told})
    if told and (n_good == 0 or n_bad > max(1, n_good // _GOOD_FOR_A_BAD_ONE)):
        raise DataError(name, told[:MOST_TOLD])
    if n_good == 0:
        raise DataError(name, ["there is no day with both temperatures"])
    return tuple(told)


def too_many(problems: Sized, n_rows: int) -> bool:
    """Whether reading may stop, since `kept_in_spite_of` refuses the table anyway."""
    return len(problems) >= 2 * max(MOST_TOLD, n_rows // _GOOD_FOR_A_BAD_ONE)


def year_problem(year: int, line: int) -> str:
    """What is wrong with a year of a line; "" when it may be."""
    if FIRST_YEAR <= year <= LAST_YEAR:
        return ""
    hint = f"; is {2000 + year} meant?" if year < 100 else ""
    return f"line {line}: the year {year:04d} is outside {FIRST_YEAR} to {LAST_YEAR}{hint}"


def _line_of(problem: str) -> int:
    return int(problem.removeprefix("line ").partition(":")[0])


def read_weather(path: Path) -> DailyTemperatures:
    """Read a table with the columns date, tmin_c and tmax_c, in any order of rows.

    Other columns are left out. A row with an empty temperature is a gap. Raises
    FileProblemError. Lines with a day that is none or comes twice, a temperature that is none or
    absurd, or a minimum above the maximum are left out and named; DataError lists them where
    they are many.
    """
    table = read_delimited(path, aliases=_ALIASES)
    at = _columns(table)
    problems: list[str] = []
    found: dict[date, tuple[int, float, float]] = {}
    doubted: set[date] = set()
    gaps = 0
    for line, cells in table.rows:
        if too_many(problems, len(table.rows)):
            break
        texts = [cells[i] if i < len(cells) else "" for i in at]
        day = _day(texts[0], line, problems)
        if day is None:
            continue
        if not texts[1] or not texts[2]:
            gaps += 1
            continue
        low = _celsius("tmin_c", texts[1], line, table, problems)
        high = _celsius("tmax_c", texts[2], line, table, problems)
        if low is None or high is None:
            continue
        if low > high:
            problems.append(f"line {line}: tmin_c {low:g} is above tmax_c {high:g}")
        elif day in found:
            problems.append(f"line {line}: {day} is already on line {found[day][0]}")
            doubted.add(day)
        else:
            found[day] = (line, low, high)
    for day in doubted:  # which line is right can't be told
        del found[day]
    bad = kept_in_spite_of(problems, n_good=len(found), name=table.name)
    days = sorted(found)
    return DailyTemperatures(
        days=np.array(days, dtype="datetime64[D]"),
        tmin_c=np.array([found[day][1] for day in days]),
        tmax_c=np.array([found[day][2] for day in days]),
        n_gaps=gaps,
        bad=bad,
    )


def _columns(table: DelimitedTable) -> list[int]:
    problems = []
    for name in COLUMNS:
        if name not in table.columns:
            near = difflib.get_close_matches(name, table.columns, n=1)
            hint = f"; is {quoted(near[0])} meant?" if near else ""
            problems.append(f"there is no column {quoted(name)}{hint}")
    if problems:
        raise DataError(table.name, [*problems, f"columns are {', '.join(COLUMNS)}"])
    return [table.columns.index(name) for name in COLUMNS]


def _day(text: str, line: int, problems: list[str]) -> date | None:
    try:
        day = day_of(text)
    except ValueError:
        problems.append(f"line {line}: {quoted(text[:40])} is not a date like 2025-11-01")
        return None
    if wrong := year_problem(day.year, line):
        problems.append(wrong)
        return None
    return day


def _celsius(
    name: str, text: str, line: int, table: DelimitedTable, problems: list[str]
) -> float | None:
    try:
        value = table.number(text)
    except ValueError:
        problems.append(f"line {line}: {name} {quoted(text[:40])} is not a number")
        return None
    if not math.isfinite(value):
        problems.append(f"line {line}: {name} {quoted(text[:40])} is not a number")
        return None
    if not LOWEST_C <= value <= HIGHEST_C:
        problems.append(
            f"line {line}: {name} {value:g} °C is outside {LOWEST_C:g} to {HIGHEST_C:g}"
        )
        return None
    return value
