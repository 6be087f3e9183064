"""Paints the coverage strip: stacked petals, crowded brackets on top, bare lane below."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from bloomline.draw.legend import paint_bracket
from bloomline.draw.petals import Petal
from bloomline.plan.report import SeasonReport
from bloomline.ui.season.geometry import DayView, marks_over
from bloomline.ui.season.painted import PAD, BoxPart, PartInk, crisp, faint, paint_grid, paint_hatch
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.strip import StretchPlace, Strip, place_stretches, plan_strip
from bloomline.ui.season.words import SeasonWords

_MARK_RADIUS, _MARK_PITCH = 2.3, 13.0


class StripPart(BoxPart):
    """The coverage strip with its brackets on top and the bare stretches under it."""

    def __init__(self, box: pg.ViewBox, shown: Shown, words: SeasonWords, ink: PartInk) -> None:
        super().__init__(box, shown, ink)
        self._words = words
        self._strip = Strip()
        self._polygons: list[tuple[Petal, list[QPolygonF]]] = []
        self._version = -1
        self._marks_key: object = None
        self._marks: list[tuple[Petal, list[tuple[float, float]]]] = []

    def field(self) -> tuple[float, float]:
        """Top and bottom of the stacked colours, between brackets and lane. [px]"""
        look = self._shown.look
        return look.line + 7, self._box.height() - look.line - 5

    def levels(self) -> list[tuple[int, float]]:
        """Numbers of the scale at the left, and their heights. [px]"""
        self._catch_up()
        top, base = self.field()
        peak = self._strip.peak
        return [
            (level, base - level * (base - top) / peak)
            for level in sorted(
                {0, round(peak)} if base - top < 50 else {0, round(peak / 2), round(peak)}
            )
        ]

    def _catch_up(self) -> None:
        shown = self._shown
        if shown.report is None or self._version == shown.version:
            return
        self._version = shown.version
        self._strip = plan_strip(shown.report, shown.petals)
        self._polygons = [
            (
                band.petal,
                [pg.functions.arrayToQPolygonF(xs, ys) for xs, ys in band.outlines],
            )
            for band in self._strip.bands
        ]

    def stretches(self, days: DayView) -> tuple[tuple[StretchPlace, ...], tuple[StretchPlace, ...]]:
        """The bare and the crowded stretches in view."""
        report, ink, px = self._shown.report, self._ink, self._shown.look.small_px
        if report is None:
            return (), ()
        found = []
        for stretches, say in (
            (report.bare, self._words.bare),
            (report.crowded, self._words.crowded),
        ):
            words = [say(stretch) for stretch in stretches]
            widths = {one: ink.width(one, px, bold=True) for pair in words for one in pair}
            found.append(place_stretches(stretches, words, days=days, width_of=widths))
        return found[0], found[1]

    def _draw(self, painter: QPainter, report: SeasonReport, seen: QRectF) -> None:
        self._catch_up()
        shown, look, ink, days = self._shown, self._shown.look, self._ink, self.days()
        top, base = self.field()
        paint_grid(painter, shown, days, top=0, bottom=self._box.height(), with_weeks=False)
        painter.setPen(QPen(QColor(look.theme.month_line), 1.0))
        for _, y in self.levels():
            painter.drawLine(QLineF(0, crisp(y), days.width, crisp(y)))
        unit = (base - top) / self._strip.peak
        self._paint_bands(painter, report, days, base=base, unit=unit)
        if report.crowded:
            painter.setPen(QPen(faint(look.theme.crowd, 0.6), 1.0, Qt.PenStyle.DotLine))
            y = crisp(base - report.crowd_limit * unit)
            painter.drawLine(QLineF(0, y, days.width, y))
        if self._strip.bands:
            for petal, centres in self._mark_centres(days, base=base, unit=unit):
                ink.marks(centres, petal, radius=_MARK_RADIUS)
        else:
            words = self._words.no_flowers(report)
            ink.text(PAD, base - 6, words, look.small_px, look.theme.muted)
        self._paint_stretches(days, base)

    def _paint_bands(
        self, painter: QPainter, report: SeasonReport, days: DayView, *, base: float, unit: float
    ) -> None:
        origin = days.x_of(report.first_day)
        painter.save()
        painter.translate(origin, base)
        painter.scale(days.per_day, -unit)
        for petal, polygons in self._polygons:
            # Outlines of very many thin bands would turn into a grey of their own.
            is_single = self._strip.is_single
            pen = QPen(QColor(petal.outline), 0.8 if is_single else 0.5)
            pen.setCosmetic(True)
            painter.setPen(pen)
            painter.setBrush(QColor(petal.fill))
            for polygon in polygons:
                painter.drawPolygon(polygon)
        painter.restore()

    def _mark_centres(
        self, days: DayView, *, base: float, unit: float
    ) -> list[tuple[Petal, list[tuple[float, float]]]]:
        key = (self._version, days, base, unit)
        if key == self._marks_key:
            return self._marks
        assert self._shown.report is not None
        xs = days.x_of(self._shown.report.first_day) + self._strip.middles * days.per_day
        found: dict[Petal, list[tuple[float, float]]] = defaultdict(list)
        for family in self._strip.families:
            tops, bottoms = base - family.upper * unit, base - family.lower * unit
            centres = marks_over(
                xs,
                tops,
                bottoms,
                radius=_MARK_RADIUS,
                pitch=_MARK_PITCH,
                seen=(0.0, days.width),
            )
            if not len(centres):
                continue
            index = np.clip(np.round((centres[:, 0] - xs[0]) / days.per_day), 0, len(xs) - 1)
            # The owner is the lowest band whose upper edge lies above the mark.
            edges = base - family.edges[:, index.astype(np.int64)] * unit
            is_under = edges <= centres[:, 1]
            owners = np.where(is_under.any(axis=0), is_under.argmax(axis=0), len(edges) - 1)
            for owner, (x, y) in zip(owners.tolist(), centres.tolist(), strict=True):
                found[family.petals[owner]].append((x, y))
        self._marks_key, self._marks = key, list(found.items())
        return self._marks

    def _paint_stretches(self, days: DayView, base: float) -> None:
        look, ink = self._shown.look, self._ink
        theme, px, painter = look.theme, look.small_px, self._ink.painter
        bare, crowded = self.stretches(days)
        lane_top, bottom = base + 2, self._box.height()
        for place in bare:
            rect = QRectF(place.left, lane_top, place.right - place.left, bottom - lane_top)
            paint_hatch(painter, rect, QColor(theme.bare), wash=faint(theme.bare, 0.09))
        for place in bare:
            if place.words:
                width = ink.width(place.words, px, bold=True)
                painter.setPen(QPen(QColor(theme.bare), 1))
                painter.setBrush(QColor(theme.ground))
                plate = QRectF(place.words_x - 5, lane_top + 0.5, width + 10, bottom - lane_top - 2)
                painter.drawRoundedRect(plate, 5, 5)
                baseline = plate.center().y() + px * 0.35
                ink.text(place.words_x, baseline, place.words, px, theme.bare_text, bold=True)
        for place in crowded:
            y = look.line - 1
            paint_bracket(ink, place.left, place.right, y, theme.crowd)
            if place.words:
                width = ink.width(place.words, px, bold=True)
                ink.plate(place.words_x, y - px * 0.32, width, px, theme.ground)
                ink.text(place.words_x, y - px * 0.32, place.words, px, theme.crowd, bold=True)
