"""Too little winter: whether a place's cold does for a planting, and what makes up for it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from bloomline.engine.bands import yearly_median
from bloomline.model.cultivar import Cultivar
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.forecast.forecaster import Bools, Floats, Forecaster
from bloomline.plan.forecast.later import LaterItems
from bloomline.plan.forecast.planting_day import (
    chilled_planting_day,
    usual_planting_day,
    usual_planting_span,
)
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.forecast.solved import Solved
from bloomline.plan.words.days import as_date, as_day
from bloomline.reference.rules import load_rules
from bloomline.words import day_words, part_of_month, plural, tr

_NEAR_ENOUGH_WEEKS = 0.5
_MOST_WEEKS = 40  # as many as a layer may be planned with


@dataclass(frozen=True, slots=True)
class ColdPlan:
    """How bulbs get their cold where the usual winter after planting gives too little.

    prechill_weeks : weeks in a refrigerator that, with what the place gives after planting, make
    up the least (where most years fail, the least of a store: such a winter can't be counted
    on); 0 where none would help. chill_from, plant_on : when that is. earlier : a day
    of the kind's usual planting time on which planting would do instead, else None.
    """

    prechill_weeks: int
    chill_from: date
    plant_on: date
    earlier: date | None = None

    def words(self) -> str:
        """What to do, to go after a semicolon."""
        if self.earlier is not None:
            return tr(
                "plant earlier, about {earlier}: that gives enough cold here",
                earlier=day_words(self.earlier),
            )
        if self.prechill_weeks == 0:
            return tr("choose a kind that needs less cold")
        weeks = plural("{n} week", "{n} weeks", self.prechill_weeks)
        return tr(
            "pre-chill {weeks} at 5-9 °C (in a refrigerator, away from food "
            "and ripening fruit) from {part_of_month}, plant in "
            "{part_of_month2}",
            weeks=weeks,
            part_of_month=part_of_month(self.chill_from),
            part_of_month2=part_of_month(self.plant_on),
        )


def weeks_words(weeks: float) -> str:
    """Weeks of cold as they are shown everywhere: to the tenth on which verdicts rest."""
    return f"{round(weeks, 1):g}"


def weeks_beside_least(weeks: float, least: float) -> str:
    """Weeks beside the least: "13.6 of at least 14 weeks". Never "14 of at least 14" if short."""
    return tr(
        "{weeks_words} of at least {least:g} weeks", weeks_words=weeks_words(weeks), least=least
    )


def is_short(weeks: float, least: float | None) -> bool:
    """Whether weeks of cold, as they are shown, are fewer than the least.

    Half a week is not told from none: handbooks give whole weeks.
    """
    return least is not None and round(weeks, 1) < least - _NEAR_ENOUGH_WEEKS


def least_in_store(cultivar: Cultivar) -> float:
    """Weeks that chilling in a store makes up, with the place's own cold. [week]

    The least that a forcing table gives for the kind, where that is more than it needs in a
    garden: a narcissus that flowers after two cool weeks outdoors is forced with twelve.
    """
    stated = [
        row.weeks_low
        for row in load_rules().chill_weeks
        if row.place == "store"
        and row.genus == cultivar.genus
        and row.group in ("", cultivar.group)
    ]
    return max(cultivar.chill_weeks_min or 0.0, min(stated, default=0.0))


def cold_plans(
    solved: Solved, *, forecaster: Forecaster, recorded: RecordedWeather | None = None
) -> Sequence[ColdPlan | None]:
    """A plan for every row of a solved table whose usual winter is too short, else None.

    solved : all weather years. Bulbs that stay in their pot can't be chilled: no plan. They are
    worked out when the first of them is asked for.
    """
    plans = _Plans(solved, forecaster, recorded)
    return LaterItems(len(solved.plantings), plans.of)


class _Plans:
    """The plans of a table's rows, all of them worked out at once."""

    def __init__(
        self, solved: Solved, forecaster: Forecaster, recorded: RecordedWeather | None
    ) -> None:
        self._solved, self._forecaster, self._recorded = solved, forecaster, recorded
        self._found: dict[int, ColdPlan] | None = None

    @cached_property
    def _cold(self) -> list[float]:
        cold: list[float] = yearly_median(self._solved.days.cold_weeks).tolist()
        return cold

    def of(self, row: int) -> ColdPlan | None:
        """The plan of a row."""
        if not self._is_short(row):
            return None
        if self._found is None:
            short = [each for each in range(len(self._cold)) if self._is_short(each)]
            self._found = self._all(short)
        return self._found[row]

    def _is_short(self, row: int) -> bool:
        planting = self._solved.plantings[row]
        return (
            self._solved.needs[row].full_rate_weeks > 0.0
            and not planting.established
            and is_short(self._cold[row], planting.cultivar.chill_weeks_min)
        )

    def _all(self, short: Sequence[int]) -> dict[int, ColdPlan]:
        solved = self._solved
        fails = solved.blind.mean(axis=1) >= 0.5
        # All standings in their order, so that the sums that are at hand serve again.
        first: dict[Standing, Planting] = {}
        for planting in solved.plantings:
            first.setdefault(planting.standing, planting)
        tries: list[Planting] = list(first.values())
        numbers: dict[tuple[object, ...], int] = {}
        tried: list[list[int]] = []
        for row in short:
            planting = solved.plantings[row]
            place = (id(planting.standing), planting.shift_days, planting.extra_cover_cm)
            alike = (id(planting.cultivar), *place)
            tried.append([])
            for rooted, weeks in self._days(planting):
                number = numbers.setdefault((*alike, rooted, weeks), len(tries))
                if number == len(tries):
                    tries.append(replace(planting, rooted=rooted, prechill_weeks=weeks))
                tried[-1].append(number)
        again = self._forecaster.solve(
            tries,
            garden=solved.garden,
            first_day=solved.first_day,
            recorded=self._recorded,
            growth=False,
        )
        got = yearly_median(again.days.cold_weeks)
        opens = again.flowers()
        plans = {}
        for row, at in zip(short, tried, strict=True):
            cultivar = solved.plantings[row].cultivar
            least = least_in_store(cultivar) if fails[row] else cultivar.chill_weeks_min or 0.0
            some = [tries[number] for number in at]
            plans[row] = _plan(solved.plantings[row], some, got[at], opens[at], least=least)
        return plans

    def _days(self, planting: Planting) -> tuple[tuple[date, float], ...]:
        """When a planting could be planted, with weeks of chilling before.

        Chilled in full, as it is on its usual day, and as it is as early as may be.
        """
        solved = self._solved
        cultivar, first_day = planting.cultivar, as_date(solved.first_day)
        usual = usual_planting_day(cultivar, garden=solved.garden, first_day=solved.first_day)
        span, _ = usual_planting_span(cultivar, usual=usual)
        best = max(cultivar.chill_weeks_best or 0.0, least_in_store(cultivar))
        chilled = chilled_planting_day(usual, garden=solved.garden, first_day=first_day)
        weeks = planting.prechill_weeks
        return (
            # Chilled in full it opens first, and so has least of the place's own cold.
            (chilled, max(best, weeks)),
            (min(planting.rooted, usual), weeks),
            (min(planting.rooted, max(span, first_day)), weeks),
        )


def _plan(
    planting: Planting, tries: Sequence[Planting], got: Floats, opens: Bools, *, least: float
) -> ColdPlan:
    chilled, *sooner = tries
    own = max(float(got[0]) - chilled.prechill_weeks, 0.0)
    weeks = min(max(math.ceil(least - own), 1), _MOST_WEEKS)
    earlier = next(
        (
            each.rooted
            for i, each in enumerate(sooner, start=1)
            if each.rooted < planting.rooted
            and opens[i]
            and not is_short(float(got[i]), planting.cultivar.chill_weeks_min)
        ),
        None,
    )
    plant_on = chilled.rooted
    return ColdPlan(
        prechill_weeks=weeks if opens[0] else 0,
        chill_from=as_date(as_day(plant_on) - 7 * weeks),
        plant_on=plant_on,
        earlier=earlier,
    )
