"""What each pot shows in each week: colour over the weather years, and scent that is smelt.

Plants on top of it flower by the calendar, on the days that the season gives them; they count
beside the bulbs, whose weeks of colour are those of the season.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.in_flower import InFlower
from bloomline.engine.season import YearlySeason, garden_spread
from bloomline.model.stage import DisplayPlace
from bloomline.plan.forecast.report import CompanionForecast, LayerForecast, PotForecast
from bloomline.plan.pot.weight import PotWeight
from bloomline.plan.season.colour import in_flower
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import SolvedYard, solve_yard
from bloomline.plan.season.weights import weights
from bloomline.plan.season.yard import season_report
from bloomline.plan.stage.weeks import Weeks

Floats = NDArray[np.float64]

NOSE_CM = 150.0
"""Height of the nose of whoever walks past, where a place says nothing else; judgement."""
SCENT_REACH_CM = {1: 50.0, 2: 120.0}
"""How far below the nose flowers of faint and of strong scent are still smelt; judgement."""
_QUIET_WEEKS = 4  # before the first flower and after the last
_AUTUMN_DAY = 92  # of the axis: September in the north, March in the south
_YEAR_WEEKS = 52


@dataclass(frozen=True, slots=True, eq=False)
class Shows:
    """What the pots of a yard show, pots in yard order.

    colour : chance of a flower, mean over a week, the garden's own error in it, (n_pots,
    n_weeks). by_year : the same in each weather year, without that error, (n_pots, n_years,
    n_weeks). scent_by_year : by pot, of its scented layers, (n_years, n_weeks) of each.
    tops : share of each week in which plants on top of a pot flower, as far as frost leaves them,
    (n_pots, n_weeks).
    """

    weeks: Weeks
    pots: tuple[PotForecast, ...]
    weights: tuple[PotWeight, ...]
    colour: Floats
    by_year: Floats
    scent_by_year: tuple[tuple[tuple[LayerForecast, Floats], ...], ...]
    tops: Floats

    def smelt_by_year(self, at: int, place: DisplayPlace) -> Floats:
        """Chance that a pot is smelt at a place, in each year and week, (n_years, n_weeks)."""
        none = np.ones(self.by_year.shape[1:])
        for layer, chance in self.scent_by_year[at]:
            if is_smelt(layer, place, pot_height_cm=self.weights[at].height_cm):
                none *= 1.0 - chance
        for top in self.pots[at].companions:
            if is_smelt(top, place, pot_height_cm=self.weights[at].height_cm):
                none *= 1.0 - in_season(top, self.weeks)
        return 1.0 - none

    def lit_by_year(self, at: int) -> Floats:
        """Chance that anything flowers in a pot, plants on top and all, (n_years, n_weeks)."""
        return np.asarray(1.0 - (1.0 - self.by_year[at]) * (1.0 - self.tops[at]))


def in_season(top: CompanionForecast, weeks: Weeks) -> Floats:
    """Share of each week in which plants on top flower, as far as frost leaves them, (n_weeks,)."""
    share = np.zeros(weeks.count)
    if top.is_leaf or top.first is None or top.last is None:
        return share
    for week in range(weeks.count):
        first, last = max(top.first, weeks.first(week)), min(top.last, weeks.last(week))
        share[week] = max((last - first).days + 1, 0) / 7.0
    return share * (1.0 - top.killed_share)


def is_smelt(
    layer: LayerForecast | CompanionForecast, place: DisplayPlace, *, pot_height_cm: float
) -> bool:
    """Whether the scent of a layer reaches the nose of whoever walks past its pot at a place.

    Flowers above the nose are smelt as well.
    """
    if not place.by_path or layer.scent not in SCENT_REACH_CM:
        return False
    nose = NOSE_CM if place.nose_height_cm is None else place.nose_height_cm
    flower = place.raised_cm + pot_height_cm + layer.height_cm
    return nose - flower <= SCENT_REACH_CM[layer.scent]


def shows_of(outlook: Outlook) -> Shows:
    """Work out what every pot shows. Raises UnknownNameError for a cultivar."""
    worked, report = solve_yard(outlook), season_report(outlook)
    flowers = in_flower(worked.solved)
    sd_days = worked.solved.uncertainty.garden
    rows: dict[str, list[int]] = {pot.pot_id: [] for pot in report.pots}
    row_of: dict[str, int] = {}
    for place in worked.places:
        if place.row >= 0 and place.layer.state != "lifted":
            rows[place.pot.id].append(place.row)
            row_of[place.layer.id] = place.row
    known: dict[tuple[int, ...], Floats] = {}

    def by_day(some: list[int]) -> Floats:
        key = tuple(sorted(some))
        if key not in known:
            known[key] = _by_day(flowers, some)
        return known[key]

    daily = [by_day(rows[pot.pot_id]) for pot in report.pots]
    n_days = worked.n_days
    together = np.array([each.mean(axis=0) for each in daily]).reshape(len(daily), n_days)
    chance = garden_spread(together, garden_sd_days=sd_days) if daily else together
    weeks = _weeks(outlook, worked, chance, first_day=report.first_day)
    low = (weeks.monday - report.first_day).days

    def weekly(days: Floats) -> Floats:
        part = days[..., low : low + 7 * weeks.count]
        return np.asarray(part.reshape(*part.shape[:-1], weeks.count, 7).mean(axis=-1))

    n_years = worked.solved.weather.n_years
    by_year = np.zeros((len(daily), n_years, weeks.count))
    for at, each in enumerate(daily):
        by_year[at] = weekly(each)
    scent = tuple(
        tuple(
            (layer, weekly(by_day([row_of[layer.layer_id]])))
            for layer in pot.layers
            if layer.scent > 0 and layer.layer_id in row_of
        )
        for pot in report.pots
    )
    tops = np.zeros((len(daily), weeks.count))
    for at, pot in enumerate(report.pots):
        for top in pot.companions:
            tops[at] = 1.0 - (1.0 - tops[at]) * (1.0 - in_season(top, weeks))
    heavy = weights(outlook)
    return Shows(
        weeks=weeks,
        pots=report.pots,
        weights=tuple(heavy[pot.pot_id] for pot in report.pots),
        colour=weekly(chance),
        by_year=by_year,
        scent_by_year=scent,
        tops=tops,
    )


def _by_day(flowers: InFlower, rows: list[int]) -> Floats:
    """Chance that any of some rows flowers, in each year and day, (n_years, n_days)."""
    which, layers = np.unique(np.array(rows, dtype=np.int64), return_counts=True)
    return YearlySeason(flowers, which, layers=layers).colour()


def _weeks(outlook: Outlook, worked: SolvedYard, chance: Floats, *, first_day: date) -> Weeks:
    """A year of weeks from autumn on, and more where flowers or fixed stands lie outside it."""
    n_days = worked.n_days
    lit = np.flatnonzero((chance > 0.05).any(axis=0)) if len(chance) else np.zeros(0, dtype=int)
    low = min(_AUTUMN_DAY, int(lit.min(initial=n_days)) - 7 * _QUIET_WEEKS)
    high = max(low + 7 * _YEAR_WEEKS, int(lit.max(initial=0)) + 7 * _QUIET_WEEKS)
    for stand in outlook.yard.fixed_stands:
        for day in (stand.first, stand.last):
            if day is not None and 0 <= (at := (day - first_day).days) < n_days:
                low, high = min(low, at), max(high, at)
    start = first_day + timedelta(days=max(low, 0))
    monday = start - timedelta(days=start.weekday())
    if monday < first_day:
        monday += timedelta(days=7)
    last = first_day + timedelta(days=min(high, n_days - 1))
    count = max(((last - monday).days + 1) // 7, 1)
    return Weeks(monday, min(count, (n_days - (monday - first_day).days) // 7))
