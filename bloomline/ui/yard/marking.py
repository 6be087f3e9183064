"""Paints where a carried cargo would go; the card beside it says what comes of it."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from bloomline.draw.base.petals import Theme
from bloomline.draw.pot.bulb_picture import bulb_path
from bloomline.draw.pot.plant_forms import bulb_form
from bloomline.ui.theme import tone_of
from bloomline.ui.yard.carrying import Marker
from bloomline.ui.yard.painting import View
from bloomline.ui.yard.scene import PlacedPot, PotRow
from bloomline.ui.yard.tops import Top
from bloomline.ui.yard.tufts import tufts_path


@dataclass(frozen=True, slots=True)
class Aim:
    """What the card must leave free, in the canvas: the pot, and the place that is aimed at."""

    pot: QRectF
    place: QRectF


def aim_of(marker: Marker, row: PotRow, view: View) -> Aim:
    """Where a carried cargo would go."""
    placed = row.of(marker.target.pot_id) if marker.target.pot_id else None
    if placed is None:
        x = _gap_x(marker, row, view)
        place = QRectF(x - 10.0, view.ground_y - 9.0 * row.em - 8.0, 20.0, 9.0 * row.em + 20.0)
        if marker.point is not None:
            place = place.united(_around(marker.point))
        return Aim(place, place)
    middle, rim = view.origin_x + placed.middle, view.ground_y + placed.rim
    whole = QRectF(middle - placed.half - 8, rim - 8, 2 * placed.half + 16, -placed.rim + 14)
    place = QRectF(whole.left(), rim - 10.0, whole.width(), 20.0)
    if marker.ghost is not None:
        top, base = marker.ghost.tip_cm * row.scale, marker.ghost.base_cm * row.scale
        place = QRectF(whole.left(), rim + top - 6.0, whole.width(), base - top + 12.0)
    if marker.point is not None:
        place = place.united(_around(marker.point))
    return Aim(whole.united(place), place)


def _gap_x(marker: Marker, row: PotRow, view: View) -> float:
    """The x of a gap, or of the middle of a place where the row is arranged by place."""
    target = marker.target
    x = row.gap_x(target.gap or 0) if target.place is None else row.place_x(target.place)
    return view.origin_x + x


def _around(point: QPointF) -> QRectF:
    return QRectF(point.x() - 12.0, point.y() - 12.0, 24.0, 24.0)


def paint_marker(
    painter: QPainter, marker: Marker, row: PotRow, view: View, *, theme: Theme
) -> None:
    """Paint the dashed line and the ghosts of bulbs or companions, or where a pot would stand."""
    placed = row.of(marker.target.pot_id) if marker.target.pot_id else None
    if placed is not None:
        _on_pot(painter, marker, placed, row, view, theme)
    else:
        _in_gap(painter, marker, row, view, theme)


def _on_pot(
    painter: QPainter, marker: Marker, placed: PlacedPot, row: PotRow, view: View, theme: Theme
) -> None:
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
    if marker.top is not None:
        _paint_top(painter, marker.top, QPointF(middle, rim + marker.surface_cm * scale), scale)
    ghost = marker.ghost
    if ghost is None:
        return
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


def _paint_top(painter: QPainter, top: Top, foot: QPointF, scale: float) -> None:
    """The plants as they would stand in season, light over whatever is there."""
    painter.save()
    painter.translate(foot)
    path = tufts_path(top, scale=scale)
    fill = QColor("#FFFFFF")
    fill.setAlphaF(0.35)
    painter.setBrush(fill)
    for pen in (QPen(QColor(0, 0, 0, 170), 3.0), QPen(QColor("#FFFFFF"), 1.4)):
        painter.setPen(pen)
        painter.drawPath(path)
        painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.restore()


def _in_gap(painter: QPainter, marker: Marker, row: PotRow, view: View, theme: Theme) -> None:
    tone = tone_of(theme)
    x = _gap_x(marker, row, view)
    top = view.ground_y - 9.0 * row.em
    if not marker.verdict.allowed or marker.target.place is not None:  # the place itself is marked
        return
    painter.setPen(QPen(QColor(tone.focus), 3.0))
    painter.drawLine(QPointF(x, top), QPointF(x, view.ground_y + 4.0))
    for side in (-1.0, 1.0):
        painter.drawLine(QPointF(x, top), QPointF(x + side * 6.0, top - 6.0))
        painter.drawLine(
            QPointF(x, view.ground_y + 4.0), QPointF(x + side * 6.0, view.ground_y + 10)
        )
