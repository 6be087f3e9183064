"""What the painted parts of the timeline share: a part over a box, grid, hatching, outline.

The plot's boxes and axes are pyqtgraph's; what stands in them is painted here, only as much as
is seen, so that a thousand rows cost no more than a screenful.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from math import floor

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QGraphicsObject, QStyleOptionGraphicsItem, QWidget

from bloomline.draw.ink import Align, Ink
from bloomline.plan.report import SeasonReport
from bloomline.ui.season.geometry import DayView, hatch_lines
from bloomline.ui.season.shown import Shown

PAD = 10.0
HATCH_PITCH = 9.0


def faint(colour_hex: str, alpha: float) -> QColor:
    """A colour that lets through what lies under it."""
    colour = QColor(colour_hex)
    colour.setAlphaF(alpha)
    return colour


def view_of(box: pg.ViewBox) -> DayView:
    """Which days lie where in a box, in the box's own pixels."""
    (first, last), _ = box.viewRange()
    return DayView(first, last, 0.0, max(1.0, box.width()))


def crisp(x: float) -> float:
    """Where a line one pixel wide is sharp."""
    return floor(x) + 0.5


def paint_selection(
    painter: QPainter, shown: Shown, *, top: float, left: float, right: float
) -> None:
    """Outline the selected row; it runs on under the neighbouring column."""
    index = shown.chosen_row()
    if index is None:
        return
    begin, end = shown.rows.span(index)
    rect = QRectF(left, begin - top + 1, right - left, end - begin - 2)
    painter.setPen(QPen(QColor(shown.look.tone.focus), 1.6))
    painter.setBrush(faint(shown.look.tone.focus, 0.07))
    painter.drawRoundedRect(rect, 4, 4)


def paint_hatch(
    painter: QPainter, rect: QRectF, colour: QColor, *, wash: QColor, width: float = 1.0
) -> None:
    """Wash and hatch a rectangle."""
    painter.fillRect(rect, wash)
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.setPen(pen)
    painter.drawLines(
        [
            QLineF(*line)
            for line in hatch_lines(
                rect.left(), rect.right(), rect.top(), rect.bottom(), pitch=HATCH_PITCH
            )
        ]
    )


def paint_grid(
    painter: QPainter,
    shown: Shown,
    days: DayView,
    *,
    top: float,
    bottom: float,
    with_weeks: bool,
) -> None:
    """Paint lines at Mondays and at the first of each month."""
    theme = shown.look.theme
    first = floor(days.first)
    if with_weeks and days.per_day * 7 > 12:
        monday = first + (-date.fromordinal(first).weekday() % 7)
        xs = [crisp(days.x(number)) for number in range(monday, floor(days.last) + 1, 7)]
        painter.setPen(QPen(QColor(theme.grid), 1.0))
        painter.drawLines([QLineF(x, top, x, bottom) for x in xs])
    month = date.fromordinal(first).replace(day=1)
    painter.setPen(QPen(QColor(theme.month_line), 1.0))
    while month.toordinal() < days.last:
        if month.toordinal() >= days.first:
            x = crisp(days.x_of(month))
            painter.drawLine(QLineF(x, top, x, bottom))
        month = (month + timedelta(days=32)).replace(day=1)


class PartInk(Ink):
    """Ink that holds a painter only while a part paints: Qt's painter dies after each part."""

    def __init__(self, family: str) -> None:
        super().__init__(QPainter(), family)
        self._idle = self.painter
        self._words: list[QRectF] = []

    @contextmanager
    def on(self, painter: QPainter) -> Iterator[None]:
        """Paint with a painter."""
        self.painter = painter
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
            self._words.append(self.painter.worldTransform().mapRect(rect))
        return width

    def begin(self) -> None:
        """Forget the words of the painting before."""
        self._words.clear()

    def words_at(self, x: float, *, margin: float) -> list[tuple[float, float]]:
        """Top and bottom of the words that this painting has set at an x of the part at work."""
        back, _ = self.painter.worldTransform().inverted()
        rects = [back.mapRect(rect) for rect in self._words]
        return [
            (rect.top(), rect.bottom())
            for rect in rects
            if rect.left() - margin <= x <= rect.right() + margin
        ]


class BoxPart(QGraphicsObject):
    """Something painted over the whole of a box, in the box's pixels."""

    def __init__(self, box: pg.ViewBox, shown: Shown, ink: PartInk) -> None:
        super().__init__(box)
        self._box, self._shown, self._ink = box, shown, ink
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self.setZValue(1)
        box.sigRangeChanged.connect(self._renew)
        box.sigResized.connect(self._resize)

    def boundingRect(self) -> QRectF:
        return QRectF(0, 0, self._box.width(), self._box.height())

    def _renew(self, *_: object) -> None:
        self.update()

    def _resize(self, *_: object) -> None:
        self.prepareGeometryChange()
        self.update()

    def days(self) -> DayView:
        """Which days lie where, in the box's pixels."""
        return view_of(self._box)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        if self._shown.report is not None:
            seen: QRectF = option.exposedRect
            with self._ink.on(painter):
                self._draw(painter, self._shown.report, seen)

    @abstractmethod
    def _draw(self, painter: QPainter, report: SeasonReport, seen: QRectF) -> None:
        """Paint what is seen."""
