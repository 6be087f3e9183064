"""Paints flower heads from the side, each habit with a silhouette of its own.

A head stands with its base at the origin and reaches `height` upwards (to negative y).
"""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QTransform

from bloomline.draw.base.petals import mix
from bloomline.draw.pot import flower_clusters
from bloomline.draw.pot.flower_parts import SEPAL_GREEN, Head, blade, turned
from bloomline.draw.pot.plant_forms import Habit


def paint_head(painter: QPainter, habit: Habit, head: Head) -> None:
    """Paint a head with its base at the origin."""
    painter.setPen(head.pen)
    if head.width < 3.5:  # too small for petals: a dab of its colour
        painter.setBrush(head.fill)
        painter.drawEllipse(QRectF(-head.width / 2, -head.height, head.width, head.height))
        return
    _PAINTERS[habit](painter, head)


def paint_bud(painter: QPainter, habit: Habit, head: Head, *, colour: float) -> None:
    """Paint the closed bud: green at first, then (colour to 1) in the petal's colour."""
    fill = QColor(mix(SEPAL_GREEN, head.fill.name(), min(max(colour, 0.0), 1.0)))
    painter.setPen(head.pen)
    painter.setBrush(fill)
    slim = 0.8 if habit in (Habit.HYACINTH, Habit.GRAPES, Habit.SPIKE, Habit.GLOBE) else 0.5
    path = blade(0.85 * head.height, slim * min(head.width, 0.8 * head.height), tip=0.6)
    if habit in (Habit.SNOWDROP, Habit.BELL):
        path = turned(path, 165.0, x=0.2 * head.width, y=-0.8 * head.height)
    painter.drawPath(path)


def _cup(painter: QPainter, head: Head, *, tip: float, flare: float, wide: float) -> None:
    """Petals in two ranks, the back one darker; flare turns the outer petals outwards."""
    length, width = head.height, head.width
    spread = 7.0 + flare * head.open
    painter.setBrush(head.shade)
    for angle in (-0.55 * spread, 0.55 * spread):
        painter.drawPath(turned(blade(0.96 * length, 0.50 * width * wide, tip=tip), angle))
    painter.setBrush(head.fill)
    for angle in (-spread, spread):
        painter.drawPath(turned(blade(length, 0.56 * width * wide, tip=tip), angle))
    painter.drawPath(blade(0.90 * length, 0.56 * width * wide, tip=tip))
    _flame(painter, head, 0.7 * length)


def _flame(painter: QPainter, head: Head, length: float) -> None:
    if head.width >= 8.0:
        painter.setPen(Qt.PenStyle.NoPen)
        colour = QColor(head.second)
        colour.setAlphaF(0.75)
        painter.setBrush(colour)
        painter.drawPath(blade(length, 0.16 * head.width, tip=0.9))
        painter.setPen(head.pen)


def _tulip(painter: QPainter, head: Head) -> None:
    _cup(painter, head, tip=0.35, flare=10.0, wide=1.0)


def _tulip_lily(painter: QPainter, head: Head) -> None:
    _cup(painter, head, tip=1.0, flare=24.0, wide=0.74)


def _tulip_star(painter: QPainter, head: Head) -> None:
    _fan(painter, head, angles=(-58, 58, -34, 34, 0), wide=0.30, tip=0.7)


def _tulip_fringed(painter: QPainter, head: Head) -> None:
    _cup(painter, head, tip=0.1, flare=13.0, wide=1.0)
    if head.width < 7.0:
        return
    painter.setPen(head.pen)
    for k in range(7):  # a comb along the rim
        angle = math.radians(-26.0 + k * 52.0 / 6.0) * (0.7 + 0.5 * head.open)
        x, y = math.sin(angle) * head.height, -math.cos(angle) * head.height
        painter.drawLine(QPointF(0.94 * x, 0.94 * y), QPointF(1.05 * x, 1.05 * y))


def _tulip_double(painter: QPainter, head: Head) -> None:
    w, h = head.width, head.height
    painter.setBrush(head.shade)
    for angle in (-40, 40, -22, 22):
        painter.drawPath(
            turned(blade(0.92 * h, 0.40 * w, tip=0.1), angle * (0.6 + 0.4 * head.open))
        )
    painter.setBrush(head.fill)
    for angle, length in ((-28, 0.72), (28, 0.72), (-12, 0.84), (12, 0.84), (0, 0.62)):
        painter.drawPath(turned(blade(length * h, 0.36 * w, tip=0.05), angle))
    _flame(painter, head, 0.45 * h)


def _fan(
    painter: QPainter, head: Head, *, angles: tuple[int, ...], wide: float, tip: float
) -> None:
    squeeze = 0.35 + 0.65 * head.open
    for k, angle in enumerate(angles):
        painter.setBrush(head.shade if k < len(angles) - 3 else head.fill)
        length = head.height * (1.0 if abs(angle) < 30 else 0.85)
        painter.drawPath(turned(blade(length, wide * head.width, tip=tip), angle * squeeze))
    _flame(painter, head, 0.5 * head.height)


def _face(
    painter: QPainter, head: Head, *, x: float, y: float, radius: float, petals: int, tip: float
) -> None:
    """A flower seen from the front: petals about a middle."""
    painter.setBrush(head.fill)
    one = blade(radius, 2.3 * radius * math.sin(math.pi / petals), tip=tip)
    for k in range(petals):
        painter.drawPath(turned(one, k * 360.0 / petals + 12.0 * (head.seed % 5), x=x, y=y))


def _daffodil(painter: QPainter, head: Head) -> None:
    radius = 0.5 * head.height * (0.62 + 0.38 * head.open)
    x, y = 0.06 * head.width, -0.5 * head.height
    _face(painter, head, x=x, y=y, radius=radius, petals=6, tip=0.6)
    painter.setBrush(head.second)
    painter.drawEllipse(QPointF(x, y), 0.44 * radius, 0.42 * radius)
    if head.width > 9.0:
        painter.setBrush(QColor(mix(head.second.name(), "#5A3A10", 0.35)))
        painter.drawEllipse(QPointF(x, y), 0.20 * radius, 0.19 * radius)


def _daffodil_double(painter: QPainter, head: Head) -> None:
    radius = 0.5 * head.height * (0.62 + 0.38 * head.open)
    y = -0.5 * head.height
    _face(painter, head, x=0.0, y=y, radius=radius, petals=6, tip=0.4)
    painter.setBrush(head.second)
    for k in range(5):
        one = blade(0.55 * radius, 0.4 * radius, tip=0.2)
        painter.drawPath(turned(one, 72.0 * k + 20.0, y=y))


def _daffodil_cluster(painter: QPainter, head: Head) -> None:
    small = 0.27 * head.height * (0.65 + 0.35 * head.open)
    for x, y in ((-0.30, -0.42), (0.30, -0.36), (0.0, -0.74)):
        px, py = x * head.width, y * head.height
        painter.drawLine(QPointF(0.0, 0.0), QPointF(px, py))
        _face(painter, head, x=px, y=py, radius=small, petals=6, tip=0.4)
        painter.setBrush(head.second)
        painter.drawEllipse(QPointF(px, py), 0.42 * small, 0.42 * small)


def _goblet(painter: QPainter, head: Head) -> None:
    spread = 6.0 + 20.0 * head.open
    painter.setBrush(head.shade)
    for angle in (-0.5 * spread, 0.5 * spread):
        painter.drawPath(turned(blade(head.height, 0.42 * head.width, tip=0.35), angle))
    if head.open > 0.5 and head.width > 6.0:
        painter.setBrush(QColor("#F2A52E"))
        painter.drawPath(blade(0.86 * head.height, 0.10 * head.width, tip=0.2))
    painter.setBrush(head.fill)
    for angle in (-spread, spread, 0.0):
        length = head.height * (0.96 if angle else 0.74)
        painter.drawPath(turned(blade(length, 0.44 * head.width, tip=0.35), angle))


def _snowdrop(painter: QPainter, head: Head) -> None:
    hook = QPainterPath(QPointF(0.0, 0.0))
    top = QPointF(0.26 * head.width, -0.95 * head.height)
    hook.cubicTo(
        -0.1 * head.width,
        -0.9 * head.height,
        0.1 * head.width,
        -1.15 * head.height,
        top.x(),
        top.y(),
    )
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(SEPAL_GREEN), max(head.pen.widthF(), 0.8)))
    painter.drawPath(hook)
    painter.setPen(head.pen)
    painter.setBrush(head.fill)
    for angle in (-26.0 * head.open, 26.0 * head.open, 0.0):
        drop = blade(0.92 * head.height, 0.46 * head.width, tip=0.15)
        painter.drawPath(turned(drop, 180.0 + angle, x=top.x(), y=top.y()))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(SEPAL_GREEN))
    painter.drawEllipse(top, 0.13 * head.width, 0.11 * head.height)


def _iris(painter: QPainter, head: Head) -> None:
    base = QTransform.fromTranslate(0.0, -0.28 * head.height)
    painter.setBrush(head.shade)
    for angle in (-14.0, 14.0):
        painter.drawPath(base.map(turned(blade(0.72 * head.height, 0.24 * head.width), angle)))
    painter.setBrush(head.fill)
    fall = blade(0.55 * head.width, 0.34 * head.height, tip=0.1)
    for angle in (-(55.0 + 55.0 * head.open), 55.0 + 55.0 * head.open, 178.0):
        length = 0.6 if angle == 178.0 else 1.0
        squeezed = QTransform.fromScale(1.0, length).map(fall)
        painter.drawPath(base.map(turned(squeezed, angle)))
    if head.width > 7.0:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor("#F0B429"))
        for angle in (-100.0, 100.0):
            spot = turned(blade(0.26 * head.width, 0.08 * head.height), angle)
            painter.drawPath(base.map(spot))


def _lily(painter: QPainter, head: Head) -> None:
    size = 0.52 * head.height
    for x, y, angle in ((-0.24, -0.18, -52.0), (0.24, -0.26, 50.0), (0.0, -0.45, 4.0)):
        place = QTransform.fromTranslate(x * head.width, y * head.height).rotate(angle)
        for k, lean in enumerate((-46.0, 46.0, -24.0, 24.0, 0.0)):
            painter.setBrush(head.shade if k < 2 else head.fill)
            one = blade(size, 0.34 * size, tip=0.8)
            painter.drawPath(place.map(turned(one, lean * (0.3 + 0.7 * head.open))))
        painter.setBrush(QColor("#9A5A1E"))
        painter.drawEllipse(place.map(QPointF(0.0, -0.55 * size)), 0.05 * size, 0.05 * size)


def _daisy(painter: QPainter, head: Head) -> None:
    radius, y = 0.5 * head.height, -0.5 * head.height
    petals = 10 if head.seed % 2 else 9
    _face(
        painter, head, x=0.0, y=y, radius=radius * (0.6 + 0.4 * head.open), petals=petals, tip=0.2
    )
    painter.setBrush(head.second)
    painter.drawEllipse(QPointF(0.0, y), 0.26 * radius, 0.24 * radius)


def _dahlia(painter: QPainter, head: Head) -> None:
    y = -0.5 * head.height
    for share, petals in ((1.0, 11), (0.7, 8), (0.4, 5)):
        painter.setBrush(head.shade if share > 0.9 else head.fill)
        radius = 0.5 * head.height * share * (0.6 + 0.4 * head.open)
        one = blade(radius, 2.0 * radius * math.sin(math.pi / petals), tip=0.2)
        for k in range(petals):
            painter.drawPath(turned(one, k * 360.0 / petals + 50.0 * share, y=y))


def _cyclamen(painter: QPainter, head: Head) -> None:
    painter.setBrush(head.shade)
    for angle in (-34, 34):
        painter.drawPath(turned(blade(0.9 * head.height, 0.34 * head.width), angle * head.open))
    painter.setBrush(head.fill)
    for angle in (-14, 14):
        painter.drawPath(turned(blade(head.height, 0.34 * head.width), angle))
    painter.setBrush(head.second)
    painter.drawEllipse(QPointF(0.0, -0.04 * head.height), 0.16 * head.width, 0.10 * head.height)


def _star(painter: QPainter, head: Head) -> None:
    radius, y = 0.5 * head.height, -0.5 * head.height
    _face(painter, head, x=0.0, y=y, radius=radius * (0.5 + 0.5 * head.open), petals=6, tip=0.8)
    painter.setBrush(head.second)
    painter.drawEllipse(QPointF(0.0, y), 0.18 * radius, 0.18 * radius)


_PAINTERS: dict[Habit, Callable[[QPainter, Head], None]] = {
    Habit.TULIP: _tulip,
    Habit.TULIP_DOUBLE: _tulip_double,
    Habit.TULIP_LILY: _tulip_lily,
    Habit.TULIP_FRINGED: _tulip_fringed,
    Habit.TULIP_STAR: _tulip_star,
    Habit.DAFFODIL: _daffodil,
    Habit.DAFFODIL_DOUBLE: _daffodil_double,
    Habit.DAFFODIL_CLUSTER: _daffodil_cluster,
    Habit.HYACINTH: flower_clusters.paint_hyacinth,
    Habit.GRAPES: flower_clusters.paint_grapes,
    Habit.GOBLET: _goblet,
    Habit.SNOWDROP: _snowdrop,
    Habit.IRIS: _iris,
    Habit.GLOBE: flower_clusters.paint_globe,
    Habit.LILY: _lily,
    Habit.DAISY: _daisy,
    Habit.BELL: flower_clusters.paint_bell,
    Habit.CROWN: flower_clusters.paint_crown,
    Habit.STARS: flower_clusters.paint_stars,
    Habit.SPIKE: flower_clusters.paint_spike,
    Habit.UMBEL: flower_clusters.paint_umbel,
    Habit.DAHLIA: _dahlia,
    Habit.CYCLAMEN: _cyclamen,
    Habit.STAR: _star,
    Habit.BELLS: flower_clusters.paint_bells,
    Habit.SPATHE: flower_clusters.paint_spathe,
}
