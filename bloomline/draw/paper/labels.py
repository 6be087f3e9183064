"""Paints one label: words, colour swatch and code. Lengths are in tenths of a millimetre."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.marks import marks_along
from bloomline.draw.base.petals import LIGHT, petal_of
from bloomline.draw.paper.label_code import paint_code
from bloomline.draw.paper.label_layout import STICK_POINT, SWATCH, LabelLayout
from bloomline.plan.paper.labels import Label

INK = "#1B211D"
MUTED = "#4A504A"
LINE = "#8A8F88"


def paint_label(
    ink: Ink, label: Label, layout: LabelLayout, area: QRectF, *, stick: bool = False
) -> None:
    """Paint a label into an area; a stick has a point on its left that goes into the soil."""
    if stick:
        _paint_stick(ink, area)
    left, top = area.left(), area.top()
    paint_code(
        ink.painter, layout.code, left + layout.code_x, top + layout.code_y, layout.code_side
    )
    for line in layout.lines:
        x, baseline = left + line.x, top + line.baseline
        if line.style == "swatch":
            paint_swatch(ink, label, x - line.px * SWATCH, baseline - line.px * 0.77, line.px)
        if line.style == "name":
            ink.name(x, baseline, line.text, line.px, INK)
        else:
            ink.text(x, baseline, line.text, line.px, INK)


def paint_swatch(ink: Ink, label: Label, x: float, y: float, px: int) -> float:
    """Paint the petal colour with its mark and outline; return how far the words move on."""
    look = petal_of(label, theme=LIGHT)
    rect = QRectF(x, y, px * 2.0, px * 0.9)
    if look.parts:
        for part, begin, end in look.shares:
            ink.painter.fillRect(
                QRectF(x + rect.width() * begin, y, rect.width() * (end - begin), rect.height()),
                QColor(part.fill),
            )
        ink.painter.setPen(QPen(QColor(look.outline), max(1.5, px * 0.06)))
        ink.painter.setBrush(Qt.BrushStyle.NoBrush)
        ink.painter.drawRect(rect)
        return px * SWATCH
    ink.painter.setPen(QPen(QColor(look.outline), max(1.5, px * 0.06)))
    ink.painter.setBrush(QColor(look.fill))
    ink.painter.drawRoundedRect(rect, px * 0.15, px * 0.15)
    radius = px * 0.2
    xs = marks_along(rect.left(), rect.right(), radius=radius, pitch=radius * 3.0)
    ink.marks([(x, rect.center().y()) for x in xs], look, radius=radius)
    return px * SWATCH


def _paint_stick(ink: Ink, area: QRectF) -> None:
    ink.painter.setPen(QPen(QColor(LINE), 2.0))
    ink.painter.setBrush(Qt.BrushStyle.NoBrush)
    middle = area.center().y()
    ink.painter.drawPolygon(
        QPolygonF(
            [
                QPointF(area.left(), middle),
                QPointF(area.left() + STICK_POINT, area.top()),
                QPointF(area.right(), area.top()),
                QPointF(area.right(), area.bottom()),
                QPointF(area.left() + STICK_POINT, area.bottom()),
            ]
        )
    )
