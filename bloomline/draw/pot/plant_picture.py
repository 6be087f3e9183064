"""Paints one plant as it stands above the compost on a day: leaves, stem, bud or flower.

The plant stands with its foot at the origin and grows to negative y. The same painter serves
the screen (through small pictures kept by the yard) and print.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QTransform

from bloomline.draw.base.petals import Theme, mix, petal
from bloomline.draw.pot.flower_parts import Head, head_of
from bloomline.draw.pot.flower_picture import paint_bud, paint_head
from bloomline.draw.pot.plant_forms import Habit, habit_of, head_size_cm
from bloomline.model.cultivar import Cultivar
from bloomline.plan.forecast.growth import Growth, Stage

_YELLOW = "#CDAA45"
_STRAW = "#A98B4E"


@dataclass(frozen=True, slots=True)
class PlantLook:
    """What one plant of a cultivar looks like in full flower. [cm]"""

    habit: Habit
    colour_hex: str
    second_hex: str | None
    height_cm: float
    spread_cm: float


@dataclass(frozen=True, slots=True)
class _Leaves:
    """Foliage of a habit: blades by their lean in degrees, lengths of the plant's height."""

    leans: tuple[float, ...]
    length: float
    width_cm: float
    bend: float
    green: str


_TULIP_LEAVES = _Leaves((-24, 22, -7), 0.62, 4.0, 0.5, "#6E9878")
_STRAPS = _Leaves((-15, 13, -5, 6), 0.85, 1.3, 0.25, "#5B8F55")
_GRASSY = _Leaves((-38, 36, -20, 17, 4), 0.95, 0.35, 0.9, "#4F8648")

_LEAVES: dict[Habit, _Leaves] = {
    Habit.DAFFODIL: _STRAPS,
    Habit.DAFFODIL_DOUBLE: _STRAPS,
    Habit.DAFFODIL_CLUSTER: _STRAPS,
    Habit.HYACINTH: _Leaves((-26, 24, -12, 11), 0.72, 2.4, 0.35, "#4E8C4A"),
    Habit.GRAPES: _Leaves((-48, 44, -26, 22, 8), 1.0, 0.5, 1.2, "#5A9150"),
    Habit.GOBLET: _GRASSY,
    Habit.SNOWDROP: _Leaves((-24, 22, 6), 0.85, 0.7, 0.6, "#6F9C7C"),
    Habit.IRIS: _Leaves((-12, 10, -4), 0.9, 0.7, 0.15, "#6D9A6A"),
    Habit.GLOBE: _Leaves((-52, 50, -34, 30), 0.34, 3.0, 1.2, "#6A9A68"),
    Habit.LILY: _Leaves((), 0.0, 2.0, 0.0, "#4F8A46"),
    Habit.CROWN: _Leaves((), 0.0, 2.6, 0.0, "#5B9450"),
    Habit.DAISY: _Leaves((-58, 55, -34, 30), 0.5, 1.8, 0.3, "#5C8B4C"),
    Habit.BELL: _Leaves((-30, 26, -10), 0.7, 0.6, 0.5, "#7A9C80"),
    Habit.STARS: _Leaves((-36, 33, 10), 0.8, 0.9, 0.6, "#568F4C"),
    Habit.SPIKE: _Leaves((-14, 12, -5, 6), 0.6, 2.2, 0.2, "#5C9050"),
    Habit.UMBEL: _Leaves((-40, 36, -18, 15), 0.5, 1.8, 0.8, "#5B9354"),
    Habit.DAHLIA: _Leaves((-55, 52, -28, 25, 4), 0.55, 5.0, 0.2, "#4B7F41"),
    Habit.CYCLAMEN: _Leaves((-62, 58, -35, 32), 0.5, 3.2, 0.4, "#577F56"),
    Habit.STAR: _Leaves((-38, 34, -14), 0.8, 0.7, 0.7, "#5F9455"),
    Habit.BELLS: _Leaves((-34, 30, -14, 12), 0.75, 1.3, 0.5, "#4F8648"),
    Habit.SPATHE: _Leaves((-34, 31, -14, 10), 0.62, 5.0, 0.35, "#4B8446"),
}
_STEM_LEAVES = (Habit.LILY, Habit.CROWN)
_GROWN = (Stage.GREEN, Stage.YELLOWING)
_GROWN_LENGTH = 1.25  # leaves go on growing after the flowers
_MORE_BEND = 1.2
_MOST_LEAN = 75.0
_NO_STEM = (Habit.GOBLET,)


def look_of(cultivar: Cultivar) -> PlantLook:
    """How a cultivar is drawn."""
    return PlantLook(
        habit=habit_of(cultivar.common_type, cultivar.group),
        colour_hex=cultivar.colour_hex,
        second_hex=cultivar.second_colour_hex,
        height_cm=cultivar.height_cm,
        spread_cm=cultivar.spread_cm,
    )


def plant_box(look: PlantLook, growth: Growth, *, scale: float) -> QRectF:
    """A box about the plant's foot that holds all that `paint_plant` paints. [px]"""
    tall = look.height_cm * max(growth.height, 0.06) * 1.06
    head_w, head_h = head_size_cm(look.habit, look.height_cm)
    leaves = _LEAVES.get(look.habit, _TULIP_LEAVES)
    bend = leaves.bend + _MORE_BEND * growth.yellow
    lean = max((abs(each) for each in leaves.leans), default=0.0) * (1.0 + growth.yellow * 1.1)
    length = leaves.length * tall * (_GROWN_LENGTH if growth.stage in _GROWN else 1.0)
    reach = length * min(lean, _MOST_LEAN) / 100.0 * (1.0 + 0.4 * bend) + 0.5 * leaves.width_cm
    if look.habit in _STEM_LEAVES:
        reach = 0.2 * tall + 4.0
    half = max(0.75 * head_w + 0.03 * tall, reach, 1.0)
    top = max(tall + 0.25 * head_h, 1.5)
    return QRectF(
        -half * scale - 3.0,
        -top * scale - 3.0,
        2 * half * scale + 6.0,
        top * scale + 6.0 + 0.4 * scale,
    )


def paint_plant(
    painter: QPainter,
    look: PlantLook,
    growth: Growth,
    *,
    scale: float,
    theme: Theme,
    variant: int = 0,
) -> None:
    """Paint a plant with its foot at the origin.

    scale : pixels to a centimetre. variant : small differences of lean and height, the same
    for the same number.
    """
    if not growth.shows:
        return
    vary = ((variant * 37) % 11) / 10.0 - 0.5
    flip = -1.0 if variant % 2 else 1.0
    tall = look.height_cm * growth.height * scale * (1.0 + 0.10 * vary)
    leaves = _LEAVES.get(look.habit, _TULIP_LEAVES)
    green = mix(leaves.green, _YELLOW, growth.yellow)
    if growth.yellow > 0.7:
        green = mix(green, _STRAW, (growth.yellow - 0.7) / 0.3)
    if growth.stage is Stage.NOSE:
        _paint_nose(painter, tall, leaves, scale=scale, green=green)
        return
    head_w, head_h = head_size_cm(look.habit, look.height_cm)
    head = head_of(
        petal(look.colour_hex, theme=theme, second_hex=look.second_hex),
        second_hex=look.second_hex,
        width=head_w * scale,
        height=head_h * scale,
        open_share=growth.open,
        seed=variant,
    )
    lean = 4.0 * vary * flip
    sway = lean / 100.0 * tall
    with_stem = growth.stage in (Stage.BUD, Stage.FLOWER) or (
        growth.stage is Stage.GREEN and look.habit not in _NO_STEM
    )
    full = tall if growth.stage is not Stage.GREEN else tall * 0.95
    _paint_leaves(
        painter,
        look.habit,
        leaves,
        tall=tall,
        scale=scale,
        flip=flip,
        green=green,
        droop=growth.yellow,
        grown=growth.stage in _GROWN,
    )
    if look.habit in _STEM_LEAVES:
        _paint_leafy_stem(
            painter,
            full - 0.6 * head.height * (growth.stage is Stage.FLOWER),
            leaves,
            sway=sway,
            scale=scale,
            green=green,
        )
    if with_stem:
        _paint_top(
            painter, look.habit, head, growth, full=full, sway=sway, scale=scale, green=green
        )


def _paint_top(
    painter: QPainter,
    habit: Habit,
    head: Head,
    growth: Growth,
    *,
    full: float,
    sway: float,
    scale: float,
    green: str,
) -> None:
    """The stem and what it carries; the top of the head stands at the plant's full height."""
    stem_top = max(full - head.height, 0.25 * full)
    tube = head.fill.name() if habit is Habit.GOBLET else mix(green, "#3C6E3A", 0.15)
    width = {Habit.TULIP: 0.7, Habit.HYACINTH: 1.1, Habit.GLOBE: 0.9, Habit.LILY: 0.9}.get(
        habit, 0.5
    )
    pen = QPen(QColor(tube), max(min(width, 0.03 * full / scale) * scale, 0.9))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    stem = QPainterPath(QPointF(0.0, 0.0))
    stem.quadTo(0.0, -0.6 * stem_top, sway, -stem_top)
    painter.drawPath(stem)
    painter.save()
    painter.translate(sway, -stem_top)
    if growth.stage is Stage.FLOWER:
        paint_head(painter, habit, head)
    elif growth.stage is Stage.BUD:
        paint_bud(painter, habit, head, colour=(growth.height - 0.72) / 0.18)
    else:  # a seed head
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(mix(green, _STRAW, 0.35)))
        size = 0.22 * min(head.width, head.height)
        painter.drawEllipse(QPointF(0.0, -size), 0.7 * size, size)
    painter.restore()


def _paint_nose(
    painter: QPainter, tall: float, leaves: _Leaves, *, scale: float, green: str
) -> None:
    reddish = QColor(mix(green, "#8A5A4A", 0.25))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(reddish)
    height = max(tall, 2.5)
    half = max(0.22 * leaves.width_cm * scale, 0.9)
    tip = QPainterPath(QPointF(-half, 0.0))
    tip.quadTo(-0.6 * half, -0.8 * height, 0.0, -height)
    tip.quadTo(0.6 * half, -0.8 * height, half, 0.0)
    painter.drawPath(tip)


def _leaf(length: float, width: float, *, lean: float, bend: float, flip: float) -> QPainterPath:
    """A blade that leaves the ground at `lean` degrees and bends over towards its tip."""
    side = 1.0 if lean >= 0 else -1.0
    reach = length * min(abs(lean), _MOST_LEAN) / 100.0
    top = length * (1.0 - 0.20 * bend * abs(lean) / 40.0)
    tip = QPointF(side * reach * (1.0 + 0.4 * bend), -top * (1.0 - 0.25 * bend * abs(lean) / 45.0))
    belly = QPointF(side * 0.28 * reach, -0.62 * top)
    half = 0.5 * width
    path = QPainterPath(QPointF(-0.25 * half, 0.0))
    path.quadTo(belly + QPointF(-half * 1.5, 0.0), tip)
    path.quadTo(belly + QPointF(half * 1.5, 0.0), QPointF(0.25 * half, 0.0))
    path.closeSubpath()
    return path if flip > 0 else _mirrored(path)


def _mirrored(path: QPainterPath) -> QPainterPath:
    return QTransform.fromScale(-1.0, 1.0).map(path)


def _paint_leaves(
    painter: QPainter,
    habit: Habit,
    leaves: _Leaves,
    *,
    tall: float,
    scale: float,
    flip: float,
    green: str,
    droop: float,
    grown: bool,
) -> None:
    width = leaves.width_cm * scale
    line = QColor(mix(green, "#22381F", 0.45))
    painter.setPen(QPen(line, min(max(0.1 * width, 0.35), 0.9)))
    length = leaves.length * tall * (_GROWN_LENGTH if grown else 1.0)
    for k, lean in enumerate(leaves.leans):
        painter.setBrush(QColor(mix(green, "#FFFFFF", 0.10) if k % 2 else green))
        blade = _leaf(
            length * (1.0 - 0.08 * k),
            max(width, 1.1),
            lean=lean * (1.0 + 1.1 * droop),
            bend=leaves.bend + _MORE_BEND * droop,
            flip=flip,
        )
        painter.drawPath(blade)


def _paint_leafy_stem(
    painter: QPainter, tall: float, leaves: _Leaves, *, sway: float, scale: float, green: str
) -> None:
    """A stem with short leaves all the way up."""
    pen = QPen(QColor(mix(green, "#3C6E3A", 0.2)), max(0.8 * scale, 0.9))
    painter.setPen(pen)
    painter.drawLine(QPointF(0.0, 0.0), QPointF(sway, -tall))
    painter.setPen(QPen(QColor(mix(green, "#22381F", 0.4)), 0.5))
    painter.setBrush(QColor(green))
    count = max(3, min(8, int(tall / max(3.2 * scale, 4.0))))
    for k in range(count):
        y = -tall * (k + 0.6) / (count + 0.6)
        for side in (-52.0, 52.0):
            blade = _leaf(
                0.16 * tall + 2.0 * scale,
                max(0.8 * leaves.width_cm * scale, 1.0),
                lean=side,
                bend=0.3,
                flip=1.0,
            )
            blade.translate(sway * (-y / max(tall, 1.0)), y)
            painter.drawPath(blade)
