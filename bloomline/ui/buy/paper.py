"""The shopping list for paper."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import Qt

from bloomline.model.yard import Yard
from bloomline.ui.buy.model import LinesModel
from bloomline.ui.page_kit import html_table

# Left out on paper: what is for typing only.
_ON_SCREEN = ("pack", "price")


def list_html(yard: Yard, tables: Sequence[tuple[str, LinesModel]], money: Sequence[str]) -> str:
    """All lists with lines, and the money below."""
    parts = [f"<h1>{escape(yard.name)}, {yard.season_year}</h1>"]
    for heading, model in tables:
        if not model.rowCount():
            continue
        hidden = {model.column(key) for key in _ON_SCREEN if model.has(key)}
        shown = [at for at in range(model.columnCount()) if at not in hidden]
        across = Qt.Orientation.Horizontal
        titles = tuple(str(model.headerData(at, across)) for at in shown)
        rows = [
            tuple(str(model.index(row, at).data()) for at in shown)
            for row in range(model.rowCount())
        ]
        parts += [f"<h2>{escape(heading)}</h2>", html_table(titles, rows)]
    parts += [f"<p>{escape(words)}</p>" for words in money if words]
    return "".join(parts)
