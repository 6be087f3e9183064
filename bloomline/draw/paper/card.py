"""Planting cards on pages, and their painter. The painter's unit is a tenth of a millimetre."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPen

from bloomline.draw.base.ink import Ink, Ruler
from bloomline.draw.base.petals import LIGHT
from bloomline.draw.base.qt import painting_font
from bloomline.draw.paper.card_items import CutItem, FrameItem, Item, LineItem, PlanItem, TextItem
from bloomline.draw.paper.card_layout import set_items
from bloomline.draw.paper.card_sheets import SHEETS, CardPaper, Pages
from bloomline.draw.pot.layout import cut_pot
from bloomline.draw.pot.picture import paint_pot
from bloomline.draw.pot.plan_picture import paint_plan
from bloomline.model.yard import Pot
from bloomline.plan.paper.card import PlantingCard, card_notes
from bloomline.plan.pot.fitting import CultivarOf

CARD_PAPER_MM: dict[CardPaper, tuple[float, float]] = {
    paper: (sheet.width / 10.0, sheet.height / 10.0) for paper, sheet in SHEETS.items()
}
_TONES = {"ink": "#161A17", "muted": "#4A4F48", "faint": "#9AA096"}
_BULB = "#D9D2C2"


@dataclass(frozen=True, slots=True)
class CardPage:
    """One page of a pot's card, laid out; without a card the last sheet of a set."""

    card: PlantingCard | None
    paper: CardPaper
    cultivar_of: CultivarOf
    items: tuple[Item, ...]
    page: int
    pages: int

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the paper. [mm]"""
        return CARD_PAPER_MM[self.paper]


def card_pages(
    cards: Sequence[PlantingCard], *, paper: CardPaper = "a5", cultivar_of: CultivarOf
) -> tuple[CardPage, ...]:
    """Lay cards out, each on a page of its own, and their reasons on a last sheet.

    What doesn't fit on a page runs over onto more.
    """
    cuts = [(card, cut_pot(card.pot, cultivar_of=cultivar_of)) for card in cards]
    notes = card_notes(tuple(cards))
    made, last = set_items(cuts, notes, paper=paper, ruler=Ruler(painting_font()))
    of_cards: list[tuple[PlantingCard | None, Pages]] = [*zip(cards, made, strict=True)]
    if last:
        of_cards.append((None, last))
    return tuple(
        CardPage(card, paper, cultivar_of, items, number, len(pages))
        for card, pages in of_cards
        for number, items in enumerate(pages, start=1)
    )


def paint_card(ink: Ink, page: CardPage) -> None:
    """Paint one page."""
    painter = ink.painter
    for item in page.items:
        if isinstance(item, TextItem):
            ink.text(
                item.x,
                item.baseline,
                item.text,
                item.px,
                _TONES[item.tone],
                bold=item.bold,
                italic=item.italic,
            )
        elif isinstance(item, LineItem):
            painter.setPen(QPen(QColor(_TONES[item.tone]), item.width))
            painter.drawLine(QLineF(item.x0, item.y0, item.x1, item.y1))
        elif isinstance(item, FrameItem):
            left, top, right, bottom = item.rect
            painter.setPen(QPen(QColor(_TONES["ink"]), 5.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(left, top, right - left, bottom - top), 14.0, 14.0)
        elif isinstance(item, PlanItem):
            _paint_plan(ink, item)
        elif page.card is not None:
            _paint_cut(ink, page.card.pot, item, page.cultivar_of)


def _paint_cut(ink: Ink, pot: Pot, item: CutItem, cultivar_of: CultivarOf) -> None:
    painter = ink.painter
    cut = cut_pot(pot, cultivar_of=cultivar_of)
    painter.save()
    painter.translate(item.x, item.y)
    paint_pot(painter, cut, pot=pot, scale=item.scale, theme=LIGHT)
    painter.restore()


def _paint_plan(ink: Ink, item: PlanItem) -> None:
    layer = item.layer
    # Small bulbs have a thinner line, so that they stay rings.
    line = min(2.5, 0.16 * layer.bulb_diameter_cm * item.scale)
    paint_plan(
        ink.painter,
        layer.section,
        layer.positions_cm,
        bulb_diameter_cm=layer.bulb_diameter_cm,
        centre=QPointF(item.x, item.y),
        scale=item.scale,
        wall=(QPen(QColor(_TONES["ink"]), 4.0), QBrush(QColor("#FFFFFF"))),
        bulb=(QPen(QColor(_TONES["ink"]), line), QBrush(QColor(_BULB))),
    )
