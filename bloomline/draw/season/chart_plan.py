"""What a season chart is asked to show, and the chart once it is laid out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bloomline.draw.base.petals import Petal, Theme, ThemeName
from bloomline.draw.season.legend import Item
from bloomline.draw.season.page import Page
from bloomline.draw.season.stretches import StretchPlace
from bloomline.draw.season.wish_lane import WishSpan
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.forecast.report import SeasonReport


@dataclass(frozen=True, slots=True)
class ChartOptions:
    """What the chart shows and how large it is laid out.

    Lengths are in px of 1/96 inch, whatever the resolution of the picture. Without a height
    the chart is as tall as its content. `conflicts` are the plantings to mark that are due
    while their pot isn't free, `wishes` are those for the season of the whole yard; the pots
    stand in the yard's order unless `by_first_flower`.
    """

    width: float = 1600.0
    height: float | None = None
    theme: ThemeName = "light"
    today: date | None = None
    pot_ids: tuple[str, ...] | None = None
    title: str | None = None
    show_planted: bool = False
    show_dates: bool = True
    by_first_flower: bool = False
    conflicts: tuple[Conflict, ...] = ()
    wishes: tuple[WishSpan, ...] = ()


@dataclass(frozen=True, slots=True)
class ChartPlan:
    """A chart that is laid out and ready to be painted."""

    report: SeasonReport
    options: ChartOptions
    page: Page
    theme: Theme
    bare: tuple[StretchPlace, ...]
    crowded: tuple[StretchPlace, ...]
    items: tuple[Item, ...]
    item_places: tuple[tuple[float, int], ...]
    petals: dict[str, Petal]
    wishes: tuple[WishSpan, ...] = ()

    def due_of(self, part_id: str) -> date | None:
        """When a layer or companions are due while their pot isn't free, if they are."""
        for conflict in self.options.conflicts:
            if part_id in conflict.new_ids:
                return conflict.due
        return None

    @property
    def has_figures(self) -> bool:
        """Whether the yard's figures are shown: they say nothing of a few pots."""
        return len(self.page.blocks) == len(self.report.pots)
