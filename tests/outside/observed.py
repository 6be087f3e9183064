"""Published flowering dates and usual seasons against forecasts: errors, baselines, groups.

Used by the tests beside it and by `tests/benchmarks/accuracy.py`, which prints the tables of
DEVELOPERS.md. The sightings and their sources are in shared/observations/.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import spread_days
from bloomline.engine.climate import curve_on_days, season_start
from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.plan.climate.garden import Garden, garden_at
from bloomline.plan.climate.reference_garden import reference_garden
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.one_planting import Forecast, Request, forecast
from bloomline.plan.forecast.solved import Solved
from bloomline.plan.words.days import as_date, as_day
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.observations import (
    Observation,
    UsualSeason,
    load_observations,
    load_usual_seasons,
)

RED_EMPEROR = "Tulipa 'Madame Lefeber'"
EARLY_SMALL = frozenset(
    ("Crocus", "Eranthis", "Galanthus", "Scilla", "Chionodoxa", "Iris", "Leucojum", "Cyclamen")
)
_STAGES = {"first_flower": "start", "full_bloom": "full", "peak": "full"}
_YEAR = 2024
"""The season in which usual seasons are asked for; the weather years are the same in all."""


def group_of(cultivar: Cultivar) -> str:
    """Which plants a cultivar belongs to in the tables of errors."""
    if cultivar.flowers_in == "autumn" or cultivar.season_planted == "summer":
        return "autumn kinds"
    if "Madame Lefeber" in cultivar.name:
        return RED_EMPEROR
    if cultivar.genus == "Tulipa":
        return "other tulips"
    if cultivar.genus == "Narcissus":
        return "narcissi"
    if cultivar.genus in EARLY_SMALL and cultivar.ref_start.month <= 3:
        return "early small bulbs"
    return "other spring kinds" if cultivar.ref_start.month <= 5 else "summer kinds"


@dataclass(frozen=True, slots=True)
class Outcome:
    """A forecast beside what was seen. `error_days` is positive when the forecast is later.

    crps_days : continuous ranked probability score of the whole forecast, in days; 0 is
    perfect, and for a forecast of one day alone it is the absolute error.
    """

    seen: Observation
    group: str
    error_days: int
    inside: bool
    crps_days: float
    reference_date_error: int
    degree_day_error: int


@dataclass(frozen=True, slots=True)
class SeasonOutcome:
    """A forecast beside a usual season.

    outside_days : days by which the median start misses the window, negative before it, 0
    inside; None where no flower is forecast. london_outside_days : the same of the London date.
    band : 10 to 90 % of the starts.
    """

    season: UsualSeason
    group: str
    outside_days: int | None
    london_outside_days: int
    window: tuple[date, date]
    band: tuple[date, date, date] | None


@dataclass(frozen=True, slots=True)
class Error:
    """One error that a fit may weigh: of a sighting, or of a usual season (0 inside it)."""

    id: str
    table: str
    group: str
    aside: str
    error_days: int


class _Watched(Forecaster):
    """Shares all that another forecaster keeps, and remembers what it solved last."""

    def __init__(self, inner: Forecaster) -> None:
        vars(self).update(vars(inner))
        self.last: Solved | None = None

    def solve(self, *args: object, **options: object) -> Solved:
        self.last = super().solve(*args, **options)  # type: ignore[arg-type]
        return self.last


def _year(seen: Observation) -> int | None:
    if seen.single_year is not None:
        return seen.single_year
    parts = seen.year.split("-")
    if len(parts) == 2 and all(part.isdigit() for part in parts):
        return (int(parts[0]) + int(parts[1])) // 2
    return None


def usable(seen: Observation) -> bool:
    """Whether a sighting can be scored: quality A, a dated stage, a named kind, not pre-chilled.

    Moscow's rows come from a warm wall (see the data's README): plausibility only.
    """
    return (
        seen.quality == "A"
        and seen.stage in _STAGES
        and bool(seen.cultivar)
        and seen.prechilled != "likely"
        and not seen.place.startswith("Moscow")
        and _year(seen) is not None
    )


def _degree_day_date(cultivar: Cultivar, garden: Garden, year: int, base_c: float = 0.0) -> date:
    """When plain degree days from 1 January reach their sum at the reference date. [baseline]"""

    def sums(place: Garden, of_year: int) -> tuple[NDArray[np.datetime64], NDArray[np.float64]]:
        first = as_day(date(of_year, 7 if place.is_southern else 1, 1))
        days = first + np.arange(364)
        middle = (np.array(place.tmin_c) + np.array(place.tmax_c)) / 2
        mean = curve_on_days(middle, days) - 0.0065 * place.rise_m
        return days, np.cumsum(np.maximum(mean - base_c, 0.0))

    days, there = sums(reference_garden(), 2010)
    at = int((as_day(cultivar.ref_start.in_year(2010)) - days[0]).astype(int))
    own_days, here = sums(garden, year)
    index = int(np.searchsorted(here, there[max(at, 0)]))
    return as_date(own_days[min(index, len(own_days) - 1)])


def crps(sample: NDArray[np.float64], seen: float) -> float:
    """Continuous ranked probability score of a sample of equally likely values.

    Mean distance from what was seen less half the mean distance between two draws (Gneiting &
    Raftery 2007, Journal of the American Statistical Association 102, eq. 21).
    """
    ordered = np.sort(sample)
    n = len(ordered)
    # Sum over pairs from ranks: each value counts as often as it is the larger, less the smaller.
    between = 2.0 * np.sum((2.0 * np.arange(n) - n + 1.0) * ordered) / n**2
    return float(np.abs(ordered - seen).mean() - 0.5 * between)


def _in_season(days: int) -> int:
    """Days between two dates without the year, the shorter way round."""
    return (days + 182) % 365 - 182


def _crps(solved: Solved, stage: str, observed: date) -> float:
    starts = spread_days(getattr(solved.days, stage), sd_days=solved.uncertainty.together)[0]
    # A flower seen on a day is seen about its noon.
    seen = (observed.toordinal() - solved.first_ordinal) + 0.5
    return crps(starts[np.isfinite(starts)], seen)


def _ask(request: Request, *, forecaster: Forecaster, today: date) -> tuple[Forecast, Solved]:
    watched = _Watched(forecaster)
    answer = forecast(request, forecaster=watched, today=today)
    assert watched.last is not None
    return answer, watched.last


def outcome(seen: Observation, *, forecaster: Forecaster) -> Outcome | None:
    """One forecast beside one sighting; None where no flower is forecast."""
    cultivar = load_catalogue().find(seen.cultivar)
    year = _year(seen)
    assert year is not None
    observed = seen.seen_on.in_year(year)
    garden = garden_at(
        seen.latitude_deg, longitude_deg=seen.longitude_deg, elevation_m=seen.elevation_m
    )
    planted = None
    if seen.planted_on is not None:
        planted = seen.planted_on.in_year(year)
        planted = planted if planted < observed else seen.planted_on.in_year(year - 1)
    answer, solved = _ask(
        Request(
            id=seen.id,
            garden=garden,
            cultivar=cultivar,
            planted=planted,
            standing=Standing(where="pot" if seen.where == "pot" else "ground"),
            established=seen.established == "yes",
        ),
        forecaster=forecaster,
        # A day well before the sighting, in the season that holds it: in the far north that
        # season's flowers open when the next one has begun by the calendar.
        today=as_date(season_start(as_day(observed) - 75, latitude_deg=seen.latitude_deg) + 150),
    )
    stage = _STAGES[seen.stage]
    band = getattr(answer, stage)
    if band is None:
        return None
    stage_shift = (
        (band.p50 - answer.start.p50).days if seen.stage != "first_flower" and answer.start else 0
    )
    plain = cultivar.ref_start.in_year(year)
    if garden.is_southern:
        plain += timedelta(days=182)
    by_degrees = _degree_day_date(cultivar, garden, year)
    return Outcome(
        seen=seen,
        group=group_of(cultivar),
        error_days=(band.p50 - observed).days,
        inside=band.p10 <= observed <= band.p90,
        crps_days=_crps(solved, stage, observed),
        reference_date_error=_in_season((plain - observed).days + stage_shift),
        degree_day_error=_in_season((by_degrees - observed).days + stage_shift),
    )


def outcomes(*, forecaster: Forecaster, only: Sequence[Observation] | None = None) -> list[Outcome]:
    """All scored sightings."""
    chosen = [seen for seen in (only or load_observations()) if usable(seen)]
    found = (outcome(seen, forecaster=forecaster) for seen in chosen)
    return [each for each in found if each is not None]


def _first_after(day: MonthDay, after: date) -> date:
    here = day.in_year(after.year)
    return here if here > after else day.in_year(after.year + 1)


def _outside(day: date, window: tuple[date, date]) -> int:
    first, last = window
    return min((day - first).days, 0) + max((day - last).days, 0)


def season_outcome(season: UsualSeason, *, forecaster: Forecaster) -> SeasonOutcome:
    """One forecast beside one usual season."""
    cultivar = load_catalogue().find(season.kind)
    planted = season.planted_on.in_year(_YEAR)
    first = _first_after(season.opens_from, planted)
    window = (first, _first_after(season.opens_to, first))
    garden = garden_at(
        season.latitude_deg, longitude_deg=season.longitude_deg, elevation_m=season.elevation_m
    )
    answer, _ = _ask(
        Request(
            id=season.id,
            garden=garden,
            cultivar=cultivar,
            planted=None if season.established else planted,
            standing=Standing(where="ground"),
            established=season.established,
        ),
        forecaster=forecaster,
        today=first - timedelta(days=45) if season.established else planted,
    )
    band = answer.start
    london = cultivar.ref_start.in_year(first.year)
    if garden.is_southern:
        london += timedelta(days=182)
    around = [london + timedelta(days=k) for k in (-365, 0, 365)]
    return SeasonOutcome(
        season=season,
        group=group_of(cultivar),
        outside_days=None if band is None else _outside(band.p50, window),
        london_outside_days=min((_outside(day, window) for day in around), key=abs),
        window=window,
        band=None if band is None else (band.p10, band.p50, band.p90),
    )


def season_outcomes(
    *, forecaster: Forecaster, only: Sequence[UsualSeason] | None = None
) -> list[SeasonOutcome]:
    """All usual seasons, each beside its forecast."""
    return [
        season_outcome(each, forecaster=forecaster)
        for each in (load_usual_seasons() if only is None else only)
    ]


NO_FLOWER_DAYS = 60
"""What a fit takes for the error where no flower is forecast though one usually comes."""


def errors(forecaster: Forecaster, *, aside: str | None = None) -> list[Error]:
    """Errors of all sightings and usual seasons, or of those of one side ("fit", "held_out").

    What a fit calls with `Forecaster(growth_law=...)`; takes a few seconds for a law.
    """
    sightings = [s for s in load_observations() if usable(s) and aside in (None, s.aside)]
    seasons = [s for s in load_usual_seasons() if aside in (None, s.aside)]
    by_id = {each.seen.id: each for each in outcomes(forecaster=forecaster, only=sightings)}
    catalogue = load_catalogue()
    rows = [
        Error(
            id=seen.id,
            table="sighting",
            group=group_of(catalogue.find(seen.cultivar)),
            aside=seen.aside,
            error_days=by_id[seen.id].error_days if seen.id in by_id else NO_FLOWER_DAYS,
        )
        for seen in sightings
    ]
    for each in season_outcomes(forecaster=forecaster, only=seasons):
        missed = each.outside_days
        rows.append(
            Error(
                id=each.season.id,
                table="usual season",
                group=each.group,
                aside=each.season.aside,
                error_days=NO_FLOWER_DAYS if missed is None else missed,
            )
        )
    return rows


def new_red_emperors() -> list[Observation]:
    """The best set: Tulipa 'Madame Lefeber', planted anew each autumn under one protocol."""
    return [
        seen
        for seen in load_observations()
        if usable(seen) and "Madame Lefeber" in seen.cultivar and seen.established != "yes"
    ]
