"""Paints bulbs, corms and tubers as they lie in the compost."""

from __future__ import annotations

import math
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QTransform

from bloomline.draw.base.petals import mix
from bloomline.draw.pot.plant_forms import BulbForm

_SKIN: dict[BulbForm, str] = {
    BulbForm.TEARDROP: "#D9A566",
    BulbForm.NECKED: "#D6B68A",
    BulbForm.ROUND: "#DEC3A6",
    BulbForm.CORM: "#C6975F",
    BulbForm.SMALL: "#E6D5B4",
    BulbForm.SCALY: "#EFE3BF",
    BulbForm.TUBER: "#A98461",
}
_OUTLINE = "#3E2A1A"
_COMPOST = "#4A382B"


@lru_cache(maxsize=16)
def bulb_path(form: BulbForm) -> QPainterPath:
    """The outline of a bulb in a box one wide and one high; its tip is at y 0."""
    path = QPainterPath()
    if form is BulbForm.TEARDROP:
        path.moveTo(0.46, 0.0)
        path.cubicTo(0.60, 0.22, 1.0, 0.38, 1.0, 0.68)
        path.cubicTo(1.0, 0.92, 0.76, 1.0, 0.5, 1.0)
        path.cubicTo(0.16, 1.0, 0.0, 0.90, 0.0, 0.66)
        path.cubicTo(0.02, 0.40, 0.36, 0.24, 0.46, 0.0)
    elif form is BulbForm.NECKED:
        path.moveTo(0.40, 0.0)
        path.lineTo(0.60, 0.02)
        path.cubicTo(0.60, 0.28, 1.0, 0.32, 1.0, 0.68)
        path.cubicTo(1.0, 0.92, 0.74, 1.0, 0.5, 1.0)
        path.cubicTo(0.26, 1.0, 0.0, 0.92, 0.0, 0.68)
        path.cubicTo(0.0, 0.32, 0.40, 0.28, 0.40, 0.0)
    elif form is BulbForm.CORM:
        path.moveTo(0.44, 0.0)
        path.cubicTo(0.50, 0.16, 0.56, 0.16, 0.60, 0.06)
        path.cubicTo(0.66, 0.22, 1.0, 0.28, 1.0, 0.62)
        path.cubicTo(1.0, 0.96, 0.74, 1.0, 0.5, 0.96)
        path.cubicTo(0.26, 1.0, 0.0, 0.96, 0.0, 0.62)
        path.cubicTo(0.0, 0.28, 0.38, 0.24, 0.44, 0.0)
    elif form is BulbForm.SCALY:
        path.moveTo(0.5, 0.0)
        path.cubicTo(0.58, 0.10, 0.74, 0.12, 0.76, 0.26)
        path.cubicTo(0.92, 0.28, 1.0, 0.44, 0.98, 0.66)
        path.cubicTo(0.96, 0.90, 0.76, 1.0, 0.5, 1.0)
        path.cubicTo(0.24, 1.0, 0.04, 0.90, 0.02, 0.66)
        path.cubicTo(0.0, 0.44, 0.08, 0.28, 0.24, 0.26)
        path.cubicTo(0.26, 0.12, 0.42, 0.10, 0.5, 0.0)
    elif form is BulbForm.TUBER:
        path.moveTo(0.40, 0.0)
        path.cubicTo(0.62, 0.02, 0.70, 0.18, 0.86, 0.22)
        path.cubicTo(1.06, 0.34, 1.0, 0.66, 0.86, 0.82)
        path.cubicTo(0.72, 1.02, 0.54, 0.94, 0.40, 1.0)
        path.cubicTo(0.16, 1.0, -0.04, 0.76, 0.02, 0.50)
        path.cubicTo(0.06, 0.24, 0.16, 0.10, 0.40, 0.0)
    else:  # round and small
        path.moveTo(0.5, 0.0)
        path.cubicTo(0.60, 0.14, 1.0, 0.16, 1.0, 0.58)
        path.cubicTo(1.0, 0.88, 0.78, 1.0, 0.5, 1.0)
        path.cubicTo(0.22, 1.0, 0.0, 0.88, 0.0, 0.58)
        path.cubicTo(0.0, 0.16, 0.40, 0.14, 0.5, 0.0)
    path.closeSubpath()
    return path


@lru_cache(maxsize=16)
def _lines(form: BulbForm) -> QPainterPath:
    """The veins, scales or fibres on a bulb, in the same box."""
    path = QPainterPath()
    if form in (BulbForm.TEARDROP, BulbForm.NECKED, BulbForm.ROUND, BulbForm.SMALL):
        for x in (0.26, 0.52, 0.76):
            path.moveTo(0.48, 0.16)
            path.quadTo(x + (x - 0.5) * 0.7, 0.55, x, 0.94)
    elif form is BulbForm.CORM:
        for y in (0.46, 0.64, 0.82):
            path.moveTo(0.06, y)
            path.quadTo(0.5, y + 0.10, 0.94, y)
    elif form is BulbForm.SCALY:
        for x in (0.24, 0.50, 0.76):
            path.moveTo(x - 0.16, 0.34)
            path.quadTo(x, 0.66, x + 0.02, 0.94)
            path.moveTo(x + 0.14, 0.34)
            path.quadTo(x + 0.04, 0.66, x + 0.02, 0.94)
    else:
        for x, y in ((0.30, 0.30), (0.66, 0.44), (0.40, 0.68)):
            path.addEllipse(QPointF(x, y), 0.05, 0.04)
    return path


def paint_bulb(
    painter: QPainter,
    box: QRectF,
    *,
    form: BulbForm,
    back: float = 0.0,
    lean_degrees: float = 0.0,
    lifted: bool = False,
    planned: bool = False,
) -> None:
    """Paint a bulb that fills a box, its tip at the top.

    back : 0 at the front; the further back, the more compost lies over it. lifted : an
    empty place, drawn as a dashed outline. planned : bulbs to come, a dotted outline.
    """
    outline = QColor(mix(_OUTLINE, _COMPOST, 0.5 * back))
    line_px = min(max(0.045 * box.width(), 0.5), 1.4)
    pen = QPen(outline, line_px)
    if lifted:
        pen = QPen(QColor(_SKIN[form]), line_px, Qt.PenStyle.DashLine)
    elif planned:
        faint = QColor(_SKIN[form])
        faint.setAlphaF(0.85)
        pen = QPen(faint, max(line_px, 1.0))
        pen.setDashPattern([1.6, 1.6])  # shorter than the dashes of an empty place
    is_empty = lifted or planned
    place = QTransform.fromTranslate(box.left(), box.top())
    if lean_degrees and box.width() > 8.0:
        middle = box.center() - box.topLeft()
        place.translate(middle.x(), middle.y())
        place.rotate(lean_degrees)
        place.translate(-middle.x(), -middle.y())
    place.scale(box.width(), box.height())
    painter.setPen(pen)
    skin = mix(_SKIN[form], _COMPOST, 0.42 * back)
    painter.setBrush(Qt.BrushStyle.NoBrush if is_empty else QColor(skin))
    if box.width() < 3.0:
        painter.drawEllipse(box)
        return
    painter.drawPath(place.map(bulb_path(form)))
    if box.width() < 7.0 or is_empty:
        return
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(mix(skin, _OUTLINE, 0.38)), 0.7 * line_px))
    painter.drawPath(place.map(_lines(form)))
    if form is not BulbForm.TUBER:
        _roots(painter, box, skin)


def _roots(painter: QPainter, box: QRectF, skin: str) -> None:
    """A short beard under the base; it lies below the bulb's own measure."""
    painter.setPen(QPen(QColor(mix(skin, "#FFFFFF", 0.25)), 0.7))
    for angle in (-32, -12, 10, 30):
        lean = math.sin(math.radians(angle))
        start = QPointF(box.center().x() + 0.22 * lean * box.width(), box.bottom())
        painter.drawLine(start, start + QPointF(0.18 * lean * box.width(), 0.09 * box.height()))
