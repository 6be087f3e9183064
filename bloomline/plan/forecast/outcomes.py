"""What the rows of a solved table say in dates and words, each row when it is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import BandDays, yearly_median
from bloomline.model.advice import Advice
from bloomline.model.cultivar import Cultivar
from bloomline.plan.forecast.advice import FROST_TOLD, cold_advice, frost_advice
from bloomline.plan.forecast.cold import ColdPlan, is_short, weeks_beside_least
from bloomline.plan.forecast.later import LaterItems
from bloomline.plan.forecast.report import Band
from bloomline.plan.forecast.shelter import Refuge, refuge_words, refuges_of
from bloomline.plan.forecast.solved import STAGES, Solved, Stage
from bloomline.plan.words.shares import of_ten
from bloomline.words import tr

Floats = NDArray[np.float64]

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
        self._ordinals: dict[Stage, list[list[int] | None]] = {}
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

    def dates(self, row: int) -> dict[str, Band | None]:
        """The bands of a row as dates; None each where it mostly doesn't flower."""
        if not self.flowers[row]:
            return dict.fromkeys(STAGES)
        found: dict[str, Band | None] = {}
        for stage in STAGES:
            if stage not in self._ordinals:
                self._ordinals[stage] = _ordinals(self[stage], self._solved)
            found[stage] = _band(self._ordinals[stage][row])
        return found


def bands_of(solved: Solved) -> Bands:
    """Bands of the five days a planting is followed by."""
    return Bands(solved)


def dates_of(band: BandDays, solved: Solved) -> list[Band | None]:
    """The dates of each row's band."""
    return [_band(each) for each in _ordinals(band, solved)]


def _ordinals(band: BandDays, solved: Solved) -> list[list[int] | None]:
    days = np.stack([band.p10, band.p50, band.p90], axis=1)
    known = np.isfinite(days.sum(axis=1))
    whole = np.floor(np.where(known[:, None], days, 0.0)).astype(np.int64) + solved.first_ordinal
    return [
        each if is_known else None
        for each, is_known in zip(whole.tolist(), known.tolist(), strict=True)
    ]


def _band(ordinals: list[int] | None) -> Band | None:
    return None if ordinals is None else Band(*map(date.fromordinal, ordinals))


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
    table = _Table(solved, bands or bands_of(solved), plans)
    return LaterItems(len(solved.plantings), table.outcome)


class _Table:
    """What the words on a row rest on, of all rows."""

    def __init__(
        self, solved: Solved, bands: Bands, plans: Sequence[ColdPlan | None] | None
    ) -> None:
        days = solved.days
        self._solved, self._bands, self._plans = solved, bands, plans
        # Verdicts rest on the figure that is shown, so that the two can't contradict.
        self._cold = [round(weeks, 1) for weeks in yearly_median(days.cold_weeks).tolist()]
        self._blind: list[float] = solved.blind.mean(axis=1).tolist()
        self._killed: list[float] = solved.killed.mean(axis=1).tolist()
        self._late: list[float] = solved.too_late.mean(axis=1).tolist()
        # The need is met on a median day, or not at all in half of the years or more.
        # A need that is met only after the flower explains nothing about it.
        met_before = days.cold_met <= np.where(np.isfinite(days.start), days.start, np.inf)
        self._met = yearly_median(np.where(met_before, days.cold_met, np.inf))
        self._refuges: dict[int, Refuge] | None = None

    def _help_words(self, row: int) -> str:
        if self._killed[row] < FROST_TOLD:
            return ""
        if self._refuges is None:
            at_risk = [at for at, share in enumerate(self._killed) if share >= FROST_TOLD]
            self._refuges = refuges_of(self._solved, at_risk)
        return refuge_words(self._solved.plantings[row].standing, self._refuges.get(row))

    def outcome(self, row: int) -> Outcome:
        """The answer of a row."""
        solved = self._solved
        cultivar = solved.plantings[row].cultivar
        weeks, blind, killed = self._cold[row], self._blind[row], self._killed[row]
        plan = None if self._plans is None else self._plans[row]
        help_words = self._help_words(row)
        cause = reason = None
        if not self._bands.flowers[row]:
            cause = _cause(blind, killed, self._late[row])
            if cause == "frost":
                reason = _frost_words(help_words, killed)
            elif cause == "cold":
                reason = _cold_words(cultivar, weeks, blind=blind, plan=plan)
            else:
                reason = tr(
                    "no flower this season: planted too late to open before the season ends"
                )
        met = float(self._met[row])
        return Outcome(
            **self._bands.dates(row),
            cold_met_on=solved.date_of(met) if np.isfinite(met) else None,
            reason=reason,
            cold_weeks=weeks,
            cold_weeks_needed=(
                cultivar.chill_weeks_min if solved.needs[row].full_rate_weeks > 0.0 else None
            ),
            too_little_cold_share=blind,
            killed_share=killed,
            cold_plan=plan,
            cause=cause,
            advice=(
                *cold_advice(cultivar, cold_weeks=weeks, blind_share=blind, plan=plan),
                *frost_advice(cultivar, killed_share=killed, help_words=help_words),
            ),
        )


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
