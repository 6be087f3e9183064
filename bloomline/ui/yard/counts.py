"""How many bulbs lie in each layer, beside the pot they lie in and joined to it by a line."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from bloomline.draw.base.petals import Theme
from bloomline.draw.pot.layout import PotCut
from bloomline.ui.theme import tone_of
from bloomline.ui.yard.tops import Presence

_LEAD_PX = 7.0
_APART_PX = 3.0


@dataclass(frozen=True, slots=True)
class Count:
    """The number of bulbs of a layer, with its marks, at the depth of its middle.

    wall_cm : from the pot's middle to its outer wall there.
    """

    words: str
    middle_cm: float
    wall_cm: float
    is_chosen: bool


def counts_of(
    cut: PotCut,
    *,
    presence: Presence,
    flawed: frozenset[str],
    barren: Container[str],
    chosen: frozenset[str],
) -> tuple[Count, ...]:
    """The numbers of a pot, from the top; in brackets what is yet to be planted."""
    found = []
    for layer in sorted(cut.layers, key=lambda each: each.tip_cm):
        if layer.layer_id in presence.gone:
            continue
        words = str(layer.count)
        words += " !" if layer.layer_id in flawed else ""
        words += " ∅" if layer.layer_id in barren else ""
        if layer.layer_id in presence.planned:
            words = f"({words})"
        middle = 0.5 * (layer.tip_cm + layer.base_cm)
        found.append(
            Count(words, middle, cut.half_at(middle) + cut.wall_cm, layer.layer_id in chosen)
        )
    return tuple(found)


def count_px(line_px: float) -> int:
    """The size of the numbers for the height of a line of the font. [px]"""
    return max(round(0.86 * round(0.72 * line_px)), 12)


def places_of(
    counts: Sequence[Count], *, scale: float, size: float, widths: Sequence[float], free: float
) -> tuple[tuple[float, bool], ...]:
    """Height of each number below the rim [px], and whether it has room outside the pot.

    free : from the pot's wall to the next pot's. A number outside keeps more way to that than to
    its own pot; one that can't stands inside its pot.
    """
    lowest = -1e9
    found = []
    for count, width in zip(counts, widths, strict=True):
        middle = max(count.middle_cm * scale, lowest + 0.95 * size)
        lowest = middle
        left_over = free - (_LEAD_PX + _APART_PX + width)
        found.append((middle, left_over > _LEAD_PX + _APART_PX))
    return tuple(found)


def paint_counts(
    painter: QPainter,
    counts: Sequence[Count],
    *,
    at: QPointF,
    half: float,
    free: float,
    scale: float,
    theme: Theme,
    font: QFont,
) -> None:
    """Paint the numbers of a pot whose rim's middle is `at` and whose half width is `half`."""
    px = QFontMetricsF(font).height()
    tone = tone_of(theme)
    small = count_px(px)
    font = QFont(font)
    font.setPixelSize(small)
    painter.setFont(font)
    metrics = QFontMetricsF(font)
    widths = [metrics.horizontalAdvance(each.words) for each in counts]
    places = places_of(counts, scale=scale, size=float(small), widths=widths, free=free)
    for count, width, (y, is_outside) in zip(counts, widths, places, strict=True):
        middle = at.y() + y
        colour = QColor(tone.ink if count.is_chosen else tone.muted)
        if is_outside:
            wall = at.x() + half + 1.0
            painter.setPen(QPen(colour, 1.0))
            begin = at + QPointF(count.wall_cm, count.middle_cm) * scale
            painter.drawLine(begin, QPointF(wall + _LEAD_PX, middle))
            box = QRectF(wall + _LEAD_PX + _APART_PX, middle - 0.7 * small, width + 2, 1.4 * small)
        else:
            box = QRectF(at.x() + half - width - 10.0, middle - 0.6 * small, width, 1.2 * small)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(tone.raised))
            painter.drawRoundedRect(box.adjusted(-3.0, 0.0, 3.0, 0.0), 3.0, 3.0)
            colour = QColor(tone.ink)
            painter.setPen(colour)
        flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(box, flags | Qt.TextFlag.TextDontClip, count.words)
