"""Papers for planting cards, their sizes of type, and blocks put on as many pages as they need."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from bloomline.draw.paper.card_items import Block, Item, TextItem, stacked
from bloomline.draw.paper.card_type import Typist

CardPaper = Literal["a5", "a4", "letter"]
_LEAST_LAST = 0.22  # share of a page that the last one holds at least


@dataclass(frozen=True, slots=True)
class Sheet:
    """A paper's sizes. [0.1 mm] `key_px` : letters of what is read at an arm's length."""

    width: float
    height: float
    margin: float
    title_px: int
    key_px: int
    text_px: int
    left: float
    picture: float
    plan: float
    long_plan: float

    @property
    def room(self) -> float:
        """Width between the margins."""
        return self.width - 2.0 * self.margin

    def scaled(self, letters: float, plans: float, picture: float) -> Sheet:
        """The same paper with other letters and plans; what is read from afar stays large."""
        return replace(
            self,
            text_px=round(letters * self.text_px),
            picture=picture * self.picture,
            plan=plans * self.plan,
            long_plan=plans * self.long_plan,
        )


# ISO 216 for A5 and A4; Letter is 8.5 by 11 inches. A point is 1/72 inch, 3.53 of these units:
# key figures have 16 points on A5 and 20 on larger paper.
SHEETS: dict[CardPaper, Sheet] = {
    "a5": Sheet(1480.0, 2100.0, 85.0, 64, 57, 38, 650.0, 430.0, 255.0, 420.0),
    "a4": Sheet(2100.0, 2970.0, 120.0, 92, 72, 48, 930.0, 640.0, 400.0, 700.0),
    "letter": Sheet(2159.0, 2794.0, 120.0, 92, 72, 48, 950.0, 580.0, 390.0, 720.0),
}

Pages = tuple[tuple[Item, ...], ...]


def on_pages(
    blocks: Iterable[Block], titles: tuple[Block, Block], *, sheet: Sheet, typist: Typist
) -> Pages:
    """Blocks on as many pages as they need. titles : of the first page, and of the others."""
    rooms = [sheet.height - 2.0 * sheet.margin - each.height for each in titles]
    groups = _filled(list(_bound(blocks)), first=rooms[0], others=rooms[1])
    pages: list[tuple[Item, ...]] = []
    for number, group in enumerate(groups):
        title = titles[min(number, 1)]
        x, y = sheet.margin, sheet.margin
        items = list(title.at(x, y))
        y += title.height
        for unit in group:
            items += unit.at(x, y)
            y += unit.height
        if len(groups) > 1:
            items.append(
                _number(
                    f"{number + 1} of {len(groups)}",
                    title,
                    sheet=sheet,
                    typist=typist,
                    is_first=number == 0,
                )
            )
        pages.append(tuple(items))
    return tuple(pages)


def _number(text: str, title: Block, *, sheet: Sheet, typist: Typist, is_first: bool) -> TextItem:
    """A page's number at the end of a line of its title."""
    px = round(0.84 * typist.px)
    wide = typist.ruler.width(text, px)
    lines = [item.baseline for item in title.items if isinstance(item, TextItem)]
    last = max(lines) if is_first else min(lines)
    right = sheet.margin + sheet.room
    return TextItem(right - wide, sheet.margin + last, text, px, wide, tone="muted")


def _bound(blocks: Iterable[Block]) -> Iterator[Block]:
    """Blocks, each heading joined to what follows it."""
    held: list[Block] = []
    for block in blocks:
        held.append(block)
        if not block.keeps:
            yield _joined(held)
            held = []
    if held:
        yield _joined(held)


def _joined(held: Sequence[Block]) -> Block:
    return replace(stacked(held), whole=max(each.whole for each in held))


def _filled(units: Sequence[Block], *, first: float, others: float) -> list[list[Block]]:
    """Fill pages with blocks; the last page is not left with a line or two."""
    groups: list[list[Block]] = [[]]
    left = first
    for unit in units:
        if groups[-1] and (unit.height > left or left < unit.whole <= others):
            groups.append([])
            left = others
        groups[-1].append(unit)
        left -= unit.height
    if len(groups) > 1:
        before, last = groups[-2:]
        # A day that would be broken begins the last page, where that holds it.
        heads = [at for at, each in enumerate(before) if each.whole]
        if heads and sum(each.height for each in (*before[heads[-1] :], *last)) <= others:
            last[:0], before[heads[-1] :] = before[heads[-1] :], []
        while (
            not last[0].whole
            and len(before) > 2
            and sum(each.height for each in last) < _LEAST_LAST * others
        ):
            last.insert(0, before.pop())
    return groups
