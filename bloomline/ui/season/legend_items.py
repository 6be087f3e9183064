"""What the signs of timeline and yard mean, each with the sign as it is painted there."""

from __future__ import annotations

from datetime import date
from functools import partial

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPen

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.petals import Family, Theme
from bloomline.draw.season.days import DayScale
from bloomline.draw.season.legend import TEXT_PX, Item, PaintSign, legend_items
from bloomline.draw.season.rows import looks_of
from bloomline.draw.season.signs import paint_planted, paint_records
from bloomline.draw.season.wish_lane import WishSpan, paint_wishes
from bloomline.plan.forecast.report import SeasonReport
from bloomline.ui.theme import tone_of
from bloomline.words import tr


def items_of(report: SeasonReport | None, *, theme: Theme) -> tuple[Item, ...]:
    """All signs that the yard's page can show; the petals are those of the report."""
    families: set[Family] = set()
    bare, crowd = 0.5, 5
    if report is not None:
        blooming = [each.layer for each in report.alike if each.layer.start is not None]
        petals = looks_of(blooming, theme)
        families = {look.family for look in petals.values()}
        bare, crowd = report.bare_threshold, report.crowd_limit
    chart = legend_items(
        [family for family in Family if family in families],
        theme=theme,
        bare_share=bare,
        crowd_limit=crowd,
        has_scent=True,
        has_planted=False,  # told below, where plants on top have a sign of their own
        has_flowers=True,
        has_tops=True,
        has_leaf_tops=True,
        has_conflicts=True,
    )
    signs = [item for item in chart if not item.is_petal]
    petals_last = [item for item in chart if item.is_petal]
    return *signs, *_of_timeline(theme), *_of_yard(theme), *petals_last


def _of_timeline(theme: Theme) -> tuple[Item, ...]:
    tone = tone_of(theme)

    def planted(ink: Ink, x: float, middle: float) -> None:
        paint_planted(ink, QPointF(x + 6, middle), 5.5, theme.muted, ground=theme.ground)
        at = QPointF(x + 20, middle)
        paint_planted(ink, at, 5.5, theme.muted, ground=theme.ground, is_tuft=True)

    def seen(ink: Ink, x: float, middle: float) -> None:
        paint_records(ink, [x + 5], middle + 1, bar_height=10.0, theme=theme)

    def day(ink: Ink, x: float, middle: float) -> None:
        ink.painter.setPen(QPen(QColor(tone.accent), 2.0))
        ink.painter.drawLine(QLineF(x + 5, middle - 8, x + 5, middle + 8))

    def today(ink: Ink, x: float, middle: float) -> None:
        ink.painter.setPen(QPen(QColor(theme.muted), 1.2, Qt.PenStyle.DotLine))
        ink.painter.drawLine(QLineF(x + 5, middle - 8, x + 5, middle + 8))

    def wish(ink: Ink, x: float, middle: float, *, is_kept: bool) -> None:
        first = date(2001, 1, 1)
        span = WishSpan("", first, first, "", is_kept=is_kept)
        scale = DayScale.of(first, first, x, 28.0)
        paint_wishes(ink, theme, [span], scale=scale, top=middle - 9, line=18.0, px=TEXT_PX)

    return (
        Item(28, tr("a wish for the season that is kept"), partial(wish, is_kept=True)),
        Item(28, tr("a wish for the season that is missed"), partial(wish, is_kept=False)),
        Item(26, tr("planting day of bulbs, of plants on top"), planted),
        Item(10, tr("something was seen on that day"), seen),
        Item(10, tr("the day looked at"), day),
        Item(10, tr("today"), today),
    )


def _of_yard(theme: Theme) -> tuple[Item, ...]:
    def sign(text: str) -> PaintSign:
        def paint(ink: Ink, x: float, middle: float) -> None:
            font = QFont(ink.painter.font())
            font.setPixelSize(TEXT_PX)
            ink.painter.setFont(font)
            ink.painter.setPen(QColor(theme.muted))
            box = QRectF(x, middle - 9, 44, 18)
            flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
            ink.painter.drawText(box, flags, text)

        return paint

    return (
        Item(18, tr("bulbs in a layer"), sign("36")),
        Item(22, tr("bulbs yet to be planted"), sign("(36)")),
        Item(22, tr("something to mend: see the details"), sign("36 !")),
        Item(26, tr("no flowers expected"), sign("36 ∅")),
    )
