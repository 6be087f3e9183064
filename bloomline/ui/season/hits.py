"""What lies under a point of the timeline, and what its tooltip says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QPointF

from bloomline.model.yard import Record
from bloomline.plan.report import LayerForecast, Stretch
from bloomline.ui.season.geometry import bar_days
from bloomline.ui.season.rows_part import marker_size

if TYPE_CHECKING:
    from bloomline.ui.season.view import SeasonView

GRAB = 5.0
"""How near to a thin thing a press still takes hold of it. [px]"""

HitKind = Literal[
    "day line", "planting", "record", "bar", "row", "heading", "bare", "crowded", "strip", "axis",
    "nothing",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hit:
    """What lies under a point."""

    kind: HitKind
    pot_id: str | None = None
    layer: LayerForecast | None = None
    record: Record | None = None
    stretch: Stretch | None = None


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
    if is_on_line and found.kind not in ("planting", "record"):
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
    if row.layer is None:
        return Hit("heading", pot_id=pot_id)
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
    pot = next(pot for pot in report.pots if pot.pot_id == hit.pot_id)
    if hit.layer is None:
        return words.pot_tip(pot)
    planted = view.shown.planted.get(hit.layer.layer_id, hit.layer.planted)
    if hit.kind == "planting":
        return words.planting_tip(planted)
    return words.layer_tip(hit.layer, pot, report, planted=planted)
