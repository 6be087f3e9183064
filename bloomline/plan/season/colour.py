"""Colour and scent of a yard: chances by day and weeks; and a pot in a few words."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.in_flower import InFlower
from bloomline.engine.season import (
    Run,
    YearlySeason,
    bare_days,
    garden_spread,
    range_of_years,
    usual_season,
)
from bloomline.model.yard import Pot
from bloomline.plan.climate.surroundings import standing_of
from bloomline.plan.forecast.mixed import within_whole
from bloomline.plan.forecast.report import Spread
from bloomline.plan.forecast.solved import Solved
from bloomline.plan.season.solve import SolvedYard, warmth_order
from bloomline.plan.words.shapes import shape_words
from bloomline.plan.words.units import Units
from bloomline.reference.rules import load_rules
from bloomline.reference.sites import load_sites
from bloomline.words import tr

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

HANDOVER_DAYS = 7.0
"""Layers of one pot that follow one another may flower together for so long."""


def _spread(by_year: Floats, order: Ints) -> Spread:
    return spreads_of(by_year[None, :], order)[0]


def spreads_of(by_year: Floats, order: Ints) -> list[Spread]:
    """One a row. by_year : shape (n, n_years)."""
    p10, p90 = range_of_years(by_year)
    figures = (by_year.mean(axis=1), p10, p90, by_year[:, order[0]], by_year[:, order[-1]])
    return [Spread(*row) for row in zip(*(each.tolist() for each in figures), strict=True)]


def _cultivar_numbers(solved: Solved) -> Ints:
    """The same number for rows of one cultivar."""
    numbers: dict[str, int] = {}
    ids = (planting.cultivar.id for planting in solved.plantings)
    return np.array([numbers.setdefault(each, len(numbers)) for each in ids], dtype=np.int64)


def in_flower(solved: Solved) -> InFlower:
    """Days in flower of every row of a solved table, for all that is asked of it.

    A mixture is in flower while any of its parts is, so that a gap between them stays bare.
    """
    start, end = (each.copy() for each in solved.in_flower())
    numbers, sd = _cultivar_numbers(solved), solved.uncertainty.cultivar
    starts, ends, numbered, sds = [start], [end], [numbers], [sd]
    part_of: list[int] = []
    for mixed in solved.mixed:
        days = within_whole(solved, mixed)
        start[mixed.row] = end[mixed.row] = np.nan
        starts.append(days["start"])
        ends.append(days["end"])
        sds.append(mixed.sd_days)
        numbered.append(np.full(len(mixed.kinds), numbers[mixed.row]))
        part_of += [mixed.row] * len(mixed.kinds)
    return InFlower(
        np.concatenate(starts),
        end=np.concatenate(ends),
        cultivar=np.concatenate(numbered),
        cultivar_sd_days=np.concatenate(sds),
        n_days=int(solved.weather.tmin_c.shape[1]),
        part_of=np.array(part_of, dtype=np.int64),
    )


class YardColour:
    """Colour of some layers of a yard, by weather year and day."""

    def __init__(self, worked: SolvedYard, layers: Ints, *, flowers: InFlower) -> None:
        """Read a solved table.

        layers : shape (n_rows,), how many layers each row answers, one in a bench of equal pots
        counted in each; they flower together, so only a crowd counts them. flowers : of the
        solved table (`in_flower`).
        """
        self._worked = worked
        self._rows = np.flatnonzero(layers)
        self._layers = layers[self._rows]
        self._garden_sd = worked.solved.uncertainty.garden
        self._order = warmth_order(worked.solved)
        self._yearly = YearlySeason(flowers, self._rows, layers=self._layers)
        self._by_year = self._yearly.colour()

    def spread(self) -> Floats:
        """Chance of colour by day over all years, the garden's error included."""
        return self._over_years(self._by_year)

    def weeks(self) -> Spread:
        """Weeks of colour."""
        return _spread(self._by_year.sum(axis=1) / 7.0, self._order)

    def days(self, first: int, last: int) -> Spread:
        """Days in colour from one day of the axis to another, both counted."""
        return _spread(self._stretch(first, last).sum(axis=1), self._order)

    def by_day(self, first: int, last: int) -> Floats:
        """Share of the years in colour on each of these days, the garden's error left out."""
        return np.asarray(self._stretch(first, last).mean(axis=0))

    def _stretch(self, first: int, last: int) -> Floats:
        return self._by_year[:, max(first, 0) : max(last + 1, 0)]

    def bare(self) -> tuple[Spread, Run | None]:
        """Bare days, and the usual season from first to last flower."""
        begun, goes_on = self._yearly.begun(), self._yearly.goes_on()
        found = bare_days(
            self._by_year,
            begun=begun,
            goes_on=goes_on,
            garden_sd_days=self._garden_sd,
            season=None if begun[:, -1].any() else self._season_of_all_years(),
        )
        return _spread(found.by_year, self._order), found.season

    def crowded(self, *, limit: int) -> tuple[Spread, Floats]:
        """Days with more layers in flower than the limit, and the chance of such a crowd by day."""
        crowd = self._yearly.crowd(limit=limit)
        return _spread(crowd.sum(axis=1), self._order), self._over_years(crowd)

    def _season_of_all_years(self) -> Run | None:
        """The usual season where the only year that is shown has no flower."""
        everything = self._worked.every_year
        if everything is None:
            return None
        yearly = YearlySeason(in_flower(everything), self._rows, layers=self._layers)
        return usual_season(
            yearly.begun(), goes_on=yearly.goes_on(), garden_sd_days=self._garden_sd
        )

    def _over_years(self, by_year: Floats) -> Floats:
        return garden_spread(by_year.mean(axis=0), garden_sd_days=self._garden_sd)


def pot_summary(pot: Pot, units: Units | None = None) -> str:
    """A pot in a few words: material, shape and size, where it stands; metric without units."""
    units = units or Units()
    standing = standing_of(pot)
    sides = [pot.top_width_cm, pot.top_length_cm, pot.inside_height_cm]
    places = 1 if units.imperial else 0
    numbers = [units.number(units.length_number(n), places) for n in sides if n is not None]
    size = f"{' × '.join(numbers)} {units.length_suffix}"
    material = tr(load_rules().material(standing.material).label)
    site = tr(load_sites()[standing.site].label)
    shape = shape_words(pot.shape)
    return f"{material}, {shape} {size}, {site}"
