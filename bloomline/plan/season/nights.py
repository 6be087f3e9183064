"""Nights of the season in a pot: when frost comes to its air and its roots, and when it is past.

The one reckoning for tasks against frost and for who may stand outside in which week.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import WeatherYears
from bloomline.engine.rootzone import coldest_c, daily_root_zone_c
from bloomline.engine.sites import SiteEffect, site_air
from bloomline.engine.sorting import median
from bloomline.engine.sums import Surroundings
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Pot
from bloomline.plan.climate.surroundings import Standing, standing_of, surroundings_of
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.report import Band, LayerForecast
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.solve import weather_of
from bloomline.plan.words.days import as_date, as_day
from bloomline.reference.rules import Rules, load_rules
from bloomline.reference.tasks import AfterCare, load_task_rules

EARLY_SHARE = 0.1  # "in one year of ten"
_COLD_HALF_FIRST, _COLD_HALF_LAST = 31, 396  # axis days: July to June in the north
_RARE_DAYS = 21  # nights too cold for roots that span less are told with their whole range
_LILY_LIGHT = timedelta(days=7)  # lilies want light and air before they flower; judgement

_AT_ONCE = 32  # places whose tables take some ten megabytes

Floats = NDArray[np.float64]
_Walked = tuple[Floats, Floats, Floats]
"""Lowest air and root zone, and mean root zone of days, each (n_years, n_days). [°C]"""


@dataclass(frozen=True, slots=True)
class Frosts:
    """Days by which frost comes, in one year of ten early or late; None where it is rarer.

    root_range : the earliest and latest of all nights too cold for the roots. root_share : of
    years that have such nights.
    """

    first_air: date | None
    usual_air: date | None  # the first in half of the years
    last_air: date | None
    first_root: date | None
    last_root: date | None
    root_range: tuple[date, date] | None
    root_share: float


@dataclass(frozen=True, slots=True)
class ColdSpell:
    """Days between which the roots of a pot may freeze; rare where few winters have any."""

    first: date
    last: date
    is_rare: bool


class Nights:
    """The nights of a season, worked out once for every way a pot may stand."""

    def __init__(self, outlook: Outlook) -> None:
        self._outlook = outlook
        start = yard_axis_start(outlook.yard.season_year, garden=outlook.garden)
        self.first_day = as_date(start)
        self._places: dict[Standing, Surroundings] = {}
        self._known: dict[Surroundings, _Walked] = {}
        self._frosts: dict[tuple[Surroundings, float, date | None], Frosts] = {}
        self._compost_c: dict[tuple[Surroundings, date], float] = {}

    def frosts(self, pot: Pot, *, root_limit_c: float, after: date | None = None) -> Frosts:
        """When frost comes to a pot: to its air (0 °C), and to its roots below a limit.

        after : count from this day on; otherwise over the cold half of the season.
        """
        question = (self._place(pot), root_limit_c, after)
        if question not in self._frosts:
            self._frosts[question] = self._frosts_at(*question)
        return self._frosts[question]

    def _frosts_at(self, place: Surroundings, root_limit_c: float, after: date | None) -> Frosts:
        air, root, _ = self._at(place)
        first, last = _COLD_HALF_FIRST, _COLD_HALF_LAST
        if after is not None:
            first = max(0, min((after - self.first_day).days, air.shape[1] - 1))
            last = air.shape[1]
        too_cold = root[:, first:last] < root_limit_c
        nights = np.flatnonzero(too_cold.any(axis=0))
        return Frosts(
            first_air=self._day(_early(air[:, first:last] <= 0.0), first),
            usual_air=self._day(_early(air[:, first:last] <= 0.0, share=0.5), first),
            last_air=self._day(_late(air[:, first:last] <= 0.0), first),
            first_root=self._day(_early(too_cold), first),
            last_root=self._day(_late(too_cold), first),
            root_range=(
                self.first_day + timedelta(days=first + int(nights[0])),
                self.first_day + timedelta(days=first + int(nights[-1])),
            )
            if len(nights)
            else None,
            root_share=float(too_cold.any(axis=1).mean()),
        )

    def frosts_outside(self, pot: Pot, *, after: date | None = None) -> Frosts:
        """When frost comes to a pot once it stands in the open, whatever its site is."""
        there = pot.model_copy(
            update={"site": "open", "sheltered_from": None, "sheltered_until": None}
        )
        return self.frosts(there, root_limit_c=0.0, after=after)

    def compost_c(self, pot: Pot, day: date) -> float:
        """How warm the compost of a pot is on a day, its middle year over a week. [°C]"""
        question = (self._place(pot), day)
        if question not in self._compost_c:
            mean = self._at(question[0])[2]
            at = min(max((day - self.first_day).days, 0), mean.shape[1] - 1)
            week = mean[:, max(at - 3, 0) : at + 4].mean(axis=1)
            self._compost_c[question] = median(week)
        return self._compost_c[question]

    def out_day(self, pot: Pot, lilies: Iterable[Band | None]) -> date | None:
        """The day on which a pot under cover goes out; None where none is planned.

        lilies : first flower of each lily in it, None of one that doesn't flower.
        """
        if pot.sheltered_until is not None:
            return pot.sheltered_until
        shown = [start for start in lilies if start is not None]
        if not shown:
            return None
        frost = self.frosts_outside(pot).last_air
        latest = min(start.p10 for start in shown) - _LILY_LIGHT
        return latest if frost is None else min(frost, latest)

    def _day(self, index: int | None, first: int) -> date | None:
        return None if index is None else self.first_day + timedelta(days=first + index)

    def _place(self, pot: Pot) -> Surroundings:
        offset_c = self._outlook.yard.site_offsets.get(pot.site, 0.0)
        standing = standing_of(pot, site_offset_c=offset_c)
        if standing not in self._places:
            law = self._outlook.forecaster.growth_law
            first_day = as_day(self.first_day)
            self._places[standing] = surroundings_of(standing, first_day=first_day, law=law)
        return self._places[standing]

    def _at(self, place: Surroundings) -> _Walked:
        if place not in self._known:
            # Days are walked once for all pots of the yard.
            wanted = {self._place(pot) for pot in self._outlook.yard.pots} | {place}
            new = [each for each in wanted if each not in self._known]
            self._known.update(zip(new, _walked(weather_of(self._outlook), new), strict=True))
        return self._known[place]


def _walked(weather: WeatherYears, places: Sequence[Surroundings]) -> Iterator[_Walked]:
    """The days of each place, in their order."""
    airs: dict[SiteEffect, tuple[Floats, Floats]] = {}
    for place in places:
        if place.site not in airs:
            airs[place.site] = site_air(weather, effect=place.site)
    for at in range(0, len(places), _AT_ONCE):
        some = places[at : at + _AT_ONCE]
        means = np.stack([0.5 * (airs[each.site][0] + airs[each.site][1]) for each in some])
        roots = daily_root_zone_c(means, zones=tuple(each.zone for each in some))
        for place, root in zip(some, roots, strict=True):
            low, high = airs[place.site]
            yield low, coldest_c(root, swing_c=high - low, zone=place.zone), root


@kept
def nights(outlook: Outlook) -> Nights:
    """The nights of a yard's season."""
    return Nights(outlook)


def cold_spell(frosts: Frosts, *, planted: date) -> ColdSpell | None:
    """When roots that are in their pot from a day on may freeze; None where they don't."""
    first, last = frosts.first_root, frosts.last_root
    if first is None or last is None or last <= planted:
        return None
    rare = (last - first).days < _RARE_DAYS and frosts.root_range is not None
    if rare and frosts.root_range is not None:
        # Where such nights are rare, a year of ten has its first about when another has its last.
        first, last = frosts.root_range
    first = max(first, planted + timedelta(days=1))
    return ColdSpell(first, max(first, last), rare)


def root_limit_c(cultivars: Iterable[Cultivar], *, rules: Rules | None = None) -> tuple[float, int]:
    """The warmest working limit of roots among kinds [°C], and which of them it is."""
    known = rules or load_rules()
    limits = [known.lethal_c(each.genus, each.group).roots_c for each in cultivars]
    at = max(range(len(limits)), key=lambda i: (limits[i], -i))
    return limits[at], at


def hard_frosts(
    nights: Nights, pot: Pot, cultivar: Cultivar, forecast: LayerForecast, care: AfterCare
) -> Frosts | None:
    """The frosts that a tender plant is carried in or stored before, after its flower.

    None for kinds that stand them.
    """
    start, end = forecast.start, forecast.end
    if start is None or end is None or care.rest not in ("tender", "shelter"):
        return None
    limit = load_rules().lethal_c(cultivar.genus, cultivar.group).bulb_c
    if limit < load_task_rules().rule("store").limit:
        return None
    return nights.frosts(pot, root_limit_c=limit, after=_after_flower(forecast, start, end, care))


def _after_flower(forecast: LayerForecast, start: Band, end: Band, care: AfterCare) -> date:
    if care.rest == "tender":  # one that flowers until the frost must not wait for it
        return start.p50
    over = forecast.leaves_over or end
    return max(end.p10, over.p10 - timedelta(days=60))


def _early(hit: NDArray[np.bool_], *, share: float = EARLY_SHARE) -> int | None:
    """The day by which a share of the years has been hit for the first time."""
    days = np.where(hit.any(axis=1), np.argmax(hit, axis=1), hit.shape[1])
    day = int(np.sort(days)[int(share * (len(days) - 1))])
    return None if day >= hit.shape[1] else day


def _late(hit: NDArray[np.bool_]) -> int | None:
    """The day by which nine years of ten have been hit for the last time."""
    backwards = _early(hit[:, ::-1])
    return None if backwards is None else hit.shape[1] - 1 - backwards
