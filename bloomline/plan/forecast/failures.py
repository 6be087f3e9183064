"""Years in which a planting can't flower, and those in which frost kills it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.heat_sums import Plantings
from bloomline.engine.rootzone import colder_than
from bloomline.engine.sums import PreparedSums
from bloomline.plan.forecast.columns import Columns
from bloomline.plan.forecast.plantings import Planting, last_autumn_day, midsummer_after
from bloomline.plan.forecast.solved import Solved
from bloomline.plan.words.days import as_day, days_between

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_LONGEST_WAIT_DAYS = 360


def with_failures(
    solved: Solved, *, columns: Columns, sums: PreparedSums, table: Plantings
) -> Solved:
    """Take out the years in which a planting can't flower, mark those in which frost kills it."""
    days = solved.days
    blind = days.blind.copy()
    killed = colder_than(
        sums.root_c,
        zone=table.zone,
        first=table.planted,
        last=days.start,
        limit_c=columns.lethal_c,
    )
    southern, begin = solved.garden.is_southern, solved.first_ordinal
    last_day = columns.days.each(lambda p: _last_start(p, southern=southern) - begin)
    too_late = ~(days.start <= np.minimum(last_day, sums.n_days - 1.0)[:, None])
    frost = _first_autumn_frost(solved, columns)
    # The frost that stops their growth blackens flowers and leaves.
    end, leaves_over = (
        np.where(np.isfinite(frost), np.fmin(each, frost), each)
        for each in (days.end, days.leaves_over)
    )
    too_late |= (days.start > frost) | ~np.isfinite(end)
    none = blind | too_late
    blind &= ~killed
    too_late &= ~killed & ~blind

    def kept(values: Floats) -> Floats:
        return np.where(none, np.nan, values)

    return replace(
        solved,
        days=replace(
            days,
            nose=kept(days.nose),
            start=kept(days.start),
            full=kept(days.full),
            end=kept(end),
            leaves_over=kept(leaves_over),
        ),
        blind=blind,
        killed=killed,
        too_late=too_late,
    )


def _last_start(planting: Planting, *, southern: bool) -> int:
    """Ordinal of the last day on which first flower still belongs to this season."""
    rooted = planting.rooted
    match planting.cultivar.flowering_law:
        case "autumn":
            last = last_autumn_day(rooted, southern=southern)
        case "summer":
            last = last_autumn_day(midsummer_after(rooted, southern=southern), southern=southern)
        case "spring":
            last = rooted + timedelta(days=_LONGEST_WAIT_DAYS)
    return last.toordinal()


def _first_autumn_frost(solved: Solved, columns: Columns) -> Floats:
    """Axis day of the frost that ends the growth of spring-planted kinds, (n, n_years).

    Infinite for kinds that frost doesn't stop, and in years without such a frost.
    """
    weather = solved.weather
    lots = columns.days
    ends = np.full((len(lots.first), weather.n_years), np.inf)
    first: dict[date, Floats] = {}
    for lot, planting in enumerate(lots.first):
        if planting.cultivar.season_planted != "spring":
            continue
        after = midsummer_after(planting.rooted, southern=solved.garden.is_southern)
        if after not in first:
            at = days_between(solved.first_day, as_day(after))
            frosty = weather.tmin_c[:, at : at + 240] < -1.0
            first[after] = np.full(len(frosty), np.inf)
            if frosty.shape[1]:  # else it lies beyond the axis
                hit = np.argmax(frosty, axis=1).astype(np.float64) + at
                first[after] = np.where(frosty.any(axis=1), hit, np.inf)
        ends[lot] = first[after]
    return ends[lots.lot]
