"""Paints one label: words, colour swatch and code. Lengths are in tenths of a millimetre."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF

from bloomline.draw.ink import Ink
from bloomline.draw.label_code import fitting_code, paint_code
from bloomline.draw.marks import marks_in_bar
from bloomline.draw.names import fit_name
from bloomline.draw.petals import LIGHT, petal
from bloomline.plan.labels import Label

INK = "#1B211D"
MUTED = "#4A504A"
LINE = "#8A8F88"
_MARGIN = 22.0
_LARGEST_PX, _SMALLEST_PX = 44, 20  # 20 is 5.7 points
_LINE = 1.26
_CODE_SHARE = 0.44
STICK_POINT = 260.0
_STICK_IN_SOIL = 620.0


def paint_label(ink: Ink, label: Label, area: QRectF, *, stick: bool = False) -> None:
    """Paint a label into an area; a stick has a point on its left that goes into the soil."""
    if stick:
        _paint_stick(ink, area)
        area = area.adjusted(_STICK_IN_SOIL, 0, 0, 0)
    side = min(area.height() - 12.0, area.width() * _CODE_SHARE)
    code = fitting_code(label.code_lines(), side_mm=side / 10.0)
    right = area.right() - 8.0 - side
    paint_code(ink.painter, code, right, area.center().y() - side / 2, side)
    words = QRectF(area.left() + _MARGIN, area.top() + _MARGIN, 0, area.height() - 2 * _MARGIN)
    words.setRight(right)
    _paint_words(ink, label, words)


def _paint_words(ink: Ink, label: Label, area: QRectF) -> None:
    lines = [
        f"{label.kind}, {label.colour}",
        label.window,
        f"{label.bulbs}, {label.depth}",
        f"Pot: {label.pot_name}",
        f"Planted {label.planted.isoformat()}",
    ]
    px = _size(ink, label.name, lines, area)
    big = round(px * 1.25)
    names = _name_lines(ink, label.name, big, area.width())
    room = area.height() - len(names) * big * _LINE
    lines = lines[: max(0, int(room / (px * _LINE) + 0.01))]
    height = len(names) * big * _LINE + len(lines) * px * _LINE
    y = area.top() + (area.height() - height) / 2
    for part in names:
        ink.name(area.left(), y + big * 0.95, part, big, INK)
        y += big * _LINE
    for index, line in enumerate(lines):
        left = area.left()
        if index == 0:
            left += paint_swatch(ink, label, left, y + px * 0.18, px)
        room = area.right() - left
        ink.text(left, y + px * 0.95, ink.fitted(line, px, room), px, INK if index < 2 else MUTED)
        y += px * _LINE


def _size(ink: Ink, name: str, lines: list[str], area: QRectF) -> int:
    """The largest size of letters at which all lines stand whole, or the smallest there is."""
    for px in range(_LARGEST_PX, _SMALLEST_PX, -1):
        big = round(px * 1.25)
        names = _name_lines(ink, name, big, area.width())
        height = (len(names) * big + len(lines) * px) * _LINE
        wide = max(
            ink.width(line, px) + (px * 2.6 if k == 0 else 0) for k, line in enumerate(lines)
        )
        if height <= area.height() and wide <= area.width() and "".join(names)[-1] != "…":
            return px
    return _SMALLEST_PX


def _name_lines(ink: Ink, name: str, px: int, room: float) -> tuple[str, ...]:
    """The name on one line, or its Latin part over the epithet, cut only where it must be."""

    def measure(text: str) -> float:
        return ink.width(text, px)

    if measure(name) <= room:
        return (name,)
    quote = name.find(" '")
    if quote > 0:
        parts = (name[:quote], name[quote + 1 :])
    else:
        head, _, tail = name.partition(" ")
        parts = (head, tail) if tail else (head, "")
    return tuple(fit_name(part, room=room, measure=measure) for part in parts if part)


def paint_swatch(ink: Ink, label: Label, x: float, y: float, px: int) -> float:
    """Paint the petal colour with its mark and outline; return how far the words move on."""
    look = petal(label.colour_hex, theme=LIGHT, second_hex=label.second_colour_hex)
    rect = QRectF(x, y, px * 2.0, px * 0.9)
    ink.painter.setPen(QPen(QColor(look.outline), max(1.5, px * 0.06)))
    ink.painter.setBrush(QColor(look.fill))
    ink.painter.drawRoundedRect(rect, px * 0.15, px * 0.15)
    radius = px * 0.2
    centres = marks_in_bar(
        rect.left(), rect.right(), rect.center().y(), radius=radius, pitch=radius * 3.0
    )
    ink.marks(centres, look, radius=radius)
    return px * 2.5


def _paint_stick(ink: Ink, area: QRectF) -> None:
    ink.painter.setPen(QPen(QColor(LINE), 2.0))
    ink.painter.setBrush(Qt.BrushStyle.NoBrush)
    middle = area.center().y()
    ink.painter.drawPolygon(
        QPolygonF(
            [
                QPointF(area.left(), middle),
                QPointF(area.left() + STICK_POINT, area.top()),
                QPointF(area.right(), area.top()),
                QPointF(area.right(), area.bottom()),
                QPointF(area.left() + STICK_POINT, area.bottom()),
            ]
        )
    )
