"""The size of a pot in words beside it, while it is being resized in the picture."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from bloomline.draw.base.petals import Theme
from bloomline.model.yard import Pot
from bloomline.plan.words.units import Units
from bloomline.ui.theme import tone_of
from bloomline.words import tr

_WRAP = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)


def size_words(pot: Pot, units: Units) -> str:
    """The inside of a pot as its details have it, a line a measure."""
    top, foot = pot.top_width_cm, pot.bottom_width_cm
    lines = []
    if pot.top_length_cm is not None:
        long_foot = pot.bottom_length_cm or pot.top_length_cm
        lines += [
            tr("{length} long at the top", length=units.length(pot.top_length_cm, decimals=1)),
            tr("{length} long at the foot", length=units.length(long_foot, decimals=1)),
        ]
    lines += [
        tr("{width} wide at the top", width=units.length(top, decimals=1)),
        tr("{width} wide at the foot", width=units.length(foot, decimals=1)),
        tr("{height} high", height=units.length(pot.inside_height_cm, decimals=1)),
    ]
    return "\n".join(lines)


def tag_box(words: str, *, pot: QRectF, seen: QRectF, font: QFont) -> QRectF:
    """Where the tag lies: beside the pot, on the side with more room, within what is seen."""
    metrics = QFontMetricsF(font)
    pad = 0.4 * metrics.height()
    size = metrics.boundingRect(QRectF(0, 0, 10_000, 10_000), _WRAP, words)
    width, height = size.width() + 2 * pad + 2, size.height() + 2 * pad
    gap = metrics.height()
    is_right = seen.right() - pot.right() >= pot.left() - seen.left()
    x = pot.right() + gap if is_right else pot.left() - gap - width
    y = pot.top() - 0.5 * height
    x = min(max(x, seen.left() + 4), seen.right() - width - 4)
    y = min(max(y, seen.top() + 4), seen.bottom() - height - 4)
    return QRectF(x, y, width, height)


def paint_size(
    painter: QPainter, words: str, *, pot: QRectF, seen: QRectF, theme: Theme, font: QFont
) -> None:
    """Paint the tag."""
    tone = tone_of(theme)
    box = tag_box(words, pot=pot, seen=seen, font=font)
    pad = 0.4 * QFontMetricsF(font).height()
    painter.setPen(QPen(QColor(tone.focus), 1.5))
    painter.setBrush(QColor(tone.raised))
    painter.drawRoundedRect(box, 5.0, 5.0)
    painter.setFont(font)
    painter.setPen(QColor(tone.ink))
    painter.drawText(box.adjusted(pad, pad, 0, 0), _WRAP, words)
