"""Nights of the season in a pot: when frost comes to its air and its roots, and when it is past.

The one reckoning for tasks against frost and for who may stand outside in which week.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.rootzone import coldest_c, daily_root_zone_c
from bloomline.engine.sites import site_air
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

Floats = NDArray[np.float64]


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
        self._known: dict[Standing, tuple[Floats, Floats, Floats]] = {}

    def frosts(self, pot: Pot, *, root_limit_c: float, after: date | None = None) -> Frosts:
        """When frost comes to a pot: to its air (0 °C), and to its roots below a limit.

        after : count from this day on; otherwise over the cold half of the season.
        """
        air, root, _ = self._of(pot)
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
        there = pot.model_copy(update={"site": "open", "sheltered_until": None})
        return self.frosts(there, root_limit_c=0.0, after=after)

    def compost_c(self, pot: Pot, day: date) -> float:
        """How warm the compost of a pot is on a day, its middle year over a week. [°C]"""
        mean = self._of(pot)[2]
        at = min(max((day - self.first_day).days, 0), mean.shape[1] - 1)
        return float(np.median(mean[:, max(at - 3, 0) : at + 4].mean(axis=1)))

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

    def _of(self, pot: Pot) -> tuple[Floats, Floats, Floats]:
        """Lowest air and root zone, and mean root zone of days, each (n_years, n_days). [°C]"""
        offset_c = self._outlook.yard.site_offsets.get(pot.site, 0.0)
        standing = standing_of(pot, site_offset_c=offset_c)
        if standing not in self._known:
            law = self._outlook.forecaster.growth_law
            place = surroundings_of(standing, first_day=as_day(self.first_day), law=law)
            low, high = site_air(weather_of(self._outlook), effect=place.site)
            root = daily_root_zone_c(0.5 * (low + high)[None], zones=(place.zone,))[0]
            lowest = coldest_c(root, swing_c=high - low, zone=place.zone)
            self._known[standing] = (low, lowest, root)
        return self._known[standing]


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
