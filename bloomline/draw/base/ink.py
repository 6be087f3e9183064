"""A thin hand over QPainter: text with its styles, petal marks and hatching."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Literal

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QTransform,
)

from bloomline.draw.base.marks import MARK_STROKES, ROUND_MARKS, hatch_lines
from bloomline.draw.base.names import elide, name_runs
from bloomline.draw.base.petals import Petal

Align = Literal["left", "centre", "right"]
_SLANT = 0.20  # of italics, which are leaned from the upright letters


@lru_cache(maxsize=256)
def _font(family: str, px: int, is_bold: bool, is_italic: bool) -> QFont:
    font = QFont(family)
    font.setPixelSize(px)
    font.setWeight(QFont.Weight.DemiBold if is_bold else QFont.Weight.Normal)
    font.setItalic(is_italic)
    # Unhinted letters keep their widths at every scale, so 300 dpi has the layout of 96.
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    font.setStyleStrategy(QFont.StyleStrategy.NoSubpixelAntialias)
    # The font's "ft" ligature has no letters of its own: a PDF's reader would lose them both.
    font.setFeature(QFont.Tag("liga"), 0)
    return font


class Ruler:
    """Measures text."""

    def __init__(self, family: str) -> None:
        self.family = family
        self._widths: dict[tuple[str, int, bool], float] = {}
        self._metrics: dict[tuple[int, bool], QFontMetricsF] = {}

    def width(self, text: str, px: int, *, bold: bool = False) -> float:
        """Width of a text; italics are leaned letters of the same width."""
        key = (text, px, bold)
        if key not in self._widths:
            face = (px, bold)
            if face not in self._metrics:
                self._metrics[face] = QFontMetricsF(_font(self.family, px, bold, False))
            self._widths[key] = self._metrics[face].horizontalAdvance(text)
        return self._widths[key]

    def fitted(self, text: str, px: int, room: float, *, bold: bool = False) -> str:
        """Return the text, cut with … if it is wider than the room."""
        return elide(text, room=room, measure=lambda part: self.width(part, px, bold=bold))


class Ink(Ruler):
    """Paints text, marks and hatching.

    With `as_outlines` letters are painted as shapes: for SVG, whose viewers may lack the font.
    """

    def __init__(self, painter: QPainter, family: str, *, as_outlines: bool = False) -> None:
        super().__init__(family)
        self.painter = painter
        self.as_outlines = as_outlines

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
        """Paint a line of text and return its width."""
        width = self.width(text, px, bold=bold)
        if align == "centre":
            x -= width / 2
        elif align == "right":
            x -= width
        if self.as_outlines:
            self._letters(x, baseline, text, px, colour, bold=bold, italic=italic)
        else:
            self.painter.setFont(_font(self.family, px, bold, italic))
            self.painter.setPen(QColor(colour))
            self.painter.drawText(QPointF(x, baseline), text)
        return width

    def plate(self, x: float, baseline: float, width: float, px: int, ground: str) -> None:
        """Clear the ground for a line of text, so that lines and hatching don't cross it."""
        rect = QRectF(x - 3, baseline - px * 0.86, width + 6, px * 1.16)
        self.painter.fillRect(rect, QColor(ground))

    def _letters(
        self,
        x: float,
        baseline: float,
        text: str,
        px: int,
        colour: str,
        *,
        bold: bool,
        italic: bool,
    ) -> None:
        path = QPainterPath()
        path.addText(QPointF(0, 0), _font(self.family, px, bold, False), text)
        lean = -_SLANT if italic else 0.0
        path = QTransform(1, 0, lean, 1, x, baseline).map(path)
        self.painter.fillPath(path, QBrush(QColor(colour)))

    def name(self, x: float, baseline: float, name: str, px: int, colour: str) -> float:
        """Paint a plant name with its italic and upright parts; return its width."""
        start = x
        for run in name_runs(name):
            x += self.text(x, baseline, run.text, px, colour, italic=run.italic)
        return x - start

    def marks(self, centres: Iterable[tuple[float, float]], petal: Petal, *, radius: float) -> None:
        """Paint the petal's mark at each centre."""
        painter = self.painter
        pen = QPen(QColor(petal.mark_ink), max(0.9, radius * 0.42))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if petal.mark in ROUND_MARKS:
            size = radius * 0.82
            if ROUND_MARKS[petal.mark]:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(petal.mark_ink))
                size = radius * 0.72
            for x, y in centres:
                painter.drawEllipse(QPointF(x, y), size, size)
            return
        for x, y in centres:
            for stroke in MARK_STROKES[petal.mark]:
                painter.drawPolyline(
                    QPolygonF([QPointF(x + dx * radius, y + dy * radius) for dx, dy in stroke])
                )

    def hatch(
        self, rect: QRectF, colour: QColor, *, pitch: float = 9.0, width: float = 1.0
    ) -> None:
        """Paint rising lines over a rectangle, each cut to it (no clipping: SVG has none)."""
        pen = QPen(colour, width)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        self.painter.setPen(pen)
        sides = rect.left(), rect.right(), rect.top(), rect.bottom()
        self.painter.drawLines([QLineF(*line) for line in hatch_lines(*sides, pitch=pitch)])
