"""Changes to the weather that a yard keeps. Pure functions from a yard to a new one."""

from __future__ import annotations

import calendar
import math
from collections.abc import Iterable, Mapping
from datetime import date

from pydantic import ValidationError

from bloomline.errors import EditRefusedError
from bloomline.model.problems import describe
from bloomline.model.revising import revise
from bloomline.model.spot import is_one_garden
from bloomline.model.weather import NO_DAY, OwnWeather, WeatherMonth, figures_of
from bloomline.model.yard import Yard

Extremes = tuple[float, float]


def recorded_days(weather: OwnWeather) -> dict[date, Extremes]:
    """Minimum and maximum of every recorded day, ascending. [°C]"""
    found: dict[date, Extremes] = {}
    for month in weather.months:
        first = month.first_day
        pairs = zip(figures_of(month.tmin_c), figures_of(month.tmax_c), strict=True)
        for day, (low, high) in enumerate(pairs, start=1):
            if not math.isnan(low):
                found[first.replace(day=day)] = (low, high)
    return found


def own_weather(
    days: Mapping[date, Extremes] | Iterable[tuple[date, Extremes]], *, label: str, note: str = ""
) -> OwnWeather:
    """The rows that a yard keeps for recorded days, to a tenth of a degree.

    Raises EditRefusedError when there are no days, too many, or absurd ones.
    """
    by_day = dict(days)
    if not by_day:
        raise EditRefusedError("there is no recorded day to keep")
    months: list[dict[str, str]] = []
    for year, month in sorted({(day.year, day.month) for day in by_day}):
        low, high = [], []
        for number in range(1, calendar.monthrange(year, month)[1] + 1):
            pair = by_day.get(date(year, month, number))
            low.append(NO_DAY if pair is None else _figure(pair[0]))
            high.append(NO_DAY if pair is None else _figure(pair[1]))
        months.append(
            {"month": f"{year:04d}-{month:02d}", "tmin_c": " ".join(low), "tmax_c": " ".join(high)}
        )
    try:
        return OwnWeather(
            label=label,
            note=note,
            months=tuple(WeatherMonth.model_validate(each) for each in months),
        )
    except ValidationError as error:
        raise EditRefusedError("; ".join(describe(error)[:5])) from None


def _figure(value: float) -> str:
    text = f"{value + 0.0:.1f}"
    return "0" if text in ("-0.0", "0.0") else text.removesuffix(".0")


def set_weather(yard: Yard, weather: OwnWeather) -> Yard:
    """Keep this weather with the yard, in place of any it had."""
    return revise(yard, {"weather": weather}, links=False)


def add_weather(yard: Yard, weather: OwnWeather) -> Yard:
    """Keep this weather with what the yard has; where both have a day, the new figure counts."""
    if yard.weather is None:
        return set_weather(yard, weather)
    before = yard.weather.recorded_at
    if before is not None and not is_one_garden(before, yard.place):
        raise EditRefusedError(
            "the yard keeps weather of another place: forget it before adding days of this one"
        )
    days = {**recorded_days(yard.weather), **recorded_days(weather)}
    return set_weather(yard, own_weather(days, label=weather.label, note=weather.note))


def clear_weather(yard: Yard) -> Yard:
    """Forget the weather that is kept with the yard."""
    return revise(yard, {"weather": None}, links=False)
