"""What the timeline shows now; its painters read it, its panel fills it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from bloomline.draw.season.days import Plant, part_id
from bloomline.draw.season.page import planted_on
from bloomline.draw.season.rows import Place
from bloomline.model.yard import Pot, Record, Yard
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.fill.targets import Target
from bloomline.plan.forecast.report import LayerForecast, PotForecast, SeasonReport
from bloomline.plan.season.colour import pot_summary
from bloomline.ui.season.geometry import RowTable, plan_rows
from bloomline.ui.season.look import Look
from bloomline.ui.season.words import SeasonWords
from bloomline.ui.selection import NOTHING, Selection
from bloomline.ui.units import Units, units_of


@dataclass(slots=True)
class Shown:
    """The report laid out in rows, and what is selected and looked at."""

    look: Look
    report: SeasonReport | None = None
    rows: RowTable = field(default_factory=RowTable)
    planted: dict[str, date] = field(default_factory=dict)
    """Planting days of layers and companions by id."""
    tops: frozenset[str] = frozenset()
    """The ids of companions."""
    records: dict[str, tuple[Record, ...]] = field(default_factory=dict)
    conflicts: dict[str, Conflict] = field(default_factory=dict)
    """Plantings that are due while their pot isn't free, by the id of what is due."""
    selection: Selection = NOTHING
    current: str | None = None
    """The one chosen last of what is selected."""
    cursor: str | None = None
    """What the keyboard is on without having selected it."""
    pot_id: str | None = None
    """The pot that is selected, or that holds what was chosen last."""
    day: date = date(2000, 1, 1)
    today: date = date(2000, 1, 1)
    targets: tuple[Target, ...] = ()
    """What is wished of the season, and whether it is kept."""
    gap: tuple[date, date] | None = None
    """Days that are marked to be filled: a bare stretch by keys, or what is being dragged over."""
    by_first_flower: bool = False
    units: Units = field(default_factory=Units)
    holds_order: bool = False
    """Whether the rows stay where they were, whatever order they would have."""
    version: int = 0
    """Counts the reports, for what is worked out once a report."""
    _noted: object = None
    _pots: dict[str, Pot] = field(default_factory=dict)

    def take_report(self, report: SeasonReport, *, hold_order: bool = False) -> None:
        """Lay a report out; with `hold_order` the rows stay where they were."""
        held = self.rows.places if hold_order else None
        self.report = report
        self.holds_order = held is not None
        self.rows = plan_rows(
            report,
            by_first_flower=self.by_first_flower,
            held=held,
            row_height=self.look.row_height,
            pot_height=self.look.pot_height,
        )
        self.version += 1

    def take_conflicts(self, conflicts: Sequence[Conflict]) -> None:
        """Note which plantings are due while their pot isn't free."""
        self.conflicts = {name: each for each in conflicts for name in each.new_ids}

    @property
    def has_bare(self) -> bool:
        """Whether any stretch of the season is bare."""
        return self.report is not None and bool(self.report.bare)

    def chosen_row(self) -> int | None:
        """The row that the keyboard is on: of what is selected the one chosen last."""
        for name in (self.cursor, self.current, self.pot_id):
            if (found := self.rows.of(name)) is not None:
                return found
        return None

    def take_yard(self, yard: Yard) -> bool:
        """Note planting dates and records: they show at once, before the report is worked out.

        False when they are those that are shown.
        """
        noted = (yard.pots, yard.records, yard.settings.units)
        if self._noted == noted:
            return False
        self._noted = noted
        self.units = units_of(yard)
        self._pots = {pot.id: pot for pot in yard.pots} if self.units.imperial else {}
        tops = {planting.id: planting.planted for _, planting in yard.companions()}
        self.tops = frozenset(tops)
        self.planted = {layer.id: layer.planted for _, layer in yard.layers()} | tops
        records: dict[str, list[Record]] = {}
        for record in yard.records:
            records.setdefault(record.layer_id, []).append(record)
        self.records = {layer_id: tuple(some) for layer_id, some in records.items()}
        return True

    def summary(self, pot: PotForecast) -> str:
        """A pot in a few words, in the yard's units; the report tells it in cm."""
        own = self._pots.get(pot.pot_id)
        return pot.summary if own is None else pot_summary(own, self.units)

    def planting_day(self, plant: Plant) -> date | None:
        """The day a planting marker stands at; None if it was in an earlier season."""
        if planted_on(plant) is None:
            return None
        return self.planted.get(part_id(plant), plant.planted)

    def place(self, index: int, *, scrolled: float, words: SeasonWords) -> Place | None:
        """What the painter shows in a row; None for a pot's heading."""
        plant, name = self.rows.rows[index].plant, self.rows.rows[index].part_id
        if plant is None:
            return None
        conflict = self.conflicts.get(name)
        on_top, reason = words.on_top(), words.out_of_season()
        if isinstance(plant, LayerForecast):
            on_top, reason = "", plant.reason or ""
        return Place(
            plant,
            self.rows.middle(index) - scrolled,
            words=on_top,
            barren=(reason,) if reason else (),
            planted=self.planting_day(plant),
            due=None if conflict is None else conflict.due,
            records=[record.day for record in self.records.get(name, ())],
            is_chosen=name in self.selection,
        )
