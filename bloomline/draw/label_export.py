"""Writes pages of labels as one PDF, or as a PNG or SVG for each page."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QMarginsF, QRectF, QSize, QSizeF
from PySide6.QtGui import QImage, QImageWriter, QPageSize, QPainter, QPdfWriter

from bloomline.draw.label_pages import Page, paint_page
from bloomline.draw.qt import painting_font
from bloomline.draw.whole_file import write_whole
from bloomline.errors import UsageError

SUFFIXES = (".pdf", ".png", ".svg")
MM_PER_INCH = 25.4
DPI_RANGE = (36.0, 1200.0)
TITLE = "bloomline"


def write_pages(
    pages: Sequence[Page],
    path: str | os.PathLike[str],
    *,
    dpi: float = 300.0,
    told: Callable[[float], None] | None = None,
) -> tuple[Path, ...]:
    """Write the pages; each file appears whole or not at all. Returns the paths written.

    More than one PNG or SVG page are numbered: labels-1.png, labels-2.png. `dpi` is for PNG.
    told : called with the share done before every page, and what it raises ends the writing.
    Raises UsageError for another suffix, a bad dpi or no pages, FileProblemError otherwise.
    """
    target = Path(path)
    suffix = target.suffix.lower()
    if suffix not in SUFFIXES:
        raise UsageError(f"{target}: a .pdf, .png or .svg file is wanted")
    if not DPI_RANGE[0] <= dpi <= DPI_RANGE[1]:
        low, high = DPI_RANGE
        raise UsageError(f"the resolution is between {low:g} and {high:g} dpi, not {dpi:g}")
    if not pages:
        raise UsageError("there is nothing to print: no bulbs are planted in these pots")
    if suffix == ".pdf":
        write_whole(target, partial(_write_pdf, pages, told=told))
        return (target,)
    many = len(pages) > 1
    written: list[Path] = []
    for number, page in enumerate(pages, start=1):
        if told is not None:
            told((number - 1) / len(pages))
        name = target.with_name(f"{target.stem}-{number}{target.suffix}") if many else target
        if suffix == ".png":
            image = page_image(page, dpi=dpi)
            write_whole(name, partial(_write_png, image))
        else:
            write_whole(name, partial(_write_svg, page))
        written.append(name)
    return tuple(written)


def page_image(page: Page, *, dpi: float) -> QImage:
    """Paint a page onto an image that knows its size on paper. Raises UsageError."""
    family = painting_font()
    width, height = (round(side * dpi / MM_PER_INCH) for side in page.size_mm)
    image = QImage(width, height, QImage.Format.Format_RGB32)
    if image.isNull():
        raise UsageError("there is not enough memory for a picture of this size; choose a smaller")
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    try:
        painter.scale(dpi / MM_PER_INCH / 10.0, dpi / MM_PER_INCH / 10.0)
        paint_page(painter, page, family=family)
    finally:
        painter.end()
    # Set after painting: it would change the size of letters that are given in points.
    image.setDotsPerMeterX(round(dpi / 0.0254))
    image.setDotsPerMeterY(round(dpi / 0.0254))
    return image


def _write_png(image: QImage, part: Path) -> None:
    writer = QImageWriter(str(part), b"png")
    writer.setText("Title", TITLE)
    if not writer.write(image):
        raise OSError(writer.errorString())


def _write_svg(page: Page, part: Path) -> None:
    from PySide6.QtSvg import QSvgGenerator

    family = painting_font()
    width, height = (side * 10.0 for side in page.size_mm)
    generator = QSvgGenerator()
    generator.setFileName(str(part))
    # The view box counts tenths of a millimetre; 254 of them make an inch.
    generator.setResolution(254)
    generator.setSize(QSize(round(width), round(height)))
    generator.setViewBox(QRectF(0, 0, width, height))
    generator.setTitle(TITLE)
    painter = QPainter()
    if not painter.begin(generator):
        raise OSError("the drawing could not be started")
    try:
        paint_page(painter, page, family=family, as_outlines=True)
    finally:
        painter.end()


def _write_pdf(
    pages: Sequence[Page], part: Path, *, told: Callable[[float], None] | None = None
) -> None:
    painting_font()
    writer = QPdfWriter(str(part))
    writer.setTitle(TITLE)
    writer.setCreator("bloomline")
    writer.setResolution(1200)
    painter = QPainter()
    try:
        for number, page in enumerate(pages):
            if told is not None:
                told(number / len(pages))
            size = QPageSize(
                QSizeF(*page.size_mm),
                QPageSize.Unit.Millimeter,
                "",
                QPageSize.SizeMatchPolicy.ExactMatch,
            )
            writer.setPageSize(size)
            writer.setPageMargins(QMarginsF(0, 0, 0, 0))
            if number == 0:
                if not painter.begin(writer):
                    raise OSError("the page could not be started")
            elif not writer.newPage():
                raise OSError("another page could not be started")
            painter.save()
            factor = 1200 / MM_PER_INCH / 10.0
            painter.scale(factor, factor)
            paint_page(painter, page, family=painting_font())
            painter.restore()
    finally:
        if painter.isActive():
            painter.end()
