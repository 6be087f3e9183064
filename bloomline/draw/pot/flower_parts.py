"""What flower heads are made of: their size and colours, petals, stars and bells."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainterPath, QPen, QTransform

from bloomline.draw.base.petals import Petal, mix

SEPAL_GREEN = "#6E9A52"


@dataclass(frozen=True, slots=True)
class Head:
    """A flower head to paint: its size in pixels, how far it is open (0..1), its colours."""

    width: float
    height: float
    open: float
    fill: QColor
    shade: QColor
    second: QColor
    pen: QPen
    seed: int = 0


def head_of(
    petal: Petal,
    *,
    second_hex: str | None,
    width: float,
    height: float,
    open_share: float,
    seed: int,
) -> Head:
    """Choose the colours of a head from a petal's; small heads get finer lines."""
    line = min(max(0.045 * width, 0.5), 1.3)
    pen = QPen(QColor(petal.outline), line)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return Head(
        width=width,
        height=height,
        open=open_share,
        fill=QColor(petal.fill),
        shade=QColor(mix(petal.fill, petal.outline, 0.28)),
        second=QColor(second_hex or mix(petal.fill, petal.mark_ink, 0.35)),
        pen=pen,
        seed=seed,
    )


def blade(length: float, width: float, *, tip: float = 0.5) -> QPainterPath:
    """A petal from the origin upwards; tip 0 is round, 1 is pointed."""
    path = QPainterPath()
    half = 0.5 * width
    path.moveTo(0.0, 0.0)
    path.cubicTo(
        -1.1 * half, -0.20 * length, -1.15 * half * (1.0 - 0.45 * tip), -0.85 * length, 0.0, -length
    )
    path.cubicTo(
        1.15 * half * (1.0 - 0.45 * tip), -0.85 * length, 1.1 * half, -0.20 * length, 0.0, 0.0
    )
    return path


def turned(path: QPainterPath, degrees: float, *, x: float = 0.0, y: float = 0.0) -> QPainterPath:
    """The path turned about the origin, then moved."""
    return QTransform.fromTranslate(x, y).rotate(degrees).map(path)


def star_path(radius: float, points: int) -> QPainterPath:
    """A star about the origin."""
    path = QPainterPath()
    for k in range(2 * points):
        reach = radius if k % 2 == 0 else 0.55 * radius
        angle = math.pi * k / points
        spot = QPointF(reach * math.sin(angle), -reach * math.cos(angle))
        if k == 0:
            path.moveTo(spot)
        else:
            path.lineTo(spot)
    path.closeSubpath()
    return path


def bell_path(width: float, height: float) -> QPainterPath:
    """A bell that hangs from the origin."""
    path = QPainterPath()
    half = 0.5 * width
    path.moveTo(-0.5 * half, 0.02 * height)
    path.cubicTo(-1.1 * half, 0.15 * height, -half, 0.7 * height, -half, height)
    path.lineTo(-0.4 * half, 0.86 * height)
    path.lineTo(0.0, height)
    path.lineTo(0.4 * half, 0.86 * height)
    path.lineTo(half, height)
    path.cubicTo(half, 0.7 * height, 1.1 * half, 0.15 * height, 0.5 * half, 0.02 * height)
    path.closeSubpath()
    return path
