"""A shape for each stage that is seen, the same on buttons, in tables and in plots."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QIcon,
    QIconEngine,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
)

from bloomline.model.yard import Seen
from bloomline.plan.records import SEEN_ORDER
from bloomline.ui.records.words import seen_words
from bloomline.ui.theme import current_theme, em, tone_of

_Seen = TypeVar("_Seen")


def stage_colour(seen: Seen) -> str:
    """The colour of a stage on the present ground, as #RRGGBB."""
    tone = tone_of(current_theme())
    return {
        "nose": tone.accent,
        "first-flower": tone.focus,
        "full": tone.warning,
        "over": tone.muted,
    }[seen]


def stage_path(seen: Seen, at: QPointF, radius: float) -> QPainterPath:
    """The outline of a stage: tip up, diamond, disc, tip down."""
    path = QPainterPath()
    x, y, r = at.x(), at.y(), radius
    if seen == "full":
        path.addEllipse(at, r * 0.92, r * 0.92)
        return path
    corners = {
        "nose": ((0.0, -1.05), (1.0, 0.8), (-1.0, 0.8)),
        "first-flower": ((0.0, -1.15), (1.0, 0.0), (0.0, 1.15), (-1.0, 0.0)),
        "over": ((0.0, 1.05), (1.0, -0.8), (-1.0, -0.8)),
    }[seen]
    path.moveTo(x + corners[0][0] * r, y + corners[0][1] * r)
    for dx, dy in corners[1:]:
        path.lineTo(x + dx * r, y + dy * r)
    path.closeSubpath()
    return path


def paint_stage(
    painter: QPainter, seen: Seen, at: QPointF, *, radius: float, colour: str = ""
) -> None:
    """Paint a stage's mark; noses and first flowers are filled, so is full; over is open."""
    ink = QColor(colour or stage_colour(seen))
    painter.setPen(QPen(ink, max(1.2, radius * 0.28)))
    if seen == "over":
        painter.setBrush(QColor(current_theme().ground))
    else:
        painter.setBrush(ink)
    painter.drawPath(stage_path(seen, at, radius))


def paint_key(painter: QPainter, x: float, y: float, *, metrics: QFontMetricsF) -> float:
    """Name each mark in a line whose middle is y; returns where it ends."""
    tone, size = tone_of(current_theme()), em()
    for seen in SEEN_ORDER:
        paint_stage(painter, seen, QPointF(x + size * 0.4, y), radius=size * 0.34)
        painter.setPen(QColor(tone.ink))
        words = seen_words(seen)
        painter.drawText(QPointF(x + size, y + metrics.capHeight() / 2), words)
        x += size * 1.9 + metrics.horizontalAdvance(words)
    return x


def nearest_mark(
    places: Sequence[tuple[QPointF, _Seen]], at: QPointF, *, within: float
) -> _Seen | None:
    """What the mark nearest to a point stands for, if one lies within a distance of it."""
    near = [((place - at).manhattanLength(), what) for place, what in places]
    if not near:
        return None
    distance, what = min(near, key=lambda each: each[0])
    return what if distance <= within else None


class _StageEngine(QIconEngine):
    """Draws a stage's mark at the size that is asked for."""

    def __init__(self, seen: Seen) -> None:
        super().__init__()
        self._seen = seen

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, state: QIcon.State) -> None:
        tone = tone_of(current_theme())
        colour = ""
        if mode is QIcon.Mode.Disabled:
            colour = tone.muted
        elif mode is QIcon.Mode.Selected or state is QIcon.State.On:
            colour = tone.on_accent if mode is QIcon.Mode.Selected else ""
        radius = min(rect.width(), rect.height()) * 0.36
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paint_stage(painter, self._seen, QRectF(rect).center(), radius=radius, colour=colour)

    def pixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QPixmap:
        return self.scaledPixmap(size, mode, state, 1.0)

    def scaledPixmap(
        self, size: QSize, mode: QIcon.Mode, state: QIcon.State, scale: float
    ) -> QPixmap:
        # Asked for in device-independent pixels; Qt sets the ratio of the answer itself.
        size = (size.toSizeF() * scale).toSize()
        picture = QPixmap(size)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        try:
            self.paint(painter, QRect(0, 0, size.width(), size.height()), mode, state)
        finally:
            painter.end()
        return picture

    def isNull(self) -> bool:
        return False

    def clone(self) -> QIconEngine:
        return _StageEngine(self._seen)


def stage_icon(seen: Seen) -> QIcon:
    """A stage's mark as an icon that follows light and dark."""
    return QIcon(_StageEngine(seen))
