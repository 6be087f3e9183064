"""The legend of the season chart: what each sign means, with the sign itself beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.marks import marks_along
from bloomline.draw.base.petals import SAMPLE_OF_FAMILY, Family, Petal, Theme, petal
from bloomline.draw.season.bars import Soft, paint_cores, paint_fulls, paint_soft
from bloomline.draw.season.rows import BAR_SHARE, paint_top_bar
from bloomline.draw.season.signs import paint_bracket, paint_conflict, paint_planted, paint_scent
from bloomline.words import tr

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


def _petal_sign(look: Petal) -> PaintSign:
    def paint(ink: Ink, x: float, middle: float) -> None:
        rect = QRectF(x, middle - _BAR / 2, 34, _BAR)
        paint_cores(ink, [(look, rect)])
        xs = marks_along(rect.left(), rect.right(), radius=2.9, pitch=10)
        ink.marks([(at, middle) for at in xs], look, radius=2.9)

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
        paint_cores(ink, [(green, QRectF(x, middle - _BAR / 2, 34, _BAR))])

    def fade(ink: Ink, x: float, middle: float) -> None:
        rect = QRectF(x, middle - _BAR / 2 + 1, 34, _BAR - 2)
        paint_soft(ink, rect, Soft.of(np.linspace(0.06, 0.72, 12), green, theme.ground))

    def full(ink: Ink, x: float, middle: float) -> None:
        paint_fulls(ink, [QPointF(x + 5, middle)], _BAR * 0.9, theme)

    def bare(ink: Ink, x: float, middle: float) -> None:
        ink.hatch(QRectF(x, middle - 7, 28, 14), QColor(theme.bare), pitch=6)

    def crowd(ink: Ink, x: float, middle: float) -> None:
        paint_bracket(ink, x + 1, x + 27, middle - 3, theme.crowd)

    def scent(ink: Ink, x: float, middle: float) -> None:
        paint_scent(ink, x + 3, middle, 1, theme.muted)
        paint_scent(ink, x + 15, middle, 2, theme.muted)

    def planted(ink: Ink, x: float, middle: float) -> None:
        paint_planted(ink, QPointF(x + 5, middle), 5.5, theme.muted, ground=theme.ground)

    def conflict(ink: Ink, x: float, middle: float) -> None:
        paint_conflict(ink, QRectF(x, middle - 7, 14, 14), theme.bare_text, ground=theme.ground)

    def on_top(ink: Ink, x: float, middle: float, *, is_leaf: bool = False) -> None:
        height = _BAR * BAR_SHARE
        rect = QRectF(x, middle - height / 2, 34, height)
        paint_top_bar(ink, rect, green, is_leaf=is_leaf, theme=theme)

    items = (
        []
        if not has_flowers
        else [
            Item(34, tr("expected first to last day"), core),
            Item(34, tr("may be in flower; one year in ten at the tip"), fade),
            Item(10, tr("full flower"), full),
        ]
    )
    if bare_share is not None:
        items.append(
            Item(
                28,
                tr("bare: a flower is less likely than {bare_share:.0%}", bare_share=bare_share),
                bare,
            )
        )
    if crowd_limit is not None:
        items.append(
            Item(
                28,
                tr("crowded: more than {crowd_limit} layers at once", crowd_limit=crowd_limit),
                crowd,
            )
        )
    if has_scent:
        items.append(Item(24, tr("light, strong scent"), scent))
    if has_planted:
        items.append(Item(10, tr("planted"), planted))
    if has_tops:
        items.append(Item(34, tr("plants on top of a pot, season by date"), on_top))
    if has_leaf_tops:
        items.append(Item(34, tr("leaf plants on top"), partial(on_top, is_leaf=True)))
    if has_conflicts:
        items.append(Item(14, tr("to be planted while the pot isn’t free"), conflict))
    for family in families:
        look = petal(SAMPLE_OF_FAMILY[family], theme=theme)
        items.append(Item(34, f"{family.value}", _petal_sign(look), is_petal=True))
    return tuple(items)


def flow(widths: Sequence[float], *, room: float, gap: float) -> list[tuple[float, int]]:
    """Offset and line of each item when items flow like words in lines of `room`."""
    x, line = 0.0, 0
    places = []
    for width in widths:
        if x > 0 and x + width > room:
            x, line = 0.0, line + 1
        places.append((x, line))
        x += width + gap
    return places


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
