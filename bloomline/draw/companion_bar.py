"""Paints the bar of a companion: fine dots between hard ends, as its season goes by date.

Plants grown for their leaves have an outline only: they bring no colour of flowers.
"""

from __future__ import annotations

from math import ceil, floor

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainterPath, QPen

from bloomline.draw.ink import Ink
from bloomline.draw.layout import DayScale
from bloomline.draw.petals import Petal, Theme, mix
from bloomline.plan.report import CompanionForecast

BAR_SHARE = 0.72  # of a layer's bar: these stand beside the bulbs, which are what counts
_DOT = 0.95
_PITCH = 5.0


def fine_dots(rect: QRectF, *, origin: float) -> list[QPointF]:
    """Centres of staggered fine dots in a bar, counted from `origin` so that they stand still."""
    rows = max(1, floor((rect.height() - 3.0) / (0.5 * _PITCH)))
    first = ceil((rect.left() + 2.5 - origin) / (0.5 * _PITCH))
    last = floor((rect.right() - 2.5 - origin) / (0.5 * _PITCH))
    top = rect.center().y() - 0.25 * _PITCH * (rows - 1)
    return [
        QPointF(origin + column * 0.5 * _PITCH, top + row * 0.5 * _PITCH)
        for column in range(first, last + 1)
        for row in range(rows)
        if (row + column) % 2 == 0
    ]


def paint_top_bar(
    ink: Ink,
    rect: QRectF,
    look: Petal,
    *,
    is_leaf: bool,
    theme: Theme,
    begins: bool = True,
    ends: bool = True,
    origin: float | None = None,
) -> None:
    """Paint a bar; where it begins or ends beyond what is shown, it has no end line there."""
    painter = ink.painter
    painter.setPen(Qt.PenStyle.NoPen)
    ground = theme.ground if is_leaf else mix(theme.ground, look.fade, 0.45)
    painter.fillRect(rect, QColor(ground))
    outline = QColor(look.outline)
    if not is_leaf:
        path = QPainterPath()
        for at in fine_dots(rect, origin=rect.left() if origin is None else origin):
            path.addEllipse(at, _DOT, _DOT)
        painter.fillPath(path, outline)
    pen = QPen(outline, 1.2)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    left, right, top, bottom = rect.left(), rect.right(), rect.top() + 0.6, rect.bottom() - 0.6
    painter.drawLine(QLineF(left, top, right, top))
    painter.drawLine(QLineF(left, bottom, right, bottom))
    pen.setWidthF(2.0)
    painter.setPen(pen)
    if begins:
        painter.drawLine(QLineF(left + 1.0, rect.top(), left + 1.0, rect.bottom()))
    if ends:
        painter.drawLine(QLineF(right - 1.0, rect.top(), right - 1.0, rect.bottom()))


def paint_companion(
    ink: Ink,
    companion: CompanionForecast,
    look: Petal,
    *,
    scale: DayScale,
    middle: float,
    bar_height: float,
    theme: Theme,
) -> tuple[float, float] | None:
    """Paint a companion's bar round `middle`; return its left and right, None if unseen."""
    if companion.first is None or companion.last is None:
        return None
    span = scale.span(companion.first, companion.last)
    if span is None:
        return None
    height = bar_height * BAR_SHARE
    paint_top_bar(
        ink,
        QRectF(span[0], middle - height / 2, span[1] - span[0], height),
        look,
        is_leaf=companion.is_leaf,
        theme=theme,
        begins=companion.first >= scale.first,
        ends=companion.last <= scale.last,
    )
    return span
