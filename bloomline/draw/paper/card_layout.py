"""Lays a planting card out on pages: A5 to carry about, A4 and Letter with more to read.

The order is that of the work: what to heed, what to have ready, the steps from the bottom up
with each layer's plan beside its words, and where the pot goes afterwards. A step is never
broken over two pages.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from bloomline.draw.base.ink import Ruler
from bloomline.draw.paper.card_cut import cut_block
from bloomline.draw.paper.card_items import (
    Block,
    FrameItem,
    Item,
    LineItem,
    PlanItem,
    TextItem,
    stacked,
)
from bloomline.draw.paper.card_text import Piece, styled
from bloomline.draw.paper.card_type import Typist
from bloomline.draw.pot.layout import PotCut
from bloomline.plan.paper.card import CardLayer, PlantingCard

CardPaper = Literal["a5", "a4", "letter"]

# Ways to lay a card out, the best to read first: size of letters, size of plans, with reasons.
# The first that needs no page more than the last, closest one is taken.
_WAYS = (
    (1.14, 1.0, True),
    (1.07, 1.0, True),
    (1.0, 1.0, True),
    (0.96, 1.0, True),
    (0.92, 1.0, True),
    (1.0, 0.82, True),
    (0.92, 0.76, True),
    (1.07, 1.0, False),
    (1.0, 0.82, False),
    (0.92, 0.76, False),
)
_WIDE = 2.1  # a cutaway wider than so many times its height gets the whole width
_VERY_LONG = 3.5  # a level so many times as long as wide is drawn below its words
_LEAST_LAST = 0.22  # share of a page that the last one holds at least
_FOOT_NOTE = (
    "A forecast, not a promise: in eight years of ten the first flower opens within the "
    "days in brackets."
)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A paper's sizes. [0.1 mm] `is_roomy`: there is room for reasons."""

    width: float
    height: float
    margin: float
    title_px: int
    text_px: int
    left: float
    picture: float
    plan: float
    long_plan: float
    is_roomy: bool

    @property
    def room(self) -> float:
        """Width between the margins."""
        return self.width - 2.0 * self.margin

    def scaled(self, letters: float, plans: float, *, with_reasons: bool) -> Sheet:
        """The same paper with other letters and plans."""
        return replace(
            self,
            text_px=round(letters * self.text_px),
            plan=plans * self.plan,
            long_plan=plans * self.long_plan,
            is_roomy=self.is_roomy and with_reasons,
        )


# ISO 216 for A5 and A4; Letter is 8.5 by 11 inches.
SHEETS: dict[CardPaper, Sheet] = {
    "a5": Sheet(1480.0, 2100.0, 85.0, 72, 37, 650.0, 560.0, 255.0, 420.0, False),
    "a4": Sheet(2100.0, 2970.0, 120.0, 100, 43, 930.0, 860.0, 400.0, 700.0, True),
    "letter": Sheet(2159.0, 2794.0, 120.0, 100, 43, 950.0, 800.0, 390.0, 720.0, True),
}


def card_items(
    card: PlantingCard, cut: PotCut, *, paper: CardPaper, ruler: Ruler
) -> tuple[tuple[Item, ...], ...]:
    """What stands on each page of a card, in tenths of a millimetre."""

    def pages(way: tuple[float, float, bool]) -> list[list[Item]]:
        letters, plans, with_reasons = way
        sheet = SHEETS[paper].scaled(letters, plans, with_reasons=with_reasons)
        return _Layout(card, cut, sheet, ruler).pages()

    ways = [way for way in _WAYS if way[2] or SHEETS[paper].is_roomy]
    found = pages(ways[0])
    if len(found) > 1:
        closest = pages(ways[-1])
        for way in ways[1:-1]:
            if len(found) <= len(closest):
                break
            found = pages(way)
        if len(found) > len(closest):
            found = closest
    return tuple(tuple(page) for page in found)


class _Layout(Typist):
    """One way to lay a card out."""

    def __init__(self, card: PlantingCard, cut: PotCut, sheet: Sheet, ruler: Ruler) -> None:
        names = (*dict.fromkeys(layer.name for layer in card.layers), *card.names)
        super().__init__(ruler, px=sheet.text_px, names=names, with_reasons=sheet.is_roomy)
        self.card, self.cut, self.sheet = card, cut, sheet
        steps = len(card.before) + len(card.layers) + len(card.after)
        self.indent = ruler.width(f"{steps}.", self.px, bold=True) + 0.45 * self.px

    # Parts

    def title(self, *, is_first: bool) -> Block:
        """The pot's name, whole: on two lines or smaller if it must be."""
        # The page's number stands at the end of the name's line, or of the last small one.
        aside = self.ruler.width("9 of 9", round(0.84 * self.px)) + 0.7 * self.px
        room = self.sheet.room - (0.0 if is_first else aside)
        full = self.sheet.title_px if is_first else round(0.62 * self.sheet.title_px)
        block = Block((), 0.0)
        for share in (1.0, 0.84, 0.7, 0.6):
            px = round(full * share)
            block = self.text((Piece(self.card.title, bold=True),), room=room, px=px)
            if block.height <= 2.0 * 1.25 * px + 1.0:
                break
        if not is_first:
            return stacked((block, self.space(0.9)))
        small = round(0.84 * self.px)
        return stacked(
            (
                block,
                self.text(self.card.measures, room=room, px=small),
                self.text(self.card.about, room=room - aside, px=small, tone="muted"),
                self.space(0.7),
            )
        )

    def cautions(self, *, room: float) -> Block:
        """What to heed, framed; nothing where there is nothing."""
        if not self.card.cautions:
            return Block((), 0.0)
        pad = 0.6 * self.px
        inner = room - 2.0 * pad
        body = stacked(
            (
                self.head("First of all", room=inner),
                *self.points(self.card.cautions, room=inner),
            )
        )
        height = body.height + 2.0 * pad - 0.2 * self.px
        return Block((FrameItem((0.0, 0.0, room, height)), *body.at(pad, pad)), height)

    def ready(self, *, room: float) -> Block:
        """What to have at hand."""
        return stacked(
            (self.head("Have ready", room=room), *self.points(self.card.ready, room=room))
        )

    def opening(self) -> Iterator[Block]:
        """Cautions, cutaway and what to have ready: side by side, or else below one another."""
        sheet = self.sheet
        if not self.card.layers:
            yield self.text((Piece(self.card.missing, bold=True),), room=sheet.room)
            yield self.space(0.8)
            yield self._cut(width=sheet.left)
            return
        is_wide = 2.0 * self.cut.outer_half_cm > _WIDE * self.cut.foot_cm
        if is_wide:
            yield from self._framed_or_flowing()
            yield self._cut(width=sheet.room)
            yield self.space(0.4)
            yield stacked((self.ready(room=sheet.room), self.space(0.4)))
            return
        picture = stacked(
            (self._cut(width=sheet.left), self.space(0.5), self.ready(room=sheet.left))
        )
        between = 0.9 * self.px
        cautions = self.cautions(room=sheet.room - sheet.left - between)
        if cautions.height <= max(picture.height, 0.45 * sheet.height):
            yield self._beside(cautions, picture, x=sheet.room - sheet.left)
            return
        yield from self._framed_or_flowing()
        left = 0.58 * sheet.room
        ready = self.ready(room=sheet.room - left - between)
        yield self._beside(self._cut(width=left), ready, x=left + between)

    def _beside(self, left: Block, right: Block, *, x: float) -> Block:
        height = max(left.height, right.height) + 0.6 * self.px
        return Block((*left.items, *right.at(x, 0.0)), height)

    def _cut(self, *, width: float) -> Block:
        sheet = self.sheet
        return cut_block(
            self.card, self.cut, self.ruler, px=self.px, width=width, height=sheet.picture
        )

    def _framed_or_flowing(self) -> Iterator[Block]:
        """Cautions over the whole width; those that fill a page run on without their frame."""
        whole = self.cautions(room=self.sheet.room)
        if whole.height <= 0.6 * self.sheet.height:
            yield stacked((whole, self.space(0.7)))
            return
        yield self.head("First of all", room=self.sheet.room)
        yield from self.points(self.card.cautions, room=self.sheet.room)

    def steps(self) -> Iterator[Block]:
        """The work, a step a block."""
        if not self.card.layers:
            return
        room = self.sheet.room - self.indent
        yield self.head("In order of work", room=self.sheet.room)
        number = 0
        for each in self.card.before:
            number += 1
            yield self._step(number, self.told(each, room=room, x=self.indent))
        for layer in self.card.layers:
            number += 1
            yield self._layer(number, layer)
        for each in self.card.after:
            number += 1
            yield self._step(number, self.told(each, room=room, x=self.indent))

    def _step(self, number: int, block: Block) -> Block:
        block = self.marked(f"{number}.", block)
        return Block(block.items, block.height + 0.3 * self.px)

    def plan_room(self) -> tuple[float, float, bool]:
        """Scale of all plans of a card, their width, and whether they lie below the words.

        The scale is tenths of a millimetre to a centimetre.
        """
        sections = [layer.section for layer in self.card.layers]
        longest = max(each.length_cm for each in sections)
        widest = max(each.width_cm for each in sections)
        is_below = longest > _VERY_LONG * widest
        if is_below:
            across, high = self.sheet.room - self.indent, 0.75 * self.sheet.plan
        else:
            across = self.sheet.plan if longest < 1.2 * widest else self.sheet.long_plan
            high = self.sheet.plan
        scale = min(across / longest, high / widest)
        return scale, longest * scale, is_below

    def _layer(self, number: int, layer: CardLayer) -> Block:
        """A layer: a fine line, its words, and its plan on their right or below them."""
        scale, across, is_below = self.plan_room()
        room = self.sheet.room - self.indent
        if not is_below:
            room -= across + 0.8 * self.px
        head = round(1.08 * self.px)
        name = (
            Piece(f"{layer.letter}: ", bold=True),
            *styled(layer.name, self.names, bold=True),
        )
        words = stacked(
            (
                self.text(name, room=room, x=self.indent, px=head),
                *(self.told(each, room=room, x=self.indent) for each in layer.work),
                self.text(
                    styled(layer.expected, self.names),
                    room=room,
                    x=self.indent,
                    px=round(0.86 * self.px),
                    tone="muted",
                ),
            )
        )
        pad = 0.3 * self.px
        deep = layer.section.width_cm * scale
        top, left = pad, self.sheet.room - across
        if is_below:
            top, left = words.height + 1.5 * pad, self.indent
        plan = PlanItem(layer, left + across / 2.0, top + deep / 2.0, scale)
        line = LineItem(0.0, 0.0, self.sheet.room, 0.0, width=1.5, tone="faint")
        items = self.marked(f"{number}.", words, px=head).at(0.0, pad)
        height = max(words.height + pad, top + deep) + pad
        return Block((line, *items, plan), height)

    def afterwards(self) -> Iterator[Block]:
        """Where the pot goes, and what the dates are worth."""
        room = self.sheet.room
        if self.card.standing:
            yield self.head("Afterwards", room=room)
            yield from self.points(self.card.standing, room=room)
        if any("Opens" in layer.expected for layer in self.card.layers):
            yield self.text(_FOOT_NOTE, room=room, px=round(0.8 * self.px), tone="muted")

    # Pages

    def pages(self) -> list[list[Item]]:
        """The blocks on as many pages as they need."""
        titles = self.title(is_first=True), self.title(is_first=False)
        units = list(_bound((*self.opening(), *self.steps(), *self.afterwards())))
        rooms = [self.sheet.height - 2.0 * self.sheet.margin - each.height for each in titles]
        groups = _filled(units, first=rooms[0], others=rooms[1])
        pages: list[list[Item]] = []
        for number, group in enumerate(groups):
            title = titles[min(number, 1)]
            x, y = self.sheet.margin, self.sheet.margin
            items = list(title.at(x, y))
            y += title.height
            for unit in group:
                items += unit.at(x, y)
                y += unit.height
            if len(groups) > 1:
                items.append(self._number(number + 1, len(groups), title, is_first=number == 0))
            pages.append(items)
        return pages

    def _number(self, page: int, pages: int, title: Block, *, is_first: bool) -> TextItem:
        text, px = f"{page} of {pages}", round(0.84 * self.px)
        wide = self.ruler.width(text, px)
        lines = [item.baseline for item in title.items if isinstance(item, TextItem)]
        last = max(lines) if is_first else min(lines)
        right = self.sheet.margin + self.sheet.room
        return TextItem(right - wide, self.sheet.margin + last, text, px, wide, tone="muted")


def _bound(blocks: Iterable[Block]) -> Iterator[Block]:
    """Blocks, each heading joined to what follows it."""
    held: list[Block] = []
    for block in blocks:
        held.append(block)
        if not block.keeps:
            yield stacked(held)
            held = []
    if held:
        yield stacked(held)


def _filled(units: Sequence[Block], *, first: float, others: float) -> list[list[Block]]:
    """Fill pages with blocks; the last page is not left with a line or two."""
    groups: list[list[Block]] = [[]]
    left = first
    for unit in units:
        if groups[-1] and unit.height > left:
            groups.append([])
            left = others
        groups[-1].append(unit)
        left -= unit.height
    if len(groups) > 1:
        before, last = groups[-2:]
        while len(before) > 2 and sum(each.height for each in last) < _LEAST_LAST * others:
            last.insert(0, before.pop())
    return groups
