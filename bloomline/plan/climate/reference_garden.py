"""The garden whose dates the catalogue states, and its days on a season's axis."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from bloomline.model.cultivar import MonthDay
from bloomline.plan.climate.garden import Garden, garden_named
from bloomline.words import tr

REFERENCE_STATION_ID = "00003772"
"""London Heathrow: the climate the catalogue's dates belong to."""

REFERENCE_FIRST_DAY = np.datetime64("2009-06-01", "D")
"""First day of the axis on which the catalogue's dates are taken."""


@lru_cache(maxsize=1)
def reference_garden() -> Garden:
    """The garden whose dates the catalogue states."""
    return garden_named(REFERENCE_STATION_ID)


@lru_cache(maxsize=4096)
def axis_day(
    day: MonthDay, *, first_day: np.datetime64 = REFERENCE_FIRST_DAY, after: int = -1
) -> int:
    """Index of the first such day of the year after an index of the axis."""
    year = int(first_day.astype("datetime64[Y]").astype(np.int64)) + 1970
    for candidate in (year, year + 1, year + 2):
        index = int((np.datetime64(day.in_year(candidate), "D") - first_day).astype(np.int64))
        if index > after:
            return index
    raise ValueError(tr("{day} does not come after day {after} of the axis", day=day, after=after))
