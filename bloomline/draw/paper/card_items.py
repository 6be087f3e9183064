"""What a laid-out card is made of: texts, lines, frames, the cutaway and plans, with places.

Everything is in tenths of a millimetre from the upper left corner of the paper.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from bloomline.plan.paper.card_days import CardLayer

Rect = tuple[float, float, float, float]
"""Left, top, right and bottom."""


@dataclass(frozen=True, slots=True)
class TextItem:
    """A piece of a line of text, of known width."""

    x: float
    baseline: float
    text: str
    px: int
    width: float
    bold: bool = False
    italic: bool = False
    tone: Literal["ink", "muted"] = "ink"

    @property
    def rect(self) -> Rect:
        """The room that the letters take."""
        return (
            self.x,
            self.baseline - 0.76 * self.px,
            self.x + self.width,
            self.baseline + 0.24 * self.px,
        )

    def moved(self, dx: float, dy: float) -> TextItem:
        """The same elsewhere."""
        return TextItem(
            self.x + dx,
            self.baseline + dy,
            self.text,
            self.px,
            self.width,
            self.bold,
            self.italic,
            self.tone,
        )


@dataclass(frozen=True, slots=True)
class LineItem:
    """A straight line."""

    x0: float
    y0: float
    x1: float
    y1: float
    width: float = 3.0
    tone: Literal["ink", "faint"] = "ink"

    @property
    def rect(self) -> Rect:
        """The room that it takes."""
        return (
            min(self.x0, self.x1),
            min(self.y0, self.y1),
            max(self.x0, self.x1),
            max(self.y0, self.y1),
        )

    def moved(self, dx: float, dy: float) -> LineItem:
        """The same elsewhere."""
        return LineItem(
            self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy, self.width, self.tone
        )


@dataclass(frozen=True, slots=True)
class FrameItem:
    """A frame around what must be read first."""

    rect: Rect

    def moved(self, dx: float, dy: float) -> FrameItem:
        """The same elsewhere."""
        left, top, right, bottom = self.rect
        return FrameItem((left + dx, top + dy, right + dx, bottom + dy))


@dataclass(frozen=True, slots=True)
class PlanItem:
    """A layer from above about its middle; `scale` is tenths of a millimetre to a centimetre."""

    layer: CardLayer
    x: float
    y: float
    scale: float

    @property
    def rect(self) -> Rect:
        """The room that the level takes."""
        section = self.layer.section
        wide, high = section.length_cm * self.scale / 2.0, section.width_cm * self.scale / 2.0
        return self.x - wide, self.y - high, self.x + wide, self.y + high

    def moved(self, dx: float, dy: float) -> PlanItem:
        """The same elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)


@dataclass(frozen=True, slots=True)
class CutItem:
    """The pot cut open; `x`, `y` is the middle of its rim."""

    x: float
    y: float
    scale: float
    half_cm: float
    foot_cm: float

    @property
    def rect(self) -> Rect:
        """The room that the pot takes."""
        half = self.half_cm * self.scale
        return self.x - half, self.y, self.x + half, self.y + self.foot_cm * self.scale

    def moved(self, dx: float, dy: float) -> CutItem:
        """The same elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)


Item = TextItem | LineItem | FrameItem | PlanItem | CutItem


@dataclass(frozen=True, slots=True)
class Block:
    """Items that stay together on a page, from (0, 0) down. `keeps` binds it to the next one.

    whole : height of the section that it begins, which is kept on one page where it can be.
    """

    items: tuple[Item, ...]
    height: float
    keeps: bool = False
    whole: float = 0.0

    def at(self, x: float, y: float) -> tuple[Item, ...]:
        """The items at their place on the page."""
        return tuple(item.moved(x, y) for item in self.items)


def stacked(blocks: Iterable[Block]) -> Block:
    """Blocks below one another, as one."""
    items: list[Item] = []
    height = 0.0
    for block in blocks:
        items += block.at(0.0, height)
        height += block.height
    return Block(tuple(items), height)
