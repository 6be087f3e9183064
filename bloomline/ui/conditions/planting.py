"""What the planting slider moves, and between which days: plain functions without widgets."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from bloomline.model.yard import Layer, Pot
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.words.days import as_date

Target = Literal["layer", "pot", "yard"]

_SEASON_DAYS = 365


@dataclass(frozen=True, slots=True)
class PlantingRange:
    """The days that a slider runs over, both ends counted."""

    first: date
    last: date

    @property
    def days(self) -> int:
        """How many days the last lies behind the first."""
        return (self.last - self.first).days

    def index_of(self, day: date) -> int:
        """Days from the first to a day, held within the range."""
        return min(max((day - self.first).days, 0), self.days)

    def day_at(self, index: int) -> date:
        """The day at an index."""
        return self.first + timedelta(days=index)


@dataclass(frozen=True, slots=True)
class Movable:
    """Layers that the slider moves together, their planting days, and who stays behind.

    other_season : layers planted in spring or summer, which an autumn day would not suit.
    established : layers that were planted before this season.
    """

    layer_ids: tuple[str, ...]
    days: tuple[date, ...]
    span: PlantingRange
    other_season: int = 0
    established: int = 0

    @property
    def middle(self) -> date | None:
        """The planting day in the middle of all, None when there are none."""
        if not self.days:
            return None
        return date.fromordinal(round(statistics.median(day.toordinal() for day in self.days)))


def autumn_range(season_year: int, *, southern: bool) -> PlantingRange:
    """The planting days of autumn for a season: August to January, in the south half a year on."""
    if southern:
        return PlantingRange(date(season_year, 2, 1), date(season_year, 7, 31))
    return PlantingRange(date(season_year - 1, 8, 1), date(season_year, 1, 31))


def spring_range(season_year: int, *, southern: bool) -> PlantingRange:
    """The planting days of spring: February to June, in the south August to December before."""
    if southern:
        return PlantingRange(date(season_year, 8, 1), date(season_year, 12, 31))
    return PlantingRange(date(season_year, 2, 1), date(season_year, 6, 30))


def movable(
    outlook: Outlook, target: Target, *, pots: Sequence[Pot], layers: Sequence[Layer]
) -> Movable:
    """What a slide moves now, of the pots or the layers selected or of the whole yard.

    Layers on their own may be moved whenever their kinds are planted, if that is one season for
    all; pots or the yard move only what was planted in the autumn of this season.
    Raises UnknownNameError for a cultivar that no catalogue holds.
    """
    yard, garden = outlook.yard, outlook.garden
    southern = garden.is_southern
    autumn = autumn_range(yard.season_year, southern=southern)
    begin = as_date(yard_axis_start(yard.season_year, garden=garden))
    end = begin + timedelta(days=_SEASON_DAYS)
    chosen: list[Layer] = []
    if target == "layer":
        chosen = list(layers)
    else:
        meant = pots if target == "pot" else yard.pots
        chosen = [each for pot in meant for each in pot.layers]
    established = [each for each in chosen if each.planted < begin]
    present = [each for each in chosen if each.planted >= begin]
    kinds = {each.cultivar_id for each in present}  # few, of thousands of layers
    season_of = {kind: outlook.cultivar_of(kind).season_planted for kind in kinds}
    seasons = {*season_of.values()}
    if target == "layer" and len(seasons) < 2:
        is_spring = seasons == {"spring"}
        span = spring_range(yard.season_year, southern=southern) if is_spring else autumn
        moved = present
    else:
        span = autumn
        moved = [
            each
            for each in present
            if each.planted < end and season_of[each.cultivar_id] == "autumn"
        ]
    return Movable(
        layer_ids=tuple(each.id for each in moved),
        days=tuple(each.planted for each in moved),
        span=span,
        other_season=len(present) - len(moved),
        established=len(established),
    )
