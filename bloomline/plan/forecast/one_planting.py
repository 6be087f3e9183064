"""One planting at one place: when it flowers, how sure that is, and what to mind."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, fields
from datetime import date
from typing import Literal

import numpy as np

from bloomline.engine.bands import BandDays, yearly_median
from bloomline.errors import UsageError
from bloomline.model.advice import Advice
from bloomline.model.cultivar import Cultivar
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.surroundings import Standing, extra_cover_cm
from bloomline.plan.climate.weather import RecordedWeather, axis_start
from bloomline.plan.forecast.advice import (
    FROST_TOLD,
    cold_advice,
    frost_advice,
    planting_advice,
    poison_advice,
    station_advice,
)
from bloomline.plan.forecast.cold import ColdPlan, cold_plans, is_short, weeks_beside_least
from bloomline.plan.forecast.forecaster import STAGES, Floats, Forecaster, Solved
from bloomline.plan.forecast.planting_day import (
    counts_from,
    usual_planting_day,
    usual_planting_span,
)
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.forecast.report import Band
from bloomline.plan.forecast.shelter import refuge_words, refuges_of
from bloomline.plan.words.shares import of_ten
from bloomline.words import tr

Cause = Literal["frost", "cold", "late"]
_EARLIEST = date(1900, 1, 1)
_LATEST = date(2199, 12, 31)
_AT_ONCE = 1024  # plantings whose tables take some ten megabytes


@dataclass(frozen=True, slots=True)
class Request:
    """A question: this cultivar, at this place, planted then and there.

    cover_cm : soil or compost over the bulb's tip; as deep as usual when None.
    """

    id: str
    garden: Garden
    cultivar: Cultivar
    planted: date | None = None
    standing: Standing = field(default_factory=Standing)
    prechill_weeks: float = 0.0
    established: bool = False
    cover_cm: float | None = None


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


_OUTCOME = tuple(each.name for each in fields(Outcome))


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast(Outcome):
    """The answer to a request: its outcome, with what it was worked out for."""

    id: str
    garden: Garden
    cultivar: Cultivar
    planted: date
    standing: Standing


def forecast(
    request: Request,
    *,
    forecaster: Forecaster,
    today: date,
    recorded: RecordedWeather | None = None,
) -> Forecast:
    """Answer one request. Without a planting day the usual one of the current season is taken.

    Raises UsageError for a planting day, pre-chilling or depth that makes no sense.
    """
    (answer,) = forecast_many([request], forecaster=forecaster, today=today, recorded=recorded)
    return answer


def forecast_many(
    requests: Sequence[Request],
    *,
    forecaster: Forecaster,
    today: date,
    recorded: RecordedWeather | None = None,
    progress: Callable[[int], None] | None = None,
) -> list[Forecast]:
    """Answer many requests at once; order is kept. Raises UsageError as `forecast` does."""
    answers: dict[int, Forecast] = {}
    each = forecast_each(requests, forecaster=forecaster, today=today, recorded=recorded)
    for done, (index, answer) in enumerate(each, start=1):
        if isinstance(answer, UsageError):
            raise answer
        answers[index] = answer
        if progress is not None:
            progress(done)
    return [answers[i] for i in range(len(requests))]


def forecast_each(
    requests: Sequence[Request],
    *,
    forecaster: Forecaster,
    today: date,
    recorded: RecordedWeather | None = None,
) -> Iterator[tuple[int, Forecast | UsageError]]:
    """The answers as they come, each with the number of its request, or why there is none.

    Garden by garden, so that weather and sums are made once, and many plantings at a time.
    """
    numbers: dict[Garden, int] = {}
    axes: dict[tuple[date, bool], np.datetime64] = {}
    groups: dict[tuple[int, np.datetime64, Standing], list[int]] = {}
    for index, request in enumerate(requests):
        problem = _problem(request)
        if problem is not None:
            yield index, problem
            continue
        garden, planted = request.garden, request.planted or today
        axis = (planted, garden.is_southern)
        if axis not in axes:
            axes[axis] = axis_start(planted, garden=garden)
        number = numbers.setdefault(garden, len(numbers))
        groups.setdefault((number, axes[axis], request.standing), []).append(index)
    for key in sorted(groups, key=lambda key: key[:2]):
        members = groups[key]
        for at in range(0, len(members), _AT_ONCE):
            some = members[at : at + _AT_ONCE]
            answers = _answers(
                [requests[index] for index in some],
                forecaster=forecaster,
                first_day=key[1],
                recorded=recorded,
            )
            yield from zip(some, answers, strict=True)


def _problem(request: Request) -> UsageError | None:
    """What makes no sense about a request."""
    if not 0.0 <= request.prechill_weeks <= 40.0:
        return UsageError(
            tr(
                "{prechill_weeks:g} weeks of pre-chilling; 0 to 40 are possible",
                prechill_weeks=request.prechill_weeks,
            )
        )
    if request.planted is not None and not _EARLIEST <= request.planted <= _LATEST:
        return UsageError(
            tr("planting day {planted} is outside 1900 to 2199", planted=request.planted)
        )
    if request.cover_cm is not None and not 0.0 <= request.cover_cm <= 150.0:
        return UsageError(
            tr("{cover_cm:g} cm over the bulb; 0 to 150 cm are possible", cover_cm=request.cover_cm)
        )
    return None


def _answers(
    requests: Sequence[Request],
    *,
    forecaster: Forecaster,
    first_day: np.datetime64,
    recorded: RecordedWeather | None,
) -> Iterator[Forecast]:
    """Answers for one garden and one standing, on one axis; equal plantings share theirs."""
    garden, standing = requests[0].garden, requests[0].standing
    kinds: dict[int, _Kind] = {}
    rows: dict[tuple[object, ...], int] = {}
    plantings: list[Planting] = []
    asked: list[tuple[_Kind, date, int]] = []
    for request in requests:
        cultivar = request.cultivar
        kind = kinds.get(id(cultivar))
        if kind is None:
            kind = kinds[id(cultivar)] = _kind(cultivar, garden=garden, first_day=first_day)
        planted = request.planted or kind.usual
        rooted = counts_from(
            cultivar,
            planted=planted,
            established=request.established,
            usual=kind.usual,
            first_day=first_day,
        )
        deeper = 0.0 if request.cover_cm is None else extra_cover_cm(request.cover_cm, cultivar)
        weeks = request.prechill_weeks
        row = rows.setdefault(
            (id(cultivar), rooted, weeks, request.established, deeper), len(plantings)
        )
        if row == len(plantings):
            plantings.append(
                Planting(
                    cultivar=cultivar,
                    rooted=rooted,
                    standing=standing,
                    prechill_weeks=weeks,
                    established=request.established,
                    extra_cover_cm=deeper,
                )
            )
        asked.append((kind, planted, row))
    solved = forecaster.solve(plantings, garden=garden, first_day=first_day, recorded=recorded)
    plans = cold_plans(solved, forecaster=forecaster, recorded=recorded)
    found = outcomes(solved, plans=plans)
    of_place = station_advice(garden)
    for request, (kind, planted, row) in zip(requests, asked, strict=True):
        outcome = found[row]
        of_day = planting_advice(
            planted=planted,
            usual=kind.usual,
            established=request.established,
            prechilled=request.prechill_weeks > 0.0,
            flowers=outcome.start is not None,
            window=kind.window,
        )
        answer = {name: getattr(outcome, name) for name in _OUTCOME}
        answer["advice"] = (*outcome.advice, *of_day, *kind.poison, *of_place)
        yield Forecast(
            **answer,
            id=request.id,
            garden=garden,
            cultivar=request.cultivar,
            planted=planted,
            standing=standing,
        )


@dataclass(frozen=True, slots=True)
class _Kind:
    """What is the same of a cultivar however it is asked about at a garden."""

    usual: date
    window: tuple[date, date]
    poison: tuple[Advice, ...]


def _kind(cultivar: Cultivar, *, garden: Garden, first_day: np.datetime64) -> _Kind:
    usual = usual_planting_day(cultivar, garden=garden, first_day=first_day)
    return _Kind(
        usual=usual,
        window=usual_planting_span(cultivar, usual=usual),
        poison=tuple(poison_advice(cultivar, pets=False)),
    )


def bands_of(solved: Solved) -> dict[str, BandDays]:
    """Bands of the five days a planting is followed by."""
    return {stage: solved.bands(stage) for stage in STAGES}


def outcomes(
    solved: Solved,
    *,
    bands: dict[str, BandDays] | None = None,
    plans: Sequence[ColdPlan | None] = (),
) -> list[Outcome]:
    """Dates and words for every row of a solved table.

    bands : of `bands_of`, if at hand. plans : of `cold_plans`, without which the words on too
    little cold don't say what helps.
    """
    days = solved.days
    bands = bands or bands_of(solved)
    flowers = solved.flowers()
    cold = yearly_median(days.cold_weeks)
    blind, killed = solved.blind.mean(axis=1), solved.killed.mean(axis=1)
    late = solved.too_late.mean(axis=1)
    # The need is met on a median day, or not at all in half of the years or more.
    # A need that is met only after the flower explains nothing about it.
    met_before = days.cold_met <= np.where(np.isfinite(days.start), days.start, np.inf)
    met = yearly_median(np.where(met_before, days.cold_met, np.inf))
    at_risk = [int(row) for row in np.flatnonzero(killed >= FROST_TOLD)]
    refuges = refuges_of(solved, at_risk)
    dated = {name: dates_of(band, solved) for name, band in bands.items()}
    result = []
    for row, planting in enumerate(solved.plantings):
        opens = bool(flowers[row])
        help_words = ""
        if killed[row] >= FROST_TOLD:
            help_words = refuge_words(planting.standing, refuges.get(row))
        shown = {name: each[row] if opens else None for name, each in dated.items()}
        cultivar = planting.cultivar
        plan = plans[row] if plans else None
        # Verdicts rest on the figure that is shown, so that the two can't contradict.
        weeks = round(float(cold[row]), 1)
        cause = None if opens else _cause(float(blind[row]), float(killed[row]), float(late[row]))
        if cause == "frost":
            reason = _frost_words(help_words, float(killed[row]))
        elif cause == "cold":
            reason = _cold_words(cultivar, weeks, blind=float(blind[row]), plan=plan)
        else:
            reason = tr("no flower this season: planted too late to open before the season ends")
        result.append(
            Outcome(
                start=shown["start"],
                full=shown["full"],
                end=shown["end"],
                nose=shown["nose"],
                leaves_over=shown["leaves_over"],
                cold_met_on=solved.date_of(float(met[row])) if np.isfinite(met[row]) else None,
                reason=None if opens else reason,
                cold_weeks=weeks,
                cold_weeks_needed=(
                    cultivar.chill_weeks_min if solved.needs[row].full_rate_weeks > 0.0 else None
                ),
                too_little_cold_share=float(blind[row]),
                killed_share=float(killed[row]),
                cold_plan=plan,
                cause=cause,
                advice=(
                    *cold_advice(
                        cultivar, cold_weeks=weeks, blind_share=float(blind[row]), plan=plan
                    ),
                    *frost_advice(
                        cultivar,
                        killed_share=float(killed[row]),
                        help_words=help_words,
                    ),
                ),
            )
        )
    return result


def dates_of(band: BandDays, solved: Solved) -> list[Band | None]:
    """The dates of each row's band."""
    known = np.isfinite(band.p10 + band.p50 + band.p90)

    def ordinals(days: Floats) -> list[int]:
        whole = np.floor(np.where(known, days, 0.0)).astype(np.int64)
        return (whole + solved.first_ordinal).tolist()  # type: ignore[no-any-return]

    day = date.fromordinal
    return [
        Band(day(p10), day(p50), day(p90)) if is_known else None
        for is_known, p10, p50, p90 in zip(
            known.tolist(), ordinals(band.p10), ordinals(band.p50), ordinals(band.p90), strict=True
        )
    ]


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
