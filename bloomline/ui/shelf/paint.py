"""Strokes that the shelf and the details share: names, petals, severity signs, year strips."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from bloomline.draw.ink import Ink
from bloomline.draw.names import name_runs
from bloomline.draw.petals import Petal
from bloomline.model.advice import Severity
from bloomline.ui.shelf.strip import Span, month_starts, year_share
from bloomline.ui.theme import Tone


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
    """Paint a petal's colour as a disc with the mark of its family."""
    painter.setPen(QPen(QColor(look.outline), 1.2))
    painter.setBrush(QColor(look.fill))
    painter.drawEllipse(middle, radius - 0.6, radius - 0.6)
    Ink(painter, painter.font().family()).marks(
        [(middle.x(), middle.y())], look, radius=radius * 0.42
    )


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


def paint_strip(
    painter: QPainter,
    box: QRectF,
    spans: Iterable[Span],
    *,
    look: Petal,
    tone: Tone,
    day: date | None,
) -> None:
    """Paint a window on a strip of one year, with the months and the day looked at."""
    painter.setPen(Qt.PenStyle.NoPen)
    trough = QPainterPath()
    trough.addRoundedRect(box, box.height() / 2, box.height() / 2)
    ground = QColor(tone.line)
    ground.setAlphaF(0.42)
    painter.fillPath(trough, ground)
    tick = QColor(tone.ink)
    tick.setAlphaF(0.16)
    painter.setPen(QPen(tick, 1.0))
    for start in month_starts()[1:]:
        x = round(box.left() + start * box.width()) + 0.5
        painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
    painter.save()
    painter.setClipPath(trough, Qt.ClipOperation.IntersectClip)
    for span in spans:
        _paint_span(painter, box, span, look)
    painter.restore()
    if day is not None:
        x = box.left() + year_share(day) * box.width()
        painter.setPen(QPen(QColor(tone.ink), 1.4))
        painter.drawLine(QPointF(x, box.top() - 2), QPointF(x, box.bottom() + 2))


def _paint_span(painter: QPainter, box: QRectF, span: Span, look: Petal) -> None:
    def x_of(share: float) -> float:
        return box.left() + share * box.width()

    left, right = x_of(span.soft_from), x_of(span.soft_to)
    width = max(right - left, 1.0)
    solid, clear = QColor(look.fade), QColor(look.fade)
    solid.setAlphaF(0.75)
    clear.setAlphaF(0.12)
    shade = QLinearGradient(left, 0, right, 0)
    for share, colour in (
        (span.soft_from, clear),
        (span.firm_from, solid),
        (span.firm_to, solid),
        (span.soft_to, clear),
    ):
        shade.setColorAt(min(max((x_of(share) - left) / width, 0.0), 1.0), colour)
    painter.fillRect(QRectF(left, box.top(), width, box.height()), shade)
    # A whisker keeps the soft ends visible where the petal is nearly the colour of the ground.
    whisker = QColor(look.outline)
    whisker.setAlphaF(0.6)
    painter.setPen(QPen(whisker, 1.0))
    middle = box.center().y()
    painter.drawLine(QPointF(left, middle), QPointF(right, middle))
    firm = QRectF(
        x_of(span.firm_from),
        box.top() + 0.6,
        max(x_of(span.firm_to) - x_of(span.firm_from), 3.0),
        box.height() - 1.2,
    )
    painter.setPen(QPen(QColor(look.outline), 1.0))
    painter.setBrush(QColor(look.fill))
    painter.drawRoundedRect(firm, firm.height() / 2, firm.height() / 2)
