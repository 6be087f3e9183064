"""Paints where a carried cargo would go, and what the judge says of it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from bloomline.draw.base.petals import Theme
from bloomline.draw.pot.bulb_picture import bulb_path
from bloomline.draw.pot.plant_forms import bulb_form
from bloomline.ui.theme import tone_of
from bloomline.ui.yard.carrying import Marker
from bloomline.ui.yard.painting import View
from bloomline.ui.yard.scene import PlacedPot, PotRow


def paint_marker(
    painter: QPainter, marker: Marker, row: PotRow, view: View, *, theme: Theme, font: QFont
) -> None:
    """Paint the dashed line and ghost bulbs, or the crossed-out sign, and the words."""
    placed = row.of(marker.target.pot_id) if marker.target.pot_id else None
    if placed is not None:
        anchor = _on_pot(painter, marker, placed, row, view, theme)
    else:
        anchor = _in_gap(painter, marker, row, view, theme)
    if marker.point is not None:
        anchor = marker.point
    _words(painter, marker, anchor, view, theme=theme, font=font)


def _on_pot(
    painter: QPainter, marker: Marker, placed: PlacedPot, row: PotRow, view: View, theme: Theme
) -> QPointF:
    tone = tone_of(theme)
    scale = row.scale
    middle, rim = view.origin_x + placed.middle, view.ground_y + placed.rim
    colour = QColor(tone.focus if marker.verdict.allowed else tone.warning)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(colour, 2.0))
    tall = -placed.rim
    painter.drawRoundedRect(
        QRectF(middle - placed.half - 5, rim - 5, 2 * placed.half + 10, tall + 9), 5, 5
    )
    ghost = marker.ghost
    if ghost is None:
        return QPointF(middle, rim)
    form = bulb_form(ghost.common_type)
    width, height = ghost.bulb_width_cm * scale, ghost.bulb_height_cm * scale
    painter.setPen(QPen(QColor("#FFFFFF"), 1.2))
    fill = QColor("#FFFFFF")
    fill.setAlphaF(0.30)
    painter.setBrush(fill)
    for spot in ghost.bulbs:
        painter.save()
        painter.translate(middle + spot.x_cm * scale - 0.5 * width, rim + spot.tip_cm * scale)
        path = bulb_path(form)
        painter.scale(width, height)
        pen = painter.pen()
        pen.setCosmetic(True)
        painter.setPen(pen)
        painter.drawPath(path)
        painter.restore()
    y = rim + ghost.tip_cm * scale
    for pen in (QPen(QColor(0, 0, 0, 150), 3.0), QPen(QColor("#FFFFFF"), 1.6)):
        pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.drawLine(QPointF(middle - placed.half - 8, y), QPointF(middle + placed.half + 8, y))
    return QPointF(middle + placed.half, y)


def _in_gap(painter: QPainter, marker: Marker, row: PotRow, view: View, theme: Theme) -> QPointF:
    tone = tone_of(theme)
    x = view.origin_x + row.gap_x(marker.target.gap or 0)
    top = view.ground_y - 9.0 * row.em
    if not marker.verdict.allowed:
        return QPointF(x, top)
    painter.setPen(QPen(QColor(tone.focus), 3.0))
    painter.drawLine(QPointF(x, top), QPointF(x, view.ground_y + 4.0))
    for side in (-1.0, 1.0):
        painter.drawLine(QPointF(x, top), QPointF(x + side * 6.0, top - 6.0))
        painter.drawLine(
            QPointF(x, view.ground_y + 4.0), QPointF(x + side * 6.0, view.ground_y + 10)
        )
    return QPointF(x, top)


def _words(
    painter: QPainter, marker: Marker, anchor: QPointF, view: View, *, theme: Theme, font: QFont
) -> None:
    tone = tone_of(theme)
    allowed = marker.verdict.allowed
    metrics = QFontMetricsF(font)
    pad = 0.4 * metrics.height()
    sign = metrics.height() if not allowed else 0.0
    most = max(view.width - 2.0 * pad - 8.0, 60.0)
    room = QRectF(0.0, 0.0, min(most - sign - 2.0 * pad, 24.0 * metrics.height()), 1000.0)
    flags = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)
    words = metrics.boundingRect(room, flags, marker.verdict.words)
    width = words.width() + 2.0 * pad + (sign + pad if sign else 0.0) + 2.0
    height = max(words.height(), sign) + 2.0 * pad
    x = min(max(anchor.x() + 1.2 * metrics.height(), 4.0), view.width - width - 4.0)
    y = anchor.y() - height - 0.6 * metrics.height()
    if y < 4.0:
        y = min(anchor.y() + metrics.height(), view.height - height - 4.0)
    box = QRectF(x, y, width, height)
    painter.setPen(QPen(QColor(tone.focus if allowed else tone.warning), 1.5))
    painter.setBrush(QColor(tone.raised))
    painter.drawRoundedRect(box, 5.0, 5.0)
    if sign:
        circle = QRectF(x + pad, y + 0.5 * (height - sign), sign, sign).adjusted(2, 2, -2, -2)
        painter.setPen(QPen(QColor(tone.warning), 2.2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(circle)
        inset = 0.15 * circle.width()
        painter.drawLine(
            circle.topLeft() + QPointF(inset, inset), circle.bottomRight() - QPointF(inset, inset)
        )
    painter.setFont(font)
    painter.setPen(QColor(tone.ink if allowed else tone.warning))
    left = x + pad + (sign + pad if sign else 0.0)
    painter.drawText(
        QRectF(left, y + pad, words.width() + 2.0, words.height()), flags, marker.verdict.words
    )
