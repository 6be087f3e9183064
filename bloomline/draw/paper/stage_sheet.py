"""A sheet for the shed door: which pots to carry on which Saturday, and who stands where."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from itertools import groupby
from pathlib import Path
from typing import Literal

from bloomline.draw.base.ink import Ruler
from bloomline.draw.base.qt import painting_font
from bloomline.draw.paper.card import CardPage
from bloomline.draw.paper.card_items import Block, Item, LineItem, stacked
from bloomline.draw.paper.card_sheets import SHEETS, Sheet, on_pages
from bloomline.draw.paper.card_text import Piece
from bloomline.draw.paper.card_type import Typist
from bloomline.draw.paper.label_export import write_pages
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.pot.lifting import LIMITS
from bloomline.plan.stage.rota import StageMove, StagePlan, Stay
from bloomline.plan.stage.words import carried_words, place_words
from bloomline.plan.words.benches import times_words
from bloomline.reference.rules import load_rules
from bloomline.words import long_day_words, short_span_words, tr

StagePaper = Literal["a4", "letter"]

# Tenths of a millimetre; a point is 3.53. It is read from two steps away.
_DAY_PX = 66
_POT_PX = 60
_TEXT_PX = 50
_BOX = 46.0
_INSET = 90.0
_RIGHT = 0.5  # of the width, where the second column begins


def write_stage_sheet(
    plan: StagePlan,
    path: str | os.PathLike[str],
    *,
    paper: StagePaper,
    cultivar_of: CultivarOf,
    dpi: float = 300.0,
    told: Callable[[float], None] | None = None,
) -> tuple[Path, ...]:
    """Write the sheet as one PDF, or a picture a page. Returns the paths written.

    told : see `write_sheets`. Raises UsageError, FileProblemError.
    """
    pages = stage_pages(plan, paper=paper, cultivar_of=cultivar_of)
    return write_pages(pages, path, title=sheet_title(plan), dpi=dpi, told=told)


def sheet_title(plan: StagePlan) -> str:
    """What the sheet is called as a file or at a printer's."""
    return tr(
        "{yard_name}: pots to carry, season {season_year}",
        yard_name=plan.yard_name,
        season_year=plan.season_year,
    )


def stage_pages(
    plan: StagePlan, *, paper: StagePaper, cultivar_of: CultivarOf
) -> tuple[CardPage, ...]:
    """Lay the sheet out on as many pages as it needs."""
    sheet = SHEETS[paper]
    typist = Typist(Ruler(painting_font()), px=_TEXT_PX, names=())
    blocks = [*_moves(plan, sheet, typist), *_places(plan, sheet, typist)]
    titles = (_title(plan, sheet, typist), _title_again(plan, sheet, typist))
    pages = on_pages(blocks, titles, sheet=sheet, typist=typist)
    return tuple(
        CardPage(None, paper, cultivar_of, items, number, len(pages))
        for number, items in enumerate(pages, start=1)
    )


def _title(plan: StagePlan, sheet: Sheet, typist: Typist) -> Block:
    head = tr("Pots to carry, season {year}", year=plan.season_year)
    caution = f"{tr(load_rules().caution('two-people').message)} {tr(LIMITS)}"
    return stacked(
        [
            typist.text((Piece(head, bold=True),), room=sheet.room, px=sheet.title_px),
            typist.text(plan.yard_name, room=sheet.room),
            typist.space(0.3),
            typist.text((Piece(caution, bold=True),), room=sheet.room, px=_TEXT_PX),
            typist.space(0.6),
        ]
    )


def _title_again(plan: StagePlan, sheet: Sheet, typist: Typist) -> Block:
    head = tr("Pots to carry, season {year}", year=plan.season_year)
    # Room for the number of the page at the end of the line.
    return stacked(
        [
            typist.text((Piece(head, bold=True),), room=0.8 * sheet.room, px=_DAY_PX),
            typist.space(0.8),
        ]
    )


def _moves(plan: StagePlan, sheet: Sheet, typist: Typist) -> Iterator[Block]:
    if not plan.moves:
        yield typist.text(tr("Nothing is to be carried."), room=sheet.room)
    for day, mine in groupby(plan.moves, key=lambda move: move.day):
        yield _headed(long_day_words(day), sheet, typist)
        for move in mine:
            yield _move(move, sheet, typist)
        yield typist.space(0.5)


def _headed(words: str, sheet: Sheet, typist: Typist) -> Block:
    """A heading over a line, that stays with what follows."""
    head = typist.text((Piece(words, bold=True),), room=sheet.room, px=_DAY_PX)
    line = LineItem(0.0, head.height + 6.0, sheet.room, head.height + 6.0, tone="faint")
    return Block((*head.items, line), head.height + 26.0, keeps=True)


def _move(move: StageMove, sheet: Sheet, typist: Typist) -> Block:
    """A box to tick, the pot, from where to where, and how."""
    right = _RIGHT * sheet.room
    where = f"{place_words(move.source)} → {place_words(move.target)}"
    name = typist.text(
        (Piece(times_words(move.pot_name, move.copies), bold=True),),
        room=right - _INSET - 40.0,
        px=_POT_PX,
        x=_INSET,
    )
    way = stacked(
        [
            typist.space(0.14),
            typist.text(where, room=sheet.room - right, x=right),
            typist.text(carried_words(move), room=sheet.room - right, x=right),
        ]
    )
    items, height = (*name.items, *way.items), max(name.height, way.height) + 14.0
    return Block((*_box(0.0, 12.0), *items), height)


def _box(x: float, y: float) -> tuple[Item, ...]:
    corners = [(x, y), (x + _BOX, y), (x + _BOX, y + _BOX), (x, y + _BOX)]
    return tuple(
        LineItem(*first, *then, width=5.0)
        for first, then in zip(corners, [*corners[1:], corners[0]], strict=True)
    )


def _places(plan: StagePlan, sheet: Sheet, typist: Typist) -> Iterator[Block]:
    for lane in plan.lanes:
        if not lane.stays:
            continue
        yield typist.space(0.6)
        yield _headed(tr("{place}: who stands there", place=lane.place.name), sheet, typist)
        for stay in lane.stays:
            yield _stay(stay, sheet, typist)


def _stay(stay: Stay, sheet: Sheet, typist: Typist) -> Block:
    """The days of a stay, and beside them the pot."""
    days = _RIGHT * sheet.room - 30.0
    left = typist.text(short_span_words(stay.first, stay.last, year=True), room=days)
    right = typist.text(
        (Piece(stay.called, bold=True),),
        room=sheet.room - days - 30.0,
        x=days + 30.0,
    )
    return Block((*left.items, *right.items), max(left.height, right.height) + 8.0)
