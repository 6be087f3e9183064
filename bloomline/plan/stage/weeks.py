"""The weeks of a rota, Monday to Sunday, and which of them a place is wanted in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.model.stage import DisplayPlace, WantedWeeks

WEEK = timedelta(days=7)
FEAST_DAYS = timedelta(days=7)  # of a feast, before its day and after


@dataclass(frozen=True, slots=True)
class Weeks:
    """Consecutive weeks from a Monday on. Pots are carried on the Saturday before a week."""

    monday: date
    count: int

    def first(self, week: int) -> date:
        """The Monday of a week."""
        return self.monday + week * WEEK

    def last(self, week: int) -> date:
        """The Sunday of a week."""
        return self.first(week) + timedelta(days=6)

    def carried(self, week: int) -> date:
        """The Saturday on which pots are carried to where they stand in a week."""
        return self.first(week) - timedelta(days=2)

    def of(self, day: date) -> int | None:
        """The week of a day; None outside."""
        week = (day - self.monday).days // 7
        return week if 0 <= week < self.count else None

    @property
    def end(self) -> date:
        """The last Sunday."""
        return self.last(self.count - 1)


def easter(year: int) -> date:
    """Easter Sunday of the Gregorian calendar.

    Source: the computus in the form of J.-M. Oudin, as the Explanatory Supplement to the
    Astronomical Almanac prints it (from memory; checked against published Sundays).
    """
    century = year // 100
    golden = year % 19
    k = (century - 17) // 25
    moon = (century - century // 4 - (century - k) // 3 + 19 * golden + 15) % 30
    moon -= (moon // 28) * (1 - (moon // 28) * (29 // (moon + 1)) * ((21 - golden) // 11))
    weekday = (year + year // 4 + moon + 2 - century + century // 4) % 7
    days = moon - weekday
    month = 3 + (days + 40) // 44
    return date(year, month, days + 28 - 31 * (month // 4))


def spans_of(wanted: WantedWeeks, first: date, last: date) -> Iterator[tuple[date, date]]:
    """The days on which a place is wanted between two days, year by year."""
    for year in range(first.year - 1, last.year + 1):
        if wanted.feast is not None:
            sunday = easter(year)
            begins, ends = sunday - FEAST_DAYS, sunday + FEAST_DAYS
        elif wanted.first is not None and wanted.last is not None:
            begins, ends = wanted.first.in_year(year), wanted.last.in_year(year)
            if ends < begins:  # over New Year
                ends = wanted.last.in_year(year + 1)
        else:  # the model lets none through
            continue
        if begins <= last and ends >= first:
            yield begins, ends


def looked_at(place: DisplayPlace, weeks: Weeks) -> NDArray[np.float64]:
    """How much flowers at a place count in each week, (n_weeks,): its view, as days are wanted.

    A day on which it is wanted twice over counts by the larger weight.
    """
    days = np.ones(7 * weeks.count)
    wished = np.full(days.shape, -1.0)
    for wanted in place.wanted:
        for begins, ends in spans_of(wanted, weeks.monday, weeks.end):
            low = max((begins - weeks.monday).days, 0)
            high = (ends - weeks.monday).days + 1
            wished[low:high] = np.maximum(wished[low:high], wanted.weight)
    days = np.where(wished >= 0.0, wished, days)
    return np.asarray(place.view_weight * days.reshape(-1, 7).mean(axis=1))
