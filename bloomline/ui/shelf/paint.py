"""Strokes that the shelf and the details share: names, petals, severity signs, year strips."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.names import name_runs
from bloomline.draw.base.petals import Petal, mix
from bloomline.draw.season.axis import crisp
from bloomline.draw.season.bars import Bar, BarPainter
from bloomline.draw.season.days import BarDays
from bloomline.model.advice import Severity
from bloomline.ui.shelf.strip import month_starts, scales_of, year_scale
from bloomline.ui.theme import Tone, current_theme


def paint_name(painter: QPainter, at: QPointF, name: str, font: QFont, colour: str) -> None:
    """Paint a plant's name with its Latin parts in italics."""
    italic = QFont(font)
    italic.setItalic(True)
    painter.setPen(QColor(colour))
    x = at.x()
    for run in name_runs(name):
        face = italic if run.italic else font
        painter.setFont(face)
        painter.drawText(QPointF(x, at.y()), run.text)
        x += QFontMetricsF(face).horizontalAdvance(run.text)
    font.setItalic(False)
    painter.setFont(font)


def paint_petal_dot(painter: QPainter, middle: QPointF, radius: float, look: Petal) -> None:
    """Paint a petal's colour as a disc with the mark of its family; a mixture in sectors."""
    if look.parts:
        _paint_sectors(painter, middle, radius, look)
        return
    painter.setPen(QPen(QColor(look.outline), 1.2))
    painter.setBrush(QColor(look.fill))
    painter.drawEllipse(middle, radius - 0.6, radius - 0.6)
    Ink(painter, painter.font().family()).marks(
        [(middle.x(), middle.y())], look, radius=radius * 0.42
    )


def _paint_sectors(painter: QPainter, middle: QPointF, radius: float, look: Petal) -> None:
    around = radius - 0.6
    box = QRectF(middle.x() - around, middle.y() - around, 2 * around, 2 * around)
    for part, begin, end in look.shares:
        painter.setPen(QPen(QColor(look.outline), 0.8))
        painter.setBrush(QColor(part.fill))
        # From the top, clockwise, in sixteenths of a degree.
        painter.drawPie(box, round((90.0 - 360.0 * end) * 16), round(360.0 * (end - begin) * 16))
    painter.setPen(QPen(QColor(look.outline), 1.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(box)


def paint_severity(painter: QPainter, box: QRectF, severity: Severity, *, colour: str) -> None:
    """Paint the sign of a severity: triangle, diamond or ring, so that shape tells it too."""
    pen = QPen(QColor(colour), max(box.width() * 0.1, 1.0))
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    inside = box.adjusted(1, 1, -1, -1)
    x, y = inside.center().x(), inside.center().y()
    if severity is Severity.WARNING:
        painter.setBrush(QColor(colour))
        painter.drawPolygon(
            QPolygonF([QPointF(x, inside.top()), inside.bottomRight(), inside.bottomLeft()])
        )
        painter.setPen(Qt.PenStyle.NoPen)
        return
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if severity is Severity.CAUTION:
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(x, inside.top()),
                    QPointF(inside.right(), y),
                    QPointF(x, inside.bottom()),
                    QPointF(inside.left(), y),
                ]
            )
        )
    else:
        painter.drawEllipse(inside)
    painter.drawLine(QPointF(x, y - inside.height() * 0.18), QPointF(x, y + inside.height() * 0.1))


_bars = BarPainter()


def paint_strip(
    painter: QPainter,
    box: QRectF,
    season: BarDays | None,
    *,
    look: Petal,
    tone: Tone,
) -> None:
    """Paint a season on a strip of one year, with the months."""
    ground = mix(tone.raised, tone.line, 0.42)
    trough = QPainterPath()
    trough.addRoundedRect(box, box.height() / 2, box.height() / 2)
    painter.fillPath(trough, QColor(ground))
    tick = QColor(tone.ink)
    tick.setAlphaF(0.16)
    painter.setPen(QPen(tick, 1.0))
    xs = [crisp(box.left() + start * box.width()) for start in month_starts()[1:]]
    painter.drawLines([QLineF(x, box.top(), x, box.bottom()) for x in xs])
    left, width = box.left(), box.width()
    if season is not None:
        painter.save()
        painter.setClipPath(trough, Qt.ClipOperation.IntersectClip)
        # The ends fade evenly, so bars of one petal and as many days share what is kept of them.
        key = (look, (season.open - season.rise).days, (season.fall - season.close).days)
        for scale in scales_of(season, left=left, width=width):
            _bars.paint(
                Ink(painter, painter.font().family()),
                [
                    Bar((key, at), season, part, box.center().y(), begin=begin, end=end)
                    for at, (part, begin, end) in enumerate(look.shares)
                ],
                scale=scale,
                height=box.height(),
                seen=box,
                theme=current_theme(),
                ground=ground,
                has_marks=False,
            )
        painter.restore()


def paint_strip_day(painter: QPainter, box: QRectF, *, tone: Tone, day: date) -> None:
    """Mark the day looked at on such a strip."""
    x = year_scale(day, left=box.left(), width=box.width()).x_of(day)
    painter.setPen(QPen(QColor(tone.ink), 1.4))
    painter.drawLine(QLineF(x, box.top() - 2, x, box.bottom() + 2))
