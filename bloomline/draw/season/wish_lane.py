"""Wishes for a season in lanes: a bracket over the days of each, ticked or crossed, with words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPen

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.names import elide
from bloomline.draw.base.petals import Theme
from bloomline.draw.season.days import DayScale

MOST_LANES = 3


@dataclass(frozen=True, slots=True)
class WishSpan:
    """A wish on the season: its days, its words, and whether it is kept."""

    key: str
    first: date
    last: date
    words: str
    is_kept: bool


def lanes_of(spans: Sequence[WishSpan]) -> dict[str, int]:
    """The lane of each wish by its key, 0 on top, so that none covers another.

    Those that find no lane of the three are left out.
    """
    lanes: dict[str, int] = {}
    ends: list[date] = []
    for span in sorted(spans, key=lambda each: (each.first, each.last, each.key)):
        lane = next((at for at, end in enumerate(ends) if end < span.first), len(ends))
        if lane >= MOST_LANES:
            continue
        ends[lane:] = [span.last, *ends[lane + 1 :]]
        lanes[span.key] = lane
    return lanes


def lane_box(span: WishSpan, lane: int, *, scale: DayScale, top: float, line: float) -> QRectF:
    """Where a wish lies; empty where none of its days is seen."""
    found = scale.span(span.first, span.last)
    if found is None:
        return QRectF()
    return QRectF(found[0], top + lane * line + 1, found[1] - found[0], line - 3)


def paint_wishes(
    ink: Ink,
    theme: Theme,
    spans: Sequence[WishSpan],
    *,
    scale: DayScale,
    top: float,
    line: float,
    px: int,
) -> None:
    """Paint wishes from a height down: kept ones with a whole line, missed ones with dashes."""
    lanes = lanes_of(spans)
    for span in spans:
        box = (
            lane_box(span, lanes[span.key], scale=scale, top=top, line=line)
            if (span.key in lanes)
            else QRectF()
        )
        if box.isEmpty():
            continue
        colour = QColor(theme.ink if span.is_kept else theme.bare_text)
        pen = QPen(colour, 1.2)
        if not span.is_kept:
            pen.setStyle(Qt.PenStyle.DashLine)
        sign = "✓" if span.is_kept else "✗"
        room = max(box.width() - 10, 0.0)
        words = elide(f"{sign} {span.words}", room=room, measure=lambda t: ink.width(t, px))
        if len(words) < 3:
            words = sign
        width = ink.width(words, px)
        middle, y = box.center().x(), box.center().y()
        ink.painter.setPen(pen)
        for x in (box.left() + 0.6, box.right() - 0.6):
            ink.painter.drawLine(QLineF(x, box.top() + 2, x, box.bottom() - 1))
        spare = (box.width() - width) / 2 - 4
        if spare > 2:
            ink.painter.drawLine(QLineF(box.left(), y, box.left() + spare, y))
            ink.painter.drawLine(QLineF(box.right() - spare, y, box.right(), y))
        text = theme.ink if span.is_kept else theme.bare_text
        ink.text(middle, y + px * 0.35, words, px, text, bold=not span.is_kept, align="centre")
