"""Between the calendar's days and the days of a season's axis."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

import numpy as np


@lru_cache(maxsize=4096)  # few days, asked for each kind at each place
def as_date(day: np.datetime64) -> date:
    """The calendar day of a NumPy day."""
    found: date = day.astype("datetime64[D]").item()
    return found


def as_day(day: date) -> np.datetime64:
    """The NumPy day of a calendar day."""
    return np.datetime64(day, "D")


def days_between(first: np.datetime64, last: np.datetime64) -> int:
    """Whole days from one NumPy day to another."""
    return int((last - first).astype(np.int64))
