"""One planting at one place: when it flowers, how sure that is, and what to mind."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, fields
from datetime import date

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
from bloomline.plan.forecast.outcomes import Outcome, outcomes
from bloomline.plan.forecast.planting_day import (
    counts_from,
    usual_planting_day,
    usual_planting_span,
)
from bloomline.plan.forecast.plantings import Planting
from bloomline.words import tr

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
    number_of: dict[int, int] = {}  # by the garden's identity, which requests keep alive
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
        number = number_of.get(id(garden))
        if number is None:
            number = number_of[id(garden)] = numbers.setdefault(garden, len(numbers))
        groups.setdefault((number, axes[axis], request.standing), []).append(index)
    kinds = _Kinds()
    for key in sorted(groups, key=lambda key: key[:2]):
        members = groups[key]
        kinds.grow_at(key[0], requests[members[0]].garden, key[1])
        for at in range(0, len(members), _AT_ONCE):
            some = members[at : at + _AT_ONCE]
            answers = _answers(
                [requests[index] for index in some],
                forecaster=forecaster,
                first_day=key[1],
                recorded=recorded,
                kinds=kinds,
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
    kinds: _Kinds,
) -> Iterator[Forecast]:
    """Answers for one garden and one standing, on one axis; equal plantings share theirs.

    kinds : as they grow at that garden and on that axis.
    """
    garden, standing = requests[0].garden, requests[0].standing
    rows: dict[tuple[object, ...], int] = {}
    plantings: list[Planting] = []
    asked: list[tuple[_Kind, date, int]] = []
    for request in requests:
        cultivar = request.cultivar
        kind = kinds.of(cultivar)
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


class _Kinds:
    """Kinds as they are asked about at one garden and on one axis after another."""

    def __init__(self) -> None:
        self._at: tuple[int, np.datetime64] | None = None
        self._here: dict[int, _Kind] = {}  # by the identity of cultivars, which requests keep alive
        self._poison: dict[int, tuple[Advice, ...]] = {}

    def grow_at(self, number: int, garden: Garden, first_day: np.datetime64) -> None:
        """Ask about a garden, known by a number, and an axis from now on."""
        self._garden, self._first_day = garden, first_day
        if self._at != (number, first_day):
            self._at = (number, first_day)
            self._here.clear()

    def of(self, cultivar: Cultivar) -> _Kind:
        """The kind of a cultivar there."""
        kind = self._here.get(id(cultivar))
        if kind is None:
            usual = usual_planting_day(cultivar, garden=self._garden, first_day=self._first_day)
            if id(cultivar) not in self._poison:
                self._poison[id(cultivar)] = tuple(poison_advice(cultivar, pets=False))
            kind = self._here[id(cultivar)] = _Kind(
                usual=usual,
                window=usual_planting_span(cultivar, usual=usual),
                poison=self._poison[id(cultivar)],
            )
        return kind
