"""A layer seen from above: its level in the pot and its bulbs at true size."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QBrush, QPainter, QPen

from bloomline.engine.potshape import Section


def paint_plan(
    painter: QPainter,
    section: Section,
    positions_cm: NDArray[np.float64],
    *,
    bulb_diameter_cm: float,
    centre: QPointF,
    scale: float,
    wall: tuple[QPen, QBrush],
    bulb: tuple[QPen, QBrush],
) -> None:
    """Paint a level and its bulbs about a point; `scale` is pixels to a centimetre.

    positions_cm : shape (n, 2), from the middle of the pot. Long pots lie across: their
    length runs from left to right. wall, bulb : pen and brush of each.
    """
    half = QPointF(section.length_cm * scale / 2.0, section.width_cm * scale / 2.0)
    area = QRectF(centre - half, centre + half)
    painter.setPen(wall[0])
    painter.setBrush(wall[1])
    if section.kind == "rectangle":
        painter.drawRect(area)
    else:
        painter.drawEllipse(area)
    painter.setPen(bulb[0])
    painter.setBrush(bulb[1])
    radius = bulb_diameter_cm * scale / 2.0
    for x, y in positions_cm:
        painter.drawEllipse(centre + QPointF(y * scale, x * scale), radius, radius)
