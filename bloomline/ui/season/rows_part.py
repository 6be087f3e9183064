"""Paints the rows that are seen: bars, planting markers, records, reasons."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from bloomline.plan.report import SeasonReport
from bloomline.ui.season.bars import BarPainter, BarPlace
from bloomline.ui.season.geometry import DayView, SeasonRow
from bloomline.ui.season.painted import (
    PAD,
    BoxPart,
    PartInk,
    crisp,
    faint,
    paint_grid,
    paint_hatch,
    paint_selection,
)
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.tops_part import TopPlace, paint_conflicts, paint_tops
from bloomline.ui.season.words import SeasonWords


class RowsPart(BoxPart):
    """The rows that are seen: bars, planting markers, records, and why there is no flower."""

    def __init__(self, box: pg.ViewBox, shown: Shown, words: SeasonWords, ink: PartInk) -> None:
        super().__init__(box, shown, ink)
        self._words = words
        self._bars = BarPainter(shown)
        self.painted_rows = 0
        """Rows that the last painting went through."""

    def top(self) -> float:
        """How far the rows are scrolled. [px]"""
        return float(self._box.viewRange()[1][0])

    def _draw(self, painter: QPainter, report: SeasonReport, seen: QRectF) -> None:
        shown, look, days = self._shown, self._shown.look, self.days()
        seen = seen.adjusted(-2, 0, 2, 0)
        scrolled = self.top()
        bottom = min(self._box.height(), shown.rows.height - scrolled)
        paint_grid(painter, shown, days, top=0, bottom=bottom, with_weeks=True)
        for stretch in report.bare:
            left = max(days.x_of(stretch.first), 0.0)
            right = min(days.x(stretch.last.toordinal() + 1), days.width)
            if right > left and right >= seen.left() and left <= seen.right():
                rect = QRectF(left, 0, right - left, bottom)
                paint_hatch(
                    painter,
                    rect,
                    faint(look.theme.bare, 0.34),
                    wash=faint(look.theme.bare, 0.09),
                    width=0.8,
                )
        today_x = crisp(days.middle_of(shown.today))
        painter.setPen(QPen(faint(look.theme.muted, 0.6), 1.0, Qt.PenStyle.DotLine))
        painter.drawLine(QLineF(today_x, 0, today_x, bottom))
        places: list[BarPlace] = []
        tops: list[TopPlace] = []
        visible = shown.rows.visible(seen.top() + scrolled, seen.bottom() + scrolled)
        for index in visible:
            row = shown.rows.rows[index]
            middle = shown.rows.middle(index) - scrolled
            if row.layer is not None:
                places.append(BarPlace(row.layer, middle))
            elif row.companion is not None:
                tops.append(TopPlace(row.companion, middle))
            else:
                self._paint_heading(row, index, scrolled, days)
        self.painted_rows = len(visible)
        self._bars.paint(self._ink, places, days=days, seen=seen)
        self._paint_reasons(places, days)
        self._paint_planted(places, days)
        size = marker_size(look.bar_height)
        paint_tops(
            self._ink,
            shown,
            tops,
            self._words,
            days=days,
            seen=seen,
            marker=_BULB,
            marker_size=size,
        )
        due = [(place.layer.layer_id, place.middle) for place in places]
        due += [(top.companion.planting_id, top.middle) for top in tops]
        paint_conflicts(self._ink, shown, due, days=days, size=size)
        self._paint_records(places, days)
        paint_selection(painter, shown, top=scrolled, left=-20, right=days.width - 1.5)

    def _paint_heading(self, row: SeasonRow, index: int, top: float, days: DayView) -> None:
        ink, look = self._ink, self._shown.look
        begin, end = self._shown.rows.span(index)
        rect = QRectF(0, begin - top + 3, days.width, end - begin - 4)
        ink.painter.fillRect(rect, QColor(look.theme.panel))
        baseline = rect.center().y() + look.small_px * 0.35
        weeks = self._words.weeks_of_colour(row.pot)
        right = days.width - PAD
        right -= 18 + ink.text(
            right, baseline, weeks, look.small_px, look.theme.muted, align="right"
        )
        summary = ink.fitted(self._shown.summary(row.pot), look.small_px, right - PAD)
        ink.text(PAD, baseline, summary, look.small_px, look.theme.muted)

    def _paint_reasons(self, places: list[BarPlace], days: DayView) -> None:
        ink, look = self._ink, self._shown.look
        px = look.small_px
        for place in places:
            if place.layer.start is not None or not place.layer.reason:
                continue
            planted = self._shown.planting_day(place.layer)
            marker_x = None if planted is None else days.middle_of(planted)
            left, right = clear_room(
                days.width, marker_x, keep_off=marker_size(look.bar_height) + 5
            )
            words = ink.fitted(place.layer.reason, px, right - left)
            baseline = place.middle + px * 0.35
            ink.plate(left, baseline, ink.width(words, px), px, look.theme.ground)
            ink.text(left, baseline, words, px, look.theme.bare_text)

    def _paint_planted(self, places: list[BarPlace], days: DayView) -> None:
        shown, look, painter = self._shown, self._shown.look, self._ink.painter
        size = marker_size(look.bar_height)
        for place in places:
            planted = shown.planting_day(place.layer)
            if planted is None:
                continue
            x = days.middle_of(planted)
            if not -size <= x <= days.width + size:
                continue
            is_chosen = place.layer.layer_id == shown.layer_id
            painter.setPen(QPen(QColor(look.theme.ground), 1.2))
            painter.setBrush(QColor(look.tone.focus if is_chosen else look.theme.muted))
            # A bulb: round below, drawn out to a tip.
            y = place.middle
            painter.drawPolygon(
                QPolygonF([QPointF(x + dx * size, y + dy * size) for dx, dy in _BULB])
            )

    def _paint_records(self, places: list[BarPlace], days: DayView) -> None:
        shown, look, painter = self._shown, self._shown.look, self._ink.painter
        half = look.bar_height / 2 + 1
        for place in places:
            for record in shown.records.get(place.layer.layer_id, ()):
                x = days.middle_of(record.day)
                if not 0 <= x <= days.width:
                    continue
                y = place.middle
                for width, colour in ((4.0, look.theme.ground), (1.6, look.theme.ink)):
                    painter.setPen(QPen(QColor(colour), width))
                    painter.drawLine(QLineF(x, y - half, x, y + half))
                painter.setPen(QPen(QColor(look.theme.ground), 1.0))
                painter.setBrush(QColor(look.theme.ink))
                painter.drawEllipse(QPointF(x, y - half), 3.2, 3.2)


def clear_room(width: float, marker_x: float | None, *, keep_off: float) -> tuple[float, float]:
    """Left and right of the wider room beside a marker; all of it without a marker in view."""
    left, right = PAD, width - PAD
    if marker_x is None or not left - keep_off < marker_x < right + keep_off:
        return left, right
    if marker_x - left > right - marker_x:
        return left, max(left, marker_x - keep_off)
    return min(marker_x + keep_off, right), right


def marker_size(bar_height: float) -> float:
    """Half the height of a planting marker. [px]"""
    return bar_height * 0.42


def _bulb() -> tuple[tuple[float, float], ...]:
    angles = np.linspace(np.radians(-35), np.radians(215), 15)
    side = [(0.82 * float(np.cos(a)), 0.22 + 0.78 * float(np.sin(a))) for a in angles]
    return (*side, (-0.16, -0.72), (0.0, -1.15), (0.16, -0.72))


_BULB = _bulb()
