"""Bare and crowded stretches: hatching and brackets, with their days written in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPen

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.petals import Theme
from bloomline.draw.season.days import DayScale
from bloomline.draw.season.signs import paint_bracket
from bloomline.plan.forecast.report import Stretch

_PADDING = 10.0  # round words
_GAP = 6.0  # between words


@dataclass(frozen=True, slots=True)
class StretchPlace:
    """A stretch in view, its words, where they begin and on which line (0 = nearest)."""

    words: str
    x: float
    line: int
    left: float
    right: float


def place_stretches(
    stretches: Sequence[Stretch],
    words: Sequence[tuple[str, str]],
    *,
    scale: DayScale,
    measure: Callable[[str], float],
    most_lines: int = 1,
) -> tuple[StretchPlace, ...]:
    """Where stretches and their words lie: short words where full ones would need more lines.

    words : the full and the short words of each stretch.
    """
    seen = [
        (span, choice)
        for stretch, choice in zip(stretches, words, strict=True)
        if (span := scale.span(stretch.first, stretch.last)) is not None
    ]
    centres = [(left + right) / 2 for (left, right), _ in seen]
    places: list[tuple[float, int]] = []
    for is_short in (0, 1):
        widths = [measure(choice[is_short]) + _PADDING for _, choice in seen]
        places = place_labels(centres, widths, left=scale.left, right=scale.right)
        if is_short or all(line < most_lines for _, line in places):
            break
    return tuple(
        StretchPlace(choice[is_short], x + _PADDING / 2, line, *span)
        for (span, choice), (x, line) in zip(seen, places, strict=True)
    )


def place_labels(
    centres: Sequence[float],
    widths: Sequence[float],
    *,
    left: float,
    right: float,
) -> list[tuple[float, int]]:
    """Left edge and line (0 = nearest) of each label, so that none covers another."""
    ends: list[float] = []
    places = [(0.0, 0)] * len(centres)
    for index in sorted(range(len(centres)), key=lambda at: (centres[at], widths[at])):
        width = widths[index]
        start = max(left, min(centres[index] - width / 2, right - width))
        line = next((i for i, end in enumerate(ends) if end + _GAP <= start), len(ends))
        if line == len(ends):
            ends.append(0.0)
        ends[line] = start + width
        places[index] = (start, line)
    return places


def paint_bare(
    ink: Ink,
    theme: Theme,
    places: Sequence[StretchPlace],
    *,
    top: float,
    bottom: float,
    is_lane: bool = False,
) -> None:
    """Wash and hatch bare stretches: fainter over rows than in the lane of their words."""
    wash, line = QColor(theme.bare), QColor(theme.bare)
    wash.setAlphaF(0.09)
    line.setAlphaF(1.0 if is_lane else 0.34)
    for place in places:
        rect = QRectF(place.left, top, place.right - place.left, bottom - top)
        ink.painter.fillRect(rect, wash)
        ink.hatch(rect, line, width=1.0 if is_lane else 0.8)


def paint_bare_words(
    ink: Ink,
    theme: Theme,
    places: Sequence[StretchPlace],
    *,
    top: float,
    line_height: float,
    px: int,
    lines: int = 1,
) -> None:
    """Write the days of bare stretches on plates, on so many lines from the top."""
    for place in places:
        if place.line >= lines:
            continue
        width = ink.width(place.words, px, bold=True)
        plate = QRectF(place.x - 5, top + place.line * line_height, width + 10, line_height - 3)
        ink.painter.setPen(QPen(QColor(theme.bare), 1))
        ink.painter.setBrush(QColor(theme.ground))
        ink.painter.drawRoundedRect(plate, 5, 5)
        baseline = plate.center().y() + px * 0.35
        ink.text(place.x, baseline, place.words, px, theme.bare_text, bold=True)


def paint_crowded(
    ink: Ink,
    theme: Theme,
    places: Sequence[StretchPlace],
    *,
    base: float,
    line_height: float,
    px: int,
    lines: int = 1,
) -> None:
    """Bracket crowded stretches and write their days, on so many lines from the base up."""
    for place in places:
        y = base - min(place.line, lines - 1) * line_height
        baseline = y - px * 0.32
        if place.line < lines:
            width = ink.width(place.words, px, bold=True)
            ink.plate(place.x, baseline, width, px, theme.ground)
        paint_bracket(ink, place.left, place.right, y, theme.crowd)
        if place.line < lines:
            ink.text(place.x, baseline, place.words, px, theme.crowd, bold=True)
