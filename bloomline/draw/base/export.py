"""Writes what is painted as PNG, SVG or PDF files that appear whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.draw.base.whole_file import write_whole
from bloomline.errors import UsageError
from bloomline.words import tr

if TYPE_CHECKING:
    from PySide6.QtGui import QImage, QPainter

SUFFIXES = (".png", ".svg", ".pdf")
PX_PER_INCH = 96.0
MM_PER_INCH = 25.4
DPI_RANGE = (36.0, 1200.0)
PDF_DPI = 1200
LARGEST_SIDE_PX = 30_000  # Qt paints no picture with a side over 32,767
LARGEST_PICTURE_PX = 250_000_000  # one gigabyte of memory


@dataclass(frozen=True, slots=True)
class Sheet:
    """Something painted on a page of a size, `per_inch` of whose units make an inch.

    paint : is called with a painter in these units from (0, 0), and whether letters are to be
    painted as shapes: for SVG, whose viewers may lack the font.
    """

    width: float
    height: float
    per_inch: float
    paint: Callable[[QPainter, bool], None]
    title: str
    description: str = ""
    ground: str = "#FFFFFF"


def write_sheets(
    sheets: Sequence[Sheet],
    path: str | os.PathLike[str],
    *,
    dpi: float,
    told: Callable[[float], None] | None = None,
) -> tuple[Path, ...]:
    """Write sheets as one PDF, or as a picture each. Returns the paths written.

    More than one picture are numbered: labels-1.png, labels-2.png. `dpi` is for PNG.
    told : called with the share done before every page and before a file takes its place; what
    it raises ends the writing. Raises UsageError for another suffix, a bad dpi or a picture too
    large, FileProblemError if the file can't be written.
    """
    target = Path(path)
    suffix = _checked_suffix(target)
    if not DPI_RANGE[0] <= dpi <= DPI_RANGE[1]:
        low, high = DPI_RANGE
        raise UsageError(
            tr(
                "the resolution is between {low:g} and {high:g} dpi, not {dpi:g}",
                low=low,
                high=high,
                dpi=dpi,
            )
        )
    tell = told or (lambda _share: None)
    if suffix == ".pdf":
        write_whole(target, partial(_write_pdf, sheets, tell))
        return (target,)
    written = []
    for number, sheet in enumerate(sheets, start=1):
        tell((number - 1) / len(sheets))
        if suffix == ".png":
            _check_pixels(sheet, dpi)
        write = partial(_write_png, dpi=dpi) if suffix == ".png" else _write_svg
        own = target.with_name(f"{target.stem}-{number}{target.suffix}")
        written.append(target if len(sheets) == 1 else own)
        write_whole(written[-1], partial(_write_and_tell, partial(write, sheet), tell))
    return tuple(written)


def _checked_suffix(target: Path) -> str:
    """The suffix of a file that can be written, in small letters. Raises UsageError."""
    suffix = target.suffix.lower()
    if suffix not in SUFFIXES:
        named = (
            tr("no kind of picture is known by “{suffix}”", suffix=suffix)
            if suffix
            else tr("it has no suffix")
        )
        raise UsageError(
            tr("{target}: {named}; end the name in .png, .svg or .pdf", target=target, named=named)
        )
    return suffix


def sheet_image(sheet: Sheet, *, dpi: float) -> QImage:
    """Paint a sheet onto an image that knows its size on paper. Raises UsageError."""
    from PySide6.QtGui import QImage, QPainter

    from bloomline.draw.base.qt import painting_font

    painting_font()
    factor = dpi / sheet.per_inch
    size = round(sheet.width * factor), round(sheet.height * factor)
    image = QImage(*size, QImage.Format.Format_RGB32)
    if image.isNull():
        raise UsageError(
            tr("there is not enough memory for a picture of this size; choose a smaller")
        )
    image.fill(sheet.ground)
    painter = QPainter(image)
    try:
        painter.scale(factor, factor)
        sheet.paint(painter, False)
    finally:
        painter.end()
    # Set after painting: it would change the size of letters that are given in points.
    dots_per_metre = round(dpi / 0.0254)
    image.setDotsPerMeterX(dots_per_metre)
    image.setDotsPerMeterY(dots_per_metre)
    return image


def _check_pixels(sheet: Sheet, dpi: float) -> None:
    across, down = (round(side * dpi / sheet.per_inch) for side in (sheet.width, sheet.height))
    if max(across, down) > LARGEST_SIDE_PX or across * down > LARGEST_PICTURE_PX:
        raise UsageError(
            tr(
                "a picture of {across} × {down} pixels is too large; choose a "
                "smaller size or dpi, or write .svg or .pdf",
                across=across,
                down=down,
            )
        )


def _write_and_tell(
    write: Callable[[Path], None], tell: Callable[[float], None], part: Path
) -> None:
    write(part)
    tell(1.0)


def _write_png(sheet: Sheet, part: Path, *, dpi: float) -> None:
    from PySide6.QtGui import QImageWriter

    writer = QImageWriter(str(part), b"png")
    writer.setText(tr("Title"), sheet.title)
    if not writer.write(sheet_image(sheet, dpi=dpi)):
        raise OSError(writer.errorString())


def _write_svg(sheet: Sheet, part: Path) -> None:
    from PySide6.QtCore import QRectF, QSize
    from PySide6.QtGui import QPainter
    from PySide6.QtSvg import QSvgGenerator

    from bloomline.draw.base.qt import painting_font

    painting_font()
    generator = QSvgGenerator()
    generator.setFileName(str(part))
    generator.setResolution(round(sheet.per_inch))
    generator.setSize(QSize(round(sheet.width), round(sheet.height)))
    generator.setViewBox(QRectF(0, 0, sheet.width, sheet.height))
    generator.setTitle(sheet.title)
    generator.setDescription(sheet.description)
    painter = QPainter()
    if not painter.begin(generator):
        raise OSError(tr("the drawing could not be started"))
    try:
        sheet.paint(painter, True)
    finally:
        painter.end()


def _write_pdf(sheets: Sequence[Sheet], tell: Callable[[float], None], part: Path) -> None:
    from PySide6.QtCore import QMarginsF, QSizeF
    from PySide6.QtGui import QPageSize, QPainter, QPdfWriter

    from bloomline.draw.base.qt import painting_font

    painting_font()
    writer = QPdfWriter(str(part))
    writer.setTitle(sheets[0].title)
    writer.setCreator("bloomline")
    writer.setResolution(PDF_DPI)
    painter = QPainter()
    try:
        for number, sheet in enumerate(sheets):
            tell(number / len(sheets))
            points = QSizeF(sheet.width, sheet.height) * (72 / sheet.per_inch)
            exact = QPageSize.SizeMatchPolicy.ExactMatch
            writer.setPageSize(QPageSize(points, QPageSize.Unit.Point, "", exact))
            writer.setPageMargins(QMarginsF(0, 0, 0, 0))
            if not (writer.newPage() if number else painter.begin(writer)):
                raise OSError(tr("a page could not be started"))
            painter.save()
            painter.scale(PDF_DPI / sheet.per_inch, PDF_DPI / sheet.per_inch)
            sheet.paint(painter, False)
            painter.restore()
    finally:
        if painter.isActive():
            painter.end()
    tell(1.0)
