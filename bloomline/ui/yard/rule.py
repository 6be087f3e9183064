"""Paints the rule at the side of the yard: heights above the ground, in cm or inches."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from bloomline.draw.base.petals import Theme
from bloomline.ui.theme import least_px, tone_of
from bloomline.ui.units import CM_PER_INCH

_LEAST_PX = 26.0


def rule_step_cm(scale: float, *, imperial: bool) -> float:
    """The distance between two figures on the rule: 1, 2 or 5 times a power of ten. [cm]"""
    unit = CM_PER_INCH if imperial else 1.0
    wanted = _LEAST_PX / (scale * unit)
    power = 10.0 ** math.floor(math.log10(wanted))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= wanted)
    return max(step, 1.0) * unit


def rule_width(line_px: float) -> float:
    """How wide the strip of the rule is, for the height of a line of the font. [px]"""
    return 2.6 * line_px


def paint_rule(
    painter: QPainter,
    *,
    ground_y: float,
    scale: float,
    imperial: bool,
    theme: Theme,
    font: QFont,
) -> None:
    """Paint the rule along the left edge, from the ground upwards.

    It lies on a strip of its own, with an edge: pots that are scrolled under it are covered, so
    that its figures are not read as theirs.
    """
    tone = tone_of(theme)
    px = QFontMetricsF(font).height()
    small = QFont(font)
    small.setPixelSize(max(round(0.62 * px), least_px()))
    metrics = QFontMetricsF(small)
    unit = CM_PER_INCH if imperial else 1.0
    step = rule_step_cm(scale, imperial=imperial)
    count = int((ground_y - 0.8 * px) / (step * scale))
    strip = QRectF(0.0, 0.0, rule_width(px), ground_y - 1.0)
    painter.fillRect(strip, QColor(tone.panel))
    painter.setPen(QPen(QColor(tone.line), 1.0))
    painter.drawLine(strip.topRight(), strip.bottomRight())
    painter.setPen(QPen(QColor(tone.muted), 1.0))
    painter.setFont(small)
    lines = [QLineF(0.5, ground_y, 0.5, max(ground_y - (count + 0.5) * step * scale, 0.0))]
    for k in range(count + 1):
        y = ground_y - k * step * scale
        lines.append(QLineF(0.0, y, 0.5 * px, y))
        half = y - 0.5 * step * scale
        if half > 0.0:
            lines.append(QLineF(0.0, half, 0.25 * px, half))
        words = f"{k * step / unit:g}"
        if k == count:
            words += " in" if imperial else " cm"
        box = QRectF(0.6 * px, y - 0.5 * metrics.height(), 3.0 * px, metrics.height())
        if k:
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, words)
    painter.drawLines(lines)
    painter.drawPoint(QPointF(0.5, ground_y))
