"""Lays labels out: words of one size for a whole set, beside a code no larger than it must be.

Lengths are in tenths of a millimetre from the upper left corner of a label.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bloomline.draw.base.ink import Ruler
from bloomline.draw.base.names import elide, fit_name, wrapped
from bloomline.draw.paper.label_code import LEAST_MODULE_MM, Code, fitting_code
from bloomline.plan.paper.labels import Label
from bloomline.reference.label_sheets import LabelSheet

STICK_POINT = 260.0
STICK_IN_SOIL = 620.0
SWATCH = 2.5  # widths of a letter from the swatch's left to the words beside it
_MARGIN = 16.0
_EDGE = 6.0  # beside the code, which brings its own quiet zone
_LARGEST_PX, _READABLE_PX, _SMALLEST_PX = 48, 28, 20  # 13.6, 7.9 and 5.7 points
_NAME = 1.3  # of the other letters
_LINE = 1.15
_CODE_SHARE = 0.28  # of a label's width, at most


@dataclass(frozen=True, slots=True)
class LabelLine:
    """A line of words, where it begins: a name, an epithet, the line of the swatch, or others."""

    x: float
    baseline: float
    text: str
    px: int
    width: float
    style: Literal["name", "epithet", "swatch", "ink"]


@dataclass(frozen=True, slots=True)
class LabelLayout:
    """A label's lines, and its code with the upper left corner and the side of its square."""

    lines: tuple[LabelLine, ...]
    code: Code
    code_x: float
    code_y: float
    code_side: float


def lay_out_labels(
    labels: Sequence[Label], sheet: LabelSheet, *, ruler: Ruler
) -> tuple[LabelLayout, ...]:
    """Lay out the labels of a set. Only one whose words would be lost has smaller letters."""
    setters = [_Setter(label, sheet, ruler) for label in labels]
    sizes = [each.largest_px() for each in setters]
    common = min((px for px in sizes if px is not None), default=_READABLE_PX)
    return tuple(
        each.layout(None if px is None else common) for each, px in zip(setters, sizes, strict=True)
    )


class _Setter:
    """Sets the words of one label."""

    def __init__(self, label: Label, sheet: LabelSheet, ruler: Ruler) -> None:
        self.label, self.ruler = label, ruler
        left = STICK_IN_SOIL if sheet.shape == "stick" else 0.0
        self.left, self.height = left + _MARGIN, sheet.height_mm * 10.0
        right = sheet.width_mm * 10.0 - _EDGE
        most = min(self.height - 2.0 * _EDGE, _CODE_SHARE * (sheet.width_mm * 10.0 - left))
        self.code = fitting_code(label.code_lines(), side_mm=most / 10.0)
        # As large as its modules need, and no larger: the rest is for words.
        self.side = min(self.code.modules * LEAST_MODULE_MM * 10.0, most)
        self.code_x = right - self.side
        self.width = self.code_x - self.left

    @property
    def _room(self) -> float:
        return self.height - 2.0 * _MARGIN

    def largest_px(self) -> int | None:
        """The largest size in which every line stays unbroken; None where none is readable."""
        for px in range(_LARGEST_PX, _READABLE_PX - 1, -1):
            if self._is_whole(self._lines(px, most=1)):
                return px
        return None

    def layout(self, px: int | None) -> LabelLayout:
        """The label in letters of a size; None for lines that are broken and smaller."""
        lines = self._broken() if px is None else self._lines(px, most=1)
        placed: list[LabelLine] = []
        y = (self.height - _height(lines)) / 2.0
        for line in lines:
            x = self.left + (line.px * SWATCH if line.style == "swatch" else 0.0)
            wide = self.ruler.width(line.text, line.px)
            placed.append(LabelLine(x, y + 0.92 * line.px, line.text, line.px, wide, line.style))
            y += line.px * _LINE
        middle = (self.height - self.side) / 2.0
        return LabelLayout(tuple(placed), self.code, self.code_x, middle, self.side)

    def _is_whole(self, lines: Sequence[_Line]) -> bool:
        return _height(lines) <= self._room and not any(each.text.endswith("…") for each in lines)

    def _broken(self) -> list[_Line]:
        for px in range(_READABLE_PX, _SMALLEST_PX - 1, -1):
            lines = self._lines(px, most=3)
            if self._is_whole(lines):
                return lines
        for most in (3, 2, 1):
            lines = self._lines(_SMALLEST_PX, most=most)
            if _height(lines) <= self._room:
                return lines
        while _height(lines) > self._room and len(lines) > 1:
            lines.pop()
        return lines

    def _lines(self, px: int, *, most: int) -> list[_Line]:
        """The words of the label, each broken into at most so many lines."""
        label = self.label
        found = self._name_lines(px, most)

        def measure(text: str) -> float:
            return self.ruler.width(text, px)

        kind = f"{label.kind}, {label.colour}"
        found.append(
            _Line(elide(kind, room=self.width - px * SWATCH, measure=measure), px, "swatch")
        )
        for text in (label.window, label.depth, label.planting, label.pot_name):
            parts = wrapped(text, room=self.width, measure=measure, most_lines=most)
            found += [_Line(part, px, "ink") for part in parts]
        return found

    def _name_lines(self, px: int, most: int) -> list[_Line]:
        """The name on one line, or its Latin part over the epithet; broken or cut if it must be.

        It is larger than the other words where that leaves it on one line.
        """
        name, room = self.label.name, self.width
        for size in range(round(px * _NAME), px - 1, -1):
            if self.ruler.width(name, size) <= room:
                return [_Line(name, size, "name")]

        def measure(text: str) -> float:
            return self.ruler.width(text, px)

        quote = name.find(" '")
        if quote <= 0:
            parts = wrapped(name, room=room, measure=measure, most_lines=max(most, 2))
            return [_Line(part, px, "name") for part in parts]
        latin = fit_name(name[:quote], room=room, measure=measure)
        epithet = wrapped(name[quote + 1 :], room=room, measure=measure, most_lines=most)
        # A broken epithet stays upright on its later lines too.
        return [_Line(latin, px, "name"), *(_Line(part, px, "epithet") for part in epithet)]


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of words before it has its place."""

    text: str
    px: int
    style: Literal["name", "epithet", "swatch", "ink"]


def _height(lines: Sequence[_Line]) -> float:
    return sum(line.px * _LINE for line in lines)
