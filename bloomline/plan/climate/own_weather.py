"""The weather that a yard keeps, ready for forecasts: short gaps bridged, long ones told."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import curve_on_days, lapse_c
from bloomline.errors import DataError
from bloomline.model.spot import is_one_garden
from bloomline.model.weather import OwnWeather
from bloomline.model.weather_edits import own_weather, recorded_days
from bloomline.model.yard import Yard
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.words.days import as_date, as_day
from bloomline.words import plural, tr

if TYPE_CHECKING:  # seldom is a file read in
    from bloomline.files.weather_import import ImportChoices, ImportedWeather, ImportQuestion

Floats = NDArray[np.float64]
Days = NDArray[np.datetime64]

MOST_BRIDGED_DAYS = 3
"""Days in a row that a straight line may fill; longer gaps are left to the weather years.

Judgement, no source: within three days one weather system usually still rules.
"""


@dataclass(frozen=True, slots=True, eq=False)
class Bridged:
    """Recorded days with short gaps filled, and an account of what is missing."""

    recorded: RecordedWeather
    n_recorded: int
    n_bridged: int
    gaps: tuple[tuple[date, date], ...]
    """First and last missing day of every gap that was too long to bridge."""

    @property
    def n_missing(self) -> int:
        """Days that were left to the weather years."""
        return sum((last - first).days + 1 for first, last in self.gaps)

    @property
    def first_day(self) -> date:
        """The first recorded day."""
        return as_date(self.recorded.days[0])

    @property
    def last_day(self) -> date:
        """The last recorded day."""
        return as_date(self.recorded.days[-1])

    def words(self) -> str:
        """One sentence: from when to when, how many days, what was bridged or left out."""
        told = tr(
            "{n_recorded} recorded {days} from {first_day} to {last_day}",
            n_recorded=self.n_recorded,
            days=_days(self.n_recorded),
            first_day=self.first_day,
            last_day=self.last_day,
        )
        if self.n_bridged:
            told += tr(
                ", {n_bridged} missing {days} bridged",
                n_bridged=self.n_bridged,
                days=_days(self.n_bridged),
            )
        if self.gaps:
            told += tr(
                ", {n_missing} {days} left to the weather years",
                n_missing=self.n_missing,
                days=_days(self.n_missing),
            )
        return told


def _days(number: int) -> str:
    return plural("day", "days", number)


def bridge(days: Days, *, tmin_c: Floats, tmax_c: Floats, label: str) -> Bridged:
    """Fill gaps of up to three days by straight lines between the days at their ends.

    days : shape (n,), ascending, each once, n ≥ 1. tmin_c, tmax_c : shape (n,). [°C]
    """
    at = (days - days[0]).astype(np.int64)
    steps = np.diff(at)
    short = (steps > 1) & (steps <= MOST_BRIDGED_DAYS + 1)
    fill = np.concatenate(
        [at, *(np.arange(at[i] + 1, at[i + 1]) for i in np.flatnonzero(short))]
    ).astype(np.int64)
    fill.sort()
    gaps = tuple(
        (as_date(days[i] + 1), as_date(days[i + 1] - 1))
        for i in np.flatnonzero(steps > MOST_BRIDGED_DAYS + 1)
    )
    return Bridged(
        recorded=RecordedWeather(
            days=days[0] + fill,
            tmin_c=np.interp(fill, at, tmin_c),
            tmax_c=np.interp(fill, at, tmax_c),
            label=label,
        ),
        n_recorded=len(at),
        n_bridged=len(fill) - len(at),
        gaps=gaps,
    )


@lru_cache(maxsize=8)
def bridged(weather: OwnWeather) -> Bridged:
    """The weather that a yard keeps, ready for forecasts; equal weather is the same object."""
    found = recorded_days(weather)
    pairs = np.array(list(found.values()), dtype=np.float64).reshape(-1, 2)
    return bridge(
        np.array(list(found), dtype="datetime64[D]"),
        tmin_c=pairs[:, 0],
        tmax_c=pairs[:, 1],
        label=weather.label,
    )


ABSURD_C = 45.0
"""A day further than this from the usual one of its date is refused as a mistake.

Judgement, no source: even the gravest waves of cold stay within it.
"""
ODD_C = 10.0
"""Days that stray further than this on the mean are questioned. Judgement, no source."""
_LEAST_ODD_DAYS = 7


def import_for(
    path: Path, *, choices: ImportChoices | None, garden: Garden, today: date
) -> ImportedWeather | ImportQuestion:
    """Read a weather table for a garden, and hold its days against those that are usual there.

    Days that can't be there are left out and named. Raises what `import_weather` raises, and
    DataError where such days are many or all the others stray as one: then the unit is wrong.
    """
    from bloomline.files.weather_csv import MOST_TOLD, kept_in_spite_of
    from bloomline.files.weather_import import ImportQuestion, import_weather

    read = import_weather(path, choices=choices)
    if isinstance(read, ImportQuestion):
        return read
    daily = read.daily
    normals = np.stack([np.array(garden.tmin_c), np.array(garden.tmax_c)])
    usual = curve_on_days(normals, daily.days) + float(lapse_c(garden.rise_m))
    strayed = np.stack([daily.tmin_c, daily.tmax_c]) - usual
    absurd = np.atleast_1d((np.abs(strayed) > ABSURD_C).any(axis=0))
    if absurd.any():
        problems = _absurd_days(read, strayed, garden=garden)
        rest = strayed[:, ~absurd]
        if not read.lines or (rest.size and abs(float(rest.mean())) > ODD_C):
            raise DataError(str(path), problems[:MOST_TOLD])
        told = kept_in_spite_of(
            [*daily.bad, *problems], n_good=int((~absurd).sum()), name=str(path)
        )
        daily = replace(
            daily,
            days=daily.days[~absurd],
            tmin_c=daily.tmin_c[~absurd],
            tmax_c=daily.tmax_c[~absurd],
            bad=told,
        )
        lines = tuple(line for line, out in zip(read.lines, absurd, strict=True) if not out)
        read = replace(read, daily=daily, lines=lines)
        strayed = rest
    notes = list(read.notes)
    mean = float(strayed.mean())
    if len(daily.days) >= _LEAST_ODD_DAYS and abs(mean) > ODD_C:
        way = tr("warmer") if mean > 0 else tr("colder")
        notes.append(
            tr(
                "on the mean these days are {mean:.0f} °C {way} than usual at "
                "{station_name}: check the unit, the order of day and month, and "
                "the place",
                mean=abs(mean),
                way=way,
                station_name=garden.station_name,
            )
        )
    ahead = int((daily.days > as_day(today)).sum())
    if ahead and not read.is_typical:
        notes.append(
            tr(
                "{ahead} {days} lie after today, {today}, and count as facts all "
                "the same: check the year and the order of day and month",
                ahead=ahead,
                days=_days(ahead),
                today=today,
            )
        )
    return replace(read, notes=tuple(notes))


def _absurd_days(read: ImportedWeather, strayed: Floats, *, garden: Garden) -> list[str]:
    daily = read.daily
    problems = []
    for side, name in enumerate(("minimum", "maximum")):
        values = (daily.tmin_c, daily.tmax_c)[side]
        for at in np.flatnonzero(np.abs(strayed[side]) > ABSURD_C):
            where = tr("line {lines}: ", lines=read.lines[at]) if read.lines else ""
            problems.append(
                tr(
                    "{where_words}the {name} {values:g} °C of {days} is "
                    "{strayed:.0f} °C from the usual one at {station_name}",
                    where_words=where,
                    name=name,
                    values=values[at],
                    days=as_date(daily.days[at]),
                    strayed=abs(strayed[side, at]),
                    station_name=garden.station_name,
                )
            )
    return problems


def kept_weather(read: ImportedWeather, *, label: str | None = None) -> OwnWeather:
    """What a yard keeps of an import. Raises EditRefusedError when it is too much."""
    daily = read.daily
    pairs = zip(daily.days, daily.tmin_c.tolist(), daily.tmax_c.tolist(), strict=True)
    return own_weather(
        [(as_date(day), (low, high)) for day, low, high in pairs],
        label=(label or read.label)[:120],
        note="; ".join(read.notes)[:1024],
    )


def recorded_of(yard: Yard) -> RecordedWeather | None:
    """The recorded days that forecasts of a yard take as facts, None when it keeps none of here."""
    return bridged(yard.weather).recorded if yard.weather and is_of_here(yard) else None


def is_of_here(yard: Yard) -> bool:
    """Whether the weather that a yard keeps, if any, was recorded where the yard is now."""
    spot = None if yard.weather is None else yard.weather.recorded_at
    return spot is None or is_one_garden(spot, yard.place)


def until(recorded: RecordedWeather, last: date) -> RecordedWeather | None:
    """The recorded days up to one of them; None when there are none."""
    keep = recorded.days <= as_day(last)
    if not keep.any():
        return None
    return RecordedWeather(
        days=recorded.days[keep],
        tmin_c=recorded.tmin_c[keep],
        tmax_c=recorded.tmax_c[keep],
        label=recorded.label,
    )
