"""Paints what concerns companions and successions in the rows of the timeline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPen, QPolygonF

from bloomline.draw.companion_bar import BAR_SHARE, paint_top_bar
from bloomline.draw.ink import Ink
from bloomline.model.advice import Severity
from bloomline.plan.report import CompanionForecast
from bloomline.ui.season.geometry import DayView
from bloomline.ui.season.painted import PAD
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.words import SeasonWords
from bloomline.ui.shelf.paint import paint_severity

_MARGIN = 12.0


@dataclass(frozen=True, slots=True)
class TopPlace:
    """Companions to paint, and the middle of their row. [px]"""

    companion: CompanionForecast
    middle: float


def paint_tops(
    ink: Ink,
    shown: Shown,
    places: Sequence[TopPlace],
    words: SeasonWords,
    *,
    days: DayView,
    seen: QRectF,
    marker: Sequence[tuple[float, float]],
    marker_size: float,
) -> None:
    """Paint the bars of companions and where they are planted.

    marker : outline of the planting marker about (0, 0), sides of 1.
    """
    look = shown.look
    height = look.bar_height * BAR_SHARE
    for place in places:
        companion = place.companion
        if companion.first is None or companion.last is None:
            px = look.small_px
            told = ink.fitted(words.out_of_season(), px, days.width - 2 * PAD)
            baseline = place.middle + px * 0.35
            ink.plate(PAD, baseline, ink.width(told, px), px, look.theme.ground)
            ink.text(PAD, baseline, told, px, look.theme.muted)
        else:
            left, right = days.x_of(companion.first), days.x(companion.last.toordinal() + 1)
            begin, end = max(left, seen.left() - _MARGIN), min(right, seen.right() + _MARGIN)
            if begin < end:
                paint_top_bar(
                    ink,
                    QRectF(begin, place.middle - height / 2, end - begin, height),
                    shown.petals[companion.planting_id],
                    is_leaf=companion.is_leaf,
                    theme=look.theme,
                    begins=begin == left,
                    ends=end == right,
                    origin=left,
                )
            _paint_words(ink, shown, words.on_top(), left, right, place.middle, days)
        x = days.middle_of(shown.tops.get(companion.planting_id, companion.planted))
        if -marker_size <= x <= days.width + marker_size:
            is_chosen = companion.planting_id == shown.companion_id
            ink.painter.setPen(QPen(QColor(look.theme.ground), 1.2))
            ink.painter.setBrush(QColor(look.tone.focus if is_chosen else look.theme.muted))
            # Upside down: a tuft that stands on the pot, not a bulb that lies in it.
            y = place.middle
            ink.painter.drawPolygon(
                QPolygonF(
                    [QPointF(x + dx * marker_size, y - dy * marker_size) for dx, dy in marker]
                )
            )


def _paint_words(
    ink: Ink,
    shown: Shown,
    words: str,
    left: float,
    right: float,
    middle: float,
    days: DayView,
) -> None:
    """Write behind a bar, or before it, how companions differ from bulbs."""
    look = shown.look
    width, px = ink.width(words, look.small_px), look.small_px
    x = right + 6.0
    if x + width > days.width:
        x = left - 2.2 * look.bar_height - width
    if x >= 2.0 and right >= 0.0:
        baseline = middle + px * 0.35
        ink.plate(x, baseline, width, px, look.theme.ground)
        ink.text(x, baseline, words, px, look.theme.muted)


def conflict_box(x: float, middle: float, *, size: float) -> QRectF:
    """Where the sign of a conflict stands: before the marker of the planting it is about."""
    side = 2.4 * size
    return QRectF(x - size - side - 2.0, middle - side / 2, side, side)


def paint_conflicts(
    ink: Ink, shown: Shown, rows: Sequence[tuple[str, float]], *, days: DayView, size: float
) -> None:
    """Paint a sign on every row (id, middle) whose planting is due while its pot isn't free."""
    for name, middle in rows:
        conflict = shown.conflicts.get(name)
        if conflict is None:
            continue
        box = conflict_box(days.middle_of(conflict.due), middle, size=size)
        if box.right() < 0.0 or box.left() > days.width:
            continue
        ink.painter.fillRect(box, QColor(shown.look.theme.ground))
        paint_severity(ink.painter, box, Severity.CAUTION, colour=shown.look.tone.caution)
