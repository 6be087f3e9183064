"""What was seen, held against what was forecast for that season: residuals and odd entries."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import yearly_median
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Record, Seen, Site, Yard
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.surroundings import extra_cover_cm, standing_of
from bloomline.plan.climate.weather import RecordedWeather, yard_axis_start
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.planting_day import MIDSUMMER_DAY, counts_from, usual_planting_day
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.forecast.solved import Solved, Stage
from bloomline.plan.records.stages import impossible_words, margin_days
from bloomline.plan.words.days import as_date
from bloomline.words import tr

Floats = NDArray[np.float64]

STAGE_OF: dict[Seen, Stage] = {
    "nose": "nose",
    "first-flower": "start",
    "full": "full",
    "over": "end",
}
_HALF_A_YEAR = timedelta(days=183)


@dataclass(frozen=True, slots=True, eq=False)
class Fact:
    """A record beside the forecast for its season, without any learned offset.

    expected, p10, p90 : days of the forecast, None when it has none. weather_days : the stage
    in every weather year, shape (n_years,), less its mean. sd_days : the cultivar's own
    uncertainty. problem : why the entry can't be right whatever else was seen: no weather year
    brings it, or the bulbs weren't there; "" when it may be.
    """

    record: Record
    pot: Pot
    cultivar: Cultivar
    season_year: int
    expected: date | None
    p10: date | None
    p90: date | None
    residual_days: float
    weather_days: Floats
    sd_days: float
    problem: str

    @property
    def site(self) -> Site:
        """Where the pot stands."""
        return self.pot.site

    @property
    def is_usable(self) -> bool:
        """Whether something can be learned from it.

        What can't be teaches nothing even when confirmed: it may be right, but then it tells of
        a wrong label or of bulbs forced indoors, and nothing of the garden.
        """
        return self.expected is not None and not self.problem


@dataclass(frozen=True, slots=True)
class _Asked:
    """A record with what it is about, and how its bulbs were planted then."""

    record: Record
    pot: Pot
    layer: Layer
    cultivar: Cultivar
    season_year: int
    rooted: date | None  # None: the usual day of that season
    established: bool
    problem: str


def season_of(day: date, cultivar: Cultivar, *, southern: bool) -> int:
    """The season, by the year of its spring, that a day seen of a cultivar belongs to.

    Half of a calendar year belongs to two seasons: summer flowers close the one, noses and
    autumn flowers open the next.
    """
    north = day - _HALF_A_YEAR if southern else day
    opens_next = {"summer": 13, "autumn": 6}.get(cultivar.flowers_in, 9)
    return north.year + (1 if north.month >= opens_next else 0)


def season_seen(day: date, layer: Layer, cultivar: Cultivar, *, garden: Garden) -> int:
    """The season that a day seen of a layer belongs to.

    What shows of bulbs planted after midsummer is of the season after, but for autumn flowers.
    """
    season = season_of(day, cultivar, southern=garden.is_southern)
    midsummer = as_date(yard_axis_start(season, garden=garden)) + timedelta(days=MIDSUMMER_DAY)
    late = midsummer < layer.planted <= day
    return season + 1 if late and cultivar.flowers_in != "autumn" else season


def rooting_span(season_year: int, cultivar: Cultivar, *, garden: Garden) -> tuple[date, date]:
    """The first day on which bulbs that flower in a season may be planted, and the day after
    the last.
    """
    start, end = (
        as_date(yard_axis_start(year, garden=garden)) for year in (season_year, season_year + 1)
    )
    return start, end + _HALF_A_YEAR if cultivar.flowers_in == "summer" else end


def facts_of(
    yard: Yard,
    *,
    records: Iterable[Record],
    cultivar_of: Callable[[str], Cultivar],
    forecaster: Forecaster,
    garden: Garden,
    recorded: RecordedWeather | None = None,
    today: date | None = None,
) -> list[Fact]:
    """Records beside the forecasts for their seasons, in the order given.

    A record from before its layer's planting season is of an earlier planting, taken as done
    on that season's usual day. forecaster : one whose kept weather may be replaced.
    """
    places = {layer.id: (pot, layer) for pot, layer in yard.layers()}
    asked = [
        _ask(record, *places[record.layer_id], cultivar_of, garden=garden, today=today)
        for record in records
    ]
    facts: dict[str, Fact] = {}
    for season in sorted({each.season_year for each in asked}):
        some = [each for each in asked if each.season_year == season]
        for fact in _season_facts(some, season, yard, forecaster, garden, recorded):
            facts[fact.record.id] = fact
    return [facts[each.record.id] for each in asked]


def _ask(
    record: Record,
    pot: Pot,
    layer: Layer,
    cultivar_of: Callable[[str], Cultivar],
    *,
    garden: Garden,
    today: date | None,
) -> _Asked:
    cultivar = cultivar_of(layer.cultivar_id)
    season = season_seen(record.day, layer, cultivar, garden=garden)
    start, end = rooting_span(season, cultivar, garden=garden)
    established = layer.planted < start
    problem = ""
    if today is not None and record.day > today:
        problem = tr("{day} is still to come", day=record.day)
    elif start <= layer.planted < end and record.day < layer.planted:
        problem = tr("before these bulbs were planted, on {planted}", planted=layer.planted)
    elif layer.lifted_on is not None and record.day > layer.lifted_on:
        problem = tr("after these bulbs left their pot, on {lifted_on}", lifted_on=layer.lifted_on)
    rooted = layer.planted if start <= layer.planted < end else None
    return _Asked(record, pot, layer, cultivar, season, rooted, established, problem)


def _season_facts(
    asked: list[_Asked],
    season: int,
    yard: Yard,
    forecaster: Forecaster,
    garden: Garden,
    recorded: RecordedWeather | None,
) -> list[Fact]:
    first_day = yard_axis_start(season, garden=garden)
    rows: dict[Planting, int] = {}
    at: list[int] = []
    for each in asked:
        usual = usual_planting_day(each.cultivar, garden=garden, first_day=first_day)
        rooted = counts_from(
            each.cultivar,
            planted=each.rooted or usual,
            established=each.established,
            usual=usual,
            first_day=first_day,
        )
        planting = Planting(
            each.cultivar,
            rooted,
            standing_of(each.pot, site_offset_c=yard.site_offsets.get(each.pot.site, 0.0)),
            0.0 if each.rooted is None else each.layer.prechill_weeks,
            each.established,
            extra_cover_cm=extra_cover_cm(each.layer.cover_cm, each.cultivar),
        )
        at.append(rows.setdefault(planting, len(rows)))
    solved = forecaster.solve(list(rows), garden=garden, first_day=first_day, recorded=recorded)
    climate = solved
    if recorded is not None:  # what is possible is a matter of the climate, not of one year
        climate = forecaster.solve(list(rows), garden=garden, first_day=first_day)
    by_stage = {stage: _Stage(solved, climate, name) for stage, name in STAGE_OF.items()}
    return [by_stage[each.record.seen].fact(each, row) for each, row in zip(asked, at, strict=True)]


class _Stage:
    """One stage of every planting: its bands and its day in each weather year."""

    def __init__(self, solved: Solved, climate: Solved, name: Stage) -> None:
        values: Floats = getattr(solved.days, name)
        both = np.concatenate([values, getattr(climate.days, name)], axis=1)
        self._first = np.where(np.isfinite(both), both, np.inf).min(axis=1)
        self._last = np.where(np.isfinite(both), both, -np.inf).max(axis=1)
        self._solved = solved
        self._bands = solved.bands(name)
        self._flowers = np.isfinite(values).mean(axis=1) >= 0.5
        known = np.isfinite(values)
        middle = np.where(known, values, 0.0).sum(axis=1) / np.maximum(known.sum(axis=1), 1)
        # A year without flowers says nothing of when they come.
        filled = np.where(known, values, middle[:, None])
        self._weather = filled - filled.mean(axis=1, keepdims=True)
        self._median = yearly_median(filled)

    def fact(self, each: _Asked, row: int) -> Fact:
        """A record beside this stage of its planting."""
        solved = self._solved
        opens = bool(self._flowers[row])
        seen = each.record.day.toordinal() - solved.first_ordinal + 0.5
        bands = self._bands
        cultivar = each.cultivar
        sd = cultivar.ref_sd_days
        if each.established:
            sd = float(np.hypot(sd, cultivar.established_sd_days))
        residual = seen - float(self._median[row]) if opens else float("nan")
        problem = each.problem
        if not problem and opens:
            margin = margin_days(each.record.seen, cultivar_sd_days=sd)
            first, last = float(self._first[row]) - margin, float(self._last[row]) + margin
            if not first <= seen <= last:
                span = solved.date_of(first), solved.date_of(last)
                problem = impossible_words(
                    each.record.seen, span, residual_days=residual, season_year=each.season_year
                )
        return Fact(
            record=each.record,
            pot=each.pot,
            cultivar=cultivar,
            season_year=each.season_year,
            expected=solved.date_of(float(self._median[row])) if opens else None,
            p10=solved.date_of(float(bands.p10[row])) if opens else None,
            p90=solved.date_of(float(bands.p90[row])) if opens else None,
            residual_days=residual,
            weather_days=self._weather[row],
            sd_days=float(sd),
            problem=problem,
        )


@dataclass(frozen=True, slots=True)
class FactRow:
    """How forecasts did for one group of records (a year, a kind, or all of them).

    bias_days : mean of seen minus forecast. error_days : mean of its size. inside_share : share
    of the records inside the band that eight years of ten should fall into.
    """

    name: str
    n: int
    bias_days: float
    error_days: float
    inside_share: float


def against_facts(facts: Iterable[Fact], *, by: Callable[[Fact], str]) -> list[FactRow]:
    """Forecast against fact in groups, in order of their names; records without either left out.

    The forecasts are those without the learned offset, made without knowing the records. Noses
    are left out: their days are a rough guess, and hide how well flowers are forecast.
    """
    groups: dict[str, list[Fact]] = {}
    for fact in facts:
        if fact.expected is not None and fact.record.seen != "nose":
            groups.setdefault(by(fact), []).append(fact)
    rows = []
    for name, some in sorted(groups.items()):
        errors = np.array([fact.residual_days for fact in some])
        inside = [
            fact.p10 is not None
            and fact.p90 is not None
            and fact.p10 <= fact.record.day <= fact.p90
            for fact in some
        ]
        rows.append(
            FactRow(
                name,
                len(some),
                float(errors.mean()),
                float(np.abs(errors).mean()),
                float(np.mean(inside)),
            )
        )
    return rows
