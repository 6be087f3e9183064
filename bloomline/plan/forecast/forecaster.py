"""Solves many plantings at once: merges equal ones, prepares sums, applies what can fail."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property, lru_cache
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.autumn import AutumnLaw
from bloomline.engine.bands import yearly_median
from bloomline.engine.climate import WeatherYears
from bloomline.engine.flowering import flowering_days
from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.engine.heat_sums import Plantings, heat_until
from bloomline.engine.rootzone import colder_than
from bloomline.engine.sums import PreparedSums, Surroundings, prepare
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.surroundings import Standing, surroundings_of
from bloomline.plan.climate.weather import RecordedWeather, weather_for
from bloomline.plan.forecast.keep import Keep
from bloomline.plan.forecast.mixed import joined, parted
from bloomline.plan.forecast.needs import Need, NeedSolver, date_sd_days
from bloomline.plan.forecast.plantings import Planting, last_autumn_day, midsummer_after, table_of
from bloomline.plan.forecast.solved import Solved, SolvedTables, Uncertainty
from bloomline.plan.words.days import as_date, as_day, days_between
from bloomline.reference.rules import load_rules

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_LONGEST_WAIT_DAYS = 360
_KEPT_SUMS = 6


@dataclass(frozen=True, slots=True)
class Gathered:
    """What plantings have had by a day, median over the weather years; shape (n,) each.

    heat_share : of the heat until first flower, 0 to 1; NaN for kinds that open as the year
    cools. cold_weeks : since planting, with those before it.
    """

    heat_share: Floats
    cold_weeks: Floats


class Forecaster:
    """Answers for plantings at gardens; keeps weather and sums that serve again.

    One forecaster may serve a whole session and several threads. It holds no open files and no
    clock.
    """

    def __init__(
        self,
        *,
        growth_law: GrowthLaw | None = None,
        ageing_law: AgeingLaw | None = None,
        autumn_law: AutumnLaw | None = None,
    ) -> None:
        self.growth_law = growth_law or GrowthLaw()
        self.ageing_law = ageing_law or AgeingLaw()
        self.autumn_law = autumn_law or AutumnLaw()
        self.needs = NeedSolver(
            growth_law=self.growth_law, ageing_law=self.ageing_law, autumn_law=self.autumn_law
        )
        self._weather: Keep[WeatherYears] = Keep(_KEPT_SUMS)
        self._sums: Keep[PreparedSums] = Keep(_KEPT_SUMS)
        self._tables = SolvedTables()

    @cached_property
    def side(self) -> Forecaster:
        """Another for the questions beside the season shown, always the same one."""
        return self.aside()

    def aside(self) -> Forecaster:
        """One of the same laws and needs, whose weather and sums don't push this one's out."""
        other = Forecaster(
            growth_law=self.growth_law, ageing_law=self.ageing_law, autumn_law=self.autumn_law
        )
        other.needs = self.needs
        return other

    def forget(self) -> None:
        """Drop the weather and sums that are kept (the needs of cultivars stay)."""
        self._weather.forget()
        self._sums.forget()
        self._tables.forget()

    def weather(
        self,
        garden: Garden,
        *,
        first_day: np.datetime64,
        recorded: RecordedWeather | None = None,
    ) -> WeatherYears:
        """The garden's weather years, made once."""
        return self._weather.get(
            (garden, str(first_day), recorded),
            lambda: weather_for(garden, first_day=first_day, recorded=recorded),
        )

    def _prepared(
        self, weather: WeatherYears, wanted: tuple[Surroundings, ...], *, summer: bool
    ) -> tuple[PreparedSums, dict[Surroundings, int]]:
        """Sums for surroundings, and which of them are whose; those at hand serve again."""
        question: tuple[WeatherYears, tuple[Surroundings, ...], bool]
        question = (weather, wanted, summer)
        for known in self._sums.questions():
            # What was prepared for more places, or for summer kinds as well, does.
            of, places, with_summer = cast("tuple[Any, ...]", known)
            if of is weather and with_summer >= summer and set(places).issuperset(wanted):
                question = (of, places, with_summer)
                break
        sums = self._sums.get(
            question,
            lambda: prepare(
                weather,
                surroundings=question[1],  # another thread may have pushed them out meanwhile
                growth_law=self.growth_law,
                ageing_law=self.ageing_law,
                summer=question[2],
            ),
        )
        return sums, {place: number for number, place in enumerate(question[1])}

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
        flat, of = parted(plantings)
        weather = self.weather(garden, first_day=first_day, recorded=recorded)
        garden_sd = self.growth_law.garden_sd_days if garden_sd_days is None else garden_sd_days
        solved = self._tables.solve(
            flat,
            (garden, weather, garden_sd),
            lambda some: self._solve(some, garden=garden, weather=weather, garden_sd=garden_sd),
        )
        if not any(each.cultivar.parts for each in plantings):
            return solved
        return joined(solved, plantings, of)

    def _solve(
        self,
        plantings: Sequence[Planting],
        *,
        garden: Garden,
        weather: WeatherYears,
        garden_sd: float,
    ) -> Solved:
        needs, sums, table = self._asked(plantings, garden=garden, weather=weather)
        days = flowering_days(
            sums,
            plantings=table,
            law=self.growth_law,
            ageing=self.ageing_law,
            autumn=self.autumn_law,
        )
        # A learned delay says nothing of the nose; a longer way to the light does.
        longer = np.array([max(p.depth_days, 0.0) for p in plantings])
        nose = np.minimum(days.nose + longer[:, None], np.fmax(days.start, days.nose))
        days = replace(days, nose=nose)
        sd = np.array(
            [
                date_sd_days(p.cultivar, established=p.established, law=self.growth_law)
                for p in plantings
            ],
            dtype=np.float64,
        )
        first_day = weather.first_day
        start = as_date(first_day).toordinal()
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
                uncertainty=Uncertainty(cultivar=sd, garden=garden_sd),
                first_ordinal=start,
                earliest=np.asarray(table.earliest),
            ),
            sums=sums,
            table=table,
        )

    def gathered(
        self, solved: Solved, *, day: int, recorded: RecordedWeather | None = None
    ) -> Gathered:
        """What each planting of a solved table has had by the start of a day of its axis."""
        weather = self.weather(solved.garden, first_day=solved.first_day, recorded=recorded)
        needs, sums, table = self._asked(solved.plantings, garden=solved.garden, weather=weather)
        upto = np.maximum(table.begins, day)
        heat = yearly_median(
            heat_until(sums, plantings=table, day=upto.astype(np.float64), law=self.growth_law)
        )
        since = np.maximum(table.planted, day)
        cold = sums.cold_weeks[table.zone, :, since] - sums.cold_weeks[table.zone, :, table.planted]
        full = np.array([need.heat for need in needs])
        share = np.clip(heat / np.where(full > 0.0, full, np.nan), 0.0, 1.0)
        return Gathered(heat_share=share, cold_weeks=yearly_median(cold) + table.prechilled_weeks)

    def _asked(
        self, plantings: Sequence[Planting], *, garden: Garden, weather: WeatherYears
    ) -> tuple[list[Need], PreparedSums, Plantings]:
        """What plantings need, the sums of their surroundings, and the engine's table of them."""
        first_day = weather.first_day
        of_standing: dict[Standing, Surroundings] = {}
        for planting in plantings:
            if planting.standing not in of_standing:
                place = surroundings_of(planting.standing, first_day=first_day, law=self.growth_law)
                of_standing[planting.standing] = place
        wanted = tuple(dict.fromkeys(of_standing.values()))
        if not wanted:  # an empty yard still has its weather
            wanted = (surroundings_of(Standing(), first_day=first_day, law=self.growth_law),)
        summer = any(p.cultivar.flowering_law == "summer" for p in plantings)
        sums, zones = self._prepared(weather, wanted, summer=summer)
        needs = self.needs.needs([(p.cultivar, p.standing.where, p.established) for p in plantings])
        table = table_of(
            plantings,
            zone=[zones[of_standing[p.standing]] for p in plantings],
            needs=needs,
            garden=garden,
            first_day=first_day,
            growth_law=self.growth_law,
            ageing_law=self.ageing_law,
        )
        return needs, sums, table


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
        [_last_start(p, southern=southern) - begin for p in solved.plantings],
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


@lru_cache(maxsize=512)
def _lethal_c(genus: str, group: str) -> float:
    return load_rules().lethal_c(genus, group).bulb_c


def _last_start(planting: Planting, *, southern: bool) -> int:
    """Ordinal of the last day on which first flower still belongs to this season."""
    rooted = planting.rooted
    match planting.cultivar.flowering_law:
        case "autumn":
            last = last_autumn_day(rooted, southern=southern)
        case "summer":
            last = last_autumn_day(midsummer_after(rooted, southern=southern), southern=southern)
        case "spring":
            last = rooted + timedelta(days=_LONGEST_WAIT_DAYS)
    return last.toordinal()


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
        after = midsummer_after(planting.rooted, southern=solved.garden.is_southern)
        if after not in first:
            at = days_between(solved.first_day, as_day(after))
            frosty = weather.tmin_c[:, at : at + 240] < -1.0
            first[after] = np.full(len(frosty), np.inf)
            if frosty.shape[1]:  # else it lies beyond the axis
                hit = np.argmax(frosty, axis=1).astype(np.float64) + at
                first[after] = np.where(frosty.any(axis=1), hit, np.inf)
        ends[row] = first[after]
    return ends
