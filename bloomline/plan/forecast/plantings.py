"""Plantings in the gardener's terms, and the days by which they are to flower."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from bloomline.engine.rootzone import depth_days
from bloomline.model.cultivar import Cultivar
from bloomline.plan.climate.surroundings import Standing

_LAST_AUTUMN_DAY = {False: (12, 31), True: (6, 30)}  # by whether the garden is southern


@dataclass(frozen=True, slots=True)
class Planting:
    """Bulbs of one cultivar, planted on one day in one kind of place.

    rooted : the day from which its season counts (`planting_day.counts_from`). shift_days : the
    garden's learned offset. extra_cover_cm : how much deeper it lies than its kind usually does
    (`surroundings.extra_cover_cm`).
    """

    cultivar: Cultivar
    rooted: date
    standing: Standing
    prechill_weeks: float = 0.0
    established: bool = False
    shift_days: float = 0.0
    extra_cover_cm: float = 0.0

    @property
    def depth_days(self) -> float:
        """How much later its depth makes it than the usual one would. [days]"""
        return depth_days(self.extra_cover_cm, in_ground=self.standing.where == "ground")


@lru_cache(maxsize=4096)
def midsummer_after(day: date, *, southern: bool) -> date:
    """The next 1 August after a day, in the southern half of the earth 1 February."""
    month, of_month = (2, 1) if southern else (8, 1)
    this_year = date(day.year, month, of_month)
    return this_year if this_year > day else date(day.year + 1, month, of_month)


@lru_cache(maxsize=4096)
def last_autumn_day(day: date, *, southern: bool) -> date:
    """Last day of the year's autumn in which an autumn kind can open, from a day on.

    What isn't out by midwinter waits for the next autumn.
    """
    last = date(day.year, *_LAST_AUTUMN_DAY[southern])
    return last if last >= day else date(day.year + 1, *_LAST_AUTUMN_DAY[southern])
