"""What if: the same yard in another year's weather, a warmer climate, another place or plan."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Literal

from bloomline.errors import UsageError
from bloomline.model.task_edits import change_many
from bloomline.model.yard import SHELTERED_SITES, Site, Yard
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.weather import RecordedWeather, reference_departures, yard_axis_start
from bloomline.plan.forecast.report import Band, LayerForecast, SeasonReport, Spread
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import no_such_year
from bloomline.plan.season.words import rounded
from bloomline.plan.season.yard import season_report, year_label
from bloomline.plan.words.days import as_date
from bloomline.reference.sites import load_sites
from bloomline.words import plural, tr

MOST_WARMER_C = 6.0
MOST_LATER_WEEKS = 12

WeatherYear = int | Literal["coldest", "warmest"]


@dataclass(frozen=True, slots=True)
class Scenario:
    """What is otherwise than the yard has it; nothing at all by default.

    warmer_c : added to every month's normals, and to recorded days. [°C]
    later_weeks : how much later this season's bulbs are planted, negative for earlier.
    weather_year : the rank of one weather year from the coldest, or which end.
    place : another garden; recorded days are then left out. site : where all pots stand.
    """

    warmer_c: float = 0.0
    later_weeks: int = 0
    weather_year: WeatherYear | None = None
    place: Garden | None = None
    site: Site | None = None

    @property
    def is_plain(self) -> bool:
        """Whether it is the yard as it is."""
        return self == Scenario()

    def words(self) -> str:
        """What is otherwise, in few words."""
        if self.is_plain:
            return tr("as it is")
        told = []
        if self.place is not None:
            told.append(tr("at {place_label}", place_label=self.place.label))
        if self.warmer_c:
            told.append(
                tr("{warmer:g} °C warmer", warmer=abs(self.warmer_c))
                if self.warmer_c > 0
                else tr("{warmer:g} °C colder", warmer=abs(self.warmer_c))
            )
        if self.weather_year is not None:
            count = reference_departures().n_years
            rank = year_rank(self.weather_year, count=count)
            told.append(tr("in {year_label}", year_label=year_label(rank, count=count)))
        if self.later_weeks:
            weeks = abs(self.later_weeks)
            told.append(
                plural("planted {n} week later", "planted {n} weeks later", weeks)
                if self.later_weeks > 0
                else plural("planted {n} week earlier", "planted {n} weeks earlier", weeks)
            )
        if self.site is not None:
            told.append(tr("all pots: {label}", label=tr(load_sites()[self.site].label)))
        return ", ".join(told)


@dataclass(frozen=True, slots=True)
class LayerChange:
    """One layer in two scenarios."""

    pot_name: str
    a: LayerForecast
    b: LayerForecast

    @property
    def start_days(self) -> int | None:
        """How many days later the second opens; None where one of them doesn't flower."""
        return _later(self.a.start, self.b.start)

    @property
    def end_days(self) -> int | None:
        """How many days later the second is over; None where one of them doesn't flower."""
        return _later(self.a.end, self.b.end)


@dataclass(frozen=True, slots=True)
class Comparison:
    """A yard's season in two scenarios; differences are those of b against a."""

    a_words: str
    b_words: str
    a: SeasonReport
    b: SeasonReport
    layers: tuple[LayerChange, ...]

    def more_bare_days(self, *, decimals: int) -> float:
        """How many more bare days, of the figures as they are shown."""
        return _more(self.a.bare_days, self.b.bare_days, decimals)

    def more_weeks_of_colour(self, *, decimals: int) -> float:
        """How many more weeks of colour, of the figures as they are shown."""
        return _more(self.a.weeks_of_colour, self.b.weeks_of_colour, decimals)

    @property
    def median_start_days(self) -> float | None:
        """By how many days the middle layer opens later; None if none flowers in both."""
        moved = sorted(each.start_days for each in self.layers if each.start_days is not None)
        if not moved:
            return None
        half = len(moved) // 2
        return float(moved[half] if len(moved) % 2 else (moved[half - 1] + moved[half]) / 2)


def _more(a: Spread, b: Spread, decimals: int) -> float:
    return rounded(rounded(b.expected, decimals) - rounded(a.expected, decimals), decimals)


def _later(a: Band | None, b: Band | None) -> int | None:
    return None if a is None or b is None else (b.p50 - a.p50).days


def year_rank(year: WeatherYear, *, count: int) -> int:
    """The rank of a weather year from the coldest, 0 to count − 1. Raises UsageError."""
    rank = {"coldest": 0, "warmest": count - 1}[year] if isinstance(year, str) else year
    if not 0 <= rank < count:
        raise no_such_year(rank, count=count)
    return rank


def scenario_outlook(outlook: Outlook, scenario: Scenario) -> Outlook:
    """The outlook of a yard in a scenario.

    Raises UsageError for a scenario that can't be.
    """
    yard = outlook.yard
    _refuse_odd(yard, scenario)
    garden = scenario.place or outlook.garden
    facts = None if scenario.place is not None else outlook.recorded
    if scenario.warmer_c:
        garden = warmed(garden, scenario.warmer_c)
        if facts is not None:
            facts = RecordedWeather(
                facts.days,
                facts.tmin_c + scenario.warmer_c,
                facts.tmax_c + scenario.warmer_c,
                facts.label,
            )
    year = None
    if scenario.weather_year is not None:
        year = year_rank(scenario.weather_year, count=reference_departures().n_years)
    if scenario.is_plain:
        return outlook.usual
    return outlook.what_if(
        yard=_changed(yard, scenario, garden=garden),
        garden=garden,
        recorded=facts,
        weather_year=year,
    )


def _refuse_odd(yard: Yard, scenario: Scenario) -> None:
    if abs(scenario.warmer_c) > MOST_WARMER_C:
        raise UsageError(
            tr(
                "{warmer_c:g} °C warmer is outside ±{most_warmer_c:g} °C",
                warmer_c=scenario.warmer_c,
                most_warmer_c=MOST_WARMER_C,
            )
        )
    if abs(scenario.later_weeks) > MOST_LATER_WEEKS:
        raise UsageError(
            tr(
                "{later_weeks} weeks is outside ±{most_later_weeks} weeks",
                later_weeks=scenario.later_weeks,
                most_later_weeks=MOST_LATER_WEEKS,
            )
        )
    other = scenario.place
    if other is not None and other.is_southern != (yard.place.latitude_deg < 0):
        raise UsageError(
            tr(
                "{other_label} lies in the other half of the earth, where the "
                "yard's planting dates fall in another season; choose a place on "
                "the same side",
                other_label=other.label,
            )
        )


def warmed(garden: Garden, warmer_c: float) -> Garden:
    """The same garden with every month's normals raised. [°C]"""
    return replace(
        garden,
        tmin_c=tuple(each + warmer_c for each in garden.tmin_c),
        tmax_c=tuple(each + warmer_c for each in garden.tmax_c),
    )


def _changed(yard: Yard, scenario: Scenario, *, garden: Garden) -> Yard:
    """The yard with planting days moved and pots put elsewhere."""
    layers: dict[str, dict[str, object]] = {}
    pots: dict[str, dict[str, object]] = {}
    if scenario.later_weeks:
        start = as_date(yard_axis_start(yard.season_year, garden=garden))
        by = timedelta(weeks=scenario.later_weeks)
        for _, layer in yard.layers():
            if layer.planted >= start:  # bulbs that stay in the pot are not planted again
                layers[layer.id] = {"planted": max(layer.planted + by, start)}
    if scenario.site is not None:
        for pot in yard.pots:
            pots[pot.id] = {"site": scenario.site}
            if scenario.site not in SHELTERED_SITES:
                pots[pot.id] |= {"sheltered_from": None, "sheltered_until": None}
    if not layers and not pots:
        return yard
    return change_many(yard, layers=layers, pots=pots)


def compare(outlook: Outlook, a: Scenario, b: Scenario) -> Comparison:
    """Two scenarios of one yard side by side. Raises UsageError, UnknownNameError."""
    first, second = (season_report(scenario_outlook(outlook, each)) for each in (a, b))
    of_second = {layer.layer_id: layer for layer in second.layers}
    return Comparison(
        a_words=a.words(),
        b_words=b.words(),
        a=first,
        b=second,
        layers=tuple(
            LayerChange(pot.name, layer, of_second[layer.layer_id])
            for pot in first.pots
            for layer in pot.layers
        ),
    )
