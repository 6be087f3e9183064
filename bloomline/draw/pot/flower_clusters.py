"""Paints heads of many florets: spikes, globes, umbels and rings of bells."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from bloomline.draw.base.petals import mix
from bloomline.draw.pot.flower_parts import (
    SEPAL_GREEN,
    Head,
    bell_path,
    blade,
    star_path,
    turned,
)


def paint_hyacinth(painter: QPainter, head: Head) -> None:
    """Paint the head with its base at the origin."""
    rows = 6 if head.height > 16 else 4
    size = 0.60 * head.height / rows
    for row in range(rows):
        y = -head.height * (row + 0.55) / rows
        half = 0.5 * head.width * (0.92 if row < rows - 2 else 0.72 if row < rows - 1 else 0.42)
        grown = size * (0.7 + 0.4 * head.open if row > 2 else 1.05)
        for k, x in enumerate((-0.72, 0.72, 0.0) if row % 2 else (-0.4, 0.4)):
            painter.setBrush(head.shade if abs(x) > 0.6 else head.fill)
            painter.drawPath(
                turned(star_path(grown, 5), 17.0 * (k + row + head.seed % 7), x=x * half, y=y)
            )


def paint_grapes(painter: QPainter, head: Head) -> None:
    """Paint the head with its base at the origin."""
    rows = 7 if head.height > 14 else 4
    bead = 0.62 * head.height / rows
    for row in range(rows):
        share = row / (rows - 1)
        half = 0.5 * head.width * (1.0 - 0.75 * share) - 0.4 * bead
        y = -head.height * (row + 0.5) / rows
        for x in (-1.0, 1.0, 0.0) if half > 0.4 * bead else (0.0,):
            painter.setBrush(head.shade if x else head.fill)
            painter.drawEllipse(QPointF(x * max(half, 0.0), y), bead * 0.56, bead * 0.62)


def paint_globe(painter: QPainter, head: Head) -> None:
    """Paint the head with its base at the origin."""
    radius = 0.5 * head.height * (0.6 + 0.4 * head.open)
    middle = QPointF(0.0, -0.5 * head.height)
    ball = QColor(head.fill)
    ball.setAlphaF(0.55)
    painter.setBrush(ball)
    painter.drawEllipse(middle, radius, radius)
    painter.setBrush(head.fill)
    dot = max(0.13 * radius, 0.7)
    for ring, count in ((0.96, 14), (0.62, 9), (0.25, 4)):
        for k in range(count):
            angle = 2.0 * math.pi * k / count + ring * 3.0
            spot = middle + QPointF(math.sin(angle), math.cos(angle)) * (ring * radius)
            painter.drawPath(turned(star_path(1.6 * dot, 5), 40.0 * k, x=spot.x(), y=spot.y()))


def paint_crown(painter: QPainter, head: Head) -> None:
    """Paint the head with its base at the origin."""
    painter.setBrush(QColor(SEPAL_GREEN))
    for angle in (-46, 46, -24, 24, 0):
        tuft = turned(blade(0.5 * head.height, 0.10 * head.width, tip=1.0), angle)
        tuft.translate(0.0, -0.5 * head.height)
        painter.drawPath(tuft)
    bell = bell_path(0.38 * head.width, 0.52 * head.height)
    for x, lean in ((-0.30, 14.0), (0.30, -14.0), (0.0, 0.0)):
        painter.setBrush(head.shade if x else head.fill)
        painter.drawPath(turned(bell, lean, x=x * head.width, y=-0.55 * head.height))


def paint_bell(painter: QPainter, head: Head) -> None:
    """Paint the head with its base at the origin."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(SEPAL_GREEN), max(head.pen.widthF(), 0.9)))
    hook = QPainterPath(QPointF(0.0, 0.0))
    hook.cubicTo(
        0.0,
        -0.9 * head.height,
        0.1 * head.width,
        -1.1 * head.height,
        0.3 * head.width,
        -head.height,
    )
    painter.drawPath(hook)
    bell = bell_path(0.8 * head.width, 0.85 * head.height)
    bell.translate(0.3 * head.width, -head.height)
    painter.setPen(head.pen)
    painter.setBrush(head.fill)
    painter.drawPath(bell)
    if head.width > 6.0:  # the chequers
        painter.save()
        painter.setClipPath(bell, Qt.ClipOperation.IntersectClip)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(head.second, max(0.09 * head.width, 0.8), Qt.PenStyle.DotLine))
        for x in (0.05, 0.2, 0.35, 0.5):
            painter.drawLine(
                QPointF(x * head.width, -head.height), QPointF(x * head.width, -0.1 * head.height)
            )
        painter.restore()


def _spray(painter: QPainter, head: Head, *, rows: int, points: int) -> None:
    """Florets alternating up a stem, the upper ones smaller."""
    painter.drawLine(QPointF(0.0, 0.0), QPointF(0.0, -head.height))
    for row in range(rows):
        share = row / max(rows - 1, 1)
        size = min(0.62 * head.height / rows, 0.34 * head.width) * (1.25 - 0.65 * share)
        x = (0.24 if row % 2 else -0.24) * head.width * (1.0 - 0.55 * share)
        opened = head.open >= share * 0.8
        y = -head.height * (row + 0.4) / rows
        painter.setBrush(head.fill if opened else QColor(mix(SEPAL_GREEN, head.fill.name(), 0.5)))
        star = star_path(size if opened else 0.6 * size, points)
        painter.drawPath(turned(star, 15.0 * row, x=x, y=y))


def paint_stars(painter: QPainter, head: Head) -> None:
    """Paint the head with its base at the origin."""
    _spray(painter, head, rows=4, points=6)


def paint_spike(painter: QPainter, head: Head) -> None:
    """Paint the head with its base at the origin."""
    _spray(painter, head, rows=9 if head.height > 24 else 6, points=6)


def paint_umbel(painter: QPainter, head: Head) -> None:
    """Paint the head with its base at the origin."""
    for angle in (-70.0, 70.0, -44.0, 44.0, -20.0, 20.0, 0.0):
        reach = 0.78 * head.height * (0.7 + 0.3 * head.open)
        x, y = math.sin(math.radians(angle)) * reach, -math.cos(math.radians(angle)) * reach
        painter.drawLine(QPointF(0.0, 0.0), QPointF(x, y))
        painter.setBrush(head.fill)
        painter.drawPath(turned(star_path(0.22 * head.height, 6), angle, x=x, y=y))


def paint_bells(painter: QPainter, head: Head) -> None:
    """Paint bells that hang from a nodding stem, the head's base at the origin."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    stem = QPainterPath(QPointF(0.0, 0.0))
    stem.quadTo(-0.12 * head.width, -0.75 * head.height, 0.32 * head.width, -0.98 * head.height)
    painter.save()
    painter.setPen(QPen(QColor(SEPAL_GREEN), max(head.pen.widthF(), 0.9)))
    painter.drawPath(stem)
    painter.restore()
    bells = 8 if head.height > 24 else 6
    for row in range(bells):
        share = row / (bells - 1)
        spot = stem.pointAtPercent(0.12 + 0.86 * share)
        size = (1.0 - 0.5 * share) * min(0.30 * head.height, 0.52 * head.width)
        opened = head.open >= share * 0.8
        painter.setBrush(head.fill if opened else QColor(mix(SEPAL_GREEN, head.fill.name(), 0.5)))
        lean = 24.0 if row % 2 else -24.0
        bell = bell_path(size * (0.72 if opened else 0.45), size)
        painter.drawPath(turned(bell, -lean, x=spot.x(), y=spot.y()))


def paint_spathe(painter: QPainter, head: Head) -> None:
    """Paint one petal rolled to a funnel about its spadix, the base at the origin."""
    high, half = head.height, 0.5 * head.width * (0.55 + 0.45 * head.open)
    back = QPainterPath(QPointF(0.0, 0.0))
    back.cubicTo(-0.5 * half, -0.3 * high, -1.2 * half, -0.6 * high, -0.8 * half, -0.78 * high)
    back.cubicTo(-0.4 * half, -0.95 * high, 0.2 * half, -0.9 * high, 0.45 * half, -1.0 * high)
    back.cubicTo(0.6 * half, -0.85 * high, 1.1 * half, -0.8 * high, 0.9 * half, -0.62 * high)
    back.cubicTo(0.8 * half, -0.45 * high, 0.3 * half, -0.3 * high, 0.0, 0.0)
    painter.setBrush(head.shade)
    painter.drawPath(back)
    painter.setBrush(head.second)
    painter.drawPath(turned(blade(0.52 * high, 0.2 * half, tip=0.1), 3.0, y=-0.3 * high))
    front = QPainterPath(QPointF(0.0, 0.0))
    front.cubicTo(-0.5 * half, -0.3 * high, -1.2 * half, -0.6 * high, -0.8 * half, -0.78 * high)
    front.cubicTo(-0.5 * half, -0.55 * high, 0.2 * half, -0.42 * high, 0.9 * half, -0.62 * high)
    front.cubicTo(0.8 * half, -0.45 * high, 0.3 * half, -0.3 * high, 0.0, 0.0)
    painter.setBrush(head.fill)
    painter.drawPath(front)
