"""The shopping list for paper: a box to tick for everything to buy, each on one line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from PySide6.QtCore import Qt

from bloomline.model.yard import Yard
from bloomline.ui.buy.model import LinesModel
from bloomline.ui.page_kit import html_table

_BOX = "☐"
_SHORT = 20
_SMALL = "font-size: 8.5pt;"


def _every(_line: Any) -> bool:
    return True


@dataclass(frozen=True, slots=True)
class PaperTable:
    """What of a list goes on paper. keys : its columns, the one that may be long first.

    shown : which lines. ticks : whether there is a box to tick.
    """

    heading: str
    model: LinesModel
    keys: tuple[str, ...]
    shown: Callable[[Any], bool] = _every
    ticks: bool = True
    widths: tuple[int, ...] = ()
    foot: str = ""


def list_html(yard: Yard, tables: Sequence[PaperTable], money: Sequence[str]) -> str:
    """All lists with lines, and the money below."""
    parts = [f"<h1>{escape(yard.name)}, {yard.season_year}</h1>"]
    across = Qt.Orientation.Horizontal
    for each in tables:
        model = each.model
        lines = [row for row in range(model.rowCount()) if each.shown(model.line(row))]
        if not lines:
            continue
        columns = [model.column(key) for key in each.keys]
        titles = [str(model.headerData(at, across)) for at in columns]
        rows = [
            [_whole(str(model.index(row, at).data()), first=at == columns[0]) for at in columns]
            for row in lines
        ]
        if each.ticks:
            titles[0] = f"{_BOX} {titles[0]}"
            rows = [[f"{_BOX}\u00a0{row[0]}", *row[1:]] for row in rows]
        table = html_table(tuple(titles), [tuple(row) for row in rows], widths=each.widths)
        parts.append(f'<h2>{escape(each.heading)}</h2><div style="{_SMALL}">{table}</div>')
        if each.foot:
            parts.append(f"<p>{escape(each.foot)}</p>")
    parts += [f"<p>{escape(words)}</p>" for words in money if words]
    return "".join(parts)


def _whole(words: str, *, first: bool) -> str:
    """Short words are not broken: a number keeps its unit, a day its month."""
    if first or len(words) > _SHORT:
        return words
    return words.replace(" ", "\u00a0").replace("\u00a0+\u00a0", " +\u00a0")
