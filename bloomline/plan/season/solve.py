"""A whole yard worked out: every different planting once, and which row answers which layer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import WeatherYears
from bloomline.engine.season import years_by_warmth
from bloomline.errors import UsageError
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.climate.garden import Garden, garden_of
from bloomline.plan.climate.own_weather import recorded_of
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.cold import ColdPlan, cold_plans
from bloomline.plan.forecast.solved import STAGES, Solved
from bloomline.plan.records.learning import NOTHING_LEARNED, Learned, learn
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.planted import PlantedKeep
from bloomline.plan.season.plots import PlotKeep, Plots
from bloomline.plan.words.days import as_day, days_between
from bloomline.words import tr

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

_WINTER_FIRST_DAY, _WINTER_LAST_DAY = 183, 335  # December to April in the north


@dataclass(frozen=True, slots=True)
class SolvedLayer:
    """A layer, its pot, its cultivar and the row of the solved table that answers it."""

    pot: Pot
    layer: Layer
    cultivar: Cultivar
    established: bool
    row: int  # −1 when the layer is planted after this season


@dataclass(frozen=True)
class SolvedYard:
    """A yard worked out: the solved table, and which row answers which layer.

    plots : what is planted alike. plot_rows : shape (n_plots,), the row of each plot, −1 when it
    is planted after this season. established : of each plot, whether it stayed in its pot.
    every_year : the table of all weather years where `solved` is of one of them.
    """

    yard: Yard
    garden: Garden
    solved: Solved
    plots: Plots
    plot_rows: Ints
    established: Sequence[bool]
    usual_days: Mapping[str, date]
    learned: Learned = NOTHING_LEARNED
    cold_plans: Sequence[ColdPlan | None] = ()
    every_year: Solved | None = None

    @property
    def n_days(self) -> int:
        """Length of the axis."""
        return int(self.solved.weather.tmin_c.shape[1])

    @cached_property
    def rows(self) -> Ints:
        """The row of each layer, pot by pot; −1 for those planted after this season."""
        return self.plot_rows[self.plots.of_layer]

    def layers_of_rows(self, *, scented: bool = False) -> Ints:
        """How many layers each row answers, one counted in every copy of its pot; (n_rows,).

        scented : of kinds that smell alone.
        """
        layers = self.plots.n_layers
        if scented:
            layers = layers * [plot.cultivar.scent > 0 for plot in self.plots.plots]
        shown = self.plot_rows >= 0
        count = np.bincount(
            self.plot_rows[shown], weights=layers[shown], minlength=len(self.solved.plantings)
        )
        return count.astype(np.int64)

    @cached_property
    def places(self) -> tuple[SolvedLayer, ...]:
        """Every layer with its pot, pot by pot."""
        return tuple(place for at in range(len(self.yard.pots)) for place in self.places_of(at))

    def places_of(self, at: int) -> list[SolvedLayer]:
        """The layers of one pot, as they lie in it."""
        pot, plots = self.yard.pots[at], self.plots.plots
        return [
            SolvedLayer(
                pot,
                layer,
                plots[number].cultivar,
                self.established[number],
                int(self.plot_rows[number]),
            )
            for layer, number in zip(pot.layers, self.plots.numbers[at], strict=True)
        ]


@kept
def solve_yard(outlook: Outlook) -> SolvedYard:
    """Work out every layer of a yard in every weather year, or in the one that is looked at.

    Raises UnknownNameError for a cultivar that no catalogue holds, UsageError for a weather year
    that there isn't.
    """
    rank = outlook.weather_year
    if rank is None:
        return _solve(outlook)
    worked = solve_yard(outlook.usual)
    return replace(worked, solved=_one_year(worked.solved, rank), every_year=worked.solved)


@kept
def learned_of(outlook: Outlook) -> Learned:
    """What the yard's records say, always reckoned at its own place and in its own weather.

    Nothing where they are not to be used. Another place has another offset; the same place in a
    warmer climate keeps it.
    """
    yard, garden = outlook.yard, outlook.garden
    own = garden_of(yard.place)
    spots = [(each.latitude_deg, each.longitude_deg, each.elevation_m) for each in (own, garden)]
    if not outlook.use_records or spots[0] != spots[1]:
        return NOTHING_LEARNED
    if outlook.taught_by is not None:
        return learned_of(outlook.taught_by)
    if not yard.records:
        return NOTHING_LEARNED
    return learn(
        yard,
        cultivar_of=outlook.cultivar_of,
        forecaster=outlook.forecaster,
        garden=own,
        recorded=recorded_of(yard) or (outlook.recorded if garden == own else None),
        today=outlook.today,
    )


def weather_of(outlook: Outlook) -> WeatherYears:
    """The weather years of the season shown, recorded days in all of them."""
    return outlook.forecaster.weather(
        outlook.garden,
        first_day=yard_axis_start(outlook.yard.season_year, garden=outlook.garden),
        recorded=outlook.recorded,
    )


def winter_lows_c(outlook: Outlook) -> Floats:
    """Coldest air of the season in every weather year, in the open. [°C], shape (n_years,)"""
    return np.asarray(weather_of(outlook).tmin_c.min(axis=1), dtype=np.float64)


def _solve(outlook: Outlook) -> SolvedYard:
    yard, here, forecaster = outlook.yard, outlook.garden, outlook.forecaster
    first_day = yard_axis_start(yard.season_year, garden=here)
    plots = outlook.shared(PlotKeep).of(yard, outlook.catalogue)
    taught = learned_of(outlook)
    planted, usual = outlook.shared(PlantedKeep).of(
        plots, garden=here, first_day=first_day, taught=taught
    )
    solved = forecaster.solve(
        planted.plantings,
        garden=here,
        first_day=first_day,
        recorded=outlook.recorded,
        garden_sd_days=taught.garden_sd_days(forecaster.growth_law.garden_sd_days),
    )
    solved = _until_lifted(within_season(solved, yard.season_year), planted.lifted)
    return SolvedYard(
        yard=yard,
        garden=here,
        solved=solved,
        plots=plots,
        plot_rows=planted.rows,
        established=planted.established,
        usual_days=usual,
        learned=taught,
        cold_plans=cold_plans(solved, forecaster=forecaster, recorded=outlook.recorded),
    )


def within_season(solved: Solved, season_year: int) -> Solved:
    """Leave out flowers of the season after the one that is shown."""
    southern = solved.garden.is_southern
    last = as_day(date(season_year + 1, 6, 30) if southern else date(season_year, 12, 31))
    limit = days_between(solved.first_day, last) + 1.0
    beyond = solved.days.start >= limit
    if not beyond.any():
        return solved
    days = solved.days
    cut = {name: np.where(beyond, np.nan, getattr(days, name)) for name in STAGES}
    return replace(solved, days=replace(days, **cut), too_late=solved.too_late | beyond)


def _until_lifted(solved: Solved, lifted: Mapping[int, date]) -> Solved:
    """End the seasons of rows whose bulbs leave their pots, on the days on which they do."""
    if not lifted:
        return solved
    limit = np.full((len(solved.plantings), 1), np.inf)
    for row, day in lifted.items():
        limit[row] = days_between(solved.first_day, as_day(day))
    days = solved.days
    unseen = days.start >= limit

    def kept(values: Floats) -> Floats:
        return np.where(unseen, np.nan, np.minimum(values, limit))

    ended = replace(
        days,
        nose=np.where(days.nose >= limit, np.nan, days.nose),
        start=kept(days.start),
        full=kept(days.full),
        end=kept(days.end),
        leaves_over=kept(days.leaves_over),
    )
    return replace(solved, days=ended, too_late=solved.too_late | unseen)


def no_such_year(rank: int, *, count: int) -> UsageError:
    """What is said of a weather year that isn't there: in numbers from 1, as people give them."""
    return UsageError(
        tr(
            "there is no weather year {rank}: they go from 1, the coldest, to {count}, the warmest",
            rank=rank + 1,
            count=count,
        )
    )


def _one_year(solved: Solved, rank: int | None) -> Solved:
    """Keep a single weather year of a solved table, by its rank from the coldest.

    Raises UsageError for a rank that no year has.
    """
    if rank is None:
        return solved
    order = warmth_order(solved)
    if not 0 <= rank < len(order):
        raise no_such_year(rank, count=len(order))
    year = slice(order[rank], order[rank] + 1)
    weather = solved.weather
    days = solved.days
    return replace(
        solved,
        weather=replace(weather, tmin_c=weather.tmin_c[year], tmax_c=weather.tmax_c[year]),
        days=replace(days, **{f.name: getattr(days, f.name)[:, year] for f in fields(days)}),
        blind=solved.blind[:, year],
        killed=solved.killed[:, year],
        too_late=solved.too_late[:, year],
        mixed=tuple(each.of_year(year) for each in solved.mixed),
    )


def warmth_order(solved: Solved) -> Ints:
    """Weather years from coldest to warmest, by the five months before midspring.

    Both hemispheres' axes begin half a year apart, so the same days mean the same season.
    """
    return years_by_warmth(solved.weather.mean_c, first=_WINTER_FIRST_DAY, last=_WINTER_LAST_DAY)
