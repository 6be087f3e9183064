"""The axis of days, and the column of names beside the rows."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from math import ceil, floor

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsObject, QStyleOptionGraphicsItem, QWidget

from bloomline.draw.layout import week_ticks
from bloomline.draw.legend import paint_scent
from bloomline.draw.names import fit_name, shorter_names
from bloomline.plan.report import CompanionForecast, LayerForecast
from bloomline.ui.season.geometry import DayView, SeasonRow, month_marks
from bloomline.ui.season.painted import PAD, PartInk, crisp, paint_selection
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.strip_part import StripPart
from bloomline.ui.season.words import SeasonWords, month_names

INDENT = 12.0
_DAY_NUMBERS_FROM = 25.0  # width of a day that has room for its number


class DayAxis(pg.AxisItem):  # type: ignore[misc]
    """Months, and ISO weeks or days under them, over whole-day numbers."""

    def __init__(self, shown: Shown, words: SeasonWords, ink: PartInk) -> None:
        super().__init__(orientation="top", showValues=False)
        self._shown, self._words, self._ink = shown, words, ink

    @property
    def shows_days(self) -> bool:
        """Whether there is room for days; else the weeks are numbered."""
        return self.days().per_day >= _DAY_NUMBERS_FROM

    def days(self) -> DayView:
        """Which days lie where, in the axis's own pixels."""
        first, last = self.range
        return DayView(first, last, 0.0, max(1.0, self.width()))

    def paint(self, painter: QPainter, *_: object) -> None:
        if self._shown.report is not None:
            with self._ink.on(painter):
                self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        look, ink, days = self._shown.look, self._ink, self.days()
        theme, height = look.theme, self.height()
        painter.setClipRect(QRectF(0, 0, self.width(), height))
        week_line = height - look.line * 0.32
        month_line = height - look.line - look.text_px * 0.42
        month_top = month_line - look.text_px
        names = month_names(self._words.locale)
        ticks = month_marks(
            days, names=names, measure=lambda text: ink.width(text, look.text_px, bold=True)
        )
        painter.setPen(QPen(QColor(theme.month_line), 1.0))
        for tick in ticks:
            if tick.is_whole:
                painter.drawLine(QLineF(crisp(tick.left), month_top, crisp(tick.left), height))
        for tick in ticks:
            ink.text(tick.label_x, month_line, tick.label, look.text_px, theme.ink, bold=True)
        if self.shows_days:
            for number in range(ceil(days.first - 0.2), floor(days.last - 0.8) + 1):
                day = date.fromordinal(number)
                ink.text(
                    days.middle_of(day),
                    week_line,
                    self._words.number(day.day),
                    look.small_px,
                    theme.muted,
                    align="centre",
                )
        else:
            room = ink.width("00", look.small_px) + 6
            for week in week_ticks(days.scale(), label_room=room):
                x = (week.left + week.right) / 2
                label = self._words.number(int(week.label)) if week.label else ""
                ink.text(x, week_line, label, look.small_px, theme.muted, align="centre")
        today = self._shown.today
        if days.first <= today.toordinal() < days.last:
            self._paint_today(days.middle_of(today), look.flag_height)

    def _paint_today(self, x: float, bottom: float) -> None:
        """A small open wedge and a word, which the day line's flag may cover."""
        look, ink = self._shown.look, self._ink
        word = self._words.today()
        width = ink.width(word, look.small_px)
        left = min(max(x - width / 2, 2), self.width() - width - 2)
        ink.text(left, bottom - look.small_px * 0.5, word, look.small_px, look.theme.muted)
        ink.painter.setPen(Qt.PenStyle.NoPen)
        ink.painter.setBrush(QColor(look.theme.muted))
        ink.painter.drawPolygon(
            QPolygonF(
                [QPointF(x - 3.5, bottom - 4), QPointF(x + 3.5, bottom - 4), QPointF(x, bottom + 1)]
            )
        )


@lru_cache(maxsize=4096)
def _shortest(name: str) -> str:
    """The shortest form of a name; each step of a slider asks for those of all rows."""
    *_, last = shorter_names(name)
    return last


class RowNames(pg.AxisItem):  # type: ignore[misc]
    """The column of names: each pot's heading, its layers and what stands on top.

    It scrolls with the rows.
    """

    def __init__(self, shown: Shown, ink: PartInk) -> None:
        super().__init__(orientation="left", showValues=False)
        self._shown, self._ink = shown, ink
        self._wanted: tuple[object, float] = (None, 0.0)

    def wanted_width(self) -> float:
        """The width at which every name is seen whole, in its shortest form. [px]"""
        look, ink = self._shown.look, self._ink
        key = (self._shown.version, look)
        if self._wanted[0] != key:
            most = 0.0
            for row in self._shown.rows.rows:
                plant = row.layer or row.companion
                if plant is None:
                    heading = ink.width(row.pot.name, look.text_px, bold=True)
                    most = max(most, heading + 1.5 * PAD)
                else:
                    beside = PAD + INDENT + PAD + self._room_right(plant)
                    most = max(most, beside + ink.width(_shortest(plant.name), look.text_px))
            self._wanted = (key, most + 1.0)
        return self._wanted[1]

    def _room_right(self, plant: LayerForecast | CompanionForecast) -> float:
        """What number and scent of a plant take up. [px]"""
        ink, px = self._ink, self._shown.look.small_px
        count = max(ink.width("× 00", px), ink.width(f"× {plant.count}", px)) + 6
        return count + (18 if plant.scent else 0)

    def paint(self, painter: QPainter, *_: object) -> None:
        with self._ink.on(painter):
            self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        shown, look = self._shown, self._shown.look
        top, bottom = sorted(self.range)
        width = self.width()
        painter.setClipRect(QRectF(0, 0, width, self.height()))
        for index in shown.rows.visible(top, bottom):
            row = shown.rows.rows[index]
            begin, end = shown.rows.span(index)
            rect = QRectF(0, begin - top, width, end - begin)
            plant = row.layer or row.companion
            if plant is None:
                self._paint_heading(rect, row)
            else:
                self._paint_plant(rect, plant)
        paint_selection(painter, shown, top=top, left=1.5, right=width + 20)
        painter.setPen(QPen(QColor(look.theme.month_line), 1.0))
        painter.drawLine(QLineF(width - 0.5, 0, width - 0.5, self.height()))

    def _paint_heading(self, rect: QRectF, row: SeasonRow) -> None:
        ink, look = self._ink, self._shown.look
        ink.painter.fillRect(rect.adjusted(0, 3, 0, -1), QColor(look.theme.panel))
        baseline = rect.center().y() + 1 + look.text_px * 0.35
        name = ink.fitted(row.pot.name, look.text_px, rect.width() - 1.5 * PAD, bold=True)
        ink.text(PAD, baseline, name, look.text_px, look.theme.ink, bold=True)

    def _paint_plant(self, rect: QRectF, plant: LayerForecast | CompanionForecast) -> None:
        ink, look = self._ink, self._shown.look
        middle, px = rect.center().y(), look.text_px
        baseline = middle + px * 0.35
        right = rect.right() - PAD
        count = f"× {plant.count}"
        ink.text(right, baseline, count, look.small_px, look.theme.muted, align="right")
        right -= self._room_right(plant)
        if plant.scent:
            paint_scent(ink, right + 11, middle, plant.scent, look.theme.muted, height=px * 0.95)
        left = PAD + INDENT
        name = fit_name(plant.name, room=right - left, measure=lambda text: ink.width(text, px))
        ink.name(left, baseline, name, px, look.theme.ink)


class Corner(QGraphicsObject):
    """What the axis and the strip say, in the column of names."""

    def __init__(
        self, shown: Shown, words: SeasonWords, ink: PartInk, axis: DayAxis, strip: StripPart
    ) -> None:
        super().__init__()
        self._shown, self._words, self._ink = shown, words, ink
        self._axis, self._strip = axis, strip
        self._rect = QRectF()

    def lay(self, rect: QRectF) -> None:
        """Take a place."""
        self.prepareGeometryChange()
        self._rect = rect

    def boundingRect(self) -> QRectF:
        return self._rect

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        with self._ink.on(painter):
            self._draw()

    def _draw(self) -> None:
        shown, look, ink = self._shown, self._shown.look, self._ink
        right = self._rect.right() - PAD
        y = look.axis_height - look.line * 0.32
        ink.text(
            right,
            y,
            self._words.line_title(shows_days=self._axis.shows_days),
            look.small_px,
            look.theme.muted,
            align="right",
        )
        top = look.axis_height
        _, base = self._strip.field()
        title, second = self._words.strip_title()
        room = right - PAD - 20
        ink.text(
            PAD,
            top + base - look.text_px * 1.5,
            ink.fitted(title, look.text_px, room, bold=True),
            look.text_px,
            look.theme.ink,
            bold=True,
        )
        words = ink.fitted(second, look.small_px, room)
        ink.text(PAD, top + base - look.small_px * 0.2, words, look.small_px, look.theme.muted)
        if shown.report is not None:
            for level, height in self._strip.levels():
                y = top + height + look.small_px * 0.35
                label = self._words.number(level)
                ink.text(right, y, label, look.small_px, look.theme.muted, align="right")
