"""Writes pages of labels as one PDF, or as a PNG or SVG for each page."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtGui import QImage

from bloomline.draw.base.export import MM_PER_INCH, Sheet, sheet_image, write_sheets
from bloomline.draw.base.qt import painting_font
from bloomline.draw.paper.card import CardPage
from bloomline.draw.paper.label_pages import LabelPage, Page, paint_page
from bloomline.errors import UsageError
from bloomline.words import tr


def write_pages(
    pages: Sequence[Page],
    path: str | os.PathLike[str],
    *,
    title: str,
    dpi: float = 300.0,
    told: Callable[[float], None] | None = None,
) -> tuple[Path, ...]:
    """Write the pages as `write_sheets` does. Raises UsageError without any.

    title : what the file says that it is, as `pages_title` puts it.
    """
    if not pages:
        raise UsageError(tr("there is nothing to print: no bulbs are planted in these pots"))
    return write_sheets([_sheet(page, title) for page in pages], path, dpi=dpi, told=told)


def pages_title(pages: Sequence[Page], *, yard_name: str) -> str:
    """What cards, labels or the list of pots are called as a file or at a printer's."""
    if all(isinstance(page, CardPage) for page in pages):
        return tr("{yard_name}: planting cards", yard_name=yard_name)
    if all(isinstance(page, LabelPage) for page in pages):
        return tr("{yard_name}: labels", yard_name=yard_name)
    return tr("{yard_name}: what is in which pot", yard_name=yard_name)


def page_image(page: Page, *, dpi: float) -> QImage:
    """Paint a page onto an image that knows its size on paper. Raises UsageError."""
    return sheet_image(_sheet(page, ""), dpi=dpi)


def _sheet(page: Page, title: str) -> Sheet:
    """A page in tenths of a millimetre."""
    family = painting_font()
    width, height = (side * 10.0 for side in page.size_mm)
    return Sheet(
        width,
        height,
        MM_PER_INCH * 10.0,
        lambda painter, as_outlines: paint_page(
            painter, page, family=family, as_outlines=as_outlines
        ),
        title=title,
    )
