"""The axis of days, and the column of names beside the rows."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QGraphicsObject, QStyleOptionGraphicsItem, QWidget

from bloomline.draw.base.names import shorter_names
from bloomline.draw.season.axis import paint_axis, paint_grid, shows_days
from bloomline.draw.season.days import DayScale, Plant
from bloomline.draw.season.rows import name_room, paint_name
from bloomline.draw.season.strip import paint_strip_side
from bloomline.plan.words.benches import fitted_times, times_words
from bloomline.ui.season.box import Box, DaysBox
from bloomline.ui.season.geometry import SeasonRow
from bloomline.ui.season.parts import PAD, PartInk, StripPart, paint_selection
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.words import SeasonWords

INDENT = 12.0


class DayAxis(Box):
    """Months, and ISO weeks or days under them, over the days of a box."""

    def __init__(self, box: DaysBox, shown: Shown, words: SeasonWords, ink: PartInk) -> None:
        super().__init__()
        self._box, self._shown, self._words, self._ink = box, shown, words, ink
        self._painted: object = None
        self.setCacheMode(QGraphicsItem.CacheMode.DeviceCoordinateCache)
        box.days_changed.connect(self.update)

    def renew(self) -> None:
        """Paint anew if the axis looks different now: a season leaves it as it is."""
        shown = self._shown
        looks = (shown.look, shown.today, shown.report is None)
        if looks != self._painted:
            self._painted = looks
            self.update()

    def days(self) -> DayScale:
        """Which days lie where, in the axis's own pixels."""
        first, last = self._box.days
        return DayScale(first, last, 0.0, max(1.0, self.width()))

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        if self._shown.report is not None:
            with self._ink.on(painter, self):
                self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        look, days, height = self._shown.look, self.days(), self.height()
        painter.setClipRect(QRectF(0, 0, self.width(), height))
        month_line = height - look.line - look.text_px * 0.42
        top = month_line - look.text_px
        paint_grid(self._ink, look.theme, days, top=top, bottom=height, weeks_top=None)
        paint_axis(
            self._ink,
            look.theme,
            days,
            months=(month_line, look.text_px),
            weeks=(height - look.line * 0.32, look.small_px),
            number=self._words.number,
        )
        today = self._shown.today
        if days.shows(today):
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


def plant_named(plant: Plant) -> tuple[object, ...]:
    """What the column tells of a plant."""
    return plant.name, plant.count, plant.scent


class RowNames(Box):
    """The column of names: each pot's heading, its layers and what stands on top.

    It scrolls with the rows.
    """

    def __init__(self, box: DaysBox, shown: Shown, ink: PartInk) -> None:
        super().__init__()
        self._box, self._shown, self._ink = box, shown, ink
        self._wanted: tuple[object, object, float] = (None, None, 0.0)
        self._headed: tuple[object, object, float] = (None, None, 0.0)
        self._painted: object = None
        self.setCacheMode(QGraphicsItem.CacheMode.DeviceCoordinateCache)
        box.changed.connect(self.update)

    def renew(self) -> None:
        """Paint anew if the names in view are others now: most seasons leave them as they are."""
        shown = self._shown
        seen = []
        for index in shown.rows.visible(self._box.top, self._box.top + self.height()):
            row = shown.rows.rows[index]
            plant = row.plant
            named = (row.pot.name, row.pot.copies) if plant is None else plant_named(plant)
            seen.append((row.part_id, shown.rows.span(index), named))
        looks = (shown.look, shown.selection, shown.cursor, seen)
        if looks != self._painted:
            self._painted = looks
            self.update()

    def wanted_width(self) -> float:
        """The width at which every name is seen whole, in its shortest form. [px]"""
        look, ink, report = self._shown.look, self._ink, self._shown.report
        # The same object for as long as its pots are: a season elsewhere has the names of this one.
        names = None if report is None else report.layout
        key = (self._shown.version, look) if names is None else (look,)
        if self._wanted[0] is not names or self._wanted[1] != key:
            plants: list[Plant] = []
            if report is not None:
                plants = [*(each.layer for each in report.alike), *report.companions]
            most = self._widest_heading()
            for plant in {plant_named(each): each for each in plants}.values():
                beside = PAD + INDENT + PAD + name_room(ink, plant, look.small_px)
                most = max(most, beside + ink.width(_shortest(plant.name), look.text_px))
            self._wanted = (names, key, most + 1.0)
        return self._wanted[2]

    def _widest_heading(self) -> float:
        """What the names of the pots need; few edits change one. [px]"""
        named = [(pot.name, pot.copies) for pot in self._shown.rows.pots]
        look = self._shown.look
        if self._headed[:2] != (named, look):
            words = {times_words(*each) for each in named}
            widths = [self._ink.width(each, look.text_px, bold=True) for each in words]
            self._headed = (named, look, max(widths, default=0.0) + 1.5 * PAD if words else 0.0)
        return self._headed[2]

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        with self._ink.on(painter, self):
            self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        shown, look = self._shown, self._shown.look
        top = self._box.top
        bottom = top + self.height()
        width = self.width()
        painter.setClipRect(QRectF(0, 0, width, self.height()))
        for index in shown.rows.visible(top, bottom):
            row = shown.rows.rows[index]
            begin, end = shown.rows.span(index)
            rect = QRectF(0, begin - top, width, end - begin)
            if row.plant is None:
                self._paint_heading(rect, row)
            else:
                middle, right = rect.center().y(), rect.right() - PAD
                left = PAD + INDENT
                paint_name(self._ink, look.style, row.plant, middle, left=left, right=right)
        paint_selection(painter, shown, top=top, bottom=bottom, left=1.5, right=width + 20)
        painter.setPen(QPen(QColor(look.theme.month_line), 1.0))
        painter.drawLine(QLineF(width - 0.5, 0, width - 0.5, self.height()))

    def _paint_heading(self, rect: QRectF, row: SeasonRow) -> None:
        ink, look = self._ink, self._shown.look
        ink.painter.fillRect(rect.adjusted(0, 3, 0, -1), QColor(look.theme.panel))
        baseline = rect.center().y() + 1 + look.text_px * 0.35
        name = fitted_times(
            row.pot.name,
            row.pot.copies,
            room=rect.width() - 1.5 * PAD,
            fit=lambda text, room: ink.fitted(text, look.text_px, room, bold=True),
            width=lambda text: ink.width(text, look.text_px, bold=True),
        )
        ink.text(PAD, baseline, name, look.text_px, look.theme.ink, bold=True)


class Corner(QGraphicsObject):
    """What the axis and the strip say, in the column of names."""

    def __init__(
        self, shown: Shown, words: SeasonWords, ink: PartInk, axis: DayAxis, strip: StripPart
    ) -> None:
        super().__init__()
        self.setCacheMode(QGraphicsItem.CacheMode.DeviceCoordinateCache)
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
        with self._ink.on(painter, self):
            self._draw()

    def _draw(self) -> None:
        shown, look, ink = self._shown, self._shown.look, self._ink
        right, px = self._rect.right() - PAD, look.small_px
        title = self._words.line_title(shows_days=shows_days(self._axis.days()))
        y = look.axis_height - look.line * 0.32
        ink.text(right, y, title, px, look.theme.muted, align="right")
        top, base = (look.axis_height + each for each in self._strip.field())
        paint_strip_side(
            ink,
            look.theme,
            self._strip.strip().levels(top, base) if shown.report is not None else (),
            self._words.strip_title(),
            left=PAD,
            right=right,
            base=base,
            px=look.text_px,
            small_px=px,
            number=self._words.number,
        )
        lanes = self._strip.lanes_height()
        if lanes:
            y = self._rect.bottom() - lanes + look.line * 0.72
            ink.text(right, y, self._words.wishes_title(), px, look.theme.muted, align="right")
