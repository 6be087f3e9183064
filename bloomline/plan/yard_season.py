"""A whole yard's season: every layer's windows, bare and crowded stretches, weeks of colour."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import in_flower_chance
from bloomline.engine.season import (
    Run,
    bare_runs,
    crowded_runs,
    days_in_flower,
    garden_spread,
    yearly_colour,
    years_by_warmth,
)
from bloomline.errors import UsageError
from bloomline.model.advice import Advice
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.advice import planting_advice, poison_advice, station_advice
from bloomline.plan.calendar import as_date, as_day, days_between
from bloomline.plan.forecast import Outcome, outcomes
from bloomline.plan.forecaster import Forecaster, Planting, Solved
from bloomline.plan.garden import Garden, garden_of
from bloomline.plan.planting_day import usual_planting_day
from bloomline.plan.report import (
    LayerForecast,
    PotForecast,
    SeasonReport,
    Spread,
    Stretch,
)
from bloomline.plan.surroundings import Standing, standing_of
from bloomline.plan.weather import RecordedWeather, yard_axis_start
from bloomline.reference.catalogue import Catalogue

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_LIKELY = 0.5
_HANDOVER_DAYS = 7.0
_WINTER_FIRST_DAY, _WINTER_LAST_DAY = 183, 335  # December to April in the north
_LAST_PLANTING_DAY = 560  # of the axis: what is planted later flowers beyond it


@dataclass(frozen=True, slots=True)
class _Place:
    """A layer, its pot, its cultivar and the row of the solved table that answers it."""

    pot: Pot
    layer: Layer
    cultivar: Cultivar
    established: bool
    row: int  # −1 when the layer is planted after this season


@dataclass(frozen=True, slots=True)
class SolvedYard:
    """A yard worked out: the solved table, and which row answers which layer."""

    yard: Yard
    garden: Garden
    solved: Solved
    places: tuple[_Place, ...]
    usual_days: Mapping[str, date]

    @property
    def n_days(self) -> int:
        """Length of the axis."""
        return int(self.solved.weather.tmin_c.shape[1])


def find_cultivar(yard: Yard, cultivar_id: str, *, catalogue: Catalogue) -> Cultivar:
    """The cultivar a layer names: the yard's own, else the catalogue's.

    Raises UnknownNameError.
    """
    for own in yard.own_cultivars:
        if own.id == cultivar_id and isinstance(own, Cultivar):
            return own
    return catalogue.get(cultivar_id)


def solve_yard(
    yard: Yard,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None = None,
    garden: Garden | None = None,
    weather_year: int | None = None,
) -> SolvedYard:
    """Work out every layer of a yard in every weather year, or in one of them.

    garden : in place of the yard's own, to look at it in another climate.
    weather_year : rank of a single year, 0 the coldest; None for all years.
    Raises UnknownNameError for a cultivar that no catalogue holds.
    """
    here = garden or garden_of(yard.place)
    first_day = yard_axis_start(yard.season_year, garden=here)
    start = as_date(first_day)
    too_late = start + timedelta(days=_LAST_PLANTING_DAY)
    usual: dict[str, date] = {}
    cultivars: dict[str, Cultivar] = {}
    plantings: list[Planting] = []
    # Numbers stand for equal standings, since they are quicker to compare.
    standings: dict[Standing, int] = {}
    rows: dict[tuple[str, date, int, float, bool], int] = {}
    places: list[_Place] = []
    for pot in yard.pots:
        standing = standing_of(pot, site_offset_c=yard.site_offsets.get(pot.site, 0.0))
        number = standings.setdefault(standing, len(standings))
        for layer in pot.layers:
            cultivar = cultivars.get(layer.cultivar_id)
            if cultivar is None:
                cultivar = find_cultivar(yard, layer.cultivar_id, catalogue=catalogue)
                cultivars[layer.cultivar_id] = cultivar
                usual[cultivar.id] = usual_planting_day(cultivar, garden=here, first_day=first_day)
            if layer.planted > too_late:
                places.append(_Place(pot, layer, cultivar, False, -1))
                continue
            established = layer.planted < start
            rooted = usual[cultivar.id] if established else layer.planted
            weeks = 0.0 if established else layer.prechill_weeks
            key = (cultivar.id, rooted, number, weeks, established)
            row = rows.setdefault(key, len(plantings))
            if row == len(plantings):
                plantings.append(Planting(cultivar, rooted, standing, weeks, established))
            places.append(_Place(pot, layer, cultivar, established, row))
    solved = forecaster.solve(plantings, garden=here, first_day=first_day, recorded=recorded)
    return SolvedYard(
        yard=yard,
        garden=here,
        solved=_one_year(_within_season(solved, yard.season_year), weather_year),
        places=tuple(places),
        usual_days=usual,
    )


def _within_season(solved: Solved, season_year: int) -> Solved:
    """Leave out flowers of the season after the one that is shown."""
    southern = solved.garden.is_southern
    last = as_day(date(season_year + 1, 6, 30) if southern else date(season_year, 12, 31))
    limit = days_between(solved.first_day, last) + 1.0
    beyond = solved.days.start >= limit
    if not beyond.any():
        return solved
    days = solved.days
    cut = {
        name: np.where(beyond, np.nan, getattr(days, name))
        for name in ("nose", "start", "full", "end", "leaves_over")
    }
    return replace(solved, days=replace(days, **cut), too_late=solved.too_late | beyond)


def season_report(
    yard: Yard,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None = None,
    garden: Garden | None = None,
    weather_year: int | None = None,
) -> SeasonReport:
    """The season of a yard, as every view, export and command shows it."""
    worked = solve_yard(
        yard,
        catalogue=catalogue,
        forecaster=forecaster,
        recorded=recorded,
        garden=garden,
        weather_year=weather_year,
    )
    report = report_of(worked, recorded=recorded)
    if weather_year is None:
        return report
    count = forecaster.weather(
        worked.garden, first_day=worked.solved.first_day, recorded=recorded
    ).n_years
    return replace(report, weather_label=year_label(weather_year, count=count))


def year_label(rank: int, *, count: int) -> str:
    """What a single weather year is called, by its rank from the coldest."""
    if rank == 0:
        return f"the coldest of {count} weather years"
    if rank == count - 1:
        return f"the warmest of {count} weather years"
    return f"weather year {rank + 1} of {count}, from coldest to warmest"


def report_of(worked: SolvedYard, *, recorded: RecordedWeather | None = None) -> SeasonReport:
    """Put a solved yard into the values that are shown."""
    yard, solved, garden = worked.yard, worked.solved, worked.garden
    n_days = worked.n_days
    answers = outcomes(solved)
    chance = in_flower_chance(
        solved.days.start,
        end=solved.days.end,
        sd_days=solved.uncertainty.together,
        n_days=n_days,
    )
    # One more row, all zero, answers the layers that are planted after this season.
    chance = np.concatenate([chance, np.zeros((1, n_days))])
    rows = np.array([place.row for place in worked.places], dtype=np.int64)
    layer_chance = chance[rows]
    scented = np.array([place.cultivar.scent > 0 for place in worked.places], dtype=bool)
    everything = _Colour(worked, np.unique(rows[rows >= 0]))
    scent = _Colour(worked, np.unique(rows[(rows >= 0) & scented]))
    coverage = everything.spread()
    notes = _Notes(yard, worked)
    forecasts = [
        _layer_forecast(
            place,
            answers[place.row] if place.row >= 0 else None,
            chance=layer_chance[i],
            notes=notes,
        )
        for i, place in enumerate(worked.places)
    ]
    pots = _pots(worked, forecasts, scented=scented)
    first_day = as_date(solved.first_day)
    settings = yard.settings

    def stretch(run: Run, layer_ids: tuple[str, ...] = (), note: str = "") -> Stretch:
        return Stretch(
            first=first_day + timedelta(days=run.first),
            last=first_day + timedelta(days=run.last),
            layer_ids=layer_ids,
            note=note,
        )

    crowded = [
        stretch(
            run,
            tuple(
                worked.places[i].layer.id
                for i in range(len(worked.places))
                if (layer_chance[i, run.first : run.last + 1] >= _LIKELY).any()
            ),
        )
        for run in crowded_runs(layer_chance, limit=settings.crowd_limit)
    ]
    return SeasonReport(
        yard_name=yard.name,
        place_label=garden.label,
        station_id=garden.station_id or garden.station_name,
        season_year=yard.season_year,
        first_day=first_day,
        pots=pots,
        coverage=coverage,
        expected_layers=layer_chance.sum(axis=0),
        bare=tuple(stretch(run) for run in bare_runs(coverage, threshold=settings.bare_threshold)),
        crowded=tuple(crowded),
        bare_threshold=settings.bare_threshold,
        crowd_limit=settings.crowd_limit,
        weeks_of_colour=everything.weeks(),
        weeks_of_scent=scent.weeks(),
        bare_days=everything.bare_days(threshold=settings.bare_threshold),
        weather_label=_weather_label(solved, recorded),
        advice=tuple(station_advice(garden)),
    )


def _years_by_warmth(solved: Solved) -> Ints:
    """Weather years from coldest to warmest, by the five months before midspring.

    Both hemispheres' axes begin half a year apart, so the same days mean the same season.
    """
    return years_by_warmth(solved.weather.mean_c, first=_WINTER_FIRST_DAY, last=_WINTER_LAST_DAY)


def _one_year(solved: Solved, rank: int | None) -> Solved:
    """Keep a single weather year of a solved table, by its rank from the coldest.

    Raises UsageError for a rank that no year has.
    """
    if rank is None:
        return solved
    order = _years_by_warmth(solved)
    if not 0 <= rank < len(order):
        raise UsageError(f"weather year {rank} is outside 0 to {len(order) - 1}")
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
    )


def _spread(by_year: Floats, order: Ints) -> Spread:
    return Spread(
        expected=float(by_year.mean()),
        coldest=float(by_year[order[0]]),
        warmest=float(by_year[order[-1]]),
    )


class _Colour:
    """Chance of colour of some rows of the solved table, by weather year and day."""

    def __init__(self, worked: SolvedYard, rows: Ints) -> None:
        solved = worked.solved
        numbers: dict[str, int] = {}
        cultivar = [numbers.setdefault(solved.plantings[r].cultivar.id, len(numbers)) for r in rows]
        self._garden_sd = solved.uncertainty.garden
        self._order = _years_by_warmth(worked.solved)
        self._by_year = yearly_colour(
            solved.days.start[rows],
            end=solved.days.end[rows],
            cultivar=np.array(cultivar, dtype=np.int64),
            cultivar_sd_days=solved.uncertainty.cultivar[rows],
            n_days=worked.n_days,
        )

    def spread(self) -> Floats:
        """Chance by day over all years, the garden's error included."""
        return garden_spread(self._by_year.mean(axis=0), garden_sd_days=self._garden_sd)

    def weeks(self) -> Spread:
        """Weeks of colour expected, in the coldest and in the warmest year."""
        return _spread(self._by_year.sum(axis=1) / 7.0, self._order)

    def bare_days(self, *, threshold: float) -> Spread:
        """Bare days expected, in the coldest and in the warmest year."""

        def count(by_day: Floats) -> float:
            coverage = garden_spread(by_day, garden_sd_days=self._garden_sd)
            return float(sum(run.days for run in bare_runs(coverage, threshold=threshold)))

        return Spread(
            expected=count(self._by_year.mean(axis=0)),
            coldest=count(self._by_year[self._order[0]]),
            warmest=count(self._by_year[self._order[-1]]),
        )


def _pots(
    worked: SolvedYard, forecasts: list[LayerForecast], *, scented: Bools
) -> tuple[PotForecast, ...]:
    """Every pot with its layers in order of first flower and its weeks of colour and scent."""
    solved = worked.solved
    members: dict[str, list[int]] = {pot.id: [] for pot in worked.yard.pots}
    for i, place in enumerate(worked.places):
        members[place.pot.id].append(i)
    deepest = max((len(m) for m in members.values()), default=0)
    table = np.full((len(members), max(deepest, 1)), -1, dtype=np.int64)
    smells = np.zeros(table.shape, dtype=bool)
    for p, layers in enumerate(members.values()):
        table[p, : len(layers)] = [worked.places[i].row for i in layers]
        smells[p, : len(layers)] = scented[layers]

    def weeks(rows: Ints) -> Floats:
        if not len(solved.plantings):
            return np.zeros((len(rows), solved.weather.n_years))
        empty = (rows < 0)[:, :, None]
        return (
            days_in_flower(
                np.where(empty, np.nan, solved.days.start[rows]),
                end=np.where(empty, np.nan, solved.days.end[rows]),
                sd_days=solved.uncertainty.cultivar[rows],
            )
            / 7.0
        )

    order = _years_by_warmth(worked.solved)
    colour, scent = weeks(table), weeks(np.where(smells, table, -1))
    middle = _median_days(solved)
    return tuple(
        PotForecast(
            pot_id=pot.id,
            name=pot.name,
            summary=pot_summary(pot),
            layers=tuple(
                sorted(
                    (forecasts[i] for i in members[pot.id]),
                    key=lambda layer: (
                        layer.start is None,
                        layer.start.p50 if layer.start else date.max,
                    ),
                )
            ),
            weeks_of_colour=_spread(colour[p], order),
            weeks_of_scent=_spread(scent[p], order),
            clashes=_clashes(pot, members[pot.id], worked, middle),
        )
        for p, pot in enumerate(worked.yard.pots)
    )


def _median_days(solved: Solved) -> tuple[Floats, Floats]:
    """Median first and last flower of each row, NaN where it mostly doesn't flower."""
    flowers = solved.flowering_share() >= 0.5
    bands = (solved.bands(solved.days.start).p50, solved.bands(solved.days.end).p50)
    return np.where(flowers, bands[0], np.nan), np.where(flowers, bands[1], np.nan)


def _clashes(
    pot: Pot, members: list[int], worked: SolvedYard, middle: tuple[Floats, Floats]
) -> tuple[Stretch, ...]:
    """Layers of one pot that flower together though meant to follow one another.

    A week's overlap is a good hand-over; more is flowering together.
    """
    if not pot.successive:
        return ()
    start, end = middle
    found = []
    flowering = [i for i in members if worked.places[i].row >= 0]
    for at, a in enumerate(flowering):
        for b in flowering[at + 1 :]:
            rows = (worked.places[a].row, worked.places[b].row)
            first = max(start[rows[0]], start[rows[1]])
            last = min(end[rows[0]], end[rows[1]])
            if last - first > _HANDOVER_DAYS:
                found.append(
                    Stretch(
                        first=worked.solved.date_of(first),
                        last=worked.solved.date_of(last),
                        layer_ids=(worked.places[a].layer.id, worked.places[b].layer.id),
                    )
                )
    return tuple(found)


class _Notes:
    """Advice that many layers share, worded once."""

    def __init__(self, yard: Yard, worked: SolvedYard) -> None:
        self._pets = yard.settings.pets
        self._usual = worked.usual_days
        self._poison: dict[str, list[Advice]] = {}

    def on(self, place: _Place) -> list[Advice]:
        """Advice on a layer beside what its forecast says."""
        cultivar = place.cultivar
        if cultivar.id not in self._poison:
            self._poison[cultivar.id] = poison_advice(cultivar, pets=self._pets)
        planting = planting_advice(
            planted=place.layer.planted,
            usual=self._usual[cultivar.id],
            established=place.established or place.row < 0,
        )
        return planting + self._poison[cultivar.id]


def _layer_forecast(
    place: _Place, outcome: Outcome | None, *, chance: Floats, notes: _Notes
) -> LayerForecast:
    cultivar, layer = place.cultivar, place.layer
    reason = "planted after this season" if outcome is None else outcome.reason
    return LayerForecast(
        layer_id=layer.id,
        pot_id=place.pot.id,
        cultivar_id=cultivar.id,
        name=cultivar.name,
        common_type=cultivar.common_type,
        colour=cultivar.colour,
        colour_hex=cultivar.colour_hex,
        second_colour_hex=cultivar.second_colour_hex,
        height_cm=cultivar.height_cm,
        scent=cultivar.scent,
        count=layer.count,
        planted=layer.planted,
        established=place.established,
        start=outcome.start if outcome else None,
        full=outcome.full if outcome else None,
        end=outcome.end if outcome else None,
        nose=outcome.nose if outcome else None,
        leaves_over=outcome.leaves_over if outcome else None,
        reason=reason,
        cold_weeks=outcome.cold_weeks if outcome else 0.0,
        cold_weeks_needed=outcome.cold_weeks_needed if outcome else None,
        too_little_cold_share=outcome.too_little_cold_share if outcome else 0.0,
        killed_share=outcome.killed_share if outcome else 0.0,
        chance=chance,
        cold_met_on=outcome.cold_met_on if outcome else None,
        date_source=f"{cultivar.date_basis}: {cultivar.date_note}".rstrip(": "),
        advice=(*(outcome.advice if outcome else ()), *notes.on(place)),
    )


def pot_summary(pot: Pot) -> str:
    """A pot in a few words: material, shape and size, where it stands."""
    standing = standing_of(pot)
    size = f"{pot.top_width_cm:.0f}"
    if pot.top_length_cm is not None:
        size += f" × {pot.top_length_cm:.0f}"
    size += f" × {pot.inside_height_cm:.0f} cm"
    material, _, site = standing.shown().partition(" pot ")
    return f"{material}, {pot.shape} {size}, {site.partition(', ')[2]}"


def _weather_label(solved: Solved, recorded: RecordedWeather | None) -> str:
    years = f"{solved.weather.n_years} weather years"
    known = int(solved.weather.known.sum())
    if recorded is None or known == 0:
        return years
    return f"{known} recorded days, then {years}"
