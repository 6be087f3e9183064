"""A whole yard's season: every layer's windows, bare and crowded stretches, weeks of colour."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import in_flower_chance
from bloomline.engine.season import (
    Run,
    bare_runs,
    crowded_runs,
    garden_spread,
    runs_where,
    weeks_of,
    yearly_colour,
    years_by_warmth,
)
from bloomline.model.advice import Advice
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.advice import planting_advice, poison_advice, station_advice
from bloomline.plan.forecast import Outcome, outcomes
from bloomline.plan.forecaster import Forecaster, Planting, Solved, merge
from bloomline.plan.garden import Garden, garden_of
from bloomline.plan.planting_day import usual_planting_day
from bloomline.plan.report import (
    LayerForecast,
    PotForecast,
    SeasonReport,
    Spread,
    Stretch,
)
from bloomline.plan.surroundings import standing_of
from bloomline.plan.weather import RecordedWeather, yard_axis_start
from bloomline.reference.catalogue import Catalogue

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_LIKELY = 0.5


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
        return self.solved.weather.tmin_c.shape[1]


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
) -> SolvedYard:
    """Work out every layer of a yard in every weather year.

    garden : in place of the yard's own, to look at it in another climate.
    Raises UnknownNameError for a cultivar that no catalogue holds.
    """
    here = garden or garden_of(yard.place)
    first_day = yard_axis_start(yard.season_year, garden=here)
    start: date = first_day.item()
    usual: dict[str, date] = {}
    cultivars: dict[str, Cultivar] = {}
    plantings: list[Planting] = []
    rows: list[int] = []
    found: list[tuple[Pot, Layer, Cultivar, bool]] = []
    for pot in yard.pots:
        standing = standing_of(pot, site_offset_c=yard.site_offsets.get(pot.site, 0.0))
        for layer in pot.layers:
            cultivar = cultivars.get(layer.cultivar_id)
            if cultivar is None:
                cultivar = find_cultivar(yard, layer.cultivar_id, catalogue=catalogue)
                cultivars[layer.cultivar_id] = cultivar
                usual[cultivar.id] = usual_planting_day(cultivar, garden=here, first_day=first_day)
            established = layer.planted < start
            found.append((pot, layer, cultivar, established))
            if (layer.planted - start).days > 640:
                rows.append(-1)
                continue
            rows.append(len(plantings))
            plantings.append(
                Planting(
                    cultivar=cultivar,
                    rooted=usual[cultivar.id] if established else layer.planted,
                    standing=standing,
                    prechill_weeks=0.0 if established else layer.prechill_weeks,
                    established=established,
                )
            )
    unique, index = merge(plantings)
    solved = forecaster.solve(unique, garden=here, first_day=first_day, recorded=recorded)
    return SolvedYard(
        yard=yard,
        garden=here,
        solved=_within_season(solved, yard.season_year),
        places=tuple(
            _Place(pot, layer, cultivar, established, int(index[row]) if row >= 0 else -1)
            for (pot, layer, cultivar, established), row in zip(found, rows, strict=True)
        ),
        usual_days=usual,
    )


def _within_season(solved: Solved, season_year: int) -> Solved:
    """Leave out flowers of the season after the one that is shown."""
    last = np.datetime64(f"{season_year:04d}-12-31", "D")
    if solved.garden.is_southern:
        last = np.datetime64(f"{season_year + 1:04d}-06-30", "D")
    limit = float((last - solved.first_day).astype(np.int64)) + 1.0
    beyond = solved.days.start >= limit
    if not beyond.any():
        return solved
    days = solved.days
    cut = {
        name: np.where(beyond, np.nan, getattr(days, name))
        for name in ("nose", "start", "full", "end", "leaves_over")
    }
    from dataclasses import replace

    return replace(solved, days=replace(days, **cut), too_late=solved.too_late | beyond)


def season_report(
    yard: Yard,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None = None,
    garden: Garden | None = None,
) -> SeasonReport:
    """The season of a yard, as every view, export and command shows it."""
    worked = solve_yard(
        yard, catalogue=catalogue, forecaster=forecaster, recorded=recorded, garden=garden
    )
    return report_of(worked, recorded=recorded)


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
    rows = np.array([place.row for place in worked.places], dtype=np.int64)
    layer_chance = chance[rows] if len(rows) else np.zeros((0, n_days))
    layer_chance[rows < 0] = 0.0
    colour = _Colour(worked)
    everything = np.flatnonzero(rows >= 0)
    coverage = colour.spread(everything)
    order = colour.years_by_warmth()
    by_pot: dict[str, list[int]] = {pot.id: [] for pot in yard.pots}
    for i, place in enumerate(worked.places):
        by_pot[place.pot.id].append(i)
    forecasts = [
        _layer_forecast(
            place,
            answers[place.row] if place.row >= 0 else None,
            chance=layer_chance[i],
            yard=yard,
            usual=worked.usual_days[place.cultivar.id],
        )
        for i, place in enumerate(worked.places)
    ]
    pots = []
    for pot in yard.pots:
        members = np.array(by_pot[pot.id], dtype=np.int64)
        layers = sorted(
            (forecasts[i] for i in members),
            key=lambda layer: (layer.start is None, layer.start.p50 if layer.start else date.max),
        )
        pots.append(
            PotForecast(
                pot_id=pot.id,
                name=pot.name,
                summary=pot_summary(pot),
                layers=tuple(layers),
                weeks_of_colour=colour.weeks(members, order=order),
                weeks_of_scent=colour.weeks(
                    members[[worked.places[i].cultivar.scent > 0 for i in members]]
                    if len(members)
                    else members,
                    order=order,
                ),
                clashes=_clashes(pot, members, worked, layer_chance),
            )
        )
    first_day: date = solved.first_day.item()
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
    scented = np.array(
        [i for i in everything if worked.places[i].cultivar.scent > 0], dtype=np.int64
    )
    return SeasonReport(
        yard_name=yard.name,
        place_label=garden.label,
        station_id=garden.station_id or garden.station_name,
        season_year=yard.season_year,
        first_day=first_day,
        pots=tuple(pots),
        coverage=coverage,
        expected_layers=layer_chance.sum(axis=0),
        bare=tuple(stretch(run) for run in bare_runs(coverage, threshold=settings.bare_threshold)),
        crowded=tuple(crowded),
        bare_threshold=settings.bare_threshold,
        crowd_limit=settings.crowd_limit,
        weeks_of_colour=colour.weeks(everything, order=order),
        weeks_of_scent=colour.weeks(scented, order=order),
        bare_days=colour.bare_days(everything, order=order, threshold=settings.bare_threshold),
        weather_label=_weather_label(solved, recorded),
        advice=tuple(station_advice(garden)),
    )


class _Colour:
    """Chances of colour by year for groups of layers, worked out as they are asked for."""

    def __init__(self, worked: SolvedYard) -> None:
        self._worked = worked
        solved = worked.solved
        self._start, self._end = solved.days.start, solved.days.end
        numbers: dict[str, int] = {}
        self._cultivar = np.array(
            [numbers.setdefault(p.cultivar.id, len(numbers)) for p in solved.plantings],
            dtype=np.int64,
        )

    def by_year(self, members: Ints) -> Floats:
        """Chance by weather year and day, without the garden's own error."""
        worked = self._worked
        rows = np.unique([worked.places[i].row for i in members if worked.places[i].row >= 0])
        rows = rows.astype(np.int64)
        return yearly_colour(
            self._start[rows],
            end=self._end[rows],
            cultivar=self._cultivar[rows],
            cultivar_sd_days=worked.solved.uncertainty.cultivar[rows],
            n_days=worked.n_days,
        )

    def spread(self, members: Ints) -> Floats:
        """Chance by day over all years, the garden's error included."""
        return garden_spread(
            self.by_year(members).mean(axis=0),
            garden_sd_days=self._worked.solved.uncertainty.garden,
        )

    def years_by_warmth(self) -> Ints:
        """Weather years from coldest to warmest, by the five months before midspring."""
        southern = self._worked.garden.is_southern
        del southern  # both axes begin half a year apart, so the months fall alike
        return years_by_warmth(self._worked.solved.weather.mean_c, first=183, last=335)

    def weeks(self, members: Ints, *, order: Ints) -> Spread:
        """Weeks of colour expected, in the coldest and in the warmest year."""
        by_year = self.by_year(members)
        return Spread(
            expected=weeks_of(by_year.mean(axis=0)),
            coldest=weeks_of(by_year[order[0]]),
            warmest=weeks_of(by_year[order[-1]]),
        )

    def bare_days(self, members: Ints, *, order: Ints, threshold: float) -> Spread:
        """Bare days expected, in the coldest and in the warmest year."""
        by_year = self.by_year(members)
        sd = self._worked.solved.uncertainty.garden

        def count(coverage: Floats) -> float:
            spread = garden_spread(coverage, garden_sd_days=sd)
            return float(sum(run.days for run in bare_runs(spread, threshold=threshold)))

        return Spread(
            expected=count(by_year.mean(axis=0)),
            coldest=count(by_year[order[0]]),
            warmest=count(by_year[order[-1]]),
        )


def _clashes(pot: Pot, members: Ints, worked: SolvedYard, chance: Floats) -> tuple[Stretch, ...]:
    """Layers of one pot that flower together though meant to follow one another."""
    if not pot.successive or len(members) < 2:
        return ()
    first_day: date = worked.solved.first_day.item()
    found = []
    for a_at, a in enumerate(members):
        for b in members[a_at + 1 :]:
            both = (chance[a] >= _LIKELY) & (chance[b] >= _LIKELY)
            for run in runs_where(both):
                # A week's overlap is a good hand-over; more is flowering together.
                if run.days > 7:
                    found.append(
                        Stretch(
                            first=first_day + timedelta(days=run.first),
                            last=first_day + timedelta(days=run.last),
                            layer_ids=(worked.places[a].layer.id, worked.places[b].layer.id),
                        )
                    )
    return tuple(found)


def _layer_forecast(
    place: _Place, outcome: Outcome | None, *, chance: Floats, yard: Yard, usual: date
) -> LayerForecast:
    cultivar, layer = place.cultivar, place.layer
    advice: list[Advice] = list(outcome.advice) if outcome else []
    advice += planting_advice(
        planted=layer.planted, usual=usual, established=place.established or outcome is None
    )
    advice += poison_advice(cultivar, pets=yard.settings.pets)
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
        advice=tuple(advice),
    )


def pot_summary(pot: Pot) -> str:
    """A pot in a few words: material, shape and size, where it stands."""
    standing = standing_of(pot)
    size = f"{pot.top_width_cm:.0f}"
    if pot.top_length_cm is not None:
        size += f" × {pot.top_length_cm:.0f}"
    size += f" × {pot.inside_height_cm:.0f} cm"
    material, _, site = standing.shown().partition(" pot ")
    return f"{material} {pot.shape} {size}, {site.partition(', ')[2]}"


def _weather_label(solved: Solved, recorded: RecordedWeather | None) -> str:
    years = f"{solved.weather.n_years} weather years"
    known = int(solved.weather.known.sum())
    if recorded is None or known == 0:
        return years
    return f"{known} recorded days, then {years}"
