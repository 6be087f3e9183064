"""Lays out the pot cut open: ruler from the rim, a mark to fill to for each layer and the top."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bloomline.draw.base.ink import Ruler
from bloomline.draw.paper.card_items import Block, CutItem, Item, LineItem, TextItem
from bloomline.draw.pot.layout import PotCut
from bloomline.plan.paper.card import PlantingCard
from bloomline.plan.words.units import CM_PER_INCH

_SURFACE = "top"
_REACH = 0.72  # share of the half width from which a mark goes outwards
_LEAST_TICK = 6.0  # tenths of a millimetre between small ticks


def spread(wanted: Sequence[float], *, step: float, highest: float) -> tuple[float, ...]:
    """Move rising places apart to at least `step`, near where they are wanted.

    None lies above `highest`; places that crowd are moved up and down in equal parts.
    """
    groups: list[list[float]] = []  # each: where its first lies, how many there are
    for place in wanted:
        groups.append([max(place, highest), 1.0])
        while len(groups) > 1 and groups[-2][0] + groups[-2][1] * step > groups[-1][0]:
            start, count = groups.pop()
            before = groups[-1]
            # The middle of the joined group lies at the mean of what its members want.
            middle = (
                before[1] * (before[0] + (before[1] - 1.0) * step / 2.0)
                + count * (start + (count - 1.0) * step / 2.0)
            ) / (before[1] + count)
            before[1] += count
            before[0] = max(middle - (before[1] - 1.0) * step / 2.0, highest)
    return tuple(start + k * step for start, count in groups for k in range(int(count)))


def cut_block(
    card: PlantingCard, cut: PotCut, ruler: Ruler, *, px: int, width: float, height: float
) -> Block:
    """The cutaway with its ruler and marks, as large as the room allows."""
    small = round(0.76 * px)
    scale_w = ruler.width("00", small) + 1.4 * px
    first = min((layer.planted for layer in card.layers), default=None)
    marks = [
        (
            layer.base_cm,
            f"{layer.letter}  {card.units.tape(layer.base_cm)}"
            # What isn't in the pot yet after the first day says so.
            + ("" if layer.planted == first else f", {layer.planted.day} {layer.planted:%b}"),
        )
        for layer in sorted(card.layers, key=lambda each: each.base_cm)
    ]
    if card.layers:
        marks.insert(0, (card.surface_cm, f"{_SURFACE}  {card.units.tape(card.surface_cm)}"))
    leader = 1.2 * px
    marks_w = leader + max((ruler.width(text, px, bold=True) for _, text in marks), default=0.0)
    room = width - scale_w - marks_w
    scale = min(room / (2.0 * cut.outer_half_cm), height / cut.foot_cm)
    top = 0.4 * px
    centre = scale_w + cut.outer_half_cm * scale
    items: list[Item] = [CutItem(centre, top, scale, cut.outer_half_cm, cut.foot_cm)]
    items += _ruler(card, cut, ruler, scale=scale, x=scale_w - 0.45 * px, top=top, px=small)
    right = centre + cut.outer_half_cm * scale
    step = 1.12 * px
    labels = spread([top + depth * scale for depth, _ in marks], step=step, highest=0.5 * px)
    for (depth, text), at in zip(marks, labels, strict=True):
        y = top + depth * scale
        inside = centre + cut.half_at(min(depth, cut.floor_cm)) * scale * _REACH
        items.append(LineItem(inside, y, right + 0.3 * px, y))
        items.append(LineItem(right + 0.3 * px, y, right + 0.9 * px, at))
        words_w = ruler.width(text, px, bold=True)
        items.append(TextItem(right + leader, at + 0.34 * px, text, px, words_w, bold=True))
    low = max([item.rect[3] for item in items])
    return Block(tuple(items), low)


def _ruler(
    card: PlantingCard, cut: PotCut, ruler: Ruler, *, scale: float, x: float, top: float, px: int
) -> Iterator[Item]:
    unit_cm = CM_PER_INCH if card.units.imperial else 1.0
    pace = scale * unit_cm
    count = int(cut.floor_cm / unit_cm + 1e-9)
    every = next(
        each
        for each in ((1, 2, 5, 10, 20) if card.units.imperial else (5, 10, 20, 50))
        if each * pace >= 1.3 * px or each >= 20
    )
    parts = 2 if card.units.imperial and pace / 2 > _LEAST_TICK else 1
    yield LineItem(x, top, x, top + cut.floor_cm * scale)
    for k in range(count * parts + 1):
        is_long = k % (every * parts) == 0
        y = top + k * pace / parts
        if is_long or pace / parts > _LEAST_TICK:
            tick = 0.7 if is_long else 0.45 if k % parts == 0 else 0.28
            yield LineItem(x - tick * px, y, x, y, width=3.0 if is_long else 2.0)
        if is_long:
            text = str(k // parts)
            wide = ruler.width(text, px)
            yield TextItem(x - 0.95 * px - wide, y + 0.34 * px, text, px, wide)
    unit = card.units.length_suffix
    wide = ruler.width(unit, px)
    yield TextItem(x - wide, top + cut.floor_cm * scale + 1.42 * px, unit, px, wide, tone="muted")
