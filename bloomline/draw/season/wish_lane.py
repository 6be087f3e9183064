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
from bloomline.plan.fill.target_words import lane_words
from bloomline.plan.fill.targets import Target

MOST_LANES = 3
_PAD = 4.0
_LEAST_LETTERS = 6


@dataclass(frozen=True, slots=True)
class WishSpan:
    """A wish on the season: its days, its words, and whether it is kept."""

    key: str
    first: date
    last: date
    words: str
    is_kept: bool


def told_spans(found: Sequence[Target]) -> tuple[WishSpan, ...]:
    """Wishes as a picture shows them that nobody can ask: kept or missed in words too."""
    return tuple(
        WishSpan(each.wish.id, each.first, each.last, lane_words(each), each.is_kept)
        for each in found
    )


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
    """Paint wishes from a height down: kept ones with a whole line, missed ones with dashes.

    Words stand in their span, or behind it where there is more room; the sign is never left out.
    """
    lanes = lanes_of(spans)
    boxes = {
        span.key: lane_box(span, lanes[span.key], scale=scale, top=top, line=line)
        for span in spans
        if span.key in lanes
    }
    for span in spans:
        box = boxes.get(span.key, QRectF())
        if box.isEmpty():
            continue
        others = [
            other.left()
            for key, other in boxes.items()
            if lanes[key] == lanes[span.key] and other.left() >= box.right()
        ]
        _paint_wish(ink, theme, span, box, limit=min([scale.right, *others]), px=px)


def _paint_wish(
    ink: Ink, theme: Theme, span: WishSpan, box: QRectF, *, limit: float, px: int
) -> None:
    colour, is_bold = (theme.ink, False) if span.is_kept else (theme.bare_text, True)

    def measure(text: str) -> float:
        return ink.width(text, px, bold=is_bold)

    sign = "✓" if span.is_kept else "✗"
    inside, behind = f"{sign} {span.words}", ""
    if measure(inside) > box.width() - 2 * _PAD:
        room = limit - box.right() - 2 * _PAD
        inside, behind = sign, elide(span.words, room=max(room, 0.0), measure=measure)
        behind = behind if len(behind) > _LEAST_LETTERS else ""
    pen = QPen(QColor(colour), 1.2)
    if not span.is_kept:
        pen.setStyle(Qt.PenStyle.DashLine)
    ink.painter.setPen(pen)
    middle, y = box.center().x(), box.center().y()
    for x in (box.left() + 0.6, box.right() - 0.6):
        ink.painter.drawLine(QLineF(x, box.top() + 2, x, box.bottom() - 1))
    spare = (box.width() - measure(inside)) / 2 - _PAD
    if spare > 2:
        ink.painter.drawLine(QLineF(box.left(), y, box.left() + spare, y))
        ink.painter.drawLine(QLineF(box.right() - spare, y, box.right(), y))
    baseline = y + px * 0.35
    ink.text(middle, baseline, inside, px, colour, bold=is_bold, align="centre")
    if behind:
        ink.text(box.right() + _PAD, baseline, behind, px, colour, bold=is_bold)
