"""Writes the season chart as a PNG, SVG or PDF file."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from math import floor
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.draw.whole_file import write_whole
from bloomline.errors import UsageError

if TYPE_CHECKING:
    from PySide6.QtGui import QImage

    from bloomline.draw.petals import ThemeName
    from bloomline.draw.season_chart import ChartPlan
    from bloomline.plan.collision import Conflict
    from bloomline.plan.report import SeasonReport

SUFFIXES = (".png", ".svg", ".pdf")
PX_PER_INCH = 96.0
A4_MM = (297.0, 210.0)  # ISO 216
A4_MARGIN_MM = 8.0
DPI_RANGE = (36.0, 1200.0)
LARGEST_SIDE_PX = 30_000  # Qt paints no picture with a side over 32,767
LARGEST_PICTURE_PX = 250_000_000  # one gigabyte of memory


def write_chart(
    report: SeasonReport,
    path: str | os.PathLike[str],
    *,
    width: float = 1600,
    height: float | None = None,
    dpi: float = 96,
    theme: ThemeName = "light",
    today: date | None = None,
    pots: Sequence[str] | None = None,
    title: str | None = None,
    show_planted: bool = False,
    a4: bool = False,
    conflicts: Sequence[Conflict] = (),
) -> Path:
    """Write the chart; the suffix of `path` chooses PNG, SVG or PDF.

    width, height : [px of 1/96 inch]; they fix the layout and the size on paper. Without a
        height the chart is as tall as its content.
    dpi : PNG only. 96 gives a picture of width × height pixels, 300 the same layout and the
        same size on paper with more pixels.
    a4 : PDF only. Fit the chart onto A4 instead of a page of its own size: landscape, or
        portrait if the chart is taller than wide.
    conflicts : plantings to mark that are due while their pot isn't free.
    The file appears whole or not at all. Returns the path written.
    Raises UsageError for a suffix, size or theme that can't be had, UnknownNameError for an
    unknown pot, FileProblemError if the file can't be written.
    """
    from bloomline.draw.season_chart import ChartOptions, plan_season

    target = Path(path)
    suffix = target.suffix.lower()
    if suffix not in SUFFIXES:
        named = f"no kind of picture is known by {suffix!r}" if suffix else "it has no suffix"
        raise UsageError(f"{target}: {named}; end the name in .png, .svg or .pdf")
    _check_sizes(width, height, dpi)
    options = ChartOptions(
        width=width,
        height=height,
        theme=theme,
        today=today,
        pot_ids=None if pots is None else tuple(pots),
        title=title,
        show_planted=show_planted,
        as_outlines=suffix == ".svg",
        conflicts=tuple(conflicts),
    )
    plan = plan_season(report, options)
    if suffix == ".pdf" and a4 and height is None:
        plan = plan_season(report, replace(options, height=_a4_height(plan)))
    if suffix == ".png":
        _check_pixels(plan.page.width, plan.page.height, dpi)

    def write(part: Path) -> None:
        if suffix == ".png":
            _write_png(plan, part, dpi)
        elif suffix == ".svg":
            _write_svg(plan, part)
        else:
            _write_pdf(plan, part, a4=a4)

    write_whole(target, write)
    return target


def render_image(plan: ChartPlan, *, dpi: float = PX_PER_INCH) -> QImage:
    """Paint a laid-out chart onto an image that knows its size on paper."""
    from PySide6.QtGui import QImage, QPainter

    from bloomline.draw.season_chart import paint_plan

    factor = dpi / PX_PER_INCH
    image = QImage(
        round(plan.page.width * factor),
        round(plan.page.height * factor),
        QImage.Format.Format_RGB32,
    )
    if image.isNull():
        raise UsageError("there is not enough memory for a picture of this size; choose a smaller")
    image.fill(plan.theme.ground)
    painter = QPainter(image)
    try:
        painter.scale(factor, factor)
        paint_plan(painter, plan)
    finally:
        painter.end()
    # Set after painting: it would change the size of letters that are given in points.
    dots_per_metre = round(dpi / 0.0254)
    image.setDotsPerMeterX(dots_per_metre)
    image.setDotsPerMeterY(dots_per_metre)
    return image


def _check_sizes(width: float, height: float | None, dpi: float) -> None:
    for what, value in (("width", width), ("height", height)):
        if value is not None and not 1 <= value <= LARGEST_SIDE_PX:
            raise UsageError(
                f"the {what} of a chart is between 1 and {LARGEST_SIDE_PX} px, not {value:g}"
            )
    if not DPI_RANGE[0] <= dpi <= DPI_RANGE[1]:
        low, high = DPI_RANGE
        raise UsageError(f"the resolution is between {low:g} and {high:g} dpi, not {dpi:g}")


def _check_pixels(width: float, height: float, dpi: float) -> None:
    across, down = round(width * dpi / PX_PER_INCH), round(height * dpi / PX_PER_INCH)
    if max(across, down) > LARGEST_SIDE_PX or across * down > LARGEST_PICTURE_PX:
        raise UsageError(
            f"a picture of {across} × {down} pixels is too large; "
            "choose a smaller size or dpi, or write .svg or .pdf"
        )


def _a4_height(plan: ChartPlan) -> float:
    """The height that fills an A4 page, or the chart's own where that is more."""
    width, height = plan.page.width, plan.page.height
    long, short = (side - 2 * A4_MARGIN_MM for side in A4_MM)
    ratio = long / short if height > width else short / long
    return max(height, float(floor(width * ratio)))


def _write_png(plan: ChartPlan, part: Path, dpi: float) -> None:
    from PySide6.QtGui import QImageWriter

    image = render_image(plan, dpi=dpi)
    writer = QImageWriter(str(part), b"png")
    writer.setText("Title", _title(plan))
    if not writer.write(image):
        raise OSError(writer.errorString())


def _write_svg(plan: ChartPlan, part: Path) -> None:
    from PySide6.QtCore import QRectF, QSize
    from PySide6.QtGui import QPainter
    from PySide6.QtSvg import QSvgGenerator

    from bloomline.draw.season_chart import paint_plan

    generator = QSvgGenerator()
    generator.setFileName(str(part))
    generator.setResolution(int(PX_PER_INCH))
    generator.setSize(QSize(round(plan.page.width), round(plan.page.height)))
    generator.setViewBox(QRectF(0, 0, plan.page.width, plan.page.height))
    generator.setTitle(_title(plan))
    generator.setDescription(_description(plan))
    painter = QPainter()
    if not painter.begin(generator):
        raise OSError("the drawing could not be started")
    try:
        paint_plan(painter, plan)
    finally:
        painter.end()


def _write_pdf(plan: ChartPlan, part: Path, *, a4: bool) -> None:
    from PySide6.QtCore import QMarginsF, QSizeF
    from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter

    from bloomline.draw.season_chart import paint_plan

    width, height = plan.page.width, plan.page.height
    writer = QPdfWriter(str(part))
    writer.setTitle(_title(plan))
    writer.setCreator("bloomline")
    writer.setResolution(1200)
    if a4:
        writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
        writer.setPageOrientation(
            QPageLayout.Orientation.Portrait
            if height > width
            else QPageLayout.Orientation.Landscape
        )
        margin = A4_MARGIN_MM
        writer.setPageMargins(
            QMarginsF(margin, margin, margin, margin), QPageLayout.Unit.Millimeter
        )
    else:
        points = QSizeF(width * 72 / PX_PER_INCH, height * 72 / PX_PER_INCH)
        writer.setPageSize(
            QPageSize(points, QPageSize.Unit.Point, "", QPageSize.SizeMatchPolicy.ExactMatch)
        )
        writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    painter = QPainter()
    if not painter.begin(writer):
        raise OSError("the page could not be started")
    try:
        factor = min(writer.width() / width, writer.height() / height)
        painter.translate((writer.width() - width * factor) / 2, 0)
        painter.scale(factor, factor)
        paint_plan(painter, plan)
    finally:
        painter.end()


def _title(plan: ChartPlan) -> str:
    name = plan.options.title if plan.options.title is not None else plan.report.yard_name
    return f"{name}, season {plan.report.season_year}"


def _description(plan: ChartPlan) -> str:
    report = plan.report
    return (
        f"Forecast of flowering for {report.place_label}; {report.weather_label}. "
        "A forecast, not a promise."
    )
