"""Colour and scent of a yard and its pots: chances by day, weeks, clashes within a pot."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import BandDays
from bloomline.engine.season import bare_runs, days_in_flower, garden_spread, yearly_colour
from bloomline.model.yard import Pot
from bloomline.plan.companions import companion_forecast
from bloomline.plan.forecaster import Solved
from bloomline.plan.report import CompanionForecast, LayerForecast, PotForecast, Spread, Stretch
from bloomline.plan.surroundings import standing_of
from bloomline.plan.units import Units
from bloomline.plan.yard_solve import SolvedYard, warmth_order

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_HANDOVER_DAYS = 7.0


def _spread(by_year: Floats, order: Ints) -> Spread:
    return Spread(
        expected=float(by_year.mean()),
        coldest=float(by_year[order[0]]),
        warmest=float(by_year[order[-1]]),
    )


def _spreads(by_year: Floats, order: Ints) -> list[Spread]:
    """One a row. by_year : shape (n, n_years)."""
    figures = (by_year.mean(axis=1), by_year[:, order[0]], by_year[:, order[-1]])
    return [Spread(*row) for row in zip(*(each.tolist() for each in figures), strict=True)]


class YardColour:
    """Chance of colour of some rows of the solved table, by weather year and day."""

    def __init__(self, worked: SolvedYard, rows: Ints) -> None:
        solved = worked.solved
        numbers: dict[str, int] = {}
        cultivar = [numbers.setdefault(solved.plantings[r].cultivar.id, len(numbers)) for r in rows]
        self._garden_sd = solved.uncertainty.garden
        self._order = warmth_order(worked.solved)
        start, end = solved.in_flower()
        self._by_year = yearly_colour(
            start[rows],
            end=end[rows],
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


def pot_forecasts(
    worked: SolvedYard,
    forecasts: list[LayerForecast],
    *,
    scented: Bools,
    bands: Mapping[str, BandDays],
) -> tuple[PotForecast, ...]:
    """Every pot with its layers in order of first flower and its weeks of colour and scent.

    bands : of the solved table (`bands_of`).
    """
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
        # Pots of one planting have one answer, and most have no scent at all.
        different, which = np.unique(rows, axis=0, return_inverse=True)
        empty = (different < 0)[:, :, None]
        start, end = solved.in_flower()
        days = days_in_flower(
            np.where(empty, np.nan, start[different]),
            end=np.where(empty, np.nan, end[different]),
            sd_days=solved.uncertainty.cultivar[different],
        )
        return np.asarray(days[which.reshape(-1)] / 7.0)

    order = warmth_order(worked.solved)
    colour = _spreads(weeks(table), order)
    scent = _spreads(weeks(np.where(smells, table, -1)), order)
    middle = _median_days(solved, bands)
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
            weeks_of_colour=colour[p],
            weeks_of_scent=scent[p],
            clashes=_clashes(pot, members[pot.id], worked, middle),
            companions=_companions(pot, worked),
        )
        for p, pot in enumerate(worked.yard.pots)
    )


def _companions(pot: Pot, worked: SolvedYard) -> tuple[CompanionForecast, ...]:
    found = [
        companion_forecast(
            pot,
            planting,
            solved=worked.solved,
            site_offset_c=worked.yard.site_offsets.get(pot.site, 0.0),
            pets=worked.yard.settings.pets,
        )
        for planting in pot.companions
    ]
    return tuple(sorted(found, key=lambda each: each.first or date.max))


def _median_days(solved: Solved, bands: Mapping[str, BandDays]) -> tuple[Floats, Floats]:
    """Median first and last flower of each row, NaN where it mostly doesn't flower."""
    flowers = solved.flowering_share() >= 0.5
    start, end = bands["start"].p50, bands["end"].p50
    return np.where(flowers, start, np.nan), np.where(flowers, end, np.nan)


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


def pot_summary(pot: Pot, units: Units | None = None) -> str:
    """A pot in a few words: material, shape and size, where it stands; metric without units."""
    units = units or Units()
    standing = standing_of(pot)
    sides = [pot.top_width_cm, pot.top_length_cm, pot.inside_height_cm]
    places = 1 if units.imperial else 0
    numbers = [units.number(units.length_number(n), places) for n in sides if n is not None]
    size = f"{' × '.join(numbers)} {units.length_suffix}"
    material, _, site = standing.shown().partition(" pot ")
    return f"{material}, {pot.shape} {size}, {site.partition(', ')[2]}"
