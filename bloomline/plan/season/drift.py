"""How a season's expected dates moved as its weather came in, and where it stands now."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import curve_on_days, lapse_c
from bloomline.errors import StoppedError
from bloomline.plan.climate.own_weather import until
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.outcomes import outcomes
from bloomline.plan.forecast.report import Band
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import solve_yard
from bloomline.plan.words.days import as_date

Floats = NDArray[np.float64]
Days = NDArray[np.datetime64]

STEP_DAYS = 7


@dataclass(frozen=True, slots=True)
class LayerDrift:
    """When one layer was expected to open, as it looked at each cut-off.

    expected : None where no flower was expected.
    """

    layer_id: str
    pot_id: str
    pot_name: str
    name: str
    colour_hex: str
    expected: tuple[Band | None, ...]

    @property
    def moved_days(self) -> int | None:
        """Days by which the middle date came later from the first cut-off to the last."""
        first, last = self.expected[0], self.expected[-1]
        return None if first is None or last is None else (last.p50 - first.p50).days


@dataclass(frozen=True, slots=True)
class Drift:
    """Expected dates at each cut-off; before the first one no recorded day was known."""

    cutoffs: tuple[date, ...]
    layers: tuple[LayerDrift, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Departure:
    """How far recorded days strayed from the place's normals. [°C]

    days : shape (n,). mean_c, departure_c : daily means and what they are above normal, (n,).
    """

    days: Days
    mean_c: Floats
    departure_c: Floats

    @property
    def last_day(self) -> date:
        """The last recorded day."""
        return as_date(self.days[-1])

    def over(self, n_days: int) -> float:
        """Mean departure over the calendar days up to the last one."""
        recent = self.days > self.days[-1] - n_days
        return float(self.departure_c[recent].mean())


@dataclass(frozen=True, slots=True)
class SoFar:
    """What a layer has had by the last recorded day.

    cold_weeks : since planting, with pre-chilling; cold_weeks_needed : for a good flower, None
    where it needs no cold. heat_share : of the heat until first flower, 0 to 1; None for kinds
    that open as the year cools.
    """

    layer_id: str
    cold_weeks: float
    cold_weeks_needed: float | None
    heat_share: float | None


def cutoffs_of(outlook: Outlook) -> tuple[date, ...]:
    """The day before the season's first recorded day, then every week, then the last day.

    Empty when no recorded day falls in the season's first year.
    """
    recorded = outlook.recorded
    if recorded is None:
        return ()
    begin = yard_axis_start(outlook.yard.season_year, garden=outlook.garden)
    inside = (recorded.days >= begin) & (recorded.days < begin + 366)
    if not inside.any():
        return ()
    days = recorded.days[inside]
    first, last = as_date(days[0]), as_date(days[-1])
    found = [first - timedelta(days=1)]
    while found[-1] + timedelta(days=STEP_DAYS) < last:
        found.append(found[-1] + timedelta(days=STEP_DAYS))
    return (*found, last)


def drift(
    outlook: Outlook,
    *,
    progress: Callable[[float], None] | None = None,
    is_stopped: Callable[[], bool] | None = None,
) -> Drift:
    """Work the season out as it looked at each cut-off: earlier days facts, later ones not.

    progress : told the share done, 0 to 1. Raises StoppedError when `is_stopped` says so.
    """
    # Its many weathers don't push out those of the season shown.
    usual = outlook.usual.with_(forecaster=outlook.forecaster.aside())
    recorded = usual.recorded
    cutoffs = cutoffs_of(usual)
    bands: dict[str, list[Band | None]] = {}
    for i, cutoff in enumerate(cutoffs):
        if is_stopped is not None and is_stopped():
            raise StoppedError("stopped")
        assert recorded is not None
        worked = solve_yard(usual.with_(recorded=until(recorded, cutoff), today=cutoff))
        answers = outcomes(worked.solved)
        for place in worked.places:
            start = answers[place.row].start if place.row >= 0 else None
            bands.setdefault(place.layer.id, []).append(start)
        usual.forecaster.forget()
        if progress is not None:
            progress((i + 1) / len(cutoffs))
    layers = []
    for pot, layer in outlook.yard.layers() if cutoffs else ():
        cultivar = outlook.cultivar_of(layer.cultivar_id)
        layers.append(
            LayerDrift(
                layer_id=layer.id,
                pot_id=pot.id,
                pot_name=pot.name,
                name=cultivar.name,
                colour_hex=cultivar.colour_hex,
                expected=tuple(bands[layer.id]),
            )
        )
    return Drift(cutoffs, tuple(layers))


def departure(outlook: Outlook) -> Departure | None:
    """Recorded daily means against the normals of the place, at its height; None without days."""
    garden, recorded = outlook.garden, outlook.recorded
    if recorded is None:
        return None
    normals = np.stack([np.array(garden.tmin_c), np.array(garden.tmax_c)])
    usual = curve_on_days(normals, recorded.days).mean(axis=0) + float(lapse_c(garden.rise_m))
    mean = 0.5 * (recorded.tmin_c + recorded.tmax_c)
    return Departure(days=recorded.days, mean_c=mean, departure_c=mean - usual)


def so_far(outlook: Outlook) -> tuple[SoFar, ...]:
    """Cold and heat that each layer has had by the last recorded day of the season.

    Days before that which no one recorded are taken from the weather years' median. Layers
    planted after the season, or after the last recorded day, have had nothing.
    """
    worked = solve_yard(outlook.usual)
    solved = worked.solved
    if not solved.plantings:
        return ()
    known = np.flatnonzero(solved.weather.known)
    day = int(known[-1]) + 1 if len(known) else 0
    gathered = outlook.forecaster.gathered(solved, day=day, recorded=outlook.recorded)
    return tuple(
        SoFar(
            layer_id=place.layer.id,
            cold_weeks=round(float(gathered.cold_weeks[place.row]), 1),
            cold_weeks_needed=(
                place.cultivar.chill_weeks_min
                if solved.needs[place.row].full_rate_weeks > 0.0
                else None
            ),
            heat_share=_share(float(gathered.heat_share[place.row])),
        )
        if place.row >= 0
        else SoFar(place.layer.id, 0.0, None, 0.0)
        for place in worked.places
    )


def _share(value: float) -> float | None:
    return None if math.isnan(value) else round(value, 3)
