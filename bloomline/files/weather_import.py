"""Daily minima and maxima out of tables as thermometers, websites and services export them.

What can be told from the table is taken from it; what can't comes back as a question. Odd
lines are named and left out, never mended in silence; a table with many of them is refused.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

import numpy as np

from bloomline.errors import DataError, UsageError
from bloomline.files.epw import is_epw, laid_on_season, read_epw
from bloomline.files.weather_csv import (
    HIGHEST_C,
    LOWEST_C,
    DailyTemperatures,
    kept_in_spite_of,
    too_many,
    year_problem,
)
from bloomline.files.weather_guess import (
    Columns,
    Unit,
    column_values,
    guess_columns,
    guess_date_order,
    in_celsius,
    unit_by_name,
    unit_by_values,
)
from bloomline.files.weather_text import (
    DateOrder,
    WeatherTable,
    day_in_order,
    figure,
    is_missing,
    looks_like_day,
    parts_of_day,
    read_table,
    split_clock,
)
from bloomline.words import quoted

_LEAST_OF_A_DAY = 0.75
_SAMPLE_LINES = 5

About = Literal["columns", "date_order", "unit", "season_year"]


@dataclass(frozen=True, slots=True)
class ImportChoices:
    """What the person said about a table; None where it is to be found out.

    columns : names or numbers (from 1) of the columns: day, minimum, maximum; or day and
    temperature of a table of single readings. season_year : where to lay a made-up year.
    """

    columns: tuple[str, ...] | None = None
    date_order: DateOrder | None = None
    unit: Unit | None = None
    season_year: int | None = None


@dataclass(frozen=True, slots=True)
class ImportQuestion:
    """What a table doesn't tell. `options` are the answers; `sample` shows lines of it."""

    about: About
    words: str
    options: tuple[str, ...]
    sample: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ImportedWeather:
    """Daily extremes out of a table, how it was read, and what is worth knowing about it.

    A made-up typical year has `is_typical`: its days belong to no single season.
    """

    daily: DailyTemperatures
    label: str
    columns: tuple[str, ...]
    date_order: DateOrder
    unit: Unit
    is_hourly: bool = False
    is_typical: bool = False
    notes: tuple[str, ...] = ()
    lines: tuple[int, ...] = ()
    """The line of each day in the table (the last, where it has several); empty for EPW."""


def import_weather(
    path: Path, *, choices: ImportChoices | None = None
) -> ImportedWeather | ImportQuestion:
    """Read daily minima and maxima, or ask what can't be told from the table.

    Raises FileProblemError for what is no table, UsageError for a column that isn't there,
    DataError for a table with many lines that hold no day, contradictory doubles, absurd
    figures, or a minimum above the maximum; a few such lines are left out and named.
    """
    chosen = choices or ImportChoices()
    if is_epw(path):
        return _from_epw(path, chosen.season_year)
    table = read_table(path)
    columns = _chosen_columns(table, chosen.columns) if chosen.columns else guess_columns(table)
    if columns is None:
        return ImportQuestion(
            "columns",
            "Which columns hold the day, the minimum and the maximum (or the day and the "
            "temperature of single readings)?",
            table.header,
            _sample(table),
        )
    order = chosen.date_order or _order(table, columns)
    if order is None:
        at = columns.date[0]
        shown = next((split_clock(c[at])[0] for _, c in table.rows if at < len(c)), "")
        return ImportQuestion(
            "date_order", f"Is {shown} written day first or month first?", ("dmy", "mdy"),
            _sample(table),
        )  # fmt: skip
    names = [table.header[place] for place in columns.of_figures]
    notes: list[str] = []
    unit = chosen.unit or unit_by_name(names)
    if unit is None:
        values = column_values(table, columns.of_figures)
        values = values[np.isfinite(values)]
        if not len(values):
            raise DataError(table.name, ["there is no temperature in the columns meant"])
        unit = unit_by_values(values)
        if unit is None:
            return ImportQuestion(
                "unit",
                f"In which unit are temperatures from {values.min():g} to {values.max():g}?",
                ("c", "f", "k", "tenths"),
                _sample(table),
            )
        notes.append(f"the table names no unit; its figures are taken as {UNIT_WORDS[unit]}")
    reader = _Reader(table, columns, order, unit)
    daily = reader.readings() if columns.reading is not None else reader.extremes()
    return ImportedWeather(
        daily=daily,
        label=path.name,
        columns=tuple(table.header[i] for i in (*columns.date, *columns.of_figures)),
        date_order=order,
        unit=unit,
        is_hourly=columns.reading is not None,
        notes=(*notes, *reader.notes),
        lines=tuple(reader.lines[day] for day in daily.days.tolist()),
    )


UNIT_WORDS: dict[Unit, str] = {
    "c": "°C",
    "f": "°F",
    "k": "kelvin",
    "tenths": "tenths of a °C",
}


def _from_epw(path: Path, season_year: int | None) -> ImportedWeather | ImportQuestion:
    read = read_epw(path)
    notes = list(read.notes)
    daily = read.daily
    if read.is_typical:
        if season_year is None:
            return ImportQuestion(
                "season_year",
                "This is a typical year put together from several years, no single season. "
                "On which season should its days be laid, as a what-if?",
                (),
            )
        daily = laid_on_season(daily, season_year=season_year, southern=read.latitude_deg < 0)
        notes.append(
            "a typical year put together from several years: no single season, and no record "
            "of what the weather was"
        )
    return ImportedWeather(
        daily=daily,
        label=f"{path.name} ({read.place})" if read.place else path.name,
        columns=("date", "dry bulb temperature"),
        date_order="ymd",
        unit="c",
        is_hourly=True,
        is_typical=read.is_typical,
        notes=tuple(notes),
    )


def _chosen_columns(table: WeatherTable, names: Sequence[str]) -> Columns:
    if len(names) not in (2, 3):
        raise UsageError("two columns (day, temperature) or three (day, minimum, maximum) count")
    places = [_place(table, name) for name in names]
    if len(set(places)) < len(places):
        raise UsageError("the columns named must differ")
    if not any(
        places[0] < len(cells) and looks_like_day(cells[places[0]]) for _, cells in table.rows
    ):
        raise UsageError(f"the column {quoted(names[0])} of {table.name} holds no days")
    if len(places) == 2:
        guessed = guess_columns(table)
        clock = guessed.clock if guessed else None
        return Columns((places[0],), reading=places[1], clock=clock)
    return Columns((places[0],), low=places[1], high=places[2])


def _place(table: WeatherTable, name: str) -> int:
    wanted = name.strip().casefold()
    same = [i for i, each in enumerate(table.header) if each.strip().casefold() == wanted]
    if len(same) == 1:
        return same[0]
    if wanted.isdecimal() and 1 <= int(wanted) <= len(table.header):
        return int(wanted) - 1
    held = ", ".join(each or str(i + 1) for i, each in enumerate(table.header))
    raise UsageError(f"there is no single column {quoted(name)} in {table.name}; it has {held}")


def _sample(table: WeatherTable) -> tuple[str, ...]:
    sign = "  " if table.separator in (" ", "\t") else f"{table.separator} "
    rows = [table.header] if table.has_names else []
    rows += [cells for _, cells in table.rows[:_SAMPLE_LINES]]
    return tuple(sign.join(cells)[:160] for cells in rows)


def _order(table: WeatherTable, columns: Columns) -> DateOrder | None:
    if len(columns.date) == 3:
        return "ymd"
    at = columns.date[0]
    texts = [split_clock(cells[at])[0] for _, cells in table.rows if at < len(cells)]
    return guess_date_order(texts)


class _Reader:
    """Reads the rows of a table once it is known what is what."""

    def __init__(self, table: WeatherTable, columns: Columns, order: DateOrder, unit: Unit) -> None:
        self._table = table
        self._columns = columns
        self._order = order
        self._unit = unit
        self._problems: list[str] = []
        self.notes: list[str] = []
        self.lines: dict[date, int] = {}

    def _rows(self) -> list[tuple[int, date, str, list[float | None]]]:
        found = []
        for line, cells in self._table.rows:
            if too_many(self._problems, len(self._table.rows)):
                break
            day = self._day(cells, line)
            if day is None:
                continue
            values = [self._celsius(place, cells, line) for place in self._columns.of_figures]
            if None not in values:
                self.lines[day] = line
            found.append((line, day, self._clock(cells), values))
        return found

    def _day(self, cells: tuple[str, ...], line: int) -> date | None:
        places = self._columns.date
        texts = [cells[i] if i < len(cells) else "" for i in places]
        try:
            if len(places) == 3:
                day = date(*(int(figure(text) or 0) for text in texts))
            else:
                day = day_in_order(split_clock(texts[0])[0], self._order)
        except (ValueError, OverflowError):
            shown = " ".join(texts)[:40]
            hint = ""
            if parts_of_day(split_clock(texts[0])[0]) is not None:
                hint = f" read as {self._order}"
            self._problems.append(f"line {line}: {quoted(shown)} is no day{hint}")
            return None
        if wrong := year_problem(day.year, line):
            self._problems.append(wrong)
            return None
        return day

    def _clock(self, cells: tuple[str, ...]) -> str:
        if self._columns.clock is not None and self._columns.clock < len(cells):
            return cells[self._columns.clock]
        at = self._columns.date[0]
        return split_clock(cells[at])[1] if at < len(cells) else ""

    def _celsius(self, place: int, cells: tuple[str, ...], line: int) -> float | None:
        text = cells[place] if place < len(cells) else ""
        if is_missing(text):
            return None
        value = figure(text)
        if value is None:
            self._problems.append(f"line {line}: {quoted(text[:40])} is no temperature")
            return None
        warm = in_celsius(value, self._unit)
        if not LOWEST_C <= warm <= HIGHEST_C:
            self._problems.append(
                f"line {line}: {text} is {warm:.1f} °C, outside {LOWEST_C:g} to {HIGHEST_C:g} °C"
            )
            return None
        return round(warm, 6) + 0.0

    def extremes(self) -> DailyTemperatures:
        """Daily extremes of a table with one row a day."""
        found: dict[date, tuple[int, float, float]] = {}
        doubted: set[date] = set()
        gaps = 0
        twice: list[str] = []
        for line, day, _, (low, high) in self._rows():
            if low is None or high is None:
                gaps += 1
            elif low > high:
                self._problems.append(
                    f"line {line}: the minimum {low:g} °C is above the maximum {high:g} °C"
                )
            elif day in found and found[day][1:] != (low, high):
                self._problems.append(
                    f"line {line}: {day} is already on line {found[day][0]}, with other figures"
                )
                doubted.add(day)
            elif day in found:
                twice.append(f"{day} (lines {found[day][0]} and {line})")
            else:
                found[day] = (line, low, high)
        if gaps:
            self.notes.append(f"{gaps} {'row' if gaps == 1 else 'rows'} without both temperatures")
        if twice:
            self.notes.append(f"the same twice, taken once: {_few(twice)}")
        for day in doubted:  # which line is right can't be told
            del found[day]
        bad = kept_in_spite_of(self._problems, n_good=len(found), name=self._table.name)
        by_day = {day: (low, high) for day, (_, low, high) in found.items()}
        return daily_of(by_day, n_gaps=gaps, bad=bad)

    def readings(self) -> DailyTemperatures:
        """Daily extremes of single readings; days with too few of them are left out."""
        by_day: dict[date, list[float]] = {}
        seen: dict[tuple[date, str], int] = {}
        twice: list[str] = []
        for line, day, clock, (value,) in self._rows():
            if value is None:
                continue
            if clock and (day, clock) in seen:
                twice.append(f"{day} {clock} (lines {seen[day, clock]} and {line})")
            seen[day, clock] = line
            by_day.setdefault(day, []).append(value)
        if twice:
            self.notes.append(
                f"times that are there twice (both count for the day's extremes): {_few(twice)}"
            )
        usual = Counter(len(each) for each in by_day.values()).most_common(1)
        least = _LEAST_OF_A_DAY * usual[0][0] if usual else 1.0
        short = sorted(day for day, each in by_day.items() if len(each) < max(least, 2))
        if short:
            told = _few([str(day) for day in short])
            self.notes.append(f"days with too few readings, left out: {told}")
        kept = {day: (min(each), max(each)) for day, each in by_day.items() if day not in short}
        n_good = sum(map(len, by_day.values())) if kept else 0
        bad = kept_in_spite_of(self._problems, n_good=n_good, name=self._table.name)
        return daily_of(kept, n_gaps=len(short), bad=bad)


def _few(words: Sequence[str]) -> str:
    more = f" and {len(words) - 5} more" if len(words) > 5 else ""
    return ", ".join(words[:5]) + more


def daily_of(
    found: dict[date, tuple[float, float]], *, n_gaps: int = 0, bad: tuple[str, ...] = ()
) -> DailyTemperatures:
    """Daily extremes as arrays, in the order of the days."""
    days = sorted(found)
    return DailyTemperatures(
        days=np.array(days, dtype="datetime64[D]"),
        tmin_c=np.array([found[day][0] for day in days], dtype=np.float64),
        tmax_c=np.array([found[day][1] for day in days], dtype=np.float64),
        n_gaps=n_gaps,
        bad=bad,
    )
