"""Lays planting cards out on pages: A5 to carry about, A4 and Letter for eyes that like it large.

The order is that of the work: what to heed, what to have ready, then a section for each day of
planting with its steps from the bottom up and each layer's plan beside its words, and where the
pot goes afterwards. A step is never broken over two pages. A set of cards has letters of one
size; its reasons stand once, on a last sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from bloomline.draw.base.ink import Ruler
from bloomline.draw.paper.card_cut import cut_block
from bloomline.draw.paper.card_items import Block, FrameItem, LineItem, PlanItem, stacked
from bloomline.draw.paper.card_sheets import SHEETS, CardPaper, Pages, Sheet, on_pages
from bloomline.draw.paper.card_text import Piece, styled
from bloomline.draw.paper.card_type import LEADING, Typist
from bloomline.draw.pot.layout import PotCut
from bloomline.plan.paper.card import CardNote, PlantingCard
from bloomline.plan.paper.card_days import CardLayer

NOTES_TITLE = "Cautions and reasons"
# Ways to lay a set out, the best to read first: size of letters, of plans, of the pot cut open.
# The first that needs no page more than any other is taken for all its cards.
_WAYS = (
    (1.1, 1.0, 1.0),
    (1.0, 1.0, 1.0),
    (1.0, 0.8, 0.8),
    (0.96, 0.8, 0.75),
    (0.92, 0.8, 0.6),
)
_WIDE = 2.1  # a cutaway wider than so many times its height gets the whole width
_VERY_LONG = 3.5  # a level so many times as long as wide is drawn below its words


def set_items(
    cards: Sequence[tuple[PlantingCard, PotCut]],
    notes: Sequence[CardNote],
    *,
    paper: CardPaper,
    ruler: Ruler,
) -> tuple[tuple[Pages, ...], Pages]:
    """What stands on each page of each card, and on the last sheets. [0.1 mm]"""
    best: tuple[list[Pages], Pages] | None = None
    fewest = 0
    for way in _WAYS:
        sheet = SHEETS[paper].scaled(*way)
        made = [_Layout(card, cut, sheet, ruler).pages() for card, cut in cards]
        last = notes_items([card for card, _ in cards], notes, sheet=sheet, ruler=ruler)
        count = sum(len(pages) for pages in made)
        if best is None or count < fewest:
            best, fewest = (made, last), count
        if count == len(cards):
            break
    return (tuple(best[0]), best[1]) if best is not None else ((), ())


def notes_items(
    cards: Sequence[PlantingCard], notes: Sequence[CardNote], *, sheet: Sheet, ruler: Ruler
) -> Pages:
    """The last sheets of a set: reasons, each once, under the headings of their topics."""
    if not notes:
        return ()
    names = tuple(dict.fromkeys(name for card in cards for name in card.names))
    typist = Typist(ruler, px=sheet.text_px, names=names)
    room = sheet.room

    def title() -> Block:
        return stacked(
            (
                typist.text((Piece(NOTES_TITLE, bold=True),), room=room, px=sheet.title_px),
                typist.text(
                    cards[0].about, room=room, px=round(0.84 * sheet.text_px), tone="muted"
                ),
                typist.space(0.7),
            )
        )

    blocks: list[Block] = []
    for at, note in enumerate(notes):
        if at == 0 or notes[at - 1].topic != note.topic:
            blocks.append(typist.head(note.topic, room=room))
        lead = (Piece(f"{note.pots}: ", bold=True),) if note.pots else ()
        inset = 0.7 * sheet.text_px
        text = typist.text((*lead, *styled(note.text, typist.names)), room=room - inset, x=inset)
        point = typist.marked("•", text)
        blocks.append(Block(point.items, point.height + 0.2 * sheet.text_px))
    return on_pages(blocks, (title(), title()), sheet=sheet, typist=typist)


class _Layout(Typist):
    """One way to lay a card out."""

    def __init__(self, card: PlantingCard, cut: PotCut, sheet: Sheet, ruler: Ruler) -> None:
        names = (*dict.fromkeys(layer.name for layer in card.layers), *card.names)
        super().__init__(ruler, px=sheet.text_px, names=names)
        self.card, self.cut, self.sheet = card, cut, sheet
        steps = sum(len(day.steps) for day in card.days)
        self.head_px = round(1.08 * self.px)
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
            if block.height <= 2.0 * LEADING * px + 1.0:
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
        if not self.card.days:
            yield self.text((Piece(self.card.missing, bold=True),), room=sheet.room)
            yield self.space(0.8)
            yield self._cut(width=sheet.left)
            return
        between = 0.9 * self.px
        if 2.0 * self.cut.outer_half_cm <= _WIDE * self.cut.foot_cm:
            picture = stacked(
                (self._cut(width=sheet.left), self.space(0.4), self.ready(room=sheet.left))
            )
            cautions = self.cautions(room=sheet.room - sheet.left - between)
            if cautions.height <= max(picture.height, 0.4 * sheet.height):
                yield self._beside(cautions, picture, x=sheet.room - sheet.left)
                return
        yield from self._framed_or_flowing()
        left = 0.66 * sheet.room
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
        """The work, day by day, a step a block."""
        room = self.sheet.room - self.indent
        number = 0
        for day in self.card.days:
            head = self._day_head(day.head)
            steps: list[Block] = []
            for each in day.steps:
                number += 1
                if isinstance(each, CardLayer):
                    steps.append(self._layer(number, each))
                else:
                    steps.append(self._step(number, self.told(each, room=room, x=self.indent)))
            # A later day has a page for itself rather than being broken.
            is_later = day is not self.card.days[0]
            whole = head.height + sum(each.height for each in steps) if is_later else 0.0
            yield replace(head, whole=whole)
            yield from steps

    def _day_head(self, text: str) -> Block:
        """A day of planting, under a firm line."""
        pad = 0.25 * self.px
        block = self.text((Piece(text, bold=True),), room=self.sheet.room, px=round(1.2 * self.px))
        line = LineItem(0.0, pad, self.sheet.room, pad, width=5.0)
        height = block.height + 2.0 * pad
        return Block((line, *block.at(0.0, 1.6 * pad)), height + 0.6 * pad, keeps=True)

    def _step(self, number: int, block: Block) -> Block:
        block = self.marked(f"{number}.", block)
        return Block(block.items, block.height + 0.22 * self.px)

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
        name = (
            Piece(f"{layer.letter}: ", bold=True),
            *styled(layer.name, self.names, bold=True),
        )
        work = [
            piece
            for at, each in enumerate(layer.work)
            for piece in (
                *((Piece(" "),) if at else ()),
                *styled(each.text, self.names, strong=each.strong),
            )
        ]
        words = stacked(
            (
                self.text(name, room=room, x=self.indent, px=self.head_px),
                self.text(
                    (Piece(layer.mark, bold=True),), room=room, x=self.indent, px=self.sheet.key_px
                ),
                self.text(work, room=room, x=self.indent),
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
        items = self.marked(f"{number}.", words, px=self.head_px).at(0.0, pad)
        height = max(words.height + pad, top + deep) + pad
        return Block((line, *items, plan), height)

    def afterwards(self) -> Iterator[Block]:
        """Where the pot goes."""
        room = self.sheet.room
        if self.card.standing:
            yield self.head("Afterwards", room=room)
            yield from self.points(self.card.standing, room=room)

    def pages(self) -> Pages:
        """The blocks on as many pages as they need."""
        titles = self.title(is_first=True), self.title(is_first=False)
        blocks = (*self.opening(), *self.steps(), *self.afterwards())
        return on_pages(blocks, titles, sheet=self.sheet, typist=self)
