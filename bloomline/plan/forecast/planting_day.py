"""When a kind is usually planted at a place: by the calendar of the soil, not of London."""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import SEASON_DAYS, curve_on_days, lapse_c, season_start
from bloomline.engine.heat import GrowthLaw
from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.reference_garden import REFERENCE_FIRST_DAY, axis_day, reference_garden
from bloomline.plan.words.days import as_date, as_day
from bloomline.reference.rules import PlantingWindow, load_rules

MIDSUMMER_DAY = 426
"""Of the axis, 1 August in the north: bulbs planted after it flower next year, but for autumn
flowers. Judgement, no source."""
TURN_OF_SUMMER_DAY = 62
"""Of the axis, 2 August in the north: by then every bulb of spring rests."""
_WARMEST_BY_DAY, _COLDEST_BY_DAY = 150, 300
_EARLIEST_SHIFT_DAYS = 25
_LATEST_SHIFT_DAYS = 30
_COLDEST_DAYS = 28
_CHILLED_SEARCH_DAYS = 150
_COOL_AS_A_STORE_C = 10.0


@lru_cache(maxsize=16)
def _smooth_mean_c(garden: Garden, first_day: date) -> NDArray[np.float64]:
    """Normal daily means over an axis. [°C]"""
    middle = (np.array(garden.tmin_c) + np.array(garden.tmax_c)) / 2.0
    days = as_day(first_day) + np.arange(SEASON_DAYS)
    return curve_on_days(middle, days) + float(lapse_c(garden.rise_m))


def usual_planting_day(cultivar: Cultivar, *, garden: Garden, first_day: np.datetime64) -> date:
    """The usual planting day of a kind on an axis that begins on `first_day`.

    The day on which the place's normal mean temperature has fallen (in autumn) or risen (in
    spring) to what it is at the reference garden on the kind's usual planting day there; at
    most 25 days earlier or 30 days later than that day of the season. Summer-planted kinds
    keep their day. Common practice (plant when the soil has cooled or warmed), no source for
    the limits.
    """
    # Many kinds share their day, and it rests on nothing else of them.
    return _usual_day(
        cultivar.ref_planted, cultivar.season_planted, garden=garden, first_day=as_date(first_day)
    )


@lru_cache(maxsize=512)
def _usual_day(
    ref_planted: MonthDay, season_planted: str, *, garden: Garden, first_day: date
) -> date:
    index = axis_day(ref_planted)
    # Both axes begin half a year apart by hemisphere, so an index means the same season.
    if season_planted == "summer":
        return first_day + timedelta(days=index)
    wanted = float(_smooth_mean_c(reference_garden(), as_date(REFERENCE_FIRST_DAY))[index])
    window = np.arange(max(index - _EARLIEST_SHIFT_DAYS, 0), index + _LATEST_SHIFT_DAYS + 1)
    means = _smooth_mean_c(garden, first_day)[window]
    ready = means <= wanted if season_planted == "autumn" else means >= wanted
    hits = np.flatnonzero(ready)
    chosen = int(window[hits[0]]) if len(hits) else int(window[-1])
    return first_day + timedelta(days=chosen)


def order_by(*, planned: date, usual: date) -> date:
    """The day by which bulbs should be ordered: weeks before they are planted.

    The usual day counts where the gardener plans a later one, since names run out all the same.
    Source: buying, order_weeks_before of the rules (common practice).
    """
    weeks = load_rules().figure("order_weeks_before").middle
    return min(planned, usual) - timedelta(weeks=weeks)


@lru_cache(maxsize=512)
def chilled_planting_day(usual: date, *, garden: Garden, first_day: date) -> date:
    """When bulbs from the refrigerator are planted where a usual winter is too short.

    As the coldest four weeks begin, since warm soil undoes their cold and flowers that come too
    early freeze; where days average 10 °C or less before that, no later than that, but on the
    usual day at the earliest. Louisiana State University AgCenter (2010) has late December or
    early January; the 10 °C are judgement, no source.
    """
    begin = (usual - first_day).days
    means = _smooth_mean_c(garden, first_day)[begin : begin + _CHILLED_SEARCH_DAYS]
    spells = np.convolve(means, np.ones(_COLDEST_DAYS), mode="valid")
    coldest = int(np.argmin(spells))
    cool = np.flatnonzero(means[:coldest] <= _COOL_AS_A_STORE_C)
    return usual + timedelta(days=int(cool[0]) if len(cool) else coldest)


def counts_from(
    cultivar: Cultivar, *, planted: date, established: bool, usual: date, first_day: np.datetime64
) -> date:
    """The day from which a planting's season counts.

    The planting day; for bulbs that stayed in their pot the turn of summer, since nobody plants
    them. Kinds planted in spring count from their usual day then, when the soil warms; those put
    in before winter, as lilies may be, rest in it until the earliest day of planting in spring.
    """
    of_spring = waits_for_spring(cultivar)
    if not established:
        if of_spring and usual_planting_span(cultivar, usual=usual)[0] <= planted:
            return max(planted, usual - timedelta(days=_EARLIEST_SHIFT_DAYS))
        return planted
    if of_spring:
        return usual
    return as_date(first_day) + timedelta(days=TURN_OF_SUMMER_DAY)


def waits_for_spring(cultivar: Cultivar) -> bool:
    """Whether the day from which a kind's season counts rests on its usual day at the place."""
    return cultivar.flowering_law != "autumn" and cultivar.season_planted == "spring"


def growth_begins(season_planted: str, *, counted: date, garden: Garden, law: GrowthLaw) -> date:
    """The day from which development counts, for a season that counts from `counted`.

    season_planted : of the kind.

    What is planted in autumn hastens to no flower before the soil has cooled, whether it was
    planted a month before or stood in its pot all year.
    """
    if season_planted != "autumn":
        return counted
    first = as_date(season_start(as_day(counted), latitude_deg=garden.latitude_deg))
    return max(counted, _cooled_day(garden, first_day=first, law=law))


@lru_cache(maxsize=64)
def _cooled_day(garden: Garden, *, first_day: date, law: GrowthLaw) -> date:
    """The day on which the place's normal daily mean has fallen below `law.cooled_c`.

    Where winter is hardly colder than that, below `law.over_coldest_c` above its coldest day.
    """
    means = _smooth_mean_c(garden, first_day)[:_COLDEST_BY_DAY]
    warmest = int(means[:_WARMEST_BY_DAY].argmax())
    limit = max(law.cooled_c, float(means.min()) + law.over_coldest_c)
    return first_day + timedelta(days=warmest + int((means[warmest:] <= limit).argmax()))


def usual_planting_span(cultivar: Cultivar, *, usual: date) -> tuple[date, date]:
    """First and last day on which a kind is planted, moved with its usual day at a place.

    Lilies are planted from autumn over the new year until spring.
    """
    _, begin, length = _rule(cultivar.genus, cultivar.group, cultivar.ref_planted)
    first = usual + timedelta(days=begin)
    return first, first + timedelta(days=length)


def planting_rule(cultivar: Cultivar) -> PlantingWindow:
    """The kind's window near London, or that of any hardy bulb.

    The latter for one that is planted at another season than its genus: dwarf gladioli go in in
    autumn, the tall ones in spring.
    """
    return _rule(cultivar.genus, cultivar.group, cultivar.ref_planted)[0]


def means_at_planting_c(
    cultivar: Cultivar, *, garden: Garden, first_day: date, usual: date
) -> tuple[float, float]:
    """Normal daily means of the air on a kind's usual planting day: here, and near London. [°C]"""
    index = axis_day(cultivar.ref_planted)
    here = _smooth_mean_c(garden, first_day)[(usual - first_day).days]
    return float(here), float(
        _smooth_mean_c(reference_garden(), as_date(REFERENCE_FIRST_DAY))[index]
    )


@lru_cache(maxsize=1024)
def _rule(genus: str, group: str, ref_planted: MonthDay) -> tuple[PlantingWindow, int, int]:
    """A kind's window, days from its usual planting day to the first of it, and its length."""
    rules = load_rules()
    window = rules.planting_window(genus, group)
    begin, length = _window_days(window, ref_planted)
    if not begin <= 0 <= begin + length:
        window = rules.planting_window("")
        begin, length = _window_days(window, ref_planted)
    return window, begin, length


def _window_days(window: PlantingWindow, ref_planted: MonthDay) -> tuple[int, int]:
    """Days from a kind's usual planting day to its window's first, and the window's length."""
    apart = window.from_md.day_of_year - ref_planted.day_of_year
    begin = (apart + 182) % 365 - 182  # the shorter way round
    return begin, (window.to_md.day_of_year - window.from_md.day_of_year) % 365
