"""Sets the text of a card: paragraphs, headings and points, as blocks of placed pieces."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

from bloomline.draw.base.ink import Ruler
from bloomline.draw.paper.card_items import Block, Item, TextItem
from bloomline.draw.paper.card_text import Piece, styled, wrap
from bloomline.plan.paper.card_words import CardSentence

LEADING = 1.2  # from line to line, of the letters' size


class Typist:
    """Sets text in letters of `px` tenths of a millimetre; `names` are plants it may name."""

    def __init__(self, ruler: Ruler, *, px: int, names: tuple[str, ...]) -> None:
        self.ruler, self.px, self.names = ruler, px, names

    def text(
        self,
        pieces: Sequence[Piece] | str,
        *,
        room: float,
        px: int | None = None,
        x: float = 0.0,
        tone: Literal["ink", "muted"] = "ink",
    ) -> Block:
        """A paragraph; its first line begins at the top."""
        size = px or self.px
        given = (Piece(pieces),) if isinstance(pieces, str) else pieces
        lines = wrap(
            given, room=room, measure=lambda text, bold: self.ruler.width(text, size, bold=bold)
        )
        items: list[Item] = []
        for number, line in enumerate(lines):
            at = x
            for piece in line:
                wide = self.ruler.width(piece.text, size, bold=piece.bold)
                baseline = (0.96 + LEADING * number) * size
                items.append(
                    TextItem(at, baseline, piece.text, size, wide, piece.bold, piece.italic, tone)
                )
                at += wide
        return Block(tuple(items), LEADING * size * len(lines))

    def told(self, told: CardSentence, *, room: float, x: float = 0.0) -> Block:
        """A sentence."""
        return self.text(styled(told.text, self.names, strong=told.strong), room=room, x=x)

    def marked(self, mark: str, block: Block, *, px: int | None = None) -> Block:
        """A block with its number or point before the first line, which is `px` high."""
        wide = self.ruler.width(mark, self.px, bold=True)
        item = TextItem(0.0, 0.96 * (px or self.px), mark, self.px, wide, bold=True)
        return Block((item, *block.items), block.height)

    def head(self, text: str, *, room: float) -> Block:
        """A heading that stays with what follows."""
        block = self.text((Piece(text, bold=True),), room=room, px=round(1.08 * self.px))
        return Block(block.items, block.height + 0.15 * self.px, keeps=True)

    def points(self, told: Iterable[CardSentence], *, room: float) -> Iterator[Block]:
        """Sentences with a point each."""
        inset = 0.7 * self.px
        for each in told:
            block = self.marked("•", self.told(each, room=room - inset, x=inset))
            yield Block(block.items, block.height + 0.2 * self.px)

    def space(self, share: float) -> Block:
        """Nothing, so many letters high."""
        return Block((), share * self.px)
