"""Writes the season chart, on a page of its own size or on A4."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from math import floor
from pathlib import Path

from PySide6.QtGui import QImage, QPainter

from bloomline.draw.base.export import (
    MM_PER_INCH,
    PX_PER_INCH,
    Sheet,
    sheet_image,
    write_sheets,
)
from bloomline.draw.season.chart import ChartPlan, paint_plan, plan_season
from bloomline.words import tr

A4_MM = (297.0, 210.0)  # ISO 216
A4_MARGIN_MM = 8.0


def write_plan(
    plan: ChartPlan,
    path: str | os.PathLike[str],
    *,
    dpi: float = PX_PER_INCH,
    a4: bool = False,
    told: Callable[[float], None] | None = None,
) -> Path:
    """Write a season chart that is laid out; the suffix of `path` chooses PNG, SVG or PDF.

    dpi : PNG only. 96 gives a picture of width × height pixels, 300 the same layout and the
        same size on paper with more pixels.
    a4 : PDF only. Fit the chart onto A4 instead of a page of its own size: landscape, or
        portrait if the chart is taller than wide.
    told : as for `write_sheets`. Returns the path written.
    Raises UsageError for a suffix or size that can't be had, FileProblemError if the file can't
    be written.
    """
    is_on_a4 = a4 and Path(path).suffix.lower() == ".pdf"
    sheet = _on_a4(plan) if is_on_a4 else chart_sheet(plan)
    return write_sheets([sheet], path, dpi=dpi, told=told)[0]


def render_image(plan: ChartPlan, *, dpi: float = PX_PER_INCH) -> QImage:
    """Paint a laid-out chart onto an image that knows its size on paper."""
    return sheet_image(chart_sheet(plan), dpi=dpi)


def chart_sheet(plan: ChartPlan) -> Sheet:
    """The sheet of a chart that is laid out."""
    report = plan.report
    name = plan.options.title or report.yard_name
    return Sheet(
        plan.page.width,
        plan.page.height,
        PX_PER_INCH,
        lambda painter, as_outlines: paint_plan(painter, plan, as_outlines=as_outlines),
        title=tr("{name}, season {season_year}", name=name, season_year=report.season_year),
        description=(
            tr(
                "Forecast of flowering for {place_label}; {weather_label}. A "
                "forecast, not a promise.",
                place_label=report.place_label,
                weather_label=report.weather_label,
            )
        ),
        ground=plan.theme.ground,
    )


def _on_a4(plan: ChartPlan) -> Sheet:
    """The sheet of a chart on A4, filled as far as it goes; portrait if it is taller than wide."""

    def sides(of: ChartPlan) -> tuple[float, float]:
        mm = A4_MM if of.page.width >= of.page.height else A4_MM[::-1]
        return mm[0] * PX_PER_INCH / MM_PER_INCH, mm[1] * PX_PER_INCH / MM_PER_INCH

    margin = A4_MARGIN_MM * PX_PER_INCH / MM_PER_INCH
    if plan.options.height is None:
        width, height = sides(plan)
        ratio = (height - 2 * margin) / (width - 2 * margin)
        tall = max(plan.page.height, float(floor(plan.page.width * ratio)))
        plan = plan_season(plan.report, replace(plan.options, height=tall))
    chart, (width, height) = chart_sheet(plan), sides(plan)
    room = width - 2 * margin, height - 2 * margin
    factor = min(room[0] / chart.width, room[1] / chart.height)

    def paint(painter: QPainter, as_outlines: bool) -> None:
        painter.translate(margin + (room[0] - chart.width * factor) / 2, margin)
        painter.scale(factor, factor)
        chart.paint(painter, as_outlines)

    return replace(chart, width=width, height=height, paint=paint)
