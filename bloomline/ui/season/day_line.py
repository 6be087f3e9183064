"""The line of the day that is looked at, with its date on a flag."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsObject, QStyleOptionGraphicsItem, QWidget

from bloomline.ui.season.painted import PartInk
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.words import SeasonWords


class DayLine(QGraphicsObject):
    """The day that is looked at: a line through everything, with its date on a flag."""

    def __init__(self, shown: Shown, words: SeasonWords, ink: PartInk) -> None:
        super().__init__()
        self._shown, self._words, self._ink = shown, words, ink
        self._height = 0.0
        self._flag = QRectF()
        self._label = ""
        self.setZValue(10)

    def lay(self, x: float, *, left: float, right: float, height: float) -> None:
        """Stand at an x; the flag stays between left and right."""
        look = self._shown.look
        label = self._words.flag(self._shown.day)
        width = self._ink.width(label, look.small_px, bold=True) + 18
        begin = min(max(x - width / 2, left), right - width) - x
        flag = QRectF(begin, 1, width, look.flag_height - 1)
        if (flag, label, height) != (self._flag, self._label, self._height):
            self.prepareGeometryChange()
            self._flag, self._label, self._height = flag, label, height
            self.update()
        self.setPos(x, 0)
        self.setVisible(left - 1 <= x <= right + 1)

    def flag_rect(self) -> QRectF:
        """Where the flag stands, in the scene."""
        return self._flag.translated(self.pos())

    def boundingRect(self) -> QRectF:
        return self._flag.united(QRectF(-3, 0, 6, self._height)).adjusted(-1, -1, 1, 1)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        with self._ink.on(painter):
            self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        look, ink = self._shown.look, self._ink
        painter.setPen(QPen(QColor(look.theme.ground), 4.0))
        painter.drawLine(QLineF(0, self._flag.bottom(), 0, self._height))
        painter.setPen(QPen(QColor(look.tone.accent), 2.0))
        painter.drawLine(QLineF(0, self._flag.bottom() - 1, 0, self._height))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(look.tone.accent))
        painter.drawRoundedRect(self._flag, 6, 6)
        ink.text(
            self._flag.center().x(),
            self._flag.center().y() + look.small_px * 0.35,
            self._label,
            look.small_px,
            look.tone.on_accent,
            bold=True,
            align="centre",
        )
