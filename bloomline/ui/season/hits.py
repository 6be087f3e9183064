"""What lies under a point of the timeline, and what its tooltip says."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from PySide6.QtCore import QPointF

from bloomline.draw.season.days import Plant, part_id
from bloomline.draw.season.rows import bar_across
from bloomline.draw.season.signs import conflict_box, marker_size
from bloomline.model.yard import Record
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.fill.targets import Target
from bloomline.plan.forecast.report import LayerForecast, Stretch
from bloomline.ui.season.plot import SeasonPlot

GRAB = 5.0
"""How near to a thin thing a press still takes hold of it. [px]"""

HitKind = Literal[
    "day line", "planting", "record", "conflict", "bar", "row", "heading", "bare", "crowded",
    "wish", "strip", "axis", "corner", "nothing",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hit:
    """What lies under a point."""

    kind: HitKind
    pot_id: str | None = None
    plant: Plant | None = None
    record: Record | None = None
    conflict: Conflict | None = None
    stretch: Stretch | None = None
    target: Target | None = None

    @property
    def part_id(self) -> str | None:
        """Id of the layer or of the companions."""
        return None if self.plant is None else part_id(self.plant)


def hit_at(view: SeasonPlot, at: QPointF) -> Hit:
    """What lies under a point of the view: the smaller thing where two lie on one another."""
    if view.shown.report is None:
        return Hit("nothing")
    plot, rows_top = view.plot_rect(), view.rows_top()
    in_plot = plot.left() <= at.x() <= plot.right()
    line = view.day_line
    if line.isVisible() and line.flag_rect().contains(at):
        return Hit("day line")
    found = Hit("nothing")
    if at.y() >= rows_top:
        found = _hit_row(view, at, at.y() - rows_top + view.rows.top(), in_plot=in_plot)
    is_on_line = line.isVisible() and in_plot and abs(at.x() - line.x()) <= GRAB
    if is_on_line and found.kind not in ("planting", "record", "conflict"):
        return Hit("day line")
    if at.y() < rows_top and at.x() < plot.left():
        return Hit("corner")
    if at.y() >= rows_top or not in_plot:
        return found
    if at.y() < view.shown.look.axis_height:
        return Hit("axis")
    return _hit_strip(view, at)


def _hit_row(view: SeasonPlot, at: QPointF, y: float, *, in_plot: bool) -> Hit:
    shown, days = view.shown, view.days()
    index = shown.rows.at(y)
    if index is None:
        return Hit("nothing")
    row = shown.rows.rows[index]
    if row.plant is None:
        return Hit("heading", pot_id=row.pot.pot_id)
    hit = Hit("row", pot_id=row.pot.pot_id, plant=row.plant)
    if not in_plot:
        return hit
    size = marker_size(shown.look.bar_height)
    conflict = shown.conflicts.get(row.part_id)
    if conflict is not None:
        box = conflict_box(days.middle_of(conflict.due), view.row_y(index), size=size)
        if box.contains(at):
            return replace(hit, kind="conflict", conflict=conflict)
    planted = shown.planting_day(row.plant)
    if planted is not None and abs(at.x() - days.middle_of(planted)) <= max(size + 2, GRAB):
        return replace(hit, kind="planting")
    for record in shown.records.get(row.part_id, ()):
        if abs(at.x() - days.middle_of(record.day)) <= GRAB:
            return replace(hit, kind="record", record=record)
    across = bar_across(row.plant, days)
    is_bar = across is not None and across[0] - 2 <= at.x() <= across[1] + 2
    return replace(hit, kind="bar") if is_bar else hit


def _hit_strip(view: SeasonPlot, at: QPointF) -> Hit:
    report = view.shown.report
    assert report is not None
    y = at.y() - view.shown.look.axis_height
    top, base = view.strip.field()
    day = view.days().day_at(at.x())
    if y < top:
        for stretch in report.crowded:
            if stretch.first <= day <= stretch.last:
                return Hit("crowded", stretch=stretch)
    if y > view.strip.boundingRect().height() - view.strip.lanes_height():
        target = view.strip.target_at(at.x() - view.plot_rect().left(), y)
        return Hit("strip") if target is None else Hit("wish", target=target)
    if y > base:
        for stretch in report.bare:
            if stretch.first <= day <= stretch.last:
                return Hit("bare", stretch=stretch)
    return Hit("strip")


def tip_at(view: SeasonPlot, at: QPointF) -> str:
    """The words of the tooltip at a point; "" where there is nothing to tell."""
    hit, report, words = hit_at(view, at), view.shown.report, view.words
    if report is None or hit.kind == "nothing":
        return ""
    if hit.kind == "day line":
        return words.strip_tip(report, view.shown.day)
    if hit.kind == "corner":
        return words.corner_tip(report)
    if hit.kind in ("axis", "strip"):
        return words.strip_tip(report, view.days().day_at(at.x()))
    if hit.target is not None:
        return words.wish_tip(hit.target)
    if hit.stretch is not None:
        tell = words.crowded_tip if hit.kind == "crowded" else words.bare_tip
        return tell(hit.stretch, report)
    if hit.record is not None:
        return words.record_tip(hit.record)
    if hit.conflict is not None:
        return words.conflict_tip(hit.conflict)
    pot = next(pot for pot in report.pots if pot.pot_id == hit.pot_id)
    if hit.plant is None or hit.part_id is None:
        return words.pot_tip(pot, view.shown.summary(pot))
    planted = view.shown.planted.get(hit.part_id, hit.plant.planted)
    if hit.kind == "planting":
        return words.planting_tip(planted)
    if isinstance(hit.plant, LayerForecast):
        tip = words.layer_tip(hit.plant, pot, report, planted=planted)
    else:
        tip = words.companion_tip(hit.plant, pot, planted=planted)
    return words.with_conflict(tip, view.shown.conflicts.get(hit.part_id))
