"""A season's own weather month by month, to be held against what the months there are like."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bloomline.engine.sorting import distinct
from bloomline.plan.climate.weather import RecordedWeather

LEAST_DAYS = 7
"""Fewer days say too little of a month. Judgement, no source."""


@dataclass(frozen=True, slots=True)
class MonthSeen:
    """What was recorded of one month. [°C, days]

    tmax_c, tmin_c : mean daily extremes. lowest_c : the lowest of the days recorded.
    frost_days : recorded days with a minimum below 0 °C.
    """

    year: int
    month: int
    n_days: int
    tmax_c: float
    tmin_c: float
    lowest_c: float
    frost_days: int


def months_seen(recorded: RecordedWeather, *, first_day: np.datetime64) -> tuple[MonthSeen, ...]:
    """The months of the year from `first_day` on that are recorded on a week or more of days."""
    inside = (recorded.days >= first_day) & (recorded.days < first_day + 365)
    days, low, high = (each[inside] for each in (recorded.days, recorded.tmin_c, recorded.tmax_c))
    months = days.astype("datetime64[M]").astype(np.int64)
    found = []
    for number in distinct(months):
        at = months == number
        if at.sum() >= LEAST_DAYS:
            found.append(
                MonthSeen(
                    year=1970 + int(number) // 12,
                    month=int(number) % 12 + 1,
                    n_days=int(at.sum()),
                    tmax_c=round(float(high[at].mean()), 1),
                    tmin_c=round(float(low[at].mean()), 1),
                    lowest_c=round(float(low[at].min()), 1),
                    frost_days=int((low[at] < 0.0).sum()),
                )
            )
    return tuple(found)
