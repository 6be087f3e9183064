"""The legend of the season chart: what each sign means, with the sign itself beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF

from bloomline.draw.bars import paint_core, paint_fade, paint_full
from bloomline.draw.companion_bar import BAR_SHARE, paint_top_bar
from bloomline.draw.ink import Ink
from bloomline.draw.layout import flow
from bloomline.draw.marks import marks_in_bar
from bloomline.draw.petals import SAMPLE_OF_FAMILY, Family, Petal, Theme, petal

TEXT_PX = 13
_GAP = 26.0
_SIGN_GAP = 7.0
_BAR = 13.0

PaintSign = Callable[[Ink, float, float], None]


@dataclass(frozen=True, slots=True)
class Item:
    """A sign of the given width, and its words."""

    sign_width: float
    words: str
    paint: PaintSign
    is_petal: bool = False


def paint_scent(
    ink: Ink, x: float, middle: float, strength: int, colour: str, *, height: float = 12.0
) -> None:
    """Paint the scent sign: one rising curl for light scent, two for strong."""
    painter = ink.painter
    pen = QPen(QColor(colour), 1.3)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    unit = height / 12.0
    ups = np.linspace(-6.0, 6.0, 17)
    for curl in range(min(strength, 2)):
        points = [
            QPointF(
                x + (curl * 6.0 + 2.0 * float(np.sin(up * 0.75))) * unit,
                middle - float(up) * unit,
            )
            for up in ups
        ]
        painter.drawPolyline(QPolygonF(points))


def paint_planted(ink: Ink, x: float, middle: float, colour: str) -> None:
    """Paint the planting sign: a small wedge that points into the soil."""
    painter = ink.painter
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colour))
    painter.drawPolygon(
        QPolygonF([QPointF(x - 4, middle - 4), QPointF(x + 4, middle - 4), QPointF(x, middle + 4)])
    )


def paint_conflict(ink: Ink, x: float, middle: float, theme: Theme, *, half: float = 7.0) -> None:
    """Paint the sign of a planting whose pot isn't free: a lozenge with a stroke in it."""
    painter = ink.painter
    pen = QPen(QColor(theme.bare_text), 1.5)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(QColor(theme.ground))
    painter.drawPolygon(
        QPolygonF(
            [
                QPointF(x, middle - half),
                QPointF(x + half, middle),
                QPointF(x, middle + half),
                QPointF(x - half, middle),
            ]
        )
    )
    painter.drawLine(QPointF(x, middle - 0.4 * half), QPointF(x, middle + 0.25 * half))


def paint_bracket(ink: Ink, left: float, right: float, y: float, colour: str) -> None:
    """Paint a bracket over a stretch, its feet pointing down."""
    pen = QPen(QColor(colour), 1.6)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    ink.painter.setPen(pen)
    ink.painter.setBrush(Qt.BrushStyle.NoBrush)
    ink.painter.drawPolyline(
        QPolygonF(
            [QPointF(left, y + 6), QPointF(left, y), QPointF(right, y), QPointF(right, y + 6)]
        )
    )


def _petal_sign(look: Petal) -> PaintSign:
    def paint(ink: Ink, x: float, middle: float) -> None:
        rect = QRectF(x, middle - _BAR / 2, 34, _BAR)
        paint_core(ink, rect, look)
        ink.marks(
            marks_in_bar(rect.left(), rect.right(), middle, radius=2.9, pitch=10), look, radius=2.9
        )

    return paint


def legend_items(
    families: Sequence[Family],
    *,
    theme: Theme,
    bare_share: float | None,
    crowd_limit: int | None,
    has_scent: bool,
    has_planted: bool,
    has_flowers: bool,
    has_tops: bool = False,
    has_leaf_tops: bool = False,
    has_conflicts: bool = False,
) -> tuple[Item, ...]:
    """The items that this chart needs, petals last."""
    green = petal("#7FA36B", theme=theme)

    def core(ink: Ink, x: float, middle: float) -> None:
        paint_core(ink, QRectF(x, middle - _BAR / 2, 34, _BAR), green)

    def fade(ink: Ink, x: float, middle: float) -> None:
        rect = QRectF(x, middle - _BAR / 2 + 1, 34, _BAR - 2)
        paint_fade(ink, rect, np.linspace(0.06, 0.72, 12), green, theme)

    def full(ink: Ink, x: float, middle: float) -> None:
        paint_full(ink, x + 5, middle, _BAR * 0.9, theme)

    def bare(ink: Ink, x: float, middle: float) -> None:
        ink.hatch(QRectF(x, middle - 7, 28, 14), QColor(theme.bare), pitch=6)

    def crowd(ink: Ink, x: float, middle: float) -> None:
        paint_bracket(ink, x + 1, x + 27, middle - 3, theme.crowd)

    def scent(ink: Ink, x: float, middle: float) -> None:
        paint_scent(ink, x + 3, middle, 1, theme.muted)
        paint_scent(ink, x + 15, middle, 2, theme.muted)

    def planted(ink: Ink, x: float, middle: float) -> None:
        paint_planted(ink, x + 5, middle, theme.muted)

    def conflict(ink: Ink, x: float, middle: float) -> None:
        paint_conflict(ink, x + 7, middle, theme)

    def on_top(ink: Ink, x: float, middle: float, *, is_leaf: bool = False) -> None:
        height = _BAR * BAR_SHARE
        rect = QRectF(x, middle - height / 2, 34, height)
        paint_top_bar(ink, rect, green, is_leaf=is_leaf, theme=theme)

    items = (
        []
        if not has_flowers
        else [
            Item(34, "most likely in flower", core),
            Item(34, "may be in flower; one year in ten at the tip", fade),
            Item(10, "full flower", full),
        ]
    )
    if bare_share is not None:
        items.append(Item(28, f"bare: a flower is less likely than {bare_share:.0%}", bare))
    if crowd_limit is not None:
        items.append(Item(28, f"crowded: more than {crowd_limit} layers at once", crowd))
    if has_scent:
        items.append(Item(24, "light, strong scent", scent))
    if has_planted:
        items.append(Item(10, "planted", planted))
    if has_tops:
        items.append(Item(34, "plants on top of a pot, season by date", on_top))
    if has_leaf_tops:
        items.append(Item(34, "leaf plants on top", partial(on_top, is_leaf=True)))
    if has_conflicts:
        items.append(Item(14, "to be planted while the pot isn’t free", conflict))
    for family in families:
        look = petal(SAMPLE_OF_FAMILY[family], theme=theme)
        items.append(Item(34, f"{family.value}", _petal_sign(look), is_petal=True))
    return tuple(items)


def legend_places(
    items: Sequence[Item], *, room: float, measure: Callable[[str, int], float]
) -> list[tuple[float, int]]:
    """Offset and line of each item; the petals begin a line of their own."""
    places: list[tuple[float, int]] = []
    for wants_petal in (False, True):
        widths = [
            item.sign_width + _SIGN_GAP + measure(item.words, TEXT_PX)
            for item in items
            if item.is_petal is wants_petal
        ]
        first_line = places[-1][1] + 1 if places else 0
        places += [(x, first_line + line) for x, line in flow(widths, room=room, gap=_GAP)]
    return places


def paint_legend(
    ink: Ink,
    items: Sequence[Item],
    places: Sequence[tuple[float, int]],
    *,
    left: float,
    top: float,
    line_height: float,
    theme: Theme,
) -> None:
    """Paint the items at their places."""
    for item, (offset, line) in zip(items, places, strict=True):
        middle = top + (line + 0.5) * line_height
        item.paint(ink, left + offset, middle)
        ink.text(
            left + offset + item.sign_width + _SIGN_GAP,
            middle + 4.5,
            item.words,
            TEXT_PX,
            theme.ink,
        )
