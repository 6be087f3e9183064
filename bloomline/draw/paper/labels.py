"""Paints one label: words, colour swatch and code. Lengths are in tenths of a millimetre."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.marks import marks_along
from bloomline.draw.base.names import elide, fit_name, wrapped
from bloomline.draw.base.petals import LIGHT, petal
from bloomline.draw.paper.label_code import fitting_code, paint_code
from bloomline.plan.paper.labels import Label

INK = "#1B211D"
MUTED = "#4A504A"
LINE = "#8A8F88"
_MARGIN = 22.0
_LARGEST_PX, _READABLE_PX, _SMALLEST_PX = 44, 25, 20  # 12.5, 7.1 and 5.7 points
_NAME = 1.25  # of the other letters
_SWATCH = 2.5
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


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of words: how large, and whether it is a name, an epithet, or muted."""

    text: str
    px: int
    style: Literal["name", "epithet", "swatch", "ink", "muted"]


def _paint_words(ink: Ink, label: Label, area: QRectF) -> None:
    lines = _fitted(ink, label, width=area.width(), height=area.height())
    y = area.top() + (area.height() - _height(lines)) / 2
    for line in lines:
        left, baseline = area.left(), y + line.px * 0.95
        if line.style == "swatch":
            left += paint_swatch(ink, label, left, y + line.px * 0.18, line.px)
        if line.style == "name":
            ink.name(left, baseline, line.text, line.px, INK)
        else:
            colour = MUTED if line.style == "muted" else INK
            ink.text(left, baseline, line.text, line.px, colour)
        y += line.px * _LINE


def _height(lines: list[_Line]) -> float:
    return sum(line.px * _LINE for line in lines)


def _fitted(ink: Ink, label: Label, *, width: float, height: float) -> list[_Line]:
    """The lines in letters as large as fit: unbroken where they stay readable, else broken."""
    for most, px_least in ((1, _READABLE_PX), (3, _SMALLEST_PX)):
        for px in range(_LARGEST_PX, px_least - 1, -1):
            lines = _lines(ink, label, px, width=width, most=most)
            if _height(lines) <= height and not any(line.text.endswith("…") for line in lines):
                return lines
    for most in (3, 2, 1):
        lines = _lines(ink, label, _SMALLEST_PX, width=width, most=most)
        if _height(lines) <= height:
            return lines
    while _height(lines) > height and len(lines) > 1:
        lines.pop()
    return lines


def _lines(ink: Ink, label: Label, px: int, *, width: float, most: int) -> list[_Line]:
    """The words of a label, each broken into at most so many lines."""
    found = _name_lines(ink, label.name, round(px * _NAME), width, most)

    def measure(text: str) -> float:
        return ink.width(text, px)

    first = f"{label.kind}, {label.colour}"
    room = width - px * _SWATCH
    found.append(_Line(elide(first, room=room, measure=measure), px, "swatch"))
    for text, is_muted in (
        (label.window, False),
        (f"{label.bulbs}, {label.depth}", True),
        (f"Pot: {label.pot_name}", True),
        (f"Planted {label.planted.isoformat()}", True),
    ):
        parts = wrapped(text, room=width, measure=measure, most_lines=most)
        found += [_Line(part, px, "muted" if is_muted else "ink") for part in parts]
    return found


def _name_lines(ink: Ink, name: str, px: int, room: float, most: int) -> list[_Line]:
    """The name on one line, or its Latin part over the epithet; broken or cut if it must be."""

    def measure(text: str) -> float:
        return ink.width(text, px)

    if measure(name) <= room:
        return [_Line(name, px, "name")]
    quote = name.find(" '")
    if quote <= 0:
        parts = wrapped(name, room=room, measure=measure, most_lines=max(most, 2))
        return [_Line(parts[0], px, "name"), *(_Line(part, px, "name") for part in parts[1:])]
    latin = fit_name(name[:quote], room=room, measure=measure)
    epithet = wrapped(name[quote + 1 :], room=room, measure=measure, most_lines=most)
    # A broken epithet stays upright on its later lines too.
    return [_Line(latin, px, "name"), *(_Line(part, px, "epithet") for part in epithet)]


def paint_swatch(ink: Ink, label: Label, x: float, y: float, px: int) -> float:
    """Paint the petal colour with its mark and outline; return how far the words move on."""
    look = petal(label.colour_hex, theme=LIGHT, second_hex=label.second_colour_hex)
    rect = QRectF(x, y, px * 2.0, px * 0.9)
    ink.painter.setPen(QPen(QColor(look.outline), max(1.5, px * 0.06)))
    ink.painter.setBrush(QColor(look.fill))
    ink.painter.drawRoundedRect(rect, px * 0.15, px * 0.15)
    radius = px * 0.2
    xs = marks_along(rect.left(), rect.right(), radius=radius, pitch=radius * 3.0)
    ink.marks([(x, rect.center().y()) for x in xs], look, radius=radius)
    return px * _SWATCH


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
