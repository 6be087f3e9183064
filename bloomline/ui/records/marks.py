"""A shape for each stage that is seen, the same on buttons, in tables and in plots."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QIcon,
    QIconEngine,
    QPainter,
    QPen,
    QPixmap,
)

from bloomline.draw.season.signs import stage_outline
from bloomline.model.yard import Seen
from bloomline.ui.theme import current_theme, tone_of


def stage_colour(seen: Seen) -> str:
    """The colour of a stage on the present ground, as #RRGGBB."""
    tone = tone_of(current_theme())
    return {
        "nose": tone.accent,
        "first-flower": tone.focus,
        "full": tone.warning,
        "over": tone.muted,
    }[seen]


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
    painter.drawPath(stage_outline(seen, at, radius))


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
