"""What a season's answer looks like; every view, export and command reads these values."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from bloomline.model.advice import Advice
from bloomline.plan.forecast.cold import ColdPlan

if TYPE_CHECKING:
    from bloomline.model.yard import Site


@dataclass(frozen=True, slots=True)
class Band:
    """Three dates: in one year of ten earlier than p10, in half earlier than p50."""

    p10: date
    p50: date
    p90: date


@dataclass(frozen=True, slots=True)
class PartForecast:
    """One kind of a mixture: its share of the bulbs, and its days and chance as of a layer."""

    name: str
    colour_hex: str
    second_colour_hex: str | None
    share: float
    chance: NDArray[np.float64]
    nose: Band | None
    start: Band | None
    end: Band | None
    leaves_over: Band | None


@dataclass(frozen=True)
class LayerForecast:
    """What one layer is expected to do.

    `start`, `full`, `end`, `nose` and `leaves_over` are None when the layer does not flower
    this season; `reason` then says why, and `after_season` whether it is only that its flowers
    belong to the next one. `chance` has one value a day of the report: the chance that the layer
    is in flower on it (0..1). Of a mixture, whose kinds are its `parts`, it is the share of its
    bulbs that is expected in flower.
    """

    layer_id: str
    pot_id: str
    cultivar_id: str
    name: str
    common_type: str
    colour: str
    colour_hex: str
    second_colour_hex: str | None
    height_cm: float
    scent: int
    count: int
    planted: date
    established: bool
    start: Band | None
    full: Band | None
    end: Band | None
    nose: Band | None
    leaves_over: Band | None
    reason: str | None
    cold_weeks: float
    cold_weeks_needed: float | None
    too_little_cold_share: float
    killed_share: float
    chance: NDArray[np.float64]
    cold_met_on: date | None = None
    cold_plan: ColdPlan | None = None
    date_source: str = ""
    advice: tuple[Advice, ...] = ()
    after_season: bool = False
    parts: tuple[PartForecast, ...] = ()

    @property
    def shares(self) -> tuple[tuple[PartForecast, float], ...]:
        """The kinds of a mixture with their shares; empty for one kind."""
        return tuple((part, part.share) for part in self.parts)


class Alike(NamedTuple):
    """Layers of a yard that are planted alike and are as many bulbs: the first stands for all."""

    layer: LayerForecast
    n_layers: int
    times: int
    """The same, each counted in every pot of a bench."""


@dataclass(frozen=True, slots=True)
class CompanionForecast:
    """What a companion on top of a pot does: a season by the calendar, without cold or heat.

    `first` and `last` are None when its season isn't in the one that is shown; `killed_share`
    is the share of the weather years whose frost takes it.
    """

    planting_id: str
    pot_id: str
    companion_id: str
    name: str
    colour: str
    colour_hex: str
    height_cm: float
    spread_cm: float
    scent: int
    is_leaf: bool
    count: int
    planted: date
    first: date | None
    last: date | None
    killed_share: float = 0.0
    advice: tuple[Advice, ...] = ()
    goes_on: bool = False  # evergreen, and not taken out: `last` is only where the axis ends


@dataclass(frozen=True, slots=True)
class Stretch:
    """Consecutive days; `days` counts both ends. `layer_ids` names who crowds, if anyone."""

    first: date
    last: date
    layer_ids: tuple[str, ...] = ()
    note: str = ""

    @property
    def days(self) -> int:
        """Length in days, both ends counted."""
        return (self.last - self.first).days + 1


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure that is counted in every weather year.

    expected : the mean over the years. p10, p90 : in eight years of ten it lies between them.
    coldest, warmest : in the years of the coldest and of the warmest winter; these are examples
    and may lie on either side of the mean, since winter alone doesn't make a season. Of a
    single weather year all five are that year's. What isn't known of kinds and garden is
    averaged out of each year, so the range is the weather's.
    """

    expected: float
    p10: float
    p90: float
    coldest: float
    warmest: float


@dataclass(frozen=True)
class PotForecast:
    """One pot: its layers in order of first flower, and how long it shows colour."""

    pot_id: str
    name: str
    summary: str  # e.g. "terracotta, round 34 × 30 cm, in the open"
    layers: tuple[LayerForecast, ...]
    weeks_of_colour: Spread
    weeks_of_scent: Spread
    clashes: tuple[Stretch, ...] = ()  # layers meant to follow that flower together
    companions: tuple[CompanionForecast, ...] = ()  # in order of their season
    copies: int = 1  # equal pots that it stands for

    @cached_property
    def n_parts(self) -> int:
        """How many layers and plantings of companions it has."""
        return len(self.layers) + len(self.companions)


class Layout(Protocol):
    """What lies in the pots of a yard."""

    @property
    def layer_ids(self) -> Sequence[str]:
        """The layers by their ids, pot by pot."""


@dataclass(frozen=True)
class SeasonReport:
    """The whole yard's season. Day i of every daily array is `first_day + i` days.

    Of a bench of equal pots every layer counts in each of them.
    """

    yard_name: str
    place_label: str  # e.g. "Cambridge Niab, United Kingdom, 26 m"
    station_id: str
    season_year: int
    first_day: date
    pots: tuple[PotForecast, ...]  # in yard order
    coverage: NDArray[np.float64]  # chance that anything at all is in flower, (n_days,)
    expected_layers: NDArray[np.float64]  # expected number of layers in flower, (n_days,)
    bare: tuple[Stretch, ...]  # in the usual season, colour less likely than bare_threshold
    crowded: tuple[Stretch, ...]  # a crowd at least as likely as not
    bare_threshold: float
    crowd_limit: int
    weeks_of_colour: Spread
    weeks_of_scent: Spread
    bare_days: Spread  # without a flower between each year's own first and last
    crowded_days: Spread  # with more than crowd_limit layers in flower
    usual_season: Stretch | None = None  # median first to median last flower of the yard
    weather_label: str = "21 weather years"
    weather_year: int | None = None  # rank of the only weather year shown, None for all
    advice: tuple[Advice, ...] = field(default=())
    learned_offset_days: float = 0.0  # of the yard, from its records; later is positive
    learned_sd_days: float | None = None
    garden_sd_days: float | None = None  # what the bands hold for the garden's own error
    learned_by_site: tuple[tuple[Site, float], ...] = ()  # of sites with records enough
    learned_from: int = 0  # records it stands on
    learned_words: str = ""  # e.g. "shifted 3 days later by 15 records"; in the label too
    climate_source: str = ""  # e.g. "station 03571", or the stations with what they weigh

    work_out_alike: Callable[[], tuple[Alike, ...]] | None = field(
        default=None, repr=False, compare=False
    )
    """Gives `alike` without making every layer, where the yard's plots are known."""
    layout: Layout | None = field(default=None, repr=False, compare=False)
    """The same object for as long as the pots are, where their plots are known."""

    @cached_property
    def layers(self) -> tuple[LayerForecast, ...]:
        """Every layer of the yard, pot by pot."""
        return tuple(layer for pot in self.pots for layer in pot.layers)

    @cached_property
    def alike(self) -> tuple[Alike, ...]:
        """A layer of each planting that differs from the others, in the order of `layers`.

        What is the same of layers alike is asked of it: a large yard has a few different ones.
        """
        if self.work_out_alike is not None:
            return self.work_out_alike()
        return self.one_by_one

    @property
    def one_by_one(self) -> tuple[Alike, ...]:
        """Every layer of the yard as if none were like it."""
        return tuple(Alike(layer, 1, pot.copies) for pot in self.pots for layer in pot.layers)

    @property
    def has_layers(self) -> bool:
        """Whether there is any layer."""
        return any(pot.layers for pot in self.pots)

    def learned_at(self, site: Site) -> float:
        """The learned offset of a site. [days]"""
        return dict(self.learned_by_site).get(site, self.learned_offset_days)

    @property
    def part_ids(self) -> tuple[str, ...]:
        """The ids of all layers and companions."""
        if self.layout is not None:
            names = self.layout.layer_ids
        else:
            names = [layer.layer_id for layer in self.layers]
        return *names, *(each.planting_id for each in self.companions)

    @cached_property
    def companions(self) -> tuple[CompanionForecast, ...]:
        """Every companion planting of the yard, pot by pot."""
        return tuple(each for pot in self.pots for each in pot.companions)

    @property
    def pot_count(self) -> int:
        """How many pots there are, every one of a bench counted."""
        return sum(pot.copies for pot in self.pots)

    @property
    def layer_count(self) -> int:
        """How many layers there are, each counted in every pot of a bench."""
        return sum(each.times for each in self.alike)

    @property
    def last_day(self) -> date:
        """The last day of the daily arrays."""
        return self.first_day + timedelta(days=len(self.coverage) - 1)
