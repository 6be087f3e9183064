"""The painted parts of the timeline: ink that knows its words, the strip, and the rows.

What stands in the plot's boxes is painted by the chart's painters, only as much as is seen, so
that a thousand rows cost no more than a screenful.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QTransform
from PySide6.QtWidgets import QGraphicsItem, QGraphicsObject, QStyleOptionGraphicsItem, QWidget

from bloomline.draw.base.ink import Align, Ink
from bloomline.draw.season.axis import crisp, paint_grid
from bloomline.draw.season.bars import BarPainter
from bloomline.draw.season.days import DayScale
from bloomline.draw.season.rows import looks_of, paint_pot_words, paint_rows
from bloomline.draw.season.stretches import (
    StretchPlace,
    paint_bare,
    paint_bare_words,
    paint_crowded,
    place_stretches,
)
from bloomline.draw.season.strip import MOST_SINGLE, Strip, StripPainter, plan_strip
from bloomline.draw.season.wish_lane import lane_box, lanes_of, paint_wishes
from bloomline.plan.fill.targets import Target
from bloomline.plan.forecast.report import SeasonReport
from bloomline.ui.season.box import DaysBox
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.targets import wish_spans
from bloomline.ui.season.words import SeasonWords

PAD = 10.0


def faint(colour_hex: str, alpha: float) -> QColor:
    """A colour that lets through what lies under it."""
    colour = QColor(colour_hex)
    colour.setAlphaF(alpha)
    return colour


def paint_selection(
    painter: QPainter, shown: Shown, *, top: float, bottom: float, left: float, right: float
) -> None:
    """Outline the selected rows, with dashes the one that the keyboard alone is on.

    They run on under the neighbouring column.
    """
    for index in shown.rows.visible(top, bottom):
        name = shown.rows.rows[index].part_id
        is_chosen = name in shown.selection
        if not is_chosen and name != shown.cursor:
            continue
        begin, end = shown.rows.span(index)
        pen = QPen(QColor(shown.look.tone.focus), 1.6)
        if not is_chosen:
            pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.setBrush(faint(shown.look.tone.focus, 0.07 if is_chosen else 0.0))
        painter.drawRoundedRect(QRectF(left, begin - top + 1, right - left, end - begin - 2), 4, 4)


class PartInk(Ink):
    """Ink that holds a painter only while a part paints: Qt's painter dies after each part.

    It remembers where each part has set words, until that part is painted anew.
    """

    def __init__(self, family: str) -> None:
        super().__init__(QPainter(), family)
        self._idle = self.painter
        self._words: dict[QGraphicsItem | QWidget, list[QRectF]] = {}
        self._part: list[QRectF] = []
        self._back = QTransform()

    @contextmanager
    def on(self, painter: QPainter, part: QGraphicsItem | QWidget) -> Iterator[None]:
        """Paint a part."""
        self.painter = painter
        self._part = self._words[part] = []
        self._back, _ = painter.worldTransform().inverted()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        try:
            yield
        finally:
            self.painter = self._idle

    def text(
        self,
        x: float,
        baseline: float,
        text: str,
        px: int,
        colour: str,
        *,
        bold: bool = False,
        italic: bool = False,
        align: Align = "left",
    ) -> float:
        """Paint a line of text, remember where it stands, and return its width."""
        width = super().text(x, baseline, text, px, colour, bold=bold, italic=italic, align=align)
        if text:
            left = x - {"left": 0.0, "centre": width / 2, "right": width}[align]
            rect = QRectF(left, baseline - px * 0.86, width, px * 1.12)
            self._part.append((self.painter.worldTransform() * self._back).mapRect(rect))
        return width

    def words_at(self, x: float, *, margin: float) -> list[tuple[float, float]]:
        """Top and bottom of the words that the part at work has set at an x of its own."""
        return [
            (rect.top(), rect.bottom())
            for rect in self._part
            if rect.left() - margin <= x <= rect.right() + margin
        ]

    def words_under(self, part: QGraphicsItem, *, margin: float) -> list[tuple[float, float]]:
        """Top and bottom of the words that other parts have set at a part's x, in the scene."""
        x, found = part.scenePos().x(), []
        for other, rects in self._words.items():
            if other is part or not isinstance(other, QGraphicsItem):
                continue
            at = other.scenePos()
            found += [
                (at.y() + rect.top(), at.y() + rect.bottom())
                for rect in rects
                if rect.left() - margin <= x - at.x() <= rect.right() + margin
            ]
        return found


class BoxPart(QGraphicsObject):
    """Something painted over the whole of a box, in the box's pixels."""

    def __init__(self, box: DaysBox, shown: Shown, words: SeasonWords, ink: PartInk) -> None:
        super().__init__(box)
        self._box, self._shown, self._words, self._ink = box, shown, words, ink
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self.setCacheMode(QGraphicsItem.CacheMode.DeviceCoordinateCache)
        self.setZValue(1)
        box.changed.connect(self._renew)
        box.resized.connect(self._resize)

    def boundingRect(self) -> QRectF:
        return QRectF(0, 0, self._box.width(), self._box.height())

    def _renew(self, *_: object) -> None:
        self.update()

    def _resize(self, *_: object) -> None:
        self.prepareGeometryChange()
        self.update()

    def days(self) -> DayScale:
        """Which days lie where, in the box's pixels."""
        first, last = self._box.days
        return DayScale(first, last, 0.0, max(1.0, self._box.width()))

    def stretches(self, *, is_bare: bool) -> tuple[StretchPlace, ...]:
        """The bare or the crowded stretches in view."""
        report, ink, px = self._shown.report, self._ink, self._shown.look.small_px
        if report is None:
            return ()
        some, say = (
            (report.bare, self._words.bare) if is_bare else (report.crowded, self._words.crowded)
        )
        return place_stretches(
            some,
            [say(each) for each in some],
            scale=self.days(),
            measure=lambda text: ink.width(text, px, bold=True),
        )

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        if self._shown.report is not None:
            seen: QRectF = option.exposedRect
            with self._ink.on(painter, self):
                self._draw(painter, self._shown.report, seen)

    @abstractmethod
    def _draw(self, painter: QPainter, report: SeasonReport, seen: QRectF) -> None:
        """Paint what is seen."""


class StripPart(BoxPart):
    """The coverage strip with its brackets on top and the bare stretches under it."""

    def __init__(self, box: DaysBox, shown: Shown, words: SeasonWords, ink: PartInk) -> None:
        super().__init__(box, shown, words, ink)
        self._strip, self._painter = Strip(), StripPainter()
        self._version = -1

    def field(self) -> tuple[float, float]:
        """Top and bottom of the stacked colours, between brackets and lane. [px]"""
        look = self._shown.look
        return look.line + 7, self._box.height() - look.line - 5 - self.lanes_height()

    def lanes_height(self) -> float:
        """Height of the lanes of wishes under the bare stretches. [px]"""
        lanes = lanes_of(wish_spans(self._shown)).values()
        return (max(lanes) + 1) * self._shown.look.line if lanes else 0.0

    def target_at(self, x: float, y: float) -> Target | None:
        """The wish that lies at a point of the box. [px]"""
        line = self._shown.look.line
        top, spans = self._box.height() - self.lanes_height(), wish_spans(self._shown)
        lanes = lanes_of(spans)
        for span, target in zip(spans, self._shown.targets, strict=True):
            lane = lanes.get(span.key)
            if lane is not None:
                box = lane_box(span, lane, scale=self.days(), top=top, line=line)
                if box.contains(x, y):
                    return target
        return None

    def strip(self) -> Strip:
        """The strip of the report that is shown."""
        shown = self._shown
        if shown.report is not None and self._version != shown.version:
            report, self._version = shown.report, shown.version
            # A few layers have bands of their own, alike or not.
            flowering = [each for each in report.alike if each.layer.start is not None]
            is_single = sum(each.n_layers for each in flowering) <= MOST_SINGLE
            layers = report.one_by_one if is_single else flowering
            looks = looks_of((each.layer for each in layers), shown.look.theme)
            self._strip = plan_strip(
                report, layers, looks, first=report.first_day, last=report.last_day
            )
        return self._strip

    def _draw(self, painter: QPainter, report: SeasonReport, seen: QRectF) -> None:
        look, ink, days, strip = self._shown.look, self._ink, self.days(), self.strip()
        theme, px, height = look.theme, look.small_px, self._box.height()
        top, base = self.field()
        paint_grid(ink, theme, days, top=0, bottom=height, weeks_top=None)
        limit = report.crowd_limit if report.crowded else None
        self._painter.paint(
            ink, strip, scale=days, top=top, base=base, theme=theme, crowd_limit=limit
        )
        if not strip.bands:
            ink.text(PAD, base - 6, self._words.no_flowers(report), px, theme.muted)
        bare, lane = self.stretches(is_bare=True), base + 2
        under = height - self.lanes_height()
        paint_bare(ink, theme, bare, top=lane, bottom=under, is_lane=True)
        paint_bare_words(ink, theme, bare, top=lane + 0.5, line_height=under - lane + 1, px=px)
        wishes = wish_spans(self._shown)
        paint_wishes(ink, theme, wishes, scale=days, top=under, line=look.line, px=px)
        crowded, line = self.stretches(is_bare=False), look.line
        paint_crowded(ink, theme, crowded, base=line - 1, line_height=line, px=px)
        self._frame_gap(days, height)

    def _frame_gap(self, days: DayScale, height: float) -> None:
        """Frame the days that are marked to be filled."""
        gap = self._shown.gap
        span = None if gap is None else days.span(*gap)
        if span is not None:
            tone = self._shown.look.tone
            box = QRectF(span[0], 1.5, span[1] - span[0], height - 3)
            self._ink.painter.fillRect(box, faint(tone.focus, 0.10))
            self._ink.painter.setPen(QPen(QColor(tone.focus), 2.0))
            self._ink.painter.setBrush(Qt.BrushStyle.NoBrush)
            self._ink.painter.drawRect(box)


class RowsPart(BoxPart):
    """The rows that are seen: bars, planting markers, records, and why there is no flower."""

    def __init__(self, box: DaysBox, shown: Shown, words: SeasonWords, ink: PartInk) -> None:
        super().__init__(box, shown, words, ink)
        self._bars = BarPainter()
        self.painted_rows = 0
        """Rows that the last painting went through."""

    def top(self) -> float:
        """How far the rows are scrolled. [px]"""
        return self._box.top

    def _draw(self, painter: QPainter, report: SeasonReport, seen: QRectF) -> None:
        shown, theme, days, ink = self._shown, self._shown.look.theme, self.days(), self._ink
        scrolled = self.top()
        bottom = min(self._box.height(), shown.rows.height - scrolled)
        paint_grid(ink, theme, days, top=0, bottom=bottom, weeks_top=0)
        paint_bare(ink, theme, self.stretches(is_bare=True), top=0, bottom=bottom)
        today_x = crisp(days.middle_of(shown.today))
        painter.setPen(QPen(faint(theme.muted, 0.6), 1.0, Qt.PenStyle.DotLine))
        painter.drawLine(QLineF(today_x, 0, today_x, bottom))
        visible = shown.rows.visible(seen.top() + scrolled, seen.bottom() + scrolled)
        self.painted_rows = len(visible)
        places = []
        for index in visible:
            place = shown.place(index, scrolled=scrolled, words=self._words)
            if place is None:
                self._paint_heading(index, scrolled, days)
            else:
                places.append(place)
        paint_rows(
            ink,
            shown.look.style,
            report,
            looks_of((place.plant for place in places), theme),
            places,
            scale=days,
            seen=seen.adjusted(-2, 0, 2, 0),
            painter=self._bars,
            version=shown.version,
        )
        paint_selection(
            painter,
            shown,
            top=scrolled,
            bottom=scrolled + self._box.height(),
            left=-20,
            right=days.width - 1.5,
        )

    def _paint_heading(self, index: int, scrolled: float, days: DayScale) -> None:
        shown, look, pot = self._shown, self._shown.look, self._shown.rows.rows[index].pot
        begin, end = shown.rows.span(index)
        rect = QRectF(0, begin - scrolled + 3, days.width, end - begin - 4)
        self._ink.painter.fillRect(rect, QColor(look.theme.panel))
        paint_pot_words(
            self._ink,
            look.style,
            rect.center().y() + look.small_px * 0.35,
            left=PAD,
            right=days.width - PAD,
            summary=shown.summary(pot),
            weeks=self._words.weeks_of_colour(pot),
        )
