"""What lies under a point of the timeline, and what its tooltip says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QPointF

from bloomline.model.yard import Record
from bloomline.plan.collision import Conflict
from bloomline.plan.report import CompanionForecast, LayerForecast, Stretch
from bloomline.ui.season.geometry import SeasonRow, bar_days
from bloomline.ui.season.rows_part import marker_size
from bloomline.ui.season.tops_part import conflict_box

if TYPE_CHECKING:
    from bloomline.ui.season.view import SeasonView

GRAB = 5.0
"""How near to a thin thing a press still takes hold of it. [px]"""

HitKind = Literal[
    "day line", "planting", "record", "conflict", "bar", "row", "heading", "bare", "crowded",
    "strip", "axis", "nothing",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hit:
    """What lies under a point."""

    kind: HitKind
    pot_id: str | None = None
    layer: LayerForecast | None = None
    companion: CompanionForecast | None = None
    record: Record | None = None
    conflict: Conflict | None = None
    stretch: Stretch | None = None

    @property
    def part_id(self) -> str | None:
        """Id of the layer or of the companions."""
        if self.layer is not None:
            return self.layer.layer_id
        return self.companion.planting_id if self.companion is not None else None


def hit_at(view: SeasonView, at: QPointF) -> Hit:
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
    if at.y() >= rows_top or not in_plot:
        return found
    if at.y() < view.shown.look.axis_height:
        return Hit("axis")
    return _hit_strip(view, at)


def _hit_row(view: SeasonView, at: QPointF, y: float, *, in_plot: bool) -> Hit:
    shown, days = view.shown, view.days()
    index = shown.rows.at(y)
    if index is None:
        return Hit("nothing")
    row = shown.rows.rows[index]
    pot_id = row.pot.pot_id
    if row.is_heading:
        return Hit("heading", pot_id=pot_id)
    conflict = _conflict_at(view, at, index) if in_plot else None
    if conflict is not None:
        return Hit(
            "conflict",
            pot_id=pot_id,
            layer=row.layer,
            companion=row.companion,
            conflict=conflict,
        )
    if row.layer is None:
        return _hit_companion(view, at, row, in_plot=in_plot)
    if not in_plot:
        return Hit("row", pot_id=pot_id, layer=row.layer)
    half = max(marker_size(shown.look.bar_height) + 2, GRAB)
    planted = shown.planting_day(row.layer)
    if planted is not None and abs(at.x() - days.middle_of(planted)) <= half:
        return Hit("planting", pot_id=pot_id, layer=row.layer)
    for record in shown.records.get(row.layer.layer_id, ()):
        if abs(at.x() - days.middle_of(record.day)) <= GRAB:
            return Hit("record", pot_id=pot_id, layer=row.layer, record=record)
    spans = bar_days(row.layer)
    if spans is not None:
        left, right = spans.across(days)
        if left - 2 <= at.x() <= right + 2:
            return Hit("bar", pot_id=pot_id, layer=row.layer)
    return Hit("row", pot_id=pot_id, layer=row.layer)


def _hit_companion(view: SeasonView, at: QPointF, row: SeasonRow, *, in_plot: bool) -> Hit:
    companion, days = row.companion, view.days()
    kind: HitKind = "row"
    if in_plot and companion is not None:
        planted = view.shown.tops.get(companion.planting_id, companion.planted)
        half = max(marker_size(view.shown.look.bar_height) + 2, GRAB)
        if abs(at.x() - days.middle_of(planted)) <= half:
            return Hit("planting", pot_id=row.pot.pot_id, companion=companion)
    if in_plot and companion is not None and companion.first and companion.last:
        left, right = days.x_of(companion.first), days.x(companion.last.toordinal() + 1)
        if left - 2 <= at.x() <= right + 2:
            kind = "bar"
    return Hit(kind, pot_id=row.pot.pot_id, companion=companion)


def _conflict_at(view: SeasonView, at: QPointF, index: int) -> Conflict | None:
    """The conflict whose sign is at a point of a row."""
    shown, row = view.shown, view.shown.rows.rows[index]
    part = Hit("row", layer=row.layer, companion=row.companion)
    conflict = shown.conflicts.get(part.part_id or "")
    if conflict is None:
        return None
    size = marker_size(shown.look.bar_height)
    x = view.days().middle_of(conflict.due)
    return conflict if conflict_box(x, view.row_y(index), size=size).contains(at) else None


def _hit_strip(view: SeasonView, at: QPointF) -> Hit:
    report = view.shown.report
    assert report is not None
    y = at.y() - view.shown.look.axis_height
    top, base = view.strip.field()
    day = view.days().day_at(at.x())
    if y < top:
        for stretch in report.crowded:
            if stretch.first <= day <= stretch.last:
                return Hit("crowded", stretch=stretch)
    if y > base:
        for stretch in report.bare:
            if stretch.first <= day <= stretch.last:
                return Hit("bare", stretch=stretch)
    return Hit("strip")


def tip_at(view: SeasonView, at: QPointF) -> str:
    """The words of the tooltip at a point; "" where there is nothing to tell."""
    hit, report, words = hit_at(view, at), view.shown.report, view.words
    if report is None or hit.kind == "nothing":
        return ""
    if hit.kind == "day line":
        return words.strip_tip(report, view.shown.day)
    if hit.kind in ("axis", "strip"):
        return words.strip_tip(report, view.days().day_at(at.x()))
    if hit.stretch is not None:
        tell = words.crowded_tip if hit.kind == "crowded" else words.bare_tip
        return tell(hit.stretch, report)
    if hit.record is not None:
        return words.record_tip(hit.record)
    if hit.conflict is not None:
        return words.conflict_tip(hit.conflict)
    pot = next(pot for pot in report.pots if pot.pot_id == hit.pot_id)
    if hit.companion is not None:
        planted = view.shown.tops.get(hit.companion.planting_id, hit.companion.planted)
        if hit.kind == "planting":
            return words.planting_tip(planted)
        tip = words.companion_tip(hit.companion, pot, planted=planted)
        return words.with_conflict(tip, view.shown.conflicts.get(hit.companion.planting_id))
    if hit.layer is None:
        return words.pot_tip(pot, view.shown.summary(pot))
    planted = view.shown.planted.get(hit.layer.layer_id, hit.layer.planted)
    if hit.kind == "planting":
        return words.planting_tip(planted)
    tip = words.layer_tip(hit.layer, pot, report, planted=planted)
    return words.with_conflict(tip, view.shown.conflicts.get(hit.layer.layer_id))
