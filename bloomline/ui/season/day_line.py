"""The line of the day that is looked at, with its date on a flag."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsObject, QStyleOptionGraphicsItem, QWidget

from bloomline.ui.season.parts import PartInk
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.words import SeasonWords

_CLEAR = 4.0  # between the line and words beside it
_LEAST_PIECE = 4.0


def pieces(
    top: float, bottom: float, *, around: Iterable[tuple[float, float]]
) -> list[tuple[float, float]]:
    """The pieces of a line from top to bottom that leave out the stretches given. [px]"""
    found = []
    at = top
    for begin, end in (*sorted(around), (bottom, bottom)):
        if min(begin, bottom) - at >= _LEAST_PIECE:
            found.append((at, min(begin, bottom)))
        at = max(at, end)
    return found


class DayLine(QGraphicsObject):
    """The day that is looked at: a line through everything but words, with its date on a flag."""

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
        with self._ink.on(painter, self):
            self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        look, ink = self._shown.look, self._ink
        words = ink.words_under(self, margin=_CLEAR)
        lines = [
            QLineF(0, top, 0, bottom)
            for top, bottom in pieces(self._flag.bottom() - 1, self._height, around=words)
        ]
        flat = Qt.PenCapStyle.FlatCap
        for width, colour in ((4.0, look.theme.ground), (2.0, look.tone.accent)):
            painter.setPen(QPen(QColor(colour), width, Qt.PenStyle.SolidLine, flat))
            painter.drawLines(lines)
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
