"""Solves many plantings at once: merges equal ones, prepares sums, applies what can fail."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import BandDays, band_days
from bloomline.engine.climate import WeatherYears
from bloomline.engine.flowering import (
    FloweringDays,
    Plantings,
    PreparedSums,
    Surroundings,
    colder_than,
    flowering_days,
    prepare,
)
from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.engine.rootzone import depth_days
from bloomline.model.cultivar import Cultivar
from bloomline.plan.calendar import as_date, as_day, days_between
from bloomline.plan.garden import Garden
from bloomline.plan.needs import Need, NeedSolver
from bloomline.plan.surroundings import Standing, surroundings_of
from bloomline.plan.weather import RecordedWeather, weather_for
from bloomline.reference.rules import load_rules
from bloomline.reference.tasks import load_task_rules

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

BLIND_BELOW = 0.6
"""Share of the least cold weeks under which buds fail rather than open on short stems.

Judgement, no source: handbooks give the least weeks for a good flower, not for none."""

_LONGEST_WAIT_DAYS = 360
_KEPT_SUMS = 6


@dataclass(frozen=True, slots=True)
class Planting:
    """Bulbs of one cultivar, planted on one day in one kind of place.

    rooted : the day from which cold and heat count; the planting day, or for established
    bulbs the usual planting day of this season. shift_days : the garden's learned offset.
    extra_cover_cm : how much deeper it lies than its kind usually does (`extra_cover_cm`).
    """

    cultivar: Cultivar
    rooted: date
    standing: Standing
    prechill_weeks: float = 0.0
    established: bool = False
    shift_days: float = 0.0
    extra_cover_cm: float = 0.0


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """What is not known, one standard deviation in days.

    cultivar : of each planting's own date, shape (n,). garden : what moves the whole yard.
    """

    cultivar: Floats
    garden: float

    @property
    def together(self) -> Floats:
        """Both, shape (n,)."""
        return np.hypot(self.cultivar, self.garden)


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """Answers for different plantings on one axis; arrays have shape (n, n_years).

    `days` holds NaN for years without flowers: `blind` for want of cold, `too_late` because the
    season ends first. In years in which frost has `killed` the bulbs it holds the days on which
    they would have flowered, so that dates don't come from mild years alone; what counts as
    colour is `in_flower`. `first_day` is day 0, `first_ordinal` the same as an ordinal.
    """

    garden: Garden
    first_day: np.datetime64
    weather: WeatherYears
    plantings: tuple[Planting, ...]
    needs: tuple[Need, ...]
    days: FloweringDays
    blind: Bools
    killed: Bools
    too_late: Bools
    uncertainty: Uncertainty
    first_ordinal: int

    def date_of(self, day: float) -> date:
        """The calendar day that a day of the axis falls in."""
        return date.fromordinal(self.first_ordinal + math.floor(day))

    def bands(self, values: Floats) -> BandDays:
        """Bands of one of the arrays of `days`."""
        return band_days(values, sd_days=self.uncertainty.together)

    def in_flower(self) -> tuple[Floats, Floats]:
        """First and last day of the flowers there are, NaN where frost killed the bulbs too."""
        start, end = (
            np.where(self.killed, np.nan, each) for each in (self.days.start, self.days.end)
        )
        return start, end

    def flowering_share(self) -> Floats:
        """Share of the weather years in which each planting flowers, shape (n,)."""
        return np.asarray((np.isfinite(self.days.start) & ~self.killed).mean(axis=1))


class Forecaster:
    """Answers for plantings at gardens; keeps weather and sums that serve again.

    One forecaster may serve a whole session. It holds no open files and no clock.
    """

    def __init__(
        self, *, growth_law: GrowthLaw | None = None, ageing_law: AgeingLaw | None = None
    ) -> None:
        self.growth_law = growth_law or GrowthLaw()
        self.ageing_law = ageing_law or AgeingLaw()
        self.needs = NeedSolver(growth_law=self.growth_law, ageing_law=self.ageing_law)
        self._weather: OrderedDict[tuple[object, ...], WeatherYears] = OrderedDict()
        self._sums: OrderedDict[tuple[object, ...], PreparedSums] = OrderedDict()

    def forget(self) -> None:
        """Drop the weather and sums that are kept (the needs of cultivars stay)."""
        self._weather.clear()
        self._sums.clear()

    def weather(
        self,
        garden: Garden,
        *,
        first_day: np.datetime64,
        recorded: RecordedWeather | None = None,
    ) -> WeatherYears:
        """The garden's weather years, made once."""
        key = (garden, str(first_day), recorded)
        if key not in self._weather:
            self._weather[key] = weather_for(garden, first_day=first_day, recorded=recorded)
            if len(self._weather) > _KEPT_SUMS:
                self._weather.popitem(last=False)
        self._weather.move_to_end(key)
        return self._weather[key]

    def _prepared(
        self, weather: WeatherYears, surroundings: tuple[Surroundings, ...]
    ) -> PreparedSums:
        key = (weather, surroundings)
        if key not in self._sums:
            self._sums[key] = prepare(
                weather,
                surroundings=surroundings,
                growth_law=self.growth_law,
                ageing_law=self.ageing_law,
            )
            if len(self._sums) > _KEPT_SUMS:
                self._sums.popitem(last=False)
        self._sums.move_to_end(key)
        return self._sums[key]

    def solve(
        self,
        plantings: Sequence[Planting],
        *,
        garden: Garden,
        first_day: np.datetime64,
        recorded: RecordedWeather | None = None,
        garden_sd_days: float | None = None,
    ) -> Solved:
        """Flowering days of plantings in every weather year of a garden.

        Equal plantings should be merged by the caller: each row is worked out.
        """
        weather = self.weather(garden, first_day=first_day, recorded=recorded)
        zones: dict[Surroundings, int] = {}
        of_standing: dict[Standing, int] = {}
        for planting in plantings:
            if planting.standing not in of_standing:
                place = surroundings_of(planting.standing, first_day=first_day, law=self.growth_law)
                of_standing[planting.standing] = zones.setdefault(place, len(zones))
        if not zones:  # an empty yard still has its weather
            zones[surroundings_of(Standing(), first_day=first_day, law=self.growth_law)] = 0
        sums = self._prepared(weather, tuple(zones))
        needs = self.needs.needs([(p.cultivar, p.standing.where, p.established) for p in plantings])
        start = as_date(first_day).toordinal()
        deeper = np.array(
            [
                depth_days(p.extra_cover_cm, in_ground=p.standing.where == "ground")
                for p in plantings
            ],
            dtype=np.float64,
        )
        table = Plantings(
            zone=np.array([of_standing[p.standing] for p in plantings], dtype=np.int64),
            planted=np.array([p.rooted.toordinal() - start for p in plantings], dtype=np.int64),
            full_rate_weeks=np.array([need.full_rate_weeks for need in needs]),
            prechilled_weeks=np.array([p.prechill_weeks for p in plantings], dtype=np.float64),
            heat_need=np.array([need.heat for need in needs]),
            life=np.array([need.life for need in needs]),
            shift_days=np.array([p.shift_days for p in plantings], dtype=np.float64) + deeper,
            bud_weeks=np.array(
                [
                    BLIND_BELOW * (p.cultivar.chill_weeks_min or 0.0) * (need.full_rate_weeks > 0.0)
                    for p, need in zip(plantings, needs, strict=True)
                ],
                dtype=np.float64,
            ),
            bud_last_day=np.array(
                [
                    _midsummer_after(p.rooted, southern=garden.is_southern).toordinal() - start
                    for p in plantings
                ],
                dtype=np.int64,
            ),
            leaf_days=np.array(
                [_leaf_days(p.cultivar, self.ageing_law) for p in plantings],
                dtype=np.float64,
            ),
        )
        days = flowering_days(sums, plantings=table, law=self.growth_law, ageing=self.ageing_law)
        # A learned delay says nothing of the nose; a longer way to the light does.
        nose = days.nose + np.maximum(deeper, 0.0)[:, None]
        days = replace(days, nose=np.minimum(nose, np.fmax(days.start, days.nose)))
        sd = np.array(
            [
                np.hypot(p.cultivar.ref_sd_days, p.cultivar.established_sd_days)
                if p.established
                else p.cultivar.ref_sd_days
                for p in plantings
            ],
            dtype=np.float64,
        )
        garden_sd = self.growth_law.garden_sd_days if garden_sd_days is None else garden_sd_days
        return _with_failures(
            Solved(
                garden=garden,
                first_day=first_day,
                weather=weather,
                plantings=tuple(plantings),
                needs=tuple(needs),
                days=days,
                blind=np.zeros(days.start.shape, dtype=bool),
                killed=np.zeros(days.start.shape, dtype=bool),
                too_late=np.zeros(days.start.shape, dtype=bool),
                uncertainty=Uncertainty(
                    cultivar=np.hypot(sd, self.growth_law.model_sd_days), garden=garden_sd
                ),
                first_ordinal=start,
            ),
            sums=sums,
            table=table,
        )


def _with_failures(solved: Solved, *, sums: PreparedSums, table: Plantings) -> Solved:
    """Take out the years in which a planting can't flower, mark those in which frost kills it."""
    days = solved.days
    blind = days.blind.copy()
    limits = np.array([_lethal_c(p.cultivar.genus, p.cultivar.group) for p in solved.plantings])
    killed = colder_than(
        sums.root_c, zone=table.zone, first=table.planted, last=days.start, limit_c=limits
    )
    southern = solved.garden.is_southern
    begin = solved.first_ordinal
    last_day = np.array(
        [
            _last_start(
                p.rooted,
                p.cultivar.flowers_in == "autumn" and p.cultivar.season_planted == "summer",
                southern,
            )
            - begin
            for p in solved.plantings
        ],
        dtype=np.float64,
    )
    too_late = ~(days.start <= np.minimum(last_day, sums.n_days - 1.0)[:, None])
    frost = _first_autumn_frost(solved, table)
    # The frost that stops their growth blackens flowers and leaves.
    end, leaves_over = (
        np.where(np.isfinite(frost), np.fmin(each, frost), each)
        for each in (days.end, days.leaves_over)
    )
    too_late |= (days.start > frost) | ~np.isfinite(end)
    none = blind | too_late
    blind &= ~killed
    too_late &= ~killed & ~blind

    def kept(values: Floats) -> Floats:
        return np.where(none, np.nan, values)

    return replace(
        solved,
        days=replace(
            days,
            nose=kept(days.nose),
            start=kept(days.start),
            full=kept(days.full),
            end=kept(end),
            leaves_over=kept(leaves_over),
        ),
        blind=blind,
        killed=killed,
        too_late=too_late,
    )


def _leaf_days(cultivar: Cultivar, law: AgeingLaw) -> float:
    """Ageing from the last flower to yellow leaves. [days at 10 °C]"""
    if cultivar.flowers_in != "autumn":
        return law.leaf_days
    late = _leaves_come_later(cultivar.genus, cultivar.group)
    return law.late_leaf_days if late else law.winter_leaf_days


@lru_cache(maxsize=512)
def _leaves_come_later(genus: str, group: str) -> bool:
    return load_task_rules().aftercare(genus, group).leaves == "later"


@lru_cache(maxsize=512)
def _lethal_c(genus: str, group: str) -> float:
    return load_rules().lethal_c(genus, group).bulb_c


@lru_cache(maxsize=4096)
def _midsummer_after(day: date, *, southern: bool) -> date:
    month, of_month = (2, 1) if southern else (8, 1)
    this_year = date(day.year, month, of_month)
    return this_year if this_year > day else date(day.year + 1, month, of_month)


@lru_cache(maxsize=4096)
def _last_start(rooted: date, autumn_flowering: bool, southern: bool) -> int:
    """Ordinal of the last day on which first flower still belongs to this season."""
    if not autumn_flowering:
        return rooted.toordinal() + _LONGEST_WAIT_DAYS
    # Autumn-flowering bulbs open before midwinter or wait for the next autumn.
    month, day = (6, 30) if southern else (12, 31)
    last = date(rooted.year, month, day)
    return (last if last >= rooted else date(rooted.year + 1, month, day)).toordinal()


def _first_autumn_frost(solved: Solved, table: Plantings) -> Floats:
    """Axis day of the frost that ends the growth of spring-planted kinds, (n, n_years).

    Infinite for kinds that frost doesn't stop, and in years without such a frost.
    """
    ends = np.full(solved.days.start.shape, np.inf)
    weather = solved.weather
    first: dict[date, Floats] = {}
    for row, planting in enumerate(solved.plantings):
        if planting.cultivar.season_planted != "spring":
            continue
        after = _midsummer_after(planting.rooted, southern=solved.garden.is_southern)
        if after not in first:
            at = days_between(solved.first_day, as_day(after))
            frosty = weather.tmin_c[:, at : at + 240] < -1.0
            first[after] = np.full(len(frosty), np.inf)
            if frosty.shape[1]:  # else it lies beyond the axis
                hit = np.argmax(frosty, axis=1).astype(np.float64) + at
                first[after] = np.where(frosty.any(axis=1), hit, np.inf)
        ends[row] = first[after]
    return ends
