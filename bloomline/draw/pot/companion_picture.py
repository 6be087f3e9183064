"""Paints one companion as a low tuft: leaves, and flowers while it is in season.

It stands with its foot at the origin and grows to negative y.
"""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from bloomline.draw.base.petals import Theme, mix, petal
from bloomline.draw.pot.companion_layout import TuftLook, mound
from bloomline.draw.pot.layout import scatter
from bloomline.plan.tops.stand import CompanionStand

_GREEN = "#5F8C4F"
_DEEP = "#22381F"
_LOW = 0.62  # of its height, while it shows no flowers yet
_MARGIN_CM = 1.2


def tuft_box(look: TuftLook, *, scale: float) -> QRectF:
    """A box about the foot that holds all that `paint_tuft` paints. [px]"""
    half = 0.5 * look.spread_cm + _MARGIN_CM
    return QRectF(
        -half * scale - 2.0,
        -(look.height_cm + _MARGIN_CM) * scale - 2.0,
        2.0 * half * scale + 4.0,
        (look.height_cm + 1.4 * _MARGIN_CM) * scale + 4.0,
    )


def paint_tuft(
    painter: QPainter,
    look: TuftLook,
    stand: CompanionStand,
    *,
    scale: float,
    theme: Theme,
    variant: int = 0,
) -> None:
    """Paint a tuft in leaf or in flower, or the outline of one that is to come.

    scale : pixels to a centimetre. variant : small differences, the same for a number.
    """
    if stand == "gone":
        return
    if stand == "planned":
        _paint_outline(painter, look, scale=scale, theme=theme)
        return
    tall = look.height_cm * (1.0 if stand == "flower" or look.is_leaf else _LOW)
    _paint_leaves(painter, look, tall, scale=scale, variant=variant)
    if stand == "flower":
        _paint_flowers(painter, look, tall, scale=scale, theme=theme, variant=variant)


def _paint_outline(painter: QPainter, look: TuftLook, *, scale: float, theme: Theme) -> None:
    colour = QColor(theme.muted)
    colour.setAlphaF(0.8)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(colour, 1.2, Qt.PenStyle.DotLine))
    outline = mound(0.3 * look.height_cm, 0.9 * look.spread_cm)
    painter.drawPolyline(QPolygonF([QPointF(x * scale, -y * scale) for x, y in outline]))


def _paint_leaves(
    painter: QPainter, look: TuftLook, tall: float, *, scale: float, variant: int
) -> None:
    base = look.colour_hex if look.is_leaf else _GREEN
    edge = QColor(mix(base, _DEEP, 0.5))
    length, width = min(0.34 * look.spread_cm, 7.0), min(0.16 * look.spread_cm, 3.6)
    count = 3 * (5 if look.spread_cm < 26.0 else 8) if look.spread_cm * scale > 24 else 9
    painter.setPen(QPen(edge, min(max(0.05 * scale, 0.4), 0.9)))
    loose = scatter(variant + 11, count)
    for row, (share, reach) in enumerate(((0.70, 0.42), (0.42, 0.44), (0.14, 0.40))):
        each = count // 3
        for k in range(each):
            a, b, c = loose[row * each + k]
            turn = math.pi * (0.10 + 0.80 * (k + 0.5) / each + 0.08 * (a - 0.5))
            x = -math.cos(turn) * reach * look.spread_cm * (1.0 if row else 0.75)
            y = tall * (share + 0.16 * math.sin(turn) + 0.06 * (b - 0.5))
            y = min(y, tall - 0.3 * width)
            painter.save()
            painter.translate(x * scale, -max(y, 0.4 * width) * scale)
            painter.rotate(math.degrees(-math.pi / 2 + turn) * 0.85)
            painter.setBrush(QColor(mix(base, "#FFFFFF", 0.05 + 0.16 * c)))
            painter.drawEllipse(
                QRectF(-0.5 * width * scale, -0.5 * length * scale, width * scale, length * scale)
            )
            painter.restore()


def _paint_flowers(
    painter: QPainter, look: TuftLook, tall: float, *, scale: float, theme: Theme, variant: int
) -> None:
    colours = petal(look.colour_hex, theme=theme)
    count = 7
    radius = max(0.105 * look.spread_cm * scale, 1.6)
    loose = scatter(variant + 53, count)
    for k in range(count):
        a, b, _ = loose[k]
        turn = math.pi * (0.12 + 0.76 * (k + 0.5) / count + 0.05 * (a - 0.5))
        deep = 0.93 if k % 2 else 0.62 + 0.12 * b
        x = -math.cos(turn) * 0.46 * look.spread_cm * scale
        y = -tall * (0.30 + 0.66 * math.sin(turn)) * deep * scale
        painter.setPen(QPen(QColor(colours.outline), 0.9))
        painter.setBrush(QColor(colours.fill))
        if radius < 3.5:
            painter.drawEllipse(QPointF(x, y), radius, radius)
            continue
        for side in range(5):
            angle = 2.0 * math.pi * (side / 5.0 + 0.03 * k) - math.pi / 2
            painter.drawEllipse(
                QPointF(x + 0.55 * radius * math.cos(angle), y + 0.55 * radius * math.sin(angle)),
                0.58 * radius,
                0.58 * radius,
            )
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colours.mark_ink))
        painter.drawEllipse(QPointF(x, y), 0.24 * radius, 0.24 * radius)
