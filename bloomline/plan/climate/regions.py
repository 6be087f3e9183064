"""Places of a region in order of their spring, quickly enough to be slid through."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import daily_curve
from bloomline.engine.heat import GrowthLaw, RateTable, day_length_factor, growth_rate
from bloomline.engine.hourly import day_length_h
from bloomline.model.cultivar import MonthDay
from bloomline.model.place import Station
from bloomline.plan.climate.reference_garden import REFERENCE_STATION_ID
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.places import load_places
from bloomline.words import tr

Floats = NDArray[np.float64]

REFERENCE_FLOWER_ID = "narcissus-tete-a-tete"
"""A common early daffodil that stands for spring, by its id in the catalogue."""

_DAYS = 365
_LATITUDE_STEP_DEG = 0.25
_NORTHERN_MIDWINTER = date(2001, 12, 21)
_SOUTHERN_MIDWINTER = date(2001, 6, 21)


@dataclass(frozen=True, slots=True)
class RegionStop:
    """A place on the way from earliest to latest spring.

    days : from midwinter to the reference flower, infinite where it never gets warm enough.
    spring_day : that day of the year, None when there is none.
    """

    station: Station
    days: float
    spring_day: MonthDay | None


def spring_order(
    stations: Sequence[Station], *, law: GrowthLaw | None = None
) -> tuple[RegionStop, ...]:
    """Put stations in order from earliest to latest spring.

    This orders places; it is not the forecast. It asks when the growth sum on the smooth normals
    alone, from midwinter on, reaches what the reference garden has gathered when the reference
    flower opens there. The cold that bulbs need, the lag of a pot and the weather of single years
    are left out. Southern places count from their own midwinter. Places of one day stay in order
    of name and id.
    """
    if not stations:
        return ()
    rules = law or GrowthLaw()
    days = _days_to_sum(stations, need=_reference_sum(rules), law=rules)
    ordered = sorted(
        zip(days.tolist(), stations, strict=True),
        key=lambda pair: (pair[0], pair[1].name, pair[1].station_id),
    )
    return tuple(
        RegionStop(station=station, days=value, spring_day=_spring_day(station, value))
        for value, station in ordered
    )


def nearest_stop(stops: Sequence[RegionStop], days: float) -> int:
    """Index of the stop whose spring comes closest to a number of days after midwinter.

    Raises ValueError when there are no stops.
    """
    if not stops:
        raise ValueError(tr("there are no stops"))
    if math.isinf(days):
        return len(stops) - 1
    return min(range(len(stops)), key=lambda i: abs(stops[i].days - days))


def _midwinter(station_is_southern: bool) -> date:
    return _SOUTHERN_MIDWINTER if station_is_southern else _NORTHERN_MIDWINTER


def _spring_day(station: Station, days: float) -> MonthDay | None:
    if math.isinf(days):
        return None
    day = _midwinter(station.latitude_deg < 0) + timedelta(days=math.floor(days))
    return MonthDay(day.month, day.day)


def _daily_growth(stations: Sequence[Station], *, law: GrowthLaw) -> Floats:
    """Growth a day from each station's own midwinter on, shape (n, 365)."""
    latitude = np.array([station.latitude_deg for station in stations], dtype=np.float64)
    normals = np.array([(station.tmin_c, station.tmax_c) for station in stations])
    low, high = np.moveaxis(daily_curve(normals).astype(np.float32), 1, 0)
    # A mean near freezing still has warm afternoons: two points stand for the day.
    middle, reach = (low + high) * np.float32(0.5), (high - low) * np.float32(8**-0.5)
    rates = _rates(law)
    growth = rates(middle - reach)
    growth += rates(middle + reach)
    growth *= np.float32(0.5)
    growth *= _light(law)[np.rint((latitude + 90.0) / _LATITUDE_STEP_DEG).astype(np.int64)]
    southern = latitude < 0
    for half in (False, True):
        start = _midwinter(half).timetuple().tm_yday - 1
        growth[southern == half] = np.roll(growth[southern == half], -start, axis=1)
    return growth.astype(np.float64)


@lru_cache(maxsize=4)
def _rates(law: GrowthLaw) -> RateTable:
    return RateTable(growth_rate(RateTable.grid_c(), law=law))


@lru_cache(maxsize=4)
def _light(law: GrowthLaw) -> NDArray[np.float32]:
    """Day length's factor by latitude (from the south pole in steps) and day of the year."""
    latitudes = np.arange(-90.0, 90.0 + _LATITUDE_STEP_DEG, _LATITUDE_STEP_DEG)
    hours = day_length_h(np.arange(1, _DAYS + 1), latitude_deg=latitudes[:, None])
    return day_length_factor(hours, law=law).astype(np.float32)


def _days_to_sum(stations: Sequence[Station], *, need: float, law: GrowthLaw) -> Floats:
    """Days from midwinter until the growth sum reaches `need`, shape (n,); infinite if never."""
    sums = np.cumsum(_daily_growth(stations, law=law), axis=1)
    reached = sums >= need
    whole = np.argmax(reached, axis=1)
    rows = np.arange(len(stations))
    before = np.where(whole > 0, sums[rows, np.maximum(whole - 1, 0)], 0.0)
    gain = sums[rows, whole] - before
    part = np.divide(need - before, gain, out=np.zeros_like(gain), where=gain > 0.0)
    return np.where(reached[:, -1], whole + part, np.inf)


@lru_cache(maxsize=4)
def _reference_sum(law: GrowthLaw) -> float:
    """Growth sum at the reference garden from midwinter to the reference flower."""
    station = load_places().get(REFERENCE_STATION_ID)
    opens = load_catalogue().get(REFERENCE_FLOWER_ID).ref_start
    days = (opens.in_year(2002) - _midwinter(False)).days
    return float(_daily_growth([station], law=law)[0, :days].sum())
