"""Which plantings the plots of a yard are in a season, kept from one garden to the next.

The day from which a season counts rests on the garden for few kinds, so that a region's step finds
the same plantings again, and an edit those of all plots but its own: as objects, whose solved rows
are known by their identity (`SolvedTables`).
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from threading import Lock

import numpy as np
from numpy.typing import NDArray

from bloomline.plan.climate.garden import Garden
from bloomline.plan.forecast.planting_day import (
    MIDSUMMER_DAY,
    counts_from,
    usual_planting_day,
    waits_for_spring,
)
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.records.learning import Learned
from bloomline.plan.season.plots import Plot, Plots
from bloomline.plan.words.days import as_date, as_day

Ints = NDArray[np.int64]

_LAST_PLANTING_DAY = 560  # of the axis: what is planted later flowers beyond it
_MANY_TIMES, _SPARE = 4, 512
_MOST_KEPT = 3  # seasons: of the garden's half of the earth, of the other, and of a question beside


@dataclass(frozen=True, slots=True, eq=False)
class PlantedYard:
    """The plots of a yard in a season; a row is a planting that differs from every other.

    rows : of each plot, −1 when it is planted after the season, shape (n_plots,). established : of
    each plot, whether it stayed in its pot. lifted : the days on which bulbs leave their pots, by
    row.
    """

    plots: Plots
    plantings: tuple[Planting, ...]
    rows: Ints
    established: tuple[bool, ...]
    lifted: Mapping[int, date]


class PlantedKeep:
    """The plantings of the seasons that were looked at last, for several threads."""

    def __init__(self) -> None:
        self._kept: deque[_Season] = deque(maxlen=_MOST_KEPT)
        self._lock = Lock()

    def of(
        self, plots: Plots, *, garden: Garden, first_day: np.datetime64, taught: Learned
    ) -> tuple[PlantedYard, dict[str, date]]:
        """The plantings of plots, and the usual planting day of each kind."""
        usual = {
            kind.id: usual_planting_day(kind, garden=garden, first_day=first_day)
            for kind in plots.kinds
        }
        spring = {kind.id: usual[kind.id] for kind in plots.kinds if waits_for_spring(kind)}
        with self._lock:
            season = next(
                (each for each in self._kept if each.serves(first_day, spring, taught)), None
            )
        if season is None:
            season = _Season(first_day, spring, taught)
        planted = season.planted(plots)
        with self._lock:
            if season not in self._kept:
                self._kept.appendleft(season)
        return planted, usual


class _Season:
    """What plots are in a season, by their identities: it holds those it tells of."""

    def __init__(
        self, first_day: np.datetime64, usual: Mapping[str, date], taught: Learned
    ) -> None:
        """usual : the planting days of kinds that wait for spring."""
        self._start, self._usual, self._taught = as_date(first_day), usual, taught
        self._known: dict[int, tuple[Plot, Planting | None]] = {}
        self._by_value: dict[tuple[object, ...], Planting] = {}
        self._last: PlantedYard | None = None

    def serves(self, first_day: np.datetime64, usual: Mapping[str, date], taught: Learned) -> bool:
        """Whether plots are the same in another season."""
        return (
            as_date(first_day) == self._start
            and usual == self._usual
            and _teaches(taught) == _teaches(self._taught)
        )

    def planted(self, plots: Plots) -> PlantedYard:
        """The plantings of plots."""
        last = self._last
        if last is not None and last.plots is plots:
            return last
        known, by_value = self._known, self._by_value  # another thread may begin new ones
        plantings: list[Planting] = []
        numbers: dict[tuple[int, date | None], int] = {}
        lifted: dict[int, date] = {}
        rows: list[int] = []
        for plot in plots.plots:
            mine = known.get(id(plot))
            if mine is None:
                mine = known[id(plot)] = plot, self._planting_of(plot, by_value)
            planting = mine[1]
            if planting is None:
                rows.append(-1)
                continue
            row = numbers.setdefault((id(planting), plot.lifted_on), len(plantings))
            if row == len(plantings):
                plantings.append(planting)
                if plot.lifted_on is not None:
                    lifted[row] = plot.lifted_on
            rows.append(row)
        if len(known) > _MANY_TIMES * len(rows) + _SPARE:
            self._known, self._by_value = {}, {}
        planted = PlantedYard(
            plots=plots,
            plantings=tuple(plantings),
            rows=np.array(rows, dtype=np.int64),
            established=tuple([row >= 0 and plantings[row].established for row in rows]),
            lifted=lifted,
        )
        self._last = planted
        return planted

    def _planting_of(
        self, plot: Plot, by_value: dict[tuple[object, ...], Planting]
    ) -> Planting | None:
        """What a plot is in the season, one object for all that are alike; None after it."""
        kind, planted = plot.cultivar, plot.planted
        next_season = (
            planted > self._start + timedelta(days=MIDSUMMER_DAY) and kind.flowers_in != "autumn"
        )
        if next_season or planted > self._start + timedelta(days=_LAST_PLANTING_DAY):
            return None
        established = planted < self._start
        rooted = counts_from(
            kind,
            planted=planted,
            established=established,
            usual=self._usual.get(kind.id, planted),
            first_day=as_day(self._start),
        )
        weeks = 0.0 if established else plot.prechill_weeks
        # The plots of a yard share their kinds and equal standings as objects.
        value = (id(kind), rooted, id(plot.standing), weeks, established, plot.extra_cover_cm)
        found = by_value.get(value)
        if found is None:
            late = self._taught.offset_at(plot.standing.site)
            late += self._taught.kind_shift_days(kind, established=established)
            known = self._taught.narrowed(kind)
            made = Planting(
                known, rooted, plot.standing, weeks, established, late, plot.extra_cover_cm
            )
            found = by_value.setdefault(value, made)
        return found


def _teaches(taught: Learned) -> tuple[object, ...]:
    """What plantings rest on of it."""
    return taught.offset_days, taught.by_site, taught.by_kind
