"""Paints a pot cut open: wall, crocks, compost, bulbs at their depths, top dressing.

The origin is the middle of the rim; y runs downwards. The same painter serves the window and
printed cards.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from bloomline.draw.base.petals import Theme, mix
from bloomline.draw.pot.bulb_picture import paint_bulb
from bloomline.draw.pot.layout import LayerSpots, Point, PotCut, scatter, thinned
from bloomline.draw.pot.plant_forms import bulb_form
from bloomline.draw.pot.walls import paint_wall
from bloomline.model.yard import Pot

_MOST_PAINTED = 500
_SMALLEST_BULB_PX = 2.0


@dataclass(frozen=True, slots=True)
class Earth:
    """Colours of what fills a pot."""

    compost: str
    grain: str
    speck: str
    crock: str
    crock_line: str
    grit: str
    inside: str


def earth_of(theme: Theme) -> Earth:
    """The fill's colours: compost is dark in both themes, so that bulbs stand out from it."""
    light = theme.name == "light"
    return Earth(
        compost="#5B4636" if light else "#4A392D",
        grain="#463427" if light else "#392B21",
        speck="#806A55" if light else "#6B5746",
        crock="#C98A63" if light else "#B1764F",
        crock_line="#7A4A30",
        grit="#B9B3A6" if light else "#9B968B",
        inside="#CDBFAA" if light else "#3B362F",
    )


def polygon(points: tuple[Point, ...], scale: float) -> QPolygonF:
    """Points in centimetres as a polygon in pixels."""
    return QPolygonF([QPointF(x * scale, y * scale) for x, y in points])


def paint_pot(
    painter: QPainter,
    cut: PotCut,
    *,
    pot: Pot,
    scale: float,
    theme: Theme,
    planned: frozenset[str] = frozenset(),
    gone: frozenset[str] = frozenset(),
) -> None:
    """Paint a pot and all that lies in it; `scale` is pixels to a centimetre.

    planned, gone : ids of layers that come later, drawn as outlines, and of those that have
    left the pot, not drawn.
    """
    earth = earth_of(theme)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(earth.inside))
    painter.drawPolygon(polygon(cut.band(0.0, cut.floor_cm), scale))
    _paint_compost(painter, cut, earth=earth, scale=scale)
    _paint_crocks(painter, cut, earth=earth, scale=scale)
    lifted = {layer.id for layer in pot.layers if layer.state == "lifted"}
    # Outlines last: what is to come often lies where other bulbs still are.
    for layer in sorted(cut.layers, key=lambda each: each.layer_id in planned):
        if layer.layer_id in gone:
            continue
        _paint_layer(
            painter,
            layer,
            scale=scale,
            lifted=layer.layer_id in lifted,
            planned=layer.layer_id in planned,
            seed=cut.seed,
        )
    _paint_dressing(painter, cut, earth=earth, scale=scale)
    paint_wall(painter, cut, pot.material, scale=scale, theme=theme)


def _paint_compost(painter: QPainter, cut: PotCut, *, earth: Earth, scale: float) -> None:
    body = polygon(cut.band(cut.surface_cm, cut.crocks_cm), scale)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(earth.compost))
    painter.drawPolygon(body)
    area = 2.0 * cut.top_half_cm * (cut.crocks_cm - cut.surface_cm)
    count = int(min(area * 0.16, area * scale * scale * 0.012, 600))
    grains: list[list[QPointF]] = [[], []]
    for k, (across, down, kind) in enumerate(scatter(cut.seed, max(count, 1))):
        depth = cut.surface_cm + 0.3 + down * (cut.crocks_cm - cut.surface_cm - 0.5)
        x = (2.0 * across - 1.0) * (cut.half_at(depth) - 0.3)
        grains[0 if kind < 0.6 else 1].append(QPointF(x * scale, depth * scale))
        if k >= count:
            break
    for colour, spots, size in (
        (earth.grain, grains[0], 0.34),
        (earth.speck, grains[1], 0.22),
    ):
        pen = QPen(QColor(colour), max(size * scale, 0.8))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.drawPoints(QPolygonF(spots))


def _paint_crocks(painter: QPainter, cut: PotCut, *, earth: Earth, scale: float) -> None:
    deep = cut.floor_cm - cut.crocks_cm
    if deep <= 0.0:
        return
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(earth.grain))
    painter.drawPolygon(polygon(cut.band(cut.crocks_cm, cut.floor_cm), scale))
    painter.setPen(QPen(QColor(earth.crock_line), max(0.08 * scale, 0.4)))
    rows = max(1, round(deep / 1.4))
    for row in range(rows):
        depth = cut.crocks_cm + (row + 0.5) * deep / rows
        half = cut.half_at(depth) - 0.5
        count = max(2, min(int(2.0 * half / 2.6), 60))
        for k, (a, b, c) in enumerate(scatter(cut.seed + row + 1, count)):
            x = -half + (k + 0.5) * 2.0 * half / count
            size = min(1.5, half / count * 1.15)
            painter.setBrush(QColor(mix(earth.crock, earth.crock_line, 0.35 * c)))
            turn = (a - 0.5) * 1.2
            shard = [
                (-size, 0.32),
                (-0.2 * size, -0.42 - 0.2 * b),
                (size, -0.1),
                (0.6 * size, 0.42),
            ]
            painter.drawPolygon(
                QPolygonF(
                    [
                        QPointF(
                            (x + px * math.cos(turn) - py * math.sin(turn) * 0.5) * scale,
                            (depth + px * math.sin(turn) * 0.35 + py * deep / rows * 0.8) * scale,
                        )
                        for px, py in shard
                    ]
                )
            )


def _paint_dressing(painter: QPainter, cut: PotCut, *, earth: Earth, scale: float) -> None:
    thick = cut.surface_cm - cut.dressing_cm
    if thick <= 0.0:
        return
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(mix(earth.grit, "#000000", 0.25)))
    painter.drawPolygon(polygon(cut.band(cut.dressing_cm, cut.surface_cm), scale))
    painter.setPen(QPen(QColor(mix(earth.grit, "#000000", 0.45)), 0.5))
    half = cut.half_at(cut.dressing_cm)
    size = min(0.5, 0.5 * thick)
    count = int(min(2.0 * half / size, 160))
    for k, (a, b, c) in enumerate(scatter(cut.seed + 97, max(count, 1))):
        x = -half + size + (k + 0.5) * (2.0 * half - 2.0 * size) / max(count, 1)
        y = cut.dressing_cm + size * 0.8 + a * max(thick - 1.6 * size, 0.0)
        painter.setBrush(QColor(mix(earth.grit, "#FFFFFF", 0.4 * c)))
        painter.drawEllipse(
            QPointF(x * scale, y * scale), size * (0.7 + 0.4 * b) * scale, 0.7 * size * scale
        )


def _paint_layer(
    painter: QPainter,
    layer: LayerSpots,
    *,
    scale: float,
    lifted: bool,
    planned: bool,
    seed: int,
) -> None:
    if layer.bulb_width_cm * scale < _SMALLEST_BULB_PX:
        _paint_as_band(painter, layer, scale=scale, planned=planned)
        return
    form = bulb_form(layer.common_type)
    width, height = layer.bulb_width_cm * scale, layer.bulb_height_cm * scale
    # Of thousands only the front ones can be seen, and each takes its time to paint.
    many = len(layer.bulbs) > _MOST_PAINTED
    apart_cm = 2.0 * layer.half_width_cm / _MOST_PAINTED if many else 0.0
    bulbs = thinned(layer.bulbs, apart_cm=apart_cm)
    leans = scatter(seed + 7, max(len(bulbs), 1))[:, 0]
    for spot, lean in zip(bulbs, leans, strict=False):
        box = QRectF(spot.x_cm * scale - 0.5 * width, spot.tip_cm * scale, width, height)
        paint_bulb(
            painter,
            box,
            form=form,
            back=spot.back,
            lean_degrees=10.0 * (lean - 0.5),
            lifted=lifted,
            planned=planned,
        )


def _paint_as_band(painter: QPainter, layer: LayerSpots, *, scale: float, planned: bool) -> None:
    """Bulbs too small to be told apart: a dotted band at their depth."""
    if not layer.bulbs:
        return
    reach = max(abs(spot.x_cm) for spot in layer.bulbs) * scale
    middle = 0.5 * (layer.tip_cm + layer.base_cm) * scale
    width = 1.0 if planned else max(layer.bulb_height_cm * scale, 1.0)
    pen = QPen(QColor("#DDBD8C"), width, Qt.PenStyle.DotLine)
    painter.setPen(pen)
    painter.drawLine(QPointF(-reach, middle), QPointF(reach, middle))


def outline_path(cut: PotCut, *, scale: float) -> QPainterPath:
    """The outer edge of the pot, for marking it."""
    path = QPainterPath()
    path.addPolygon(polygon(cut.outside(), scale))
    path.closeSubpath()
    return path


def layer_path(layer: LayerSpots, cut: PotCut, *, scale: float, margin_px: float) -> QPainterPath:
    """A band about a layer's bulbs, for marking it."""
    upper, lower = layer.tip_cm, layer.base_cm
    middle = 0.5 * (upper + lower)
    half = cut.half_at(min(middle, cut.floor_cm)) * scale - 1.5
    path = QPainterPath()
    path.addRoundedRect(
        QRectF(-half, upper * scale - margin_px, 2 * half, (lower - upper) * scale + 2 * margin_px),
        4.0,
        4.0,
    )
    return path
