"""Geometry of the timeline: zoom, pan, and which row lies where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bloomline.draw.season.days import Plant, part_id, shown_days
from bloomline.draw.season.page import ordered_pots
from bloomline.plan.forecast.later import LaterItems
from bloomline.plan.forecast.report import (
    CompanionForecast,
    LayerForecast,
    PotForecast,
    SeasonReport,
)

LEAST_DAYS = 14.0
"""The closest zoom: two weeks over the whole width."""

Range = tuple[float, float]
"""Day numbers (`date.toordinal()`) at the left and at the right edge."""


# Zoom and pan


def kept_within(window: Range, limits: Range) -> Range:
    """A window moved, and if it must be narrowed, so that it lies within the limits."""
    span = min(window[1] - window[0], limits[1] - limits[0])
    first = min(max(window[0], limits[0]), limits[1] - span)
    return first, first + span


def zoomed(window: Range, factor: float, *, around: float, limits: Range) -> Range:
    """A window `factor` times as narrow; the day number `around` stays where it is."""
    old = window[1] - window[0]
    most = limits[1] - limits[0]
    span = min(max(old / factor, min(LEAST_DAYS, most)), most)
    share = (around - window[0]) / old
    first = around - share * span
    return kept_within((first, first + span), limits)


def panned(window: Range, days: float, *, limits: Range) -> Range:
    """A window moved by a number of days."""
    return kept_within((window[0] + days, window[1] + days), limits)


def brought_into(window: Range, day: date, *, limits: Range, margin: float = 0.06) -> Range:
    """The window, moved as little as needed for a day to lie within it."""
    edge = (window[1] - window[0]) * margin
    number = day.toordinal() + 0.5
    if number < window[0] + edge:
        return panned(window, number - edge - window[0], limits=limits)
    if number > window[1] - edge:
        return panned(window, number + edge - window[1], limits=limits)
    return window


def limits_of(report: SeasonReport) -> Range:
    """The days that can be shown: those of the report."""
    return float(report.first_day.toordinal()), float(report.last_day.toordinal() + 1)


def whole_season(report: SeasonReport) -> Range:
    """The window that shows every planting and every flower of the season."""
    layers = [each.layer for each in report.alike]
    first, last = shown_days(report, layers, companions=report.companions, show_planted=True)
    return kept_within((float(first.toordinal()), float(last.toordinal() + 1)), limits_of(report))


def growing_days(report: SeasonReport) -> tuple[date, date]:
    """First and last day on which there is something to see: from the noses to the last flower."""
    layers = [each.layer for each in report.alike]
    first, last = shown_days(report, layers)
    for layer in layers:
        if layer.nose is not None:
            first = min(first, layer.nose.p10 - timedelta(days=7))
    return max(first, report.first_day), min(last, report.last_day)


# Rows


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """A row of the timeline: a pot's heading, one of its layers or what stands on top."""

    pot: PotForecast
    plant: Plant | None = None

    @property
    def layer(self) -> LayerForecast | None:
        """The layer, if it is one's row."""
        return self.plant if isinstance(self.plant, LayerForecast) else None

    @property
    def companion(self) -> CompanionForecast | None:
        """What stands on top, if it is its row."""
        return self.plant if isinstance(self.plant, CompanionForecast) else None

    @property
    def part_id(self) -> str:
        """The id of the layer, the companions, or the pot."""
        return self.pot.pot_id if self.plant is None else part_id(self.plant)


class RowTable:
    """All rows from top to bottom, and where each of them lies. [px]

    Each is made when it is asked for: of a thousand pots some ten are in sight.
    """

    def __init__(
        self,
        pots: Sequence[PotForecast] = (),
        *,
        row_height: float = 24,
        pot_height: float = 30,
        held: Mapping[str, int] | None = None,
    ) -> None:
        """Lay pots out. held : see `plan_rows`."""
        self.pots = tuple(pots)
        counts = np.array([1 + pot.n_parts for pot in self.pots], dtype=np.int64)
        self._begins = np.concatenate(([0], np.cumsum(counts)))
        """Which row is each pot's heading; at the end the number of rows."""
        n_rows, self._held = int(self._begins[-1]), held
        heights = np.full(n_rows, row_height, dtype=float)
        heights[self._begins[:-1]] = pot_height
        self._tops: NDArray[np.float64] = np.concatenate(([0.0], np.cumsum(heights)))
        self.rows: Sequence[SeasonRow] = LaterItems(n_rows, self._row)

    def _row(self, index: int) -> SeasonRow:
        at = int(np.searchsorted(self._begins, index, side="right")) - 1
        pot, part = self.pots[at], index - int(self._begins[at]) - 1
        return SeasonRow(pot, _parts_of(pot, self._held)[part] if part >= 0 else None)

    @cached_property
    def places(self) -> dict[str, int]:
        """The row of every pot, layer and planting of companions, by id."""
        return {row.part_id: index for index, row in enumerate(self.rows)}

    @property
    def height(self) -> float:
        """Height of all the rows."""
        return float(self._tops[-1])

    def span(self, index: int) -> tuple[float, float]:
        """Top and bottom of a row."""
        return float(self._tops[index]), float(self._tops[index + 1])

    def middle(self, index: int) -> float:
        """The middle of a row."""
        return float(self._tops[index] + self._tops[index + 1]) / 2

    def visible(self, top: float, bottom: float) -> range:
        """The rows that are seen, at least in part, between two heights."""
        first = int(np.searchsorted(self._tops, top, side="right")) - 1
        last = int(np.searchsorted(self._tops, bottom, side="left"))
        return range(max(first, 0), min(max(last, 0), len(self.rows)))

    def at(self, y: float) -> int | None:
        """The row at a height."""
        if not 0 <= y < self.height:
            return None
        return int(np.searchsorted(self._tops, y, side="right")) - 1

    def of(self, name: str | None) -> int | None:
        """The row of a pot, a layer or companions."""
        return None if name is None else self.places.get(name)

    def next_part(self, index: int | None, step: int) -> SeasonRow | None:
        """The layer or companions after (or before) a row; the first ones without a row."""
        if index is None:
            index = -1 if step > 0 else len(self.rows)
        index += step
        while 0 <= index < len(self.rows):
            if self.rows[index].plant is not None:
                return self.rows[index]
            index += step
        return None


def plan_rows(
    report: SeasonReport,
    *,
    by_first_flower: bool = False,
    held: Mapping[str, int] | None = None,
    row_height: float = 24,
    pot_height: float = 30,
) -> RowTable:
    """The rows of a report: pots in the yard's order or by first flower, then their parts.

    held : places of pots and layers that must keep their order, so that a row does not jump
    away under the hand that moves it; new ones come last.
    """
    pots = list(ordered_pots(report, None, by_first_flower=by_first_flower))
    if held is not None:
        pots.sort(key=lambda pot: held.get(pot.pot_id, len(held)))
    return RowTable(pots, row_height=row_height, pot_height=pot_height, held=held)


def _parts_of(pot: PotForecast, held: Mapping[str, int] | None) -> list[Plant]:
    """The parts of a pot from top to bottom: its layers, then what stands on top."""
    parts: list[Plant] = []
    for kind in (pot.layers, pot.companions):
        plants: list[Plant] = [*kind]
        if held is not None:
            plants.sort(key=lambda plant: held.get(part_id(plant), len(held)))
        parts += plants
    return parts
