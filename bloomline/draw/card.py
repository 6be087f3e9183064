"""Paints planting cards. Laid out for A5 in tenths of a millimetre; larger paper scales it up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QLineF, QPointF
from PySide6.QtGui import QBrush, QColor, QImage, QPainter, QPen

from bloomline.draw.ink import Ink
from bloomline.draw.names import wrapped
from bloomline.draw.petals import LIGHT
from bloomline.draw.plan_picture import paint_plan
from bloomline.draw.pot_layout import cut_pot
from bloomline.draw.pot_picture import paint_pot
from bloomline.draw.qt import painting_font
from bloomline.plan.card import Card
from bloomline.plan.fitting import CultivarOf

CardPaper = Literal["a5", "a4", "letter"]
CARD_PAPER_MM: dict[CardPaper, tuple[float, float]] = {
    "a5": (148.0, 210.0),
    "a4": (210.0, 297.0),
    "letter": (215.9, 279.4),
}
_PAGE = (1480.0, 2100.0)
_MARGIN = 90.0
_INK = "#161A17"
_MUTED = "#4A4F48"
_TEXT = 37  # 10.5 point on A5
_LINE = 47.0
_PICTURE_TOP, _PICTURE_WIDTH = 270.0, 700.0
_LOWEST_PICTURE, _HIGHEST_PICTURE = 470.0, 640.0
_RULER, _MARKS = 95.0, 190.0
_HANG = 42.0


@dataclass(frozen=True, slots=True)
class Line:
    """A line of text on a card."""

    text: str
    is_bold: bool = False
    indent: float = 0.0


@dataclass(frozen=True, slots=True)
class CardPage:
    """One page of a pot's card: pictures on the first, text that is left on the next."""

    card: Card
    paper: CardPaper
    cultivar_of: CultivarOf
    lines: tuple[Line, ...]
    page: int
    pages: int
    picture_height: float

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the paper. [mm]"""
        return CARD_PAPER_MM[self.paper]


def card_pages(
    cards: Sequence[Card], *, paper: CardPaper = "a5", cultivar_of: CultivarOf
) -> tuple[CardPage, ...]:
    """Lay cards out, a pot a page; text that doesn't fit runs over onto another page."""
    family = painting_font()
    image = QImage(1, 1, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    try:
        ink = Ink(painter, family)
        pages: list[CardPage] = []
        for card in cards:
            high = _picture_height(card, cultivar_of)
            chunks = list(_chunks(list(_lines(card, ink)), top=_PICTURE_TOP + high + 60.0))
            pages += [
                CardPage(card, paper, cultivar_of, chunk, number, len(chunks), high)
                for number, chunk in enumerate(chunks, start=1)
            ]
        return tuple(pages)
    finally:
        painter.end()


def _cut_scale(half_cm: float, foot_cm: float) -> float:
    """Tenths of a millimetre of the card to a centimetre of the pot."""
    room = _PICTURE_WIDTH - _RULER - _MARKS
    return min(room / (2.0 * half_cm), _HIGHEST_PICTURE / foot_cm)


def _picture_height(card: Card, cultivar_of: CultivarOf) -> float:
    cut = cut_pot(card.pot, cultivar_of=cultivar_of)
    high = cut.foot_cm * _cut_scale(cut.outer_half_cm, cut.foot_cm)
    return min(max(high, _LOWEST_PICTURE), _HIGHEST_PICTURE)


def _chunks(lines: list[Line], *, top: float) -> Iterator[tuple[Line, ...]]:
    while True:
        room = int((_PAGE[1] - _MARGIN - 40.0 - top) // _LINE)
        yield tuple(lines[:room])
        lines = lines[room:]
        if not lines:
            return
        top = _PICTURE_TOP


def _lines(card: Card, ink: Ink) -> Iterator[Line]:
    width = _PAGE[0] - 2 * _MARGIN

    def block(head: str, texts: Sequence[str], *, numbered: bool) -> Iterator[Line]:
        if not texts:
            return
        yield Line(head, is_bold=True)
        for number, text in enumerate(texts, start=1):
            mark = f"{number}. " if numbered else "• "
            room = width - _HANG
            parts = wrapped(text, room=room, most_lines=12, measure=lambda t: ink.width(t, _TEXT))
            for at, part in enumerate(parts):
                yield Line(mark + part if at == 0 else part, indent=0.0 if at == 0 else _HANG)

    yield from block("First of all", card.cautions, numbered=False)
    yield from block("In order of work", card.steps, numbered=True)
    yield from block("Expected (a forecast, not a promise)", card.expected, numbered=False)


def paint_card(ink: Ink, page: CardPage) -> None:
    """Paint one page; the painter's unit is a tenth of a millimetre."""
    painter = ink.painter
    width, height = page.size_mm
    scale = min(width * 10 / _PAGE[0], height * 10 / _PAGE[1])
    painter.save()
    painter.translate((width * 10 - _PAGE[0] * scale) / 2.0, 0.0)
    painter.scale(scale, scale)
    card = page.card
    room = _PAGE[0] - 2 * _MARGIN
    ink.text(_MARGIN, 150, ink.fitted(card.title, 72, room, bold=True), 72, _INK, bold=True)
    ink.text(_MARGIN, 205, ink.fitted(card.about, 32, room - 160), 32, _MUTED)
    if page.pages > 1:
        right = _PAGE[0] - _MARGIN
        ink.text(right, 205, f"{page.page} of {page.pages}", 32, _MUTED, align="right")
    top = _PICTURE_TOP
    if page.page == 1:
        _paint_cut(ink, page)
        _paint_plans(ink, card, page.picture_height)
        top += page.picture_height + 60.0
    y = top
    for line in page.lines:
        y += _LINE
        ink.text(_MARGIN + line.indent, y, line.text, _TEXT, _INK, bold=line.is_bold)
    painter.restore()


def _paint_cut(ink: Ink, page: CardPage) -> None:
    """The pot cut open, with a ruler from the rim and a mark for every layer."""
    painter, card = ink.painter, page.card
    cut = cut_pot(card.pot, cultivar_of=page.cultivar_of)
    scale = _cut_scale(cut.outer_half_cm, cut.foot_cm)
    left = _MARGIN + _RULER
    centre = left + cut.outer_half_cm * scale
    painter.save()
    painter.translate(centre, _PICTURE_TOP)
    paint_pot(painter, cut, pot=card.pot, scale=scale, theme=LIGHT)
    painter.restore()
    painter.setPen(QPen(QColor(_INK), 3.0))
    x = left - 18.0
    floor = int(cut.floor_cm)
    painter.drawLine(QLineF(x, _PICTURE_TOP, x, _PICTURE_TOP + cut.floor_cm * scale))
    every = 5 if floor <= 60 else 10
    for cm in range(floor + 1):
        y = _PICTURE_TOP + cm * scale
        long = cm % every == 0
        if long or scale > 6.0:
            painter.drawLine(QLineF(x - (26.0 if long else 12.0), y, x, y))
        if long:
            ink.text(x - 32.0, y + 10.0, f"{cm}", 28, _INK, align="right")
    right = centre + cut.outer_half_cm * scale
    lowest = -1e9
    for layer in reversed(card.layers):
        y = _PICTURE_TOP + layer.base_cm * scale
        painter.setPen(QPen(QColor(_INK), 3.0))
        painter.drawLine(QLineF(centre - cut.half_at(layer.base_cm) * scale, y, right + 14.0, y))
        lowest = max(y + 12.0, lowest + 38.0)
        painter.drawLine(QLineF(right + 14.0, y, right + 34.0, lowest - 12.0))
        ink.text(
            right + 40.0, lowest, f"{layer.letter}  {layer.base_cm:.0f} cm", 36, _INK, bold=True
        )


def _paint_plans(ink: Ink, card: Card, height: float) -> None:
    """Each layer seen from above, to one scale, in order of work."""
    if not card.layers:
        return
    left = _MARGIN + _PICTURE_WIDTH + 30.0
    width = _PAGE[0] - _MARGIN - left
    columns = 1 if len(card.layers) <= 2 else 2
    rows = -(-len(card.layers) // columns)
    cell_w, cell_h = width / columns, height / rows
    widest = max(layer.section.length_cm for layer in card.layers)
    deepest = max(layer.section.width_cm for layer in card.layers)
    scale = min((cell_w - 20.0) / widest, (cell_h - 70.0) / deepest)
    for place, layer in enumerate(card.layers):
        column, row = place % columns, place // columns
        centre = QPointF(
            left + (column + 0.5) * cell_w,
            _PICTURE_TOP + row * cell_h + (cell_h - 65.0) / 2.0,
        )
        paint_plan(
            ink.painter,
            layer.section,
            layer.positions_cm,
            bulb_diameter_cm=layer.bulb_diameter_cm,
            centre=centre,
            scale=scale,
            wall=(QPen(QColor(_INK), 4.0), QBrush(QColor("#FFFFFF"))),
            bulb=(QPen(QColor(_INK), 2.5), QBrush(QColor("#D9D2C2"))),
        )
        below = centre.y() + layer.section.width_cm * scale / 2.0 + 42.0
        ink.text(
            centre.x(),
            below,
            f"plan {layer.letter}: {layer.count}",
            36,
            _INK,
            bold=True,
            align="centre",
        )
