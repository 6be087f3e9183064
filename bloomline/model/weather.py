"""A season's own weather as the yard keeps it: one row a month, a figure for each day."""

from __future__ import annotations

import calendar
import itertools
import math
import re
from datetime import date
from typing import Annotated, Self

from pydantic import Field, StringConstraints, model_validator
from pydantic_core import PydanticCustomError

from bloomline.model.parts import Line, Name, Part
from bloomline.model.spot import Spot
from bloomline.words import quoted

MAX_WEATHER_MONTHS = 600
LOWEST_C, HIGHEST_C = -90.0, 60.0
NO_DAY = "-"

_FIGURE = re.compile(r"-?\d{1,2}(?:\.\d)?", re.ASCII)

_Month = Annotated[
    str, StringConstraints(strict=True, pattern=r"^(?:19|20|21)\d\d-(?:0[1-9]|1[0-2])$")
]
_Figures = Annotated[str, StringConstraints(strict=True, min_length=1, max_length=400)]


class WeatherMonth(Part):
    """Daily minima and maxima of one month, from its first day to its last. [°C]

    Figures are parted by blanks; a hyphen stands for a day that was not recorded.
    """

    month: _Month
    tmin_c: _Figures
    tmax_c: _Figures

    @property
    def first_day(self) -> date:
        """The first day of the month."""
        return date.fromisoformat(f"{self.month}-01")

    @model_validator(mode="after")
    def _a_figure_for_each_day(self) -> Self:
        first = self.first_day
        length = calendar.monthrange(first.year, first.month)[1]
        low, high = figures_of(self.tmin_c), figures_of(self.tmax_c)
        for name, values in (("tmin_c", low), ("tmax_c", high)):
            if len(values) != length:
                raise PydanticCustomError(
                    "wrong_length",
                    "{month}: {name} has {count} figures for {days} days",
                    {"month": self.month, "name": name, "count": len(values), "days": length},
                )
        for day, (a, b) in enumerate(zip(low, high, strict=True), start=1):
            if math.isnan(a) != math.isnan(b) or a > b:
                raise PydanticCustomError(
                    "odd_day",
                    "{month}-{day}: minimum and maximum go together, the minimum not above",
                    {"month": self.month, "day": f"{day:02d}"},
                )
        return self


def figures_of(text: str) -> list[float]:
    """The figures of a row, NaN for days without one. Raises PydanticCustomError."""
    found = []
    for word in text.split(" "):
        value = math.nan if word == NO_DAY else _figure(word)
        if value < LOWEST_C or value > HIGHEST_C:
            raise PydanticCustomError(
                "absurd_figure",
                "{word} °C is outside -90 to 60",
                {"word": word},
            )
        found.append(value)
    return found


def _figure(word: str) -> float:
    if _FIGURE.fullmatch(word) is None:
        raise PydanticCustomError(
            "no_figure",
            "{word} is no temperature like 4.1 nor a hyphen for a day without",
            {"word": quoted(word[:20])},
        )
    return float(word)


class OwnWeather(Part):
    """Daily temperatures recorded at or near the yard, and where they are from.

    `recorded_at` is where the yard was then, None where that is where it is now.
    """

    label: Name
    note: Line = ""
    recorded_at: Spot | None = None
    months: Annotated[tuple[WeatherMonth, ...], Field(min_length=1, max_length=MAX_WEATHER_MONTHS)]

    @model_validator(mode="after")
    def _months_in_order(self) -> Self:
        names = [each.month for each in self.months]
        for before, after in itertools.pairwise(names):
            if after <= before:
                raise PydanticCustomError(
                    "month_order",
                    "months must ascend, each once: {after} follows {before}",
                    {"before": before, "after": after},
                )
        if not any(set(each.tmin_c) - set(f"{NO_DAY} ") for each in self.months):
            raise PydanticCustomError("no_days", "there is no recorded day")
        return self
