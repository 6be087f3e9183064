"""Which kinds could be planted: those that do well where the pot stands, on a day yet to come.

A kind does well when it gets its cold, stands the frost and opens in nine years of ten, as the
shelf judges it. It is planted in its usual time at the place, from today on. What is left out is
counted by its reason, so that an answer can say which wish costs what.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.in_flower import N_NODES
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Pot
from bloomline.plan.climate.surroundings import Standing, standing_of
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.fill.colours import goes_alone
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.forecast.outcomes import bands_of, outcomes
from bloomline.plan.forecast.planting_day import (
    MIDSUMMER_DAY,
    counts_from,
    usual_planting_day,
    usual_planting_span,
)
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.forecast.solved import Solved
from bloomline.plan.season.colour import in_flower
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.shelf import ShelfWindow
from bloomline.plan.season.solve import learned_of, within_season
from bloomline.plan.words.days import as_date

Floats = NDArray[np.float64]
Reason = Literal[
    "disliked", "harmful", "tall", "colour", "not easy", "too late", "does badly", "out of season"
]

WELL_KNOWN = 5
"""A type with so many cultivars in the catalogue is easy to find."""
_LEAST_DAYS, _LEAST_SHARE = 5.0, 0.25
"""So many days, or so much of a short wish, must a kind be in flower within it. Judgement."""


@dataclass(frozen=True, slots=True, eq=False)
class Candidates:
    """Kinds that could be planted in a pot on one day, by their first flower.

    opens, over : axis days of the median first and last flower, shape (n,). dark : chance of not
    being in flower, shape (n, n_days, n_years), of the days of the wish. left_out : how many kinds
    were not taken, by reason.
    """

    planted: date
    kinds: tuple[Cultivar, ...]
    opens: Floats
    over: Floats
    dark: Floats
    left_out: tuple[tuple[Reason, int], ...] = ()

    def __len__(self) -> int:
        return len(self.kinds)


def stand_of(outlook: Outlook, pot: Pot) -> Standing:
    """Where a pot of the yard has its bulbs grow."""
    return standing_of(pot, site_offset_c=outlook.yard.site_offsets.get(pot.site, 0.0))


@kept
def planting_days(
    outlook: Outlook, wishes: Wishes, standing: Standing, shift_days: float
) -> tuple[date, ...]:
    """Days on which a pot had best be filled at one go: one for each season of planting.

    The day within the usual time of the kinds that bring most of what is wished; of such days the
    one nearest to their usual ones. None where nothing that is wished can be planted any more.
    """
    start = as_date(yard_axis_start(outlook.yard.season_year, garden=outlook.garden))
    spans = _spans(outlook)
    ready = [
        (kind, max(usual, outlook.today, start))
        for kind, usual, _, last in spans
        if last >= max(outlook.today, start) and _wanted(kind, wishes, outlook) is None
    ]
    if not ready:
        return ()
    dark = _dark(_solve(outlook, ready, standing, shift_days), wishes)
    worth = dict(zip([k.id for k, _ in ready], (1.0 - dark).mean(axis=2).sum(axis=1), strict=True))
    chosen: list[date] = []
    for season in ("summer", "autumn", "spring"):
        mine = [
            (usual, max(first, outlook.today, start), last, worth[kind.id])
            for kind, usual, first, last in spans
            if kind.season_planted == season and worth.get(kind.id, 0.0) >= _least_days(wishes)
        ]
        days = sorted({day for _, first, last, _ in mine for day in (first, last)})
        best: tuple[float, float, date] | None = None
        for day in days:
            inside = [each for each in mine if each[1] <= day <= each[2]]
            total = sum(each[3] for each in inside)
            away = sum(abs((day - each[0]).days) * each[3] for each in inside)
            if inside and (best is None or (-total, away) < best[:2]):
                best = (-total, away, day)
        if best is not None and best[2] not in chosen:
            chosen.append(best[2])
    return tuple(chosen)


@kept
def candidates(
    outlook: Outlook,
    wishes: Wishes,
    standing: Standing,
    shift_days: float,
    planted: date | None = None,
) -> Candidates:
    """Kinds for a pot, all planted on one day; without one each on its own usual day.

    wishes : settled. shift_days : what the yard's records taught of the pot's site.
    """
    start = as_date(yard_axis_start(outlook.yard.season_year, garden=outlook.garden))
    reasons: Counter[Reason] = Counter()
    ready: list[tuple[Cultivar, date]] = []
    for kind, usual, first, last in _spans(outlook):
        why = _wanted(kind, wishes, outlook)
        day = planted or max(usual, outlook.today, start)
        if why is None and not max(first, outlook.today, start) <= day <= last:
            why = "too late"
        if why is None:
            ready.append((kind, day))
        else:
            reasons[why] += 1
    nothing = np.zeros(0)
    if not ready:
        shape = (0, _n_days(wishes), 1)
        return Candidates(
            planted or start, (), nothing, nothing, np.zeros(shape), tuple(reasons.items())
        )
    solved = _solve(outlook, ready, standing, shift_days)
    bands = bands_of(solved)
    dark = _dark(solved, wishes)
    days = (1.0 - dark).mean(axis=2).sum(axis=1)
    shares = solved.flowering_share()
    taken: list[int] = []
    for row, answer in enumerate(outcomes(solved, bands=bands)):
        kind = ready[row][0]
        window = ShelfWindow(
            cultivar_id=kind.id,
            planted=ready[row][1],
            start=answer.start,
            end=answer.end,
            reason=answer.reason,
            share=float(shares[row]),
            cold_weeks=answer.cold_weeks,
            cold_weeks_needed=answer.cold_weeks_needed,
            killed_share=answer.killed_share,
            months=frozenset(),
        )
        if not window.flowers_well:
            reasons["does badly"] += 1
        elif days[row] < _least_days(wishes):
            reasons["out of season"] += 1
        elif wishes.easy and (window.share < 1.0 or window.killed_share > 0.0):
            reasons["not easy"] += 1
        else:
            taken.append(row)
    opens, over = bands["start"].p50, bands["end"].p50
    taken.sort(key=lambda row: (opens[row], ready[row][0].height_cm, ready[row][0].id))
    return Candidates(
        planted=planted or start,
        kinds=tuple(ready[row][0] for row in taken),
        opens=opens[taken],
        over=over[taken],
        dark=dark[taken],
        left_out=tuple(reasons.items()),
    )


@kept
def _spans(outlook: Outlook) -> tuple[tuple[Cultivar, date, date, date], ...]:
    """Every kind with its usual planting day here, and the first and last day of its time."""
    first_day = yard_axis_start(outlook.yard.season_year, garden=outlook.garden)
    midsummer = as_date(first_day) + timedelta(days=MIDSUMMER_DAY)
    found = []
    for kind in outlook.kinds:
        usual = usual_planting_day(kind, garden=outlook.garden, first_day=first_day)
        first, last = usual_planting_span(kind, usual=usual)
        if kind.flowers_in != "autumn":  # later it flowers in the season after
            last = min(last, midsummer)
        found.append((kind, usual, first, last))
    return tuple(found)


@kept
def well_known(outlook: Outlook) -> frozenset[str]:
    """Types with many cultivars in the catalogue."""
    known = Counter(each.common_type for each in outlook.catalogue)
    return frozenset(name for name, n in known.items() if n >= WELL_KNOWN)


def _wanted(kind: Cultivar, wishes: Wishes, outlook: Outlook) -> Reason | None:
    """Why a kind is not wanted, whatever it does here; None for one that is."""
    if wishes.names(wishes.not_liked, cultivar_id=kind.id, common_type=kind.common_type):
        return "disliked"
    if wishes.harmless and kind.toxic_pets > 0:
        return "harmful"
    if wishes.height_most_cm is not None and kind.height_cm > wishes.height_most_cm:
        return "tall"
    if not goes_alone(kind, wishes.colours, wishes.colour):
        return "colour"
    if wishes.easy and kind.common_type not in well_known(outlook):
        return "not easy"
    return None


def _solve(
    outlook: Outlook,
    ready: Sequence[tuple[Cultivar, date]],
    standing: Standing,
    shift_days: float,
) -> Solved:
    garden, year = outlook.garden, outlook.yard.season_year
    first_day = yard_axis_start(year, garden=garden)
    usual = {kind.id: usual for kind, usual, _, _ in _spans(outlook)}
    forecaster = outlook.forecaster
    plantings = [
        Planting(
            cultivar=kind,
            rooted=counts_from(
                kind, planted=day, established=False, usual=usual[kind.id], first_day=first_day
            ),
            standing=standing,
            shift_days=shift_days,
        )
        for kind, day in ready
    ]
    return within_season(
        forecaster.solve(
            plantings,
            garden=garden,
            first_day=first_day,
            recorded=outlook.recorded,
            garden_sd_days=learned_of(outlook).garden_sd_days(forecaster.growth_law.garden_sd_days),
        ),
        year,
    )


def _least_days(wishes: Wishes) -> float:
    return min(_LEAST_DAYS, _LEAST_SHARE * _n_days(wishes))


def _n_days(wishes: Wishes) -> int:
    assert wishes.first is not None and wishes.last is not None
    return (wishes.last - wishes.first).days + 1


def _dark(solved: Solved, wishes: Wishes) -> Floats:
    """Chance that a row is not in flower on the days of the wish, (n, n_days, n_years)."""
    flowers = in_flower(solved)
    return darkness(flowers.bits[:-1], begin=flowers.begin, solved=solved, wishes=wishes)


def darkness(bits: NDArray[np.uint8], *, begin: int, solved: Solved, wishes: Wishes) -> Floats:
    """The same of bits of an `InFlower`, shape (n, n_some_days, n_years), from day `begin` on."""
    assert wishes.first is not None
    n_days = _n_days(wishes)
    at = wishes.first.toordinal() - solved.first_ordinal - begin  # first day of the wish in bits
    dark = np.ones((len(bits), n_days, bits.shape[2]))
    low, high = max(at, 0), min(at + n_days, bits.shape[1])
    if low < high:
        dark[:, low - at : high - at] -= np.bitwise_count(bits[:, low:high]) / N_NODES
    return dark
