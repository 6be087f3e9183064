"""A gardener's own daily temperatures from a table: every odd line is named, not only the first."""

from __future__ import annotations

import difflib
import math
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bloomline.errors import DataError
from bloomline.files.delimited import DelimitedTable, day_of, read_delimited

COLUMNS = ("date", "tmin_c", "tmax_c")

_ALIASES = {"day": "date", "tmin": "tmin_c", "tmax": "tmax_c"}
_LOWEST_C, _HIGHEST_C = -90.0, 60.0
_MOST_TOLD = 100


@dataclass(frozen=True, slots=True, eq=False)
class DailyTemperatures:
    """Daily extremes, each day once and ascending; days may be missing. [°C]

    days, tmin_c, tmax_c : shape (n,). n_gaps : rows left out for want of a temperature.
    """

    days: NDArray[np.datetime64]
    tmin_c: NDArray[np.float64]
    tmax_c: NDArray[np.float64]
    n_gaps: int = 0


def read_weather(path: Path) -> DailyTemperatures:
    """Read a table with the columns date, tmin_c and tmax_c, in any order of rows.

    Other columns are left out. A row with an empty temperature is a gap. Raises
    FileProblemError, and DataError that lists lines with a day that is none or comes twice,
    a temperature that is none or absurd, or a minimum above the maximum.
    """
    table = read_delimited(path, aliases=_ALIASES)
    at = _columns(table)
    problems: list[str] = []
    found: dict[date, tuple[int, float, float]] = {}
    gaps = 0
    for line, cells in table.rows:
        if len(problems) >= _MOST_TOLD:
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
        else:
            found[day] = (line, low, high)
    if problems:
        raise DataError(table.name, problems)
    if not found:
        raise DataError(table.name, ["there is no day with both temperatures"])
    days = sorted(found)
    return DailyTemperatures(
        days=np.array(days, dtype="datetime64[D]"),
        tmin_c=np.array([found[day][1] for day in days]),
        tmax_c=np.array([found[day][2] for day in days]),
        n_gaps=gaps,
    )


def _columns(table: DelimitedTable) -> list[int]:
    problems = []
    for name in COLUMNS:
        if name not in table.columns:
            near = difflib.get_close_matches(name, table.columns, n=1)
            hint = f"; is {near[0]!r} meant?" if near else ""
            problems.append(f"there is no column {name!r}{hint}")
    if problems:
        raise DataError(table.name, [*problems, f"columns are {', '.join(COLUMNS)}"])
    return [table.columns.index(name) for name in COLUMNS]


def _day(text: str, line: int, problems: list[str]) -> date | None:
    try:
        return day_of(text)
    except ValueError:
        problems.append(f"line {line}: {text[:40]!r} is not a date like 2025-11-01")
        return None


def _celsius(
    name: str, text: str, line: int, table: DelimitedTable, problems: list[str]
) -> float | None:
    try:
        value = table.number(text)
    except ValueError:
        problems.append(f"line {line}: {name} {text[:40]!r} is not a number")
        return None
    if not math.isfinite(value):
        problems.append(f"line {line}: {name} {text[:40]!r} is not a number")
        return None
    if not _LOWEST_C <= value <= _HIGHEST_C:
        problems.append(
            f"line {line}: {name} {value:g} °C is outside {_LOWEST_C:g} to {_HIGHEST_C:g}"
        )
        return None
    return value
