"""The small signs of a season: scent, planting, a pot that isn't free, brackets, what was seen."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainterPath, QPen, QPolygonF

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.petals import Theme
from bloomline.model.yard import Seen


def lozenge(x: float, y: float, half_width: float, half_height: float) -> QPolygonF:
    """A lozenge round a point."""
    return QPolygonF(
        [
            QPointF(x, y - half_height),
            QPointF(x + half_width, y),
            QPointF(x, y + half_height),
            QPointF(x - half_width, y),
        ]
    )


def stage_outline(seen: Seen, at: QPointF, radius: float) -> QPainterPath:
    """The outline of a stage: tip up, disc, lozenge, tip down.

    A lozenge is full flower on bars as in records.
    """
    path = QPainterPath()
    x, y, r = at.x(), at.y(), radius
    if seen == "first-flower":
        path.addEllipse(at, r * 0.92, r * 0.92)
        return path
    if seen == "full":
        shape = lozenge(x, y, r, 1.15 * r)
    else:
        up = 1.0 if seen == "nose" else -1.0
        corners = ((0.0, -1.05), (1.0, 0.8), (-1.0, 0.8))
        shape = QPolygonF([QPointF(x + dx * r, y + up * dy * r) for dx, dy in corners])
    path.addPolygon(shape)
    path.closeSubpath()
    return path


def paint_scent(
    ink: Ink, x: float, middle: float, strength: int, colour: str, *, height: float = 12.0
) -> None:
    """Paint the scent sign: one rising curl for light scent, two for strong."""
    pen = QPen(QColor(colour), 1.3)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    ink.painter.setPen(pen)
    ink.painter.setBrush(Qt.BrushStyle.NoBrush)
    unit = height / 12.0
    ups = np.linspace(-6.0, 6.0, 17)
    for curl in range(min(strength, 2)):
        across = x + (curl * 6.0 + 2.0 * np.sin(ups * 0.75)) * unit
        along = middle - ups * unit
        ink.painter.drawPolyline(QPolygonF(list(map(QPointF, across.tolist(), along.tolist()))))


def _bulb() -> tuple[tuple[float, float], ...]:
    """A bulb: round below, drawn out to a tip."""
    angles = np.linspace(np.radians(-35), np.radians(215), 15)
    side = [(0.82 * float(np.cos(a)), 0.22 + 0.78 * float(np.sin(a))) for a in angles]
    return (*side, (-0.16, -0.72), (0.0, -1.15), (0.16, -0.72))


_BULB = _bulb()


def paint_planted(
    ink: Ink, at: QPointF, size: float, colour: str, *, ground: str, is_tuft: bool = False
) -> None:
    """Paint a planting sign: a bulb that lies in the pot, or a tuft that stands on it."""
    ink.painter.setPen(QPen(QColor(ground), 1.2))
    ink.painter.setBrush(QColor(colour))
    way = -size if is_tuft else size
    ink.painter.drawPolygon(
        QPolygonF([QPointF(at.x() + dx * size, at.y() + dy * way) for dx, dy in _BULB])
    )


def marker_size(bar_height: float) -> float:
    """Half the height of a planting sign. [px]"""
    return bar_height * 0.42


def conflict_box(x: float, middle: float, *, size: float) -> QRectF:
    """Where the sign of a pot that isn't free stands: before the planting sign it is about."""
    side = 2.4 * size
    return QRectF(x - size - side - 2.0, middle - side / 2, side, side)


def paint_conflict(ink: Ink, box: QRectF, colour: str, *, ground: str) -> None:
    """Paint the sign of a planting whose pot isn't free: a lozenge with a stroke in it."""
    ink.painter.fillRect(box, QColor(ground))
    pen = QPen(QColor(colour), max(box.width() * 0.1, 1.0))
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    ink.painter.setPen(pen)
    ink.painter.setBrush(Qt.BrushStyle.NoBrush)
    x, y, half = box.center().x(), box.center().y(), box.width() / 2 - 1.0
    ink.painter.drawPolygon(lozenge(x, y, half, half))
    ink.painter.drawLine(QLineF(x, y - 0.36 * half, x, y + 0.2 * half))


def paint_bracket(ink: Ink, left: float, right: float, y: float, colour: str) -> None:
    """Paint a bracket over a stretch, its feet pointing down."""
    pen = QPen(QColor(colour), 1.6)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    ink.painter.setPen(pen)
    ink.painter.setBrush(Qt.BrushStyle.NoBrush)
    corners = ((left, y + 6), (left, y), (right, y), (right, y + 6))
    ink.painter.drawPolyline(QPolygonF([QPointF(*one) for one in corners]))


def paint_records(
    ink: Ink, xs: Iterable[float], middle: float, *, bar_height: float, theme: Theme
) -> None:
    """Paint a tick with a head for each day on which something was seen."""
    half = bar_height / 2 + 1
    for x in xs:
        for width, colour in ((4.0, theme.ground), (1.6, theme.ink)):
            ink.painter.setPen(QPen(QColor(colour), width))
            ink.painter.drawLine(QLineF(x, middle - half, x, middle + half))
        ink.painter.setPen(QPen(QColor(theme.ground), 1.0))
        ink.painter.setBrush(QColor(theme.ink))
        ink.painter.drawEllipse(QPointF(x, middle - half), 3.2, 3.2)
