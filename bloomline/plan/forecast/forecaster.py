"""Solves many plantings at once: merges equal ones, prepares sums, applies what can fail."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import cast

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.autumn import AutumnLaw
from bloomline.engine.bands import yearly_median
from bloomline.engine.climate import WeatherYears
from bloomline.engine.flowering import flowering_days
from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.engine.heat_sums import SUMMER, Plantings, heat_until
from bloomline.engine.sums import PreparedSums, Surroundings, prepare
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.surroundings import Standing, surroundings_of
from bloomline.plan.climate.weather import RecordedWeather, weather_for
from bloomline.plan.forecast.columns import Columns, columns_of, numbered, table_of
from bloomline.plan.forecast.failures import with_failures
from bloomline.plan.forecast.keep import Keep
from bloomline.plan.forecast.mixed import has_mixtures, joined, parted
from bloomline.plan.forecast.needs import NeedSolver
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.forecast.solved import Solved, SolvedTables, Uncertainty
from bloomline.plan.words.days import as_date

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_KEPT_SUMS = 6
_KEPT_COLUMNS, _MANY = 3, 64


@dataclass(frozen=True, slots=True)
class Gathered:
    """What plantings have had by a day, median over the weather years; shape (n,) each.

    heat_share : of the heat until first flower, 0 to 1; NaN for kinds that open as the year
    cools. cold_weeks : since planting, with those before it.
    """

    heat_share: Floats
    cold_weeks: Floats


class _Prepared:
    """Surroundings whose sums were asked for: told apart once, since many questions are alike."""

    def __init__(self, weather: WeatherYears, places: Sequence[Surroundings], summer: bool) -> None:
        self.weather, self.places, self.summer = weather, tuple(places), summer
        self.numbers = {place: number for number, place in enumerate(places)}
        self._hash = hash((id(weather), self.places, summer))

    def has(self, places: Sequence[Surroundings]) -> bool:
        """Whether all these are among them."""
        return all(place in self.numbers for place in places)

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Prepared)
            and self.weather is other.weather
            and self.summer == other.summer
            and self.places == other.places
        )

    def __hash__(self) -> int:
        return self._hash


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
        self._columns: Keep[Columns] = Keep(_KEPT_COLUMNS)
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
        """Drop weather, sums and tables that are kept (what rests on no garden stays)."""
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
        self, weather: WeatherYears, wanted: Sequence[Surroundings], *, summer: bool
    ) -> tuple[PreparedSums, Mapping[Surroundings, int]]:
        """Sums for surroundings, and which of them are whose; those at hand serve again."""
        question = _Prepared(weather, wanted, summer)
        for known in cast("list[_Prepared]", self._sums.questions()):
            # What was prepared for more places, or for summer kinds as well, does.
            if known.weather is weather and known.summer >= summer and known.has(wanted):
                question = known
                break
        sums = self._sums.get(
            question,
            lambda: prepare(
                weather,
                surroundings=question.places,  # another thread may have pushed them out meanwhile
                growth_law=self.growth_law,
                ageing_law=self.ageing_law,
                summer=question.summer,
            ),
        )
        return sums, question.numbers

    def solve(
        self,
        plantings: Sequence[Planting],
        *,
        garden: Garden,
        first_day: np.datetime64,
        recorded: RecordedWeather | None = None,
        garden_sd_days: float | None = None,
        growth: bool = True,
    ) -> Solved:
        """Flowering days of plantings in every weather year of a garden.

        Equal plantings should be merged by the caller: each row is worked out.
        growth : whether noses and leaves are asked for; they are NaN without.
        """
        weather = self.weather(garden, first_day=first_day, recorded=recorded)
        garden_sd = self.growth_law.garden_sd_days if garden_sd_days is None else garden_sd_days

        def tabled(some: Sequence[Planting]) -> Solved:
            return self._tables.solve(
                some,
                (garden, weather, garden_sd, growth),
                lambda new: self._solve(
                    new, garden=garden, weather=weather, garden_sd=garden_sd, growth=growth
                ),
            )

        if not has_mixtures(plantings):
            return tabled(plantings)
        flat, of = parted(plantings)
        return joined(tabled(flat), plantings, of)

    def _solve(
        self,
        plantings: Sequence[Planting],
        *,
        garden: Garden,
        weather: WeatherYears,
        garden_sd: float,
        growth: bool,
    ) -> Solved:
        columns, sums, table = self._asked(plantings, garden=garden, weather=weather)
        days = flowering_days(
            sums,
            plantings=table,
            law=self.growth_law,
            ageing=self.ageing_law,
            autumn=self.autumn_law,
            growth=growth,
        )
        # A learned delay says nothing of the nose; a longer way to the light does.
        longer = columns.longer_days[:, None]
        nose = np.minimum(days.nose + longer, np.fmax(days.start, days.nose))
        days = replace(days, nose=nose)
        first_day = weather.first_day
        return with_failures(
            Solved(
                garden=garden,
                first_day=first_day,
                weather=weather,
                plantings=columns.plantings,
                needs=columns.needs,
                days=days,
                blind=np.zeros(days.start.shape, dtype=bool),
                killed=np.zeros(days.start.shape, dtype=bool),
                too_late=np.zeros(days.start.shape, dtype=bool),
                uncertainty=Uncertainty(cultivar=columns.sd_days, garden=garden_sd),
                first_ordinal=as_date(first_day).toordinal(),
                earliest=np.asarray(table.earliest),
            ),
            columns=columns,
            sums=sums,
            table=table,
        )

    def gathered(
        self, solved: Solved, *, day: int, recorded: RecordedWeather | None = None
    ) -> Gathered:
        """What each planting of a solved table has had by the start of a day of its axis."""
        weather = self.weather(solved.garden, first_day=solved.first_day, recorded=recorded)
        columns, sums, table = self._asked(solved.plantings, garden=solved.garden, weather=weather)
        upto = np.maximum(table.begins, day)
        heat = yearly_median(
            heat_until(sums, plantings=table, day=upto.astype(np.float64), law=self.growth_law)
        )
        since = np.maximum(table.planted, day)
        cold = sums.cold_weeks[table.zone, :, since] - sums.cold_weeks[table.zone, :, table.planted]
        full = columns.heat_need
        share = np.clip(heat / np.where(full > 0.0, full, np.nan), 0.0, 1.0)
        return Gathered(heat_share=share, cold_weeks=yearly_median(cold) + table.prechilled_weeks)

    def _asked(
        self, plantings: Sequence[Planting], *, garden: Garden, weather: WeatherYears
    ) -> tuple[Columns, PreparedSums, Plantings]:
        """Columns of plantings, the sums of their surroundings, and the engine's table of them."""
        first_day = weather.first_day
        columns = self._columns_of(plantings)
        places, place_of = numbered(
            surroundings_of(standing, first_day=first_day, law=self.growth_law)
            for standing in columns.standings
        )
        # An empty yard still has its weather.
        wanted = places or [surroundings_of(Standing(), first_day=first_day, law=self.growth_law)]
        summer = bool((columns.law == SUMMER).any())
        sums, numbers = self._prepared(weather, wanted, summer=summer)
        zones = np.array([numbers[place] for place in places], dtype=np.int64)
        table = table_of(
            columns,
            zone=zones[place_of[columns.standing]],
            garden=garden,
            first_day=first_day,
            growth_law=self.growth_law,
        )
        return columns, sums, table

    def _columns_of(self, plantings: Sequence[Planting]) -> Columns:
        def read() -> Columns:
            return columns_of(
                plantings, needs=self.needs, growth_law=self.growth_law, ageing=self.ageing_law
            )

        # Few are read as quickly as found again, and would push the yard's out.
        if len(plantings) < _MANY:
            return read()
        # They hold their plantings, whose identities are no others' meanwhile.
        return self._columns.get(tuple(map(id, plantings)), read)
