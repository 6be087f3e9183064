"""Plantings at places: when each flowers, how sure that is, and what to mind; one or many."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, field, fields
from datetime import date
from typing import TypeVar

import numpy as np

from bloomline.errors import UsageError
from bloomline.model.advice import Advice
from bloomline.model.cultivar import Cultivar
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.surroundings import Standing, extra_cover_cm
from bloomline.plan.climate.weather import RecordedWeather, axis_start
from bloomline.plan.forecast.advice import planting_advice, poison_advice, station_advice
from bloomline.plan.forecast.cold import cold_plans
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.outcomes import Outcome, OutcomeColumns, bands_of
from bloomline.plan.forecast.planting_day import (
    counts_from,
    usual_planting_day,
    usual_planting_span,
)
from bloomline.plan.forecast.plantings import Planting
from bloomline.words import tr

_EARLIEST = date(1900, 1, 1)
_LATEST = date(2199, 12, 31)
_AT_ONCE = 4096  # plantings whose tables take some tens of megabytes

Item = TypeVar("Item")


@dataclass(frozen=True, slots=True)
class Request:
    """A question: this cultivar, at this place, planted then and there.

    cover_cm : soil or compost over the bulb's tip; as deep as usual when None.
    Raises UsageError for a planting day, pre-chilling or depth that makes no sense.
    """

    id: str
    garden: Garden
    cultivar: Cultivar
    planted: date | None = None
    standing: Standing = field(default_factory=Standing)
    prechill_weeks: float = 0.0
    established: bool = False
    cover_cm: float | None = None

    def __post_init__(self) -> None:
        """Refuse what makes no sense."""
        if not 0.0 <= self.prechill_weeks <= 40.0:
            raise UsageError(
                tr(
                    "{prechill_weeks:g} weeks of pre-chilling; 0 to 40 are possible",
                    prechill_weeks=self.prechill_weeks,
                )
            )
        if self.planted is not None and not _EARLIEST <= self.planted <= _LATEST:
            raise UsageError(
                tr("planting day {planted} is outside 1900 to 2199", planted=self.planted)
            )
        if self.cover_cm is not None and not 0.0 <= self.cover_cm <= 150.0:
            raise UsageError(
                tr(
                    "{cover_cm:g} cm over the bulb; 0 to 150 cm are possible",
                    cover_cm=self.cover_cm,
                )
            )


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
    """Answer one request. Without a planting day the usual one of the current season is taken."""
    (answer,) = forecast_many([request], forecaster=forecaster, today=today, recorded=recorded)
    return answer


def forecast_many(
    requests: Sequence[Request],
    *,
    forecaster: Forecaster,
    today: date,
    recorded: RecordedWeather | None = None,
) -> list[Forecast]:
    """Answer many requests at once; order is kept."""
    answers: dict[int, Forecast] = {}
    for some in answered(requests, forecaster=forecaster, today=today, recorded=recorded):
        answers.update(zip(some.numbers, some, strict=True))
    return [answers[number] for number in range(len(requests))]


@dataclass(frozen=True, slots=True, eq=False)
class Answers:
    """Answers to requests about one garden, column by column, or one by one as forecasts.

    numbers : which requests they answer. planted : the day of each. rows : where each stands in
    the columns of outcomes, since equal plantings have one.
    """

    garden: Garden
    numbers: Sequence[int]
    requests: Sequence[Request]
    planted: Sequence[date]
    rows: Sequence[int]
    outcomes: OutcomeColumns
    advice: Sequence[tuple[Advice, ...]]

    def __len__(self) -> int:
        return len(self.numbers)

    def __iter__(self) -> Iterator[Forecast]:
        each = zip(self.requests, self.planted, self.rows, self.advice, strict=True)
        for request, planted, row, advice in each:
            outcome = self.outcomes.row(row)
            answer = {name: getattr(outcome, name) for name in _OUTCOME}
            answer["advice"] = advice
            yield Forecast(
                **answer,
                id=request.id,
                garden=self.garden,
                cultivar=request.cultivar,
                planted=planted,
                standing=request.standing,
            )

    def column(self, of_rows: Sequence[Item]) -> list[Item]:
        """A column of the outcomes, with one value for each answer."""
        return [of_rows[row] for row in self.rows]


def answered(
    requests: Sequence[Request],
    *,
    forecaster: Forecaster,
    today: date,
    recorded: RecordedWeather | None = None,
    growth: bool = True,
) -> Iterator[Answers]:
    """The answers to many requests, many at a time as they come.

    Garden by garden, so that weather and sums are made once. growth : whether noses and leaves
    are asked for; they are None without.
    """
    numbers: dict[Garden, int] = {}
    groups: dict[tuple[int, np.datetime64], list[int]] = {}
    # By the garden's identity, which requests keep alive: few differ, and each is asked often.
    known: dict[tuple[int, date], list[int]] = {}
    for index, request in enumerate(requests):
        garden, planted = request.garden, request.planted or today
        members = known.get((id(garden), planted))
        if members is None:
            number = numbers.setdefault(garden, len(numbers))
            first_day = axis_start(planted, garden=garden)
            members = groups.setdefault((number, first_day), [])
            known[id(garden), planted] = members
        members.append(index)
    kinds = _Kinds()
    for key in sorted(groups):
        members = groups[key]
        kinds.grow_at(key[0], requests[members[0]].garden, key[1])
        for at in range(0, len(members), _AT_ONCE):
            yield _answers(
                requests,
                members[at : at + _AT_ONCE],
                forecaster=forecaster,
                first_day=key[1],
                recorded=recorded,
                growth=growth,
                kinds=kinds,
            )


def _answers(
    requests: Sequence[Request],
    numbers: Sequence[int],
    *,
    forecaster: Forecaster,
    first_day: np.datetime64,
    recorded: RecordedWeather | None,
    growth: bool,
    kinds: _Kinds,
) -> Answers:
    """Answers to some requests about one garden, on one axis; equal plantings share theirs.

    kinds : as they grow at that garden and on that axis.
    """
    some = [requests[number] for number in numbers]
    garden = some[0].garden
    numbered: dict[tuple[object, ...], int] = {}
    plantings: list[Planting] = []
    asked: list[_Kind] = []
    days: list[date] = []
    rows: list[int] = []
    for request in some:
        cultivar, standing, weeks = request.cultivar, request.standing, request.prechill_weeks
        kind = kinds.of(cultivar)
        planted = request.planted or kind.usual
        asked.append(kind)
        days.append(planted)
        rooted = counts_from(
            cultivar,
            planted=planted,
            established=request.established,
            usual=kind.usual,
            first_day=first_day,
        )
        deeper = 0.0 if request.cover_cm is None else extra_cover_cm(request.cover_cm, cultivar)
        key = (id(cultivar), rooted, id(standing), weeks, request.established, deeper)
        row = numbered.setdefault(key, len(plantings))
        rows.append(row)
        if row == len(plantings):
            plantings.append(
                Planting(cultivar, rooted, standing, weeks, request.established, 0.0, deeper)
            )
    solved = forecaster.solve(
        plantings, garden=garden, first_day=first_day, recorded=recorded, growth=growth
    )
    plans = cold_plans(solved, forecaster=forecaster, recorded=recorded)
    found = OutcomeColumns(solved, bands_of(solved), plans)
    advice = []
    for request, kind, planted, row in zip(some, asked, days, rows, strict=True):
        of_row = found.advice(row)
        chilled, flowers = request.prechill_weeks > 0.0, found.flowers(row)
        asked_of_day = (planted, request.established, chilled, flowers)
        of_day = kind.of_days.get(asked_of_day)
        if of_day is None:
            of_day = kind.of_days[asked_of_day] = planting_advice(
                planted=planted,
                usual=kind.usual,
                established=request.established,
                prechilled=chilled,
                flowers=flowers,
                window=kind.window,
            )
        told = of_row or of_day
        advice.append((*of_row, *of_day, *kind.always) if told else kind.always)
    return Answers(garden, numbers, some, days, rows, found, advice)


@dataclass(frozen=True, slots=True)
class _Kind:
    """What is the same of cultivars of a sort however they are asked about at a garden."""

    usual: date
    window: tuple[date, date]
    always: tuple[Advice, ...]  # of its poison and the garden's station
    of_days: dict[tuple[object, ...], list[Advice]] = field(default_factory=dict)


def _sort_of(cultivar: Cultivar) -> Hashable:
    """All that a `_Kind` rests on; many cultivars have it in common."""
    return (
        cultivar.ref_planted,
        cultivar.season_planted,
        cultivar.genus,
        cultivar.group,
        cultivar.toxic_pets,
        cultivar.toxic_note,
    )


class _Kinds:
    """Kinds as they are asked about at one garden and on one axis after another."""

    def __init__(self) -> None:
        self._at: tuple[int, np.datetime64] | None = None
        self._sorts: dict[int, Hashable] = {}  # by the cultivar's identity, which requests keep
        self._here: dict[Hashable, _Kind] = {}

    def grow_at(self, number: int, garden: Garden, first_day: np.datetime64) -> None:
        """Ask about a garden, known by a number, and an axis from now on."""
        self._garden, self._first_day = garden, first_day
        if self._at != (number, first_day):
            self._at = (number, first_day)
            self._here.clear()
            self._of_place = station_advice(garden)

    def of(self, cultivar: Cultivar) -> _Kind:
        """The kind of a cultivar there."""
        sort = self._sorts.get(id(cultivar))
        if sort is None:
            sort = self._sorts[id(cultivar)] = _sort_of(cultivar)
        kind = self._here.get(sort)
        if kind is None:
            usual = usual_planting_day(cultivar, garden=self._garden, first_day=self._first_day)
            kind = self._here[sort] = _Kind(
                usual=usual,
                window=usual_planting_span(cultivar, usual=usual),
                always=(*poison_advice(cultivar, pets=False), *self._of_place),
            )
        return kind
