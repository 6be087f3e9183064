"""Paints the wall of a pot by its material: each has a rim and a grain of its own.

Materials can be told apart without their colours: by the shape of the rim and by what the
cut wall shows (dots, staves, hatching, beads).
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

from bloomline.draw.base.petals import Theme, mix
from bloomline.draw.pot.layout import PotCut, scatter
from bloomline.model.yard import Material

_THINNEST_PX = 2.4


@dataclass(frozen=True, slots=True)
class _Stuff:
    """A material: its colour on a light ground, and how the cut wall is filled."""

    colour: str
    grain: str
    pattern: Qt.BrushStyle | None = None


_STUFF: dict[Material, _Stuff] = {
    "fired-clay-once": _Stuff("#CE7F52", "#9B5632"),
    "fired-clay-twice": _Stuff("#B4623C", "#7C3E22"),
    "glazed": _Stuff("#4F7FA0", "#2C546F"),
    "wood": _Stuff("#A87B4D", "#6B4826"),
    "plastic": _Stuff("#5F6B66", "#3D4743"),
    "resin": _Stuff("#8B8A86", "#5C5B58", Qt.BrushStyle.Dense6Pattern),
    "metal": _Stuff("#A9B4BA", "#66727A"),
    "stone": _Stuff("#B6AFA0", "#7D776A", Qt.BrushStyle.Dense5Pattern),
    "fibreglass": _Stuff("#D7D2C4", "#8E897B", Qt.BrushStyle.BDiagPattern),
}


def paint_wall(
    painter: QPainter, cut: PotCut, material: Material, *, scale: float, theme: Theme
) -> None:
    """Paint the cut wall and base over the fill; the inside keeps its measure."""
    stuff = _STUFF[material]
    colour = stuff.colour if theme.name == "light" else mix(stuff.colour, "#FFFFFF", 0.06)
    line = QColor(stuff.grain)
    thick = max(cut.wall_cm * scale, _THINNEST_PX)
    ring = _ring(cut, scale=scale, thick=thick)
    painter.setPen(QPen(line, 1.0))
    painter.setBrush(QColor(colour))
    painter.drawPath(ring)
    if stuff.pattern is not None and thick >= 3.0:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QBrush(line, stuff.pattern))
        painter.drawPath(ring)
    painter.setPen(QPen(line, 1.0))
    painter.setBrush(QColor(colour))
    _DETAILS[material](painter, cut, scale, thick, line)
    _drain_hole(painter, cut, scale=scale, theme=theme)


def _ring(cut: PotCut, *, scale: float, thick: float) -> QPainterPath:
    top, bottom = cut.top_half_cm * scale, cut.bottom_half_cm * scale
    floor = cut.floor_cm * scale
    foot = max(cut.foot_cm * scale, floor + _THINNEST_PX)
    slope = (bottom - top) / floor
    low = bottom + thick + slope * (foot - floor)
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.OddEvenFill)
    path.addPolygon(
        QPolygonF(
            [
                QPointF(-top - thick, 0.0),
                QPointF(-top, 0.0),
                QPointF(-bottom, floor),
                QPointF(bottom, floor),
                QPointF(top, 0.0),
                QPointF(top + thick, 0.0),
                QPointF(low, foot),
                QPointF(-low, foot),
            ]
        )
    )
    path.closeSubpath()
    return path


def _outer(cut: PotCut, depth_cm: float, scale: float, thick: float) -> float:
    """Half the outside width at a depth, in pixels."""
    return cut.half_at(depth_cm) * scale + thick


def _collar(
    painter: QPainter, cut: PotCut, scale: float, thick: float, *, deep_cm: float, out: float
) -> None:
    """A thickened rim on both sides."""
    deep = max(deep_cm * scale, 4.0)
    for side in (-1.0, 1.0):
        inner = side * cut.top_half_cm * scale
        outer = inner + side * (thick + out)
        lower = side * (_outer(cut, deep / scale, scale, thick) + out)
        foot = side * _outer(cut, 1.15 * deep / scale, scale, thick)
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(inner, 0.0),
                    QPointF(outer, 0.0),
                    QPointF(lower, deep),
                    QPointF(foot, 1.15 * deep),
                    QPointF(side * cut.half_at(deep / scale) * scale, 1.15 * deep),
                ]
            )
        )


def _clay(painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor) -> None:
    """A heavy collar, and grit in the fired clay."""
    _collar(painter, cut, scale, thick, deep_cm=min(4.5, 0.16 * cut.floor_cm), out=0.7 * thick)
    _specks(painter, cut, scale, thick, line, every_cm=1.1)


def _clay_twice(painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor) -> None:
    """Two narrow collars, one under the other."""
    _collar(painter, cut, scale, thick, deep_cm=min(2.2, 0.08 * cut.floor_cm), out=0.8 * thick)
    for side in (-1.0, 1.0):
        depth = min(5.0, 0.18 * cut.floor_cm)
        x = side * _outer(cut, depth, scale, thick)
        painter.drawRoundedRect(
            QRectF(x - 0.4 * thick, depth * scale, 0.8 * thick, max(1.0 * scale, 2.5)), 1.5, 1.5
        )
    _specks(painter, cut, scale, thick, line, every_cm=1.7)


def _specks(
    painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor, *, every_cm: float
) -> None:
    if thick < 3.5:
        return
    count = max(int(cut.floor_cm / every_cm), 1)
    spots = []
    for k, (a, b, c) in enumerate(scatter(cut.seed + 31, count)):
        depth = (k + b) / count * cut.floor_cm
        side = 1.0 if c < 0.5 else -1.0
        spots.append(
            QPointF(side * (cut.half_at(depth) * scale + (0.2 + 0.6 * a) * thick), depth * scale)
        )
    pen = QPen(line, max(0.16 * scale, 0.8))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.drawPoints(QPolygonF(spots))


def _glazed(painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor) -> None:
    """A rounded lip, the bare body inside the wall and a run of glaze that ends above the foot."""
    lip = max(1.1 * thick, 3.0)
    for side in (-1.0, 1.0):
        painter.drawEllipse(
            QPointF(side * (cut.top_half_cm * scale + 0.6 * thick), 0.35 * lip),
            0.9 * lip,
            0.6 * lip,
        )
    end = 0.86 * cut.floor_cm
    painter.setPen(QPen(QColor("#E9DCC3"), max(0.35 * thick, 1.0)))
    for side in (-1.0, 1.0):
        painter.drawLine(
            QPointF(side * (_outer(cut, end, scale, thick) - 0.4 * thick), end * scale),
            QPointF(
                side * (_outer(cut, cut.floor_cm, scale, thick) - 0.4 * thick), cut.floor_cm * scale
            ),
        )
    painter.setPen(QPen(QColor(255, 255, 255, 150), max(0.2 * thick, 0.8)))
    for side in (-1.0, 1.0):
        painter.drawLine(
            QPointF(
                side * (_outer(cut, 0.12 * end, scale, thick) - 0.3 * thick), 0.12 * end * scale
            ),
            QPointF(side * (_outer(cut, 0.6 * end, scale, thick) - 0.3 * thick), 0.6 * end * scale),
        )


def _wood(painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor) -> None:
    """Staves with their grain, held by two hoops that stand out."""
    painter.setPen(QPen(line, 0.7))
    for share in (0.33, 0.66):
        for side in (-1.0, 1.0):
            painter.drawLine(
                QPointF(side * (cut.top_half_cm * scale + share * thick), 0.0),
                QPointF(side * (cut.bottom_half_cm * scale + share * thick), cut.floor_cm * scale),
            )
    painter.setPen(QPen(QColor("#2E2C2A"), 0.6))
    painter.setBrush(QColor("#55524E"))
    for depth in (0.16 * cut.floor_cm, 0.72 * cut.floor_cm):
        for side in (-1.0, 1.0):
            outer = side * _outer(cut, depth, scale, thick)
            wide = max(0.5 * scale, 1.8)
            painter.drawRect(
                QRectF(
                    outer - (wide if side < 0 else 0.0), depth * scale, wide, max(2.4 * scale, 3.5)
                )
            )


def _plastic(painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor) -> None:
    """A thin wall with a lip turned outwards and down."""
    for side in (-1.0, 1.0):
        edge = side * (cut.top_half_cm * scale + thick)
        out = max(1.1 * scale, 3.0)
        lip = QPainterPath(QPointF(edge - side * thick, 0.6))
        lip.lineTo(edge + side * out, 0.6)
        lip.lineTo(edge + side * out, max(2.0 * scale, 4.5))
        painter.setPen(QPen(line, 2.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(lip)


def _resin(painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor) -> None:
    """A broad flat ledge, and ribs down the side."""
    ledge = max(1.2 * scale, 3.0)
    for side in (-1.0, 1.0):
        x = side * cut.top_half_cm * scale
        wide = side * (thick + max(1.2 * scale, 3.0))
        painter.drawRect(QRectF(min(x, x + wide), 0.0, abs(wide), ledge))
    painter.setPen(QPen(line, 1.0))
    for share in (0.3, 0.45, 0.6, 0.75):
        depth = share * cut.floor_cm
        for side in (-1.0, 1.0):
            outer = side * _outer(cut, depth, scale, thick)
            painter.drawLine(
                QPointF(outer, depth * scale),
                QPointF(outer + side * max(0.4 * scale, 1.5), depth * scale),
            )


def _metal(painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor) -> None:
    """A rolled bead at the rim and a ring to carry it by on each side."""
    bead = max(0.7 * scale, 2.2)
    ring = max(2.2 * scale, 4.0)
    depth = 0.2 * cut.floor_cm
    for side in (-1.0, 1.0):
        painter.drawEllipse(
            QPointF(side * (cut.top_half_cm * scale + thick), 0.3 * bead), bead, bead
        )
        painter.save()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(line, max(0.35 * scale, 1.1)))
        outer = side * (_outer(cut, depth, scale, thick) + 0.45 * ring)
        painter.drawEllipse(QPointF(outer, depth * scale + 0.6 * ring), 0.5 * ring, 0.62 * ring)
        painter.restore()


def _stone(painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor) -> None:
    """Rough: chips along the outer edge."""
    painter.setPen(QPen(line, 0.9))
    count = max(int(cut.floor_cm / 3.0), 2)
    for k, (a, b, c) in enumerate(scatter(cut.seed + 53, count)):
        depth = (k + 0.2 + 0.6 * a) / count * cut.floor_cm
        side = 1.0 if c < 0.5 else -1.0
        outer = side * _outer(cut, depth, scale, thick)
        chip = (0.5 + b) * max(0.5 * scale, 1.6)
        painter.drawPolyline(
            QPolygonF(
                [
                    QPointF(outer, depth * scale - chip),
                    QPointF(outer - side * chip, depth * scale),
                    QPointF(outer, depth * scale + chip),
                ]
            )
        )


def _fibreglass(painter: QPainter, cut: PotCut, scale: float, thick: float, line: QColor) -> None:
    """A smooth square-edged fold at the rim."""
    fold = max(0.9 * scale, 3.0)
    for side in (-1.0, 1.0):
        x = side * (cut.top_half_cm * scale + thick)
        painter.drawRect(QRectF(min(x, x + side * fold), 0.0, fold, 1.8 * fold))


_DETAILS = {
    "fired-clay-once": _clay,
    "fired-clay-twice": _clay_twice,
    "glazed": _glazed,
    "wood": _wood,
    "plastic": _plastic,
    "resin": _resin,
    "metal": _metal,
    "stone": _stone,
    "fibreglass": _fibreglass,
}


def _drain_hole(painter: QPainter, cut: PotCut, *, scale: float, theme: Theme) -> None:
    """The hole in the base that water leaves by."""
    half = min(1.2, 0.2 * cut.bottom_half_cm) * scale
    floor = cut.floor_cm * scale
    deep = max(cut.foot_cm * scale - floor, _THINNEST_PX)
    if half < 1.0:
        return
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(mix(theme.ground, "#000000", 0.55)))
    painter.drawRect(QRectF(-half, floor, 2.0 * half, deep))
