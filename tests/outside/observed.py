"""Published flowering dates against forecasts: errors, baselines, groups.

Used by the tests beside it and by `tests/benchmarks/accuracy.py`, which prints the tables of
DEVELOPERS.md. The sightings and their sources are in shared/observations/.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import curve_on_days, season_start
from bloomline.model.cultivar import Cultivar
from bloomline.plan.calendar import as_date, as_day
from bloomline.plan.forecast import Request, forecast
from bloomline.plan.forecaster import Forecaster
from bloomline.plan.garden import Garden, garden_at
from bloomline.plan.reference_garden import reference_garden
from bloomline.plan.surroundings import Standing
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.observations import Observation, load_observations

_STAGES = {"first_flower": "start", "full_bloom": "full", "peak": "full"}


@dataclass(frozen=True, slots=True)
class Outcome:
    """A forecast beside what was seen. `error_days` is positive when the forecast is later."""

    seen: Observation
    error_days: int
    inside: bool
    reference_date_error: int
    degree_day_error: int

    @property
    def group(self) -> str:
        """Which plants it belongs to."""
        if "Madame Lefeber" in self.seen.cultivar:
            return "Tulipa 'Madame Lefeber'"
        if self.seen.common_type in ("tulip", "daffodil", "narcissus"):
            return f"other {self.seen.taxon.split()[0]}"
        return "small bulbs"


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


def outcome(seen: Observation, *, forecaster: Forecaster) -> Outcome | None:
    """One forecast beside one sighting; None where no flower is forecast."""
    cultivar = load_catalogue().find(seen.cultivar)
    year = _year(seen)
    assert year is not None
    observed = seen.seen_on.in_year(year)
    garden = garden_at(
        seen.latitude_deg, longitude_deg=seen.longitude_deg, elevation_m=seen.elevation_m
    )
    answer = forecast(
        Request(
            id=seen.id,
            garden=garden,
            cultivar=cultivar,
            standing=Standing(where="ground"),
            established=seen.established == "yes",
        ),
        forecaster=forecaster,
        # A day well before the sighting, in the season that holds it.
        today=as_date(season_start(as_day(observed), latitude_deg=seen.latitude_deg) + 150),
    )
    band = getattr(answer, _STAGES[seen.stage])
    if band is None:
        return None
    stage_shift = (
        (band.p50 - answer.start.p50).days if seen.stage != "first_flower" and answer.start else 0
    )
    plain = cultivar.ref_start.in_year(year)
    return Outcome(
        seen=seen,
        error_days=(band.p50 - observed).days,
        inside=band.p10 <= observed <= band.p90,
        reference_date_error=(plain - observed).days + stage_shift,
        degree_day_error=(_degree_day_date(cultivar, garden, year) - observed).days + stage_shift,
    )


def outcomes(*, forecaster: Forecaster, only: Sequence[Observation] | None = None) -> list[Outcome]:
    """All scored sightings."""
    chosen = [seen for seen in (only or load_observations()) if usable(seen)]
    found = (outcome(seen, forecaster=forecaster) for seen in chosen)
    return [each for each in found if each is not None]


def new_red_emperors() -> list[Observation]:
    """The best set: Tulipa 'Madame Lefeber', planted anew each autumn under one protocol."""
    return [
        seen
        for seen in load_observations()
        if usable(seen) and "Madame Lefeber" in seen.cultivar and seen.established != "yes"
    ]
