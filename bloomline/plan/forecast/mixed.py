"""Mixtures: each part is worked out as a kind of its own, and the whole is what any part does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from operator import attrgetter
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import BandDays, band_days, in_flower_chance
from bloomline.model.cultivar import Cultivar
from bloomline.plan.climate.surroundings import extra_cover_cm
from bloomline.plan.forecast.plantings import Planting

if TYPE_CHECKING:
    from bloomline.plan.forecast.solved import Solved

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_FIRST = ("nose", "start")
_LAST = ("end", "leaves_over", "cold_met")
_parts_of = attrgetter("cultivar.parts")  # of thousands of plantings at a time
_DATED = ("nose", "start", "full", "end", "leaves_over")


@dataclass(frozen=True, slots=True, eq=False)
class MixedRow:
    """The parts of a row of a solved table that is a mixture.

    row : which row. shares : of the parts, adding up to 1. days : of each part by the names of
    `FloweringDays`, shape (n_parts, n_years), NaN in years in which frost kills it too.
    sd_days : what isn't known of each part's date.
    """

    row: int
    kinds: tuple[Cultivar, ...]
    shares: Floats
    days: Mapping[str, Floats]
    sd_days: Floats

    def of_year(self, year: slice) -> MixedRow:
        """The same for some of the weather years."""
        return replace(self, days={name: each[:, year] for name, each in self.days.items()})


def has_mixtures(plantings: Sequence[Planting]) -> bool:
    """Whether any is a mixture."""
    return any(map(_parts_of, plantings))


def parted(plantings: Sequence[Planting]) -> tuple[list[Planting], list[int]]:
    """Plantings with one for each part in place of a mixture, and which was which."""
    flat: list[Planting] = []
    of: list[int] = []
    for row, planting in enumerate(plantings):
        whole = planting.cultivar
        for kind, _ in whole.shares:
            # All lie where the mixture lies, which is deeper than some of them are used to.
            deeper = planting.extra_cover_cm + extra_cover_cm(whole.cover_cm, kind)
            flat.append(replace(planting, cultivar=kind, extra_cover_cm=deeper))
            of.append(row)
        if not whole.parts:
            flat.append(planting)
            of.append(row)
    return flat, of


def joined(solved: Solved, plantings: Sequence[Planting], of: Sequence[int]) -> Solved:
    """A table of parts brought back to the plantings asked for.

    A mixture opens with its first part and ends with its last, year by year; its full flower is
    the mean of its parts' by their shares. It fails in a year in which all of its parts fail.
    """
    owner = np.array(of, dtype=np.int64)
    firsts = np.searchsorted(owner, np.arange(len(plantings)))
    mixed = [row for row, planting in enumerate(plantings) if planting.cultivar.parts]
    days = {each.name: getattr(solved.days, each.name)[firsts] for each in fields(solved.days)}
    blind, killed, late = (
        each[firsts].copy() for each in (solved.blind, solved.killed, solved.too_late)
    )
    needs = [solved.needs[at] for at in firsts]
    sd, earliest = solved.uncertainty.cultivar[firsts].copy(), solved.earliest[firsts].copy()
    told = []
    for row in mixed:
        at = np.flatnonzero(owner == row)
        shares = np.array([share for _, share in plantings[row].cultivar.shares])
        dead = solved.killed[at]
        killed[row] = dead.all(axis=0)
        # Days of parts that frost kills count only where it kills all.
        living = ~dead | killed[row]
        for name, values in days.items():
            some = getattr(solved.days, name)[at]
            values[row] = _together(name, np.where(living, some, np.nan), some, shares)
        none = ~np.isfinite(days["start"][row])
        late[row] = none & ~killed[row] & solved.too_late[at].any(axis=0)
        blind[row] = none & ~killed[row] & ~late[row]
        needs[row] = max((solved.needs[i] for i in at), key=lambda need: need.full_rate_weeks)
        sd[row] = float(np.sqrt(shares @ solved.uncertainty.cultivar[at] ** 2))
        earliest[row] = solved.earliest[at].min()
        told.append(
            MixedRow(
                row=row,
                kinds=tuple(kind for kind, _ in plantings[row].cultivar.shares),
                shares=shares,
                days={
                    name: np.where(dead, np.nan, getattr(solved.days, name)[at]) for name in _DATED
                },
                sd_days=solved.uncertainty.cultivar[at],
            )
        )
    return replace(
        solved,
        plantings=tuple(plantings),
        needs=tuple(needs),
        days=replace(solved.days, **days),
        blind=blind,
        killed=killed,
        too_late=late,
        uncertainty=replace(solved.uncertainty, cultivar=sd),
        earliest=earliest,
        mixed=tuple(told),
    )


def _together(name: str, living: Floats, everything: Floats, shares: Floats) -> Floats:
    """One row of several: the first, the last, or the mean by shares; NaN where none has it."""
    if name == "blind":
        return np.asarray(everything.all(axis=0))
    known = np.isfinite(living)
    none = ~known.any(axis=0)
    if name in _FIRST:
        value = np.where(known, living, np.inf).min(axis=0)
    elif name in _LAST:
        value = np.where(known, living, -np.inf).max(axis=0)
    else:
        weight = np.where(known, shares[:, None], 0.0)
        value = (weight * np.where(known, living, 0.0)).sum(axis=0) / np.maximum(
            weight.sum(axis=0), 1e-12
        )
    return np.asarray(np.where(none, np.nan, value))


def within_whole(solved: Solved, mixed: MixedRow) -> dict[str, Floats]:
    """Days of each part, cut to what the whole row still shows of its season."""
    begin, finish = (each[mixed.row] for each in solved.in_flower())
    days = dict(mixed.days)
    days["end"] = np.minimum(days["end"], finish)
    days["leaves_over"] = np.minimum(days["leaves_over"], solved.days.leaves_over[mixed.row])
    gone = ~np.isfinite(begin) | ~(days["start"] < days["end"])
    return {name: np.where(gone, np.nan, each) for name, each in days.items()}


def part_chances(solved: Solved, mixed: MixedRow, *, n_days: int) -> Floats:
    """Chance of each part to be in flower by day, (n_parts, n_days)."""
    days = within_whole(solved, mixed)
    sd = np.hypot(mixed.sd_days, solved.uncertainty.garden)
    return in_flower_chance(days["start"], end=days["end"], sd_days=sd, n_days=n_days)


def part_bands(solved: Solved, mixed: MixedRow, stage: str) -> BandDays:
    """Bands of a stage of each part; NaN for those that flower in less than half of the years."""
    days = within_whole(solved, mixed)
    band = band_days(days[stage], sd_days=np.hypot(mixed.sd_days, solved.uncertainty.garden))
    rare = np.isfinite(days["start"]).mean(axis=1) < 0.5
    return BandDays(*(np.where(rare, np.nan, each) for each in (band.p10, band.p50, band.p90)))
