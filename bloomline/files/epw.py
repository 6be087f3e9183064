"""Hourly weather files in the EPW format of the EnergyPlus documentation, as daily extremes.

Source: EnergyPlus documentation, "Auxiliary Programs", chapter on the EnergyPlus weather file
(EPW) data dictionary: eight lines of heads, then a row an hour with year, month, day, hour
1–24 (the hour that ends then), minute, flags and the dry bulb temperature [°C], 99.9 if none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from bloomline.errors import DataError, FileProblemError
from bloomline.files.atomic import read_limited
from bloomline.files.weather_csv import DailyTemperatures

MAX_BYTES = 64 * 1024**2

_HEADS = 8
_DRY_BULB = 6
_MISSING_C = 99.0
# The data dictionary's bounds of the dry bulb: above −70, below 70 °C.
_LOWEST_C, _HIGHEST_C = -70.0, 70.0
_LEAST_HOURS = 18
_MOST_TOLD = 100


@dataclass(frozen=True, slots=True)
class EpwWeather:
    """Daily extremes of an EPW file and where they are from.

    is_typical : its months are taken from several years, so it is no single season's record.
    """

    daily: DailyTemperatures
    place: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    is_typical: bool
    notes: tuple[str, ...] = ()


def is_epw(path: Path) -> bool:
    """Whether a file begins as EPW files do. Raises FileProblemError when it can't be read."""
    return (
        read_limited(path, limit=MAX_BYTES)[:200]
        .lstrip(b"\xef\xbb\xbf")
        .upper()
        .startswith(b"LOCATION,")
    )


def read_epw(path: Path) -> EpwWeather:
    """Read an EPW file. Raises FileProblemError, and DataError that lists odd lines."""
    shown = str(path)
    text = read_limited(path, limit=MAX_BYTES).decode("utf-8-sig", errors="replace")
    lines = text.splitlines()
    if len(lines) <= _HEADS or not lines[0].upper().startswith("LOCATION,"):
        raise FileProblemError(shown, "is no EPW file: eight head lines from LOCATION on are due")
    head = lines[0].split(",")
    latitude, longitude, _, elevation = (_number(head, i) for i in (6, 7, 8, 9))
    low: dict[date, float] = {}
    high: dict[date, float] = {}
    hours: dict[date, int] = {}
    first_line: dict[tuple[date, int, int], int] = {}
    problems: list[str] = []
    for number, cells in enumerate((line.split(",") for line in lines[_HEADS:]), start=_HEADS + 1):
        if len(problems) >= _MOST_TOLD:
            break
        if not any(cells):
            continue
        try:
            year, month, of_month, hour, minute = (int(cell) for cell in cells[:5])
            day = date(year, month, of_month)
            warm = float(cells[_DRY_BULB])
        except (ValueError, IndexError, OverflowError):
            problems.append(f"line {number}: no hour with a dry bulb temperature in °C")
            continue
        if not 1 <= hour <= 24:
            problems.append(f"line {number}: hour {hour} is outside 1 to 24")
        elif (day, hour, minute) in first_line:
            problems.append(
                f"line {number}: {day} hour {hour} is already on line "
                f"{first_line[day, hour, minute]}"
            )
        elif warm >= _MISSING_C:
            first_line[day, hour, minute] = number
        elif not _LOWEST_C < warm < _HIGHEST_C:
            problems.append(f"line {number}: {warm:g} °C is outside -70 to 70")
        else:
            first_line[day, hour, minute] = number
            low[day] = min(low.get(day, warm), warm)
            high[day] = max(high.get(day, warm), warm)
            hours[day] = hours.get(day, 0) + 1
    if problems:
        raise DataError(shown, problems)
    kept = sorted(day for day, count in hours.items() if count >= _LEAST_HOURS)
    if not kept:
        raise DataError(shown, ["there is no day with enough hours"])
    short = len(hours) - len(kept)
    notes = (f"too few hours on {short} of its days, left out",) if short else ()
    place = ", ".join(part.strip() for part in head[1:4] if part.strip() not in ("", "-"))
    return EpwWeather(
        daily=DailyTemperatures(
            days=np.array(kept, dtype="datetime64[D]"),
            tmin_c=np.array([low[day] for day in kept]),
            tmax_c=np.array([high[day] for day in kept]),
            n_gaps=short,
        ),
        place=place[:80],
        latitude_deg=latitude,
        longitude_deg=longitude,
        elevation_m=elevation,
        is_typical=_is_typical(kept),
        notes=notes,
    )


def _number(cells: Sequence[str], place: int) -> float:
    try:
        return float(cells[place])
    except (ValueError, IndexError):
        return float("nan")


def _is_typical(days: Sequence[date]) -> bool:
    """Whether months of several years stand side by side: each month once, years mixed."""
    years: dict[int, set[int]] = {}
    for day in days:
        years.setdefault(day.month, set()).add(day.year)
    each_once = all(len(found) == 1 for found in years.values())
    if not each_once or len(years) < 2:
        return False
    span = (max(days) - min(days)).days + 1
    return span > 366


def laid_on_season(
    daily: DailyTemperatures, *, season_year: int, southern: bool = False
) -> DailyTemperatures:
    """Days of a made-up year on the calendar days of one season, from June (or December) on.

    Every calendar day is taken once, from its first year in the table; 29 February is left
    out where the season has none; days that the table lacks stay missing.
    """
    first: dict[tuple[int, int], int] = {}
    for i, day in enumerate(daily.days):
        each = date.fromisoformat(str(day))
        first.setdefault((each.month, each.day), i)
    start = date(season_year - 1, 12 if southern else 6, 1)
    found: list[tuple[date, int]] = []
    for offset in range((start.replace(year=start.year + 1) - start).days):
        day = start + timedelta(days=offset)
        if (index := first.get((day.month, day.day))) is not None:
            found.append((day, index))
    rows = np.array([index for _, index in found], dtype=np.int64)
    return DailyTemperatures(
        days=np.array([day for day, _ in found], dtype="datetime64[D]"),
        tmin_c=daily.tmin_c[rows],
        tmax_c=daily.tmax_c[rows],
        n_gaps=daily.n_gaps,
    )
