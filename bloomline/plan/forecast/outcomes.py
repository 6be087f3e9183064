"""What the rows of a solved table say in dates and words: row by row, or column by column."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property, lru_cache
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import BandDays, yearly_median
from bloomline.model.advice import Advice
from bloomline.model.cultivar import Cultivar
from bloomline.plan.forecast.advice import FROST_TOLD, cold_advice, frost_advice, lacks_cold
from bloomline.plan.forecast.cold import ColdPlan, is_short, weeks_beside_least
from bloomline.plan.forecast.later import LaterItems
from bloomline.plan.forecast.report import Band
from bloomline.plan.forecast.shelter import Refuge, refuge_words, refuges_of
from bloomline.plan.forecast.solved import STAGES, Solved, Stage
from bloomline.plan.words.shares import of_ten
from bloomline.words import tr

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

Cause = Literal["frost", "cold", "late"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What one row of a solved table says in dates and words.

    Bands are None when there is no flower this season; `reason` says why, `cause` in a word.
    """

    start: Band | None
    full: Band | None
    end: Band | None
    nose: Band | None
    leaves_over: Band | None
    cold_met_on: date | None
    reason: str | None
    cold_weeks: float
    cold_weeks_needed: float | None
    too_little_cold_share: float
    killed_share: float
    cold_plan: ColdPlan | None
    cause: Cause | None
    advice: tuple[Advice, ...]


class Bands(Mapping[Stage, BandDays]):
    """Bands of the five days that rows of a table are followed by, each when it is asked for."""

    def __init__(self, solved: Solved) -> None:
        self._solved = solved
        self._known: dict[Stage, BandDays] = {}
        self._lists: dict[Stage, list[list[int]]] = {}
        self.flowers = solved.flowers()
        """Which rows are said to flower, shape (n,)."""

    def __getitem__(self, stage: Stage) -> BandDays:
        if stage not in self._known:
            if stage not in STAGES:
                raise KeyError(stage)
            self._known[stage] = self._solved.bands(stage)
        return self._known[stage]

    def __iter__(self) -> Iterator[Stage]:
        return iter(STAGES)

    def __len__(self) -> int:
        return len(STAGES)

    def ordinals(self, stage: Stage) -> Ints:
        """The bands as ordinals of dates, shape (n, 3); 0 each where it mostly doesn't flower."""
        return np.where(self.flowers[:, None], _ordinals(self[stage], self._solved), 0)

    def dates(self, row: int) -> dict[str, Band | None]:
        """The bands of a row as dates; None each where it mostly doesn't flower."""
        found: dict[str, Band | None] = {}
        for stage in STAGES:
            if stage not in self._lists:
                self._lists[stage] = self.ordinals(stage).tolist()
            found[stage] = _band(self._lists[stage][row])
        return found


def bands_of(solved: Solved) -> Bands:
    """Bands of the five days a planting is followed by."""
    return Bands(solved)


def dates_of(band: BandDays, solved: Solved) -> list[Band | None]:
    """The dates of each row's band."""
    return [_band(each) for each in _ordinals(band, solved).tolist()]


def dates_at(ordinals: Ints) -> list[date | None]:
    """The dates of ordinals, None for 0; equal ones are one object."""
    least = int(ordinals.min(initial=_NO_DAY, where=ordinals > 0))
    known = [None, *map(_date_at, range(least, int(ordinals.max(initial=0)) + 1))]
    table = np.array(known, dtype=object)
    found: list[date | None] = table[np.maximum(ordinals - (least - 1), 0)].tolist()
    return found


_NO_DAY = date.max.toordinal()
_date_at = lru_cache(maxsize=4096)(date.fromordinal)


def _ordinals(band: BandDays, solved: Solved) -> Ints:
    """Of dates, shape (n, 3); 0 for a band that isn't known."""
    days = np.stack([band.p10, band.p50, band.p90], axis=1)
    known = np.isfinite(days.sum(axis=1))[:, None]
    whole = np.floor(np.where(known, days, 0.0)).astype(np.int64)
    return np.where(known, whole + solved.first_ordinal, 0)


def _band(ordinals: list[int]) -> Band | None:
    return Band(*map(date.fromordinal, ordinals)) if ordinals[0] else None


def outcomes(
    solved: Solved,
    *,
    bands: Bands | None = None,
    plans: Sequence[ColdPlan | None] | None = None,
) -> Sequence[Outcome]:
    """Dates and words for every row of a solved table.

    bands : of it, if at hand. plans : of `cold_plans`, without which the words on too little
    cold don't say what helps.
    """
    return OutcomeColumns(solved, bands or bands_of(solved), plans).rows()


class OutcomeColumns:
    """Outcomes by column, which need no object for each row.

    cold_weeks, too_little_cold_share, killed_share : as of an `Outcome`, of every row.
    """

    def __init__(
        self, solved: Solved, bands: Bands, plans: Sequence[ColdPlan | None] | None
    ) -> None:
        days = solved.days
        self._solved, self._bands, self._plans = solved, bands, plans
        # Verdicts rest on the figure that is shown, so that the two can't contradict.
        self.cold_weeks = [round(weeks, 1) for weeks in yearly_median(days.cold_weeks).tolist()]
        self.too_little_cold_share: list[float] = solved.blind.mean(axis=1).tolist()
        self.killed_share: list[float] = solved.killed.mean(axis=1).tolist()
        self._late: list[float] = solved.too_late.mean(axis=1).tolist()
        self._flowers: list[bool] = bands.flowers.tolist()
        self._refuges: dict[int, Refuge] | None = None

    def rows(self) -> Sequence[Outcome]:
        """All that is said of every row, made as it is read."""
        return LaterItems(len(self._solved.plantings), self.row)

    def row(self, row: int) -> Outcome:
        """All that is said of a row."""
        told: dict[str, Any] = {**self._bands.dates(row), **self.figures(row)}
        return Outcome(
            **told,
            reason=self.reason(row),
            cause=self.cause(row),
            advice=self.advice(row),
        )

    def figures(self, row: int) -> dict[str, Any]:
        """Cold and frost of a row, by the names they have in an `Outcome`."""
        return {
            "cold_met_on": self.cold_met_on[row],
            "cold_weeks": self.cold_weeks[row],
            "cold_weeks_needed": self.cold_weeks_needed(row),
            "too_little_cold_share": self.too_little_cold_share[row],
            "killed_share": self.killed_share[row],
            "cold_plan": self._plan(row),
        }

    def dates(self, stage: Stage) -> tuple[list[date | None], ...]:
        """The three dates of every row's band, a list each."""
        p10, p50, p90 = self._bands.ordinals(stage).T
        return dates_at(p10), dates_at(p50), dates_at(p90)

    @cached_property
    def cold_met_on(self) -> list[date | None]:
        """The day on which every row's need for cold is met."""
        days = self._solved.days
        # The need is met on a median day, or not at all in half of the years or more.
        # A need that is met only after the flower explains nothing about it.
        met_before = days.cold_met <= np.where(np.isfinite(days.start), days.start, np.inf)
        met = yearly_median(np.where(met_before, days.cold_met, np.inf))
        known = np.isfinite(met)
        whole = np.floor(np.where(known, met, 0.0)).astype(np.int64)
        return dates_at(np.where(known, whole + self._solved.first_ordinal, 0))

    def flowers(self, row: int) -> bool:
        """Whether a row is said to flower."""
        return self._flowers[row]

    def cold_weeks_needed(self, row: int) -> float | None:
        """The least weeks of cold of a row; None where growth waits for none."""
        needs_cold = self._solved.needs[row].full_rate_weeks > 0.0
        return self._solved.plantings[row].cultivar.chill_weeks_min if needs_cold else None

    def reason(self, row: int) -> str | None:
        """Why a row doesn't flower, if it doesn't."""
        cause = self.cause(row)
        if cause == "frost":
            return _frost_words(self._help_words(row), self.killed_share[row])
        if cause == "cold":
            return _cold_words(
                self._solved.plantings[row].cultivar,
                self.cold_weeks[row],
                blind=self.too_little_cold_share[row],
                plan=self._plan(row),
            )
        if cause == "late":
            return tr("no flower this season: planted too late to open before the season ends")
        return None

    def cause(self, row: int) -> Cause | None:
        """What keeps a row from flowering, if anything does."""
        if self._flowers[row]:
            return None
        return _cause(self.too_little_cold_share[row], self.killed_share[row], self._late[row])

    def advice(self, row: int) -> tuple[Advice, ...]:
        """What is to be said of a row's cold and frost."""
        cultivar = self._solved.plantings[row].cultivar
        weeks, blind, killed = (
            self.cold_weeks[row],
            self.too_little_cold_share[row],
            self.killed_share[row],
        )
        told: list[Advice] = []
        if lacks_cold(cultivar, cold_weeks=weeks, blind_share=blind):
            plan = self._plan(row)
            told += cold_advice(cultivar, cold_weeks=weeks, blind_share=blind, plan=plan)
        if killed >= FROST_TOLD:
            help_words = self._help_words(row)
            told += frost_advice(cultivar, killed_share=killed, help_words=help_words)
        return tuple(told)

    def _plan(self, row: int) -> ColdPlan | None:
        return None if self._plans is None else self._plans[row]

    def _help_words(self, row: int) -> str:
        if self._refuges is None:
            at_risk = [at for at, share in enumerate(self.killed_share) if share >= FROST_TOLD]
            self._refuges = refuges_of(self._solved, at_risk)
        return refuge_words(self._solved.plantings[row].standing, self._refuges.get(row))


def _cause(blind: float, killed: float, late: float) -> Cause:
    """What keeps a planting from flowering, by the shares of years in which each does."""
    if killed >= max(blind, 0.34):
        return "frost"
    return "cold" if blind > 0.0 and blind >= late else "late"


def _frost_words(help_words: str, killed: float) -> str:
    return (
        tr(
            "killed by frost in most years: the compost gets colder than the bulb "
            "stands; {help_words}",
            help_words=help_words,
        )
        if killed >= 0.5
        else tr(
            "killed by frost in many years: the compost gets colder than the bulb "
            "stands; {help_words}",
            help_words=help_words,
        )
    )


def _cold_words(
    cultivar: Cultivar, cold_weeks: float, *, blind: float, plan: ColdPlan | None
) -> str:
    if cultivar.flowering_law == "autumn":
        return tr(
            "no flower this season: the air stays too warm around its time in "
            "{blind}; it opens as the year cools",
            blind=of_ten(blind, "year"),
        )
    least = cultivar.chill_weeks_min or 0.0
    if is_short(cold_weeks, least):
        why = tr(
            "only {weeks_beside_least} of cold",
            weeks_beside_least=weeks_beside_least(cold_weeks, least),
        )
    else:
        why = tr("too little cold in {blind}", blind=of_ten(blind, "year"))
    helps = plan.words() if plan is not None else tr("bulbs that were pre-chilled do better")
    return tr("no flower this season: {why}; {helps}", why=why, helps=helps)
