"""A whole yard's season: chance of colour by day, bare and crowded days, weeks of colour.

One year's weather moves all pots together, so whatever is counted of a season is counted inside
each weather year and only then averaged. What is not known of a cultivar moves all its
layers together and is independent between cultivars; what is not known of the garden moves
the whole yard, and so changes dates but no number of days.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import NORMAL_NODES
from bloomline.engine.in_flower import N_NODES, InFlower
from bloomline.engine.sorting import distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_Shares = Iterator[tuple[int, Floats]]

_LULL_DAYS = 2
_MOST_STEPS = 50
_ROUNDING = 1e-9  # sums of products that should be equal differ by less


@dataclass(frozen=True, slots=True)
class Run:
    """Consecutive days, first and last both counted."""

    first: int
    last: int

    @property
    def days(self) -> int:
        """Length in days."""
        return self.last - self.first + 1


@dataclass(frozen=True, slots=True, eq=False)
class _Kind:
    """The plantings of one cultivar. `layers` : how many each stands for, shape (n,).

    begin : the day before which none flowers. open : how many layers are in flower from then on,
    shape (n_some_days, n_nodes, n_years). first, last : days of the first and the last flower,
    shape (n_nodes, n_years); without a flower the length of the axis, −1.
    """

    layers: Ints
    begin: int
    open: NDArray[np.int32]
    first: Ints
    last: Ints

    @property
    def days(self) -> slice:
        """The days outside of which it never flowers."""
        return slice(self.begin, self.begin + len(self.open))

    def shares(self, days: Ints, years: Ints, *, limit: int, steps: int) -> _Shares:
        """Numbers of steps, of which there are `steps` up to the limit, and the share with each.

        days, years : shape (n_some,), within the kind's days.
        """
        per_step = (limit + 1) / steps
        # More than a crowd is a crowd, however many equal pots a planting stands in.
        here = self.open[days - self.begin, :, years].T
        if len(self.layers) > 1:
            counted = np.minimum(here, limit + 1).astype(np.int64)
            yield from _shares(counted, per_step=per_step, below=steps)
            return
        lit = np.count_nonzero(here, axis=0) / N_NODES
        yield 0, 1.0 - lit
        exact = min(int(self.layers[0]), limit + 1) / per_step
        for number in {math.floor(exact), math.ceil(exact)}:
            if number < steps:
                yield number, lit * (1.0 - abs(exact - number))


class YearlySeason:
    """The season of some plantings in every weather year, day by day.

    Each of its tables is the exact share among all combinations of the cultivars' quadrature
    nodes, without walking them: cultivars are independent within a year, so the chances that
    none flowers, that none has begun and that all are over are products over cultivars. Tables
    have the shape (n_years, n_days).
    """

    def __init__(self, flowers: InFlower, rows: Ints, *, layers: Ints) -> None:
        """Read some rows of a table. layers : shape (n,), how many layers each stands for."""
        self._shape = (flowers.n_years, flowers.n_days)
        kinds = flowers.cultivar[rows]
        self._kinds = []
        for name in distinct(kinds):
            at = np.flatnonzero(kinds == name)
            mine = rows[at]
            first, last = flowers.first[mine].min(axis=0), flowers.last[mine].max(axis=0)
            begin, stop = int(first.min()), int(last.max()) + 1
            if begin < stop:
                lit = flowers.layers_of(mine, layers=layers[at], days=slice(begin, stop))
                self._kinds.append(_Kind(layers[at], begin, lit, first, last))

    def colour(self) -> Floats:
        """Chance that anything is in flower."""
        dark = np.ones(self._shape[::-1])
        for kind in self._kinds:
            dark[kind.days] *= 1.0 - np.count_nonzero(kind.open, axis=1) / N_NODES
        return np.ascontiguousarray(1.0 - dark.T)

    def begun(self) -> Floats:
        """Chance that the year's first flower has come, on this day at the latest."""
        return self._reached([kind.first for kind in self._kinds])

    def goes_on(self) -> Floats:
        """Chance that the year's last flower has not gone: it comes on this day or later."""
        n_days = self._shape[1]
        return self._reached([n_days - 1 - kind.last for kind in self._kinds])[:, ::-1]

    def crowd(self, *, limit: int) -> Floats:
        """Chance that more than `limit` layers are in flower.

        Exact up to a limit of 49 layers; above, layers are counted in fiftieths of it, spread
        over the two nearest so that the mean stays, which keeps a thousand pots quick.
        """
        fewest, most = (np.zeros(self._shape[::-1], dtype=np.int64) for _ in range(2))
        for kind in self._kinds:
            fewest[kind.days] += kind.open.min(axis=1)
            most[kind.days] += kind.open.max(axis=1)
        crowd = (fewest > limit).T.astype(np.float64)
        # How the layers add up is worked out for the days that could be either, in their order.
        days, years = np.nonzero((fewest <= limit) & (most > limit))
        steps = min(limit + 1, _MOST_STEPS)
        chance = np.zeros((steps, len(days)))  # of 0, 1 … steps too few for a crowd
        chance[:1] = 1.0
        for kind in self._kinds:
            some = slice(*np.searchsorted(days, [kind.days.start, kind.days.stop]).tolist())
            if some.start == some.stop:
                continue
            after = np.zeros((steps, some.stop - some.start))
            for more, share in kind.shares(days[some], years[some], limit=limit, steps=steps):
                after[more:] += chance[: steps - more, some] * share
            chance[:, some] = after
        crowd[years, days] = 1.0 - chance.sum(axis=0)
        return crowd

    def _reached(self, moments: Sequence[Ints]) -> Floats:
        """Chance that the earliest of moments has come by each day."""
        n_years, n_days = self._shape
        waiting = np.ones(self._shape)
        for moment in moments:
            # Before and after the days that it may come on, nothing changes.
            first, after = int(moment.min()), min(int(moment.max()) + 1, n_days)
            width = after - first + 1
            lane = np.arange(n_years) * width + np.minimum(moment - first, width - 1)
            hits = np.bincount(lane.ravel(), minlength=n_years * width).reshape(n_years, width)
            yet = 1.0 - hits[:, :-1].cumsum(axis=1) / N_NODES
            waiting[:, first:after] *= yet
            waiting[:, after:] *= yet[:, -1:]
        return 1.0 - waiting


def _shares(layers: Ints, *, per_step: float, below: int) -> _Shares:
    """Numbers of steps under a limit, and the share of nodes with each.

    layers : shape (n_nodes, n). Each share has the shape (n,).
    """
    if per_step == 1.0:
        for steps in np.flatnonzero(np.bincount(layers.ravel())).tolist():
            if steps < below:
                yield steps, (layers == steps).sum(axis=0, dtype=np.int8) / N_NODES
        return
    exact = (layers / per_step).astype(np.float32)
    for steps in distinct(np.concatenate([np.floor(exact), np.ceil(exact)])).tolist():
        if steps < below:
            yield int(steps), np.maximum(1.0 - np.abs(exact - steps), 0.0).mean(axis=0)


@dataclass(frozen=True, slots=True, eq=False)
class BareDays:
    """Days without a flower between each year's first and last.

    by_year : expected number in each weather year, shape (n_years,). season : from the median
    first to the median last flower over years and nodes; None if nothing ever flowers. It
    counts as bare from end to end in a year without any flower, since nothing else tells which
    days the yard was to be in colour; no day does if nothing ever flowers.
    """

    by_year: Floats
    season: Run | None


def bare_days(
    colour: Floats, *, begun: Floats, goes_on: Floats, garden_sd_days: float, season: Run | None
) -> BareDays:
    """Count bare days year by year.

    colour, begun, goes_on : tables of a YearlySeason. garden_sd_days : moves the whole season.
    season : in place of that of these years.

    Having begun and going on both hold on a day inside a realisation's season, and one of them
    on any other day if it has a flower at all; so their sum, less the chance of a flower that
    year and less colour, is the chance that the day is bare. Summed over days it is the
    expectation of the number of bare days over all combinations of nodes, without
    approximation.
    """
    flowers = begun[:, -1:]
    bare = np.maximum(begun + goes_on - flowers - colour, 0.0).sum(axis=1)
    if season is None:
        season = usual_season(begun, goes_on=goes_on, garden_sd_days=garden_sd_days)
    if season is not None:
        bare += (1.0 - flowers[:, 0]) * season.days
    return BareDays(by_year=bare, season=season)


def usual_season(begun: Floats, *, goes_on: Floats, garden_sd_days: float) -> Run | None:
    """From the median first to the median last flower of years that have any, or None."""
    half = 0.5 * float(begun[:, -1].mean()) - _ROUNDING
    if half <= 0.0:
        return None
    first, last = (
        np.flatnonzero(garden_spread(each.mean(axis=0), garden_sd_days=garden_sd_days) >= half)
        for each in (begun, goes_on)
    )
    return Run(int(first[0]), int(last[-1]))


def garden_spread(by_day: Floats, *, garden_sd_days: float) -> Floats:
    """Blur daily chances by an error that moves the whole yard, same shape as `by_day`."""
    if garden_sd_days <= 0.0:
        return by_day
    days = np.arange(by_day.shape[-1], dtype=np.float64)
    rows = by_day.reshape(-1, by_day.shape[-1])
    shifted = [
        np.stack([np.interp(days - garden_sd_days * node, days, row) for row in rows])
        for node in NORMAL_NODES
    ]
    return np.asarray(np.mean(shifted, axis=0).reshape(by_day.shape))


def runs_where(flags: NDArray[np.bool_]) -> list[Run]:
    """Runs of consecutive True days. flags : shape (n_days,)."""
    padded = np.concatenate([[False], flags, [False]])
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    return [Run(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def bare_runs(coverage: Floats, *, season: Run | None, threshold: float = 0.5) -> list[Run]:
    """Stretches of a season on whose days colour is less likely than `threshold`.

    coverage : chance of any colour on each day, shape (n_days,). With half as the threshold
    these are the days without colour in more than half of the years. A day or two at an end
    of the season is no stretch: there some years have not begun and others are over, and the
    median first flower comes that much before colour is likely.
    """
    if season is None:
        return []
    inside = np.zeros(len(coverage), dtype=bool)
    days = slice(season.first, season.last + 1)
    inside[days] = coverage[days] < threshold - _ROUNDING
    return [
        run
        for run in runs_where(inside)
        if run.days > _LULL_DAYS or (run.first > season.first and run.last < season.last)
    ]


def crowded_runs(chance: Floats, *, likely: float = 0.5) -> list[Run]:
    """Stretches that are likely to be crowded.

    chance : chance of a crowd on each day, shape (n_days,). A lull of a day or two doesn't end
    a crowd: no pot is moved for it.
    """
    crowded = chance >= likely - _ROUNDING
    for before, after in pairwise(runs_where(crowded)):
        if after.first - before.last - 1 <= _LULL_DAYS:
            crowded[before.last : after.first] = True
    return runs_where(crowded)


def years_by_warmth(mean_c: Floats, *, first: int, last: int) -> Ints:
    """Weather years from the coldest to the warmest winter and spring.

    mean_c : daily mean air temperature, shape (n_years, n_days); ranked by the mean between
    two days of the axis.
    """
    return np.argsort(mean_c[:, first:last].mean(axis=1), kind="stable")


def range_of_years(by_year: Floats) -> tuple[Floats, Floats]:
    """The 10 and the 90 % point of yearly figures, between which eight years of ten lie.

    by_year : shape (…, n_years). Returns two of shape (…). Year i of n, in order, stands for
    the probability (i + 0.5)/n, as in the bands of dates; in between, linear.
    """
    ordered = np.sort(by_year, axis=-1)
    last = ordered.shape[-1] - 1

    def at(share: float) -> Floats:
        place = min(max(share * (last + 1) - 0.5, 0.0), float(last))
        left = int(place)
        low, high = ordered[..., left], ordered[..., min(left + 1, last)]
        return np.asarray(low + (high - low) * (place - left))

    return at(0.1), at(0.9)
