"""The season chart on paper."""

from __future__ import annotations

from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from bloomline.draw.season.chart import paint_plan
from bloomline.draw.season.chart_export import A4_MARGIN_MM
from bloomline.draw.season.chart_plan import ChartPlan
from bloomline.errors import FileProblemError


def printer_for(plan: ChartPlan) -> QPrinter:
    """A printer set to the paper and the way round that suit a chart."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(plan.options.title or plan.report.yard_name)
    printer.setCreator("bloomline")
    printer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    wide = plan.page.width >= plan.page.height
    printer.setPageOrientation(
        QPageLayout.Orientation.Landscape if wide else QPageLayout.Orientation.Portrait
    )
    margin = A4_MARGIN_MM
    printer.setPageMargins(QMarginsF(margin, margin, margin, margin), QPageLayout.Unit.Millimeter)
    return printer


def print_plan(plan: ChartPlan, printer: QPrinter) -> None:
    """Print a laid-out chart on one page, as large as fits. Raises FileProblemError."""
    painter = QPainter()
    if not painter.begin(printer):
        raise FileProblemError(
            printer.printerName() or printer.outputFileName() or "printer",
            "the page could not be started; choose another printer or export a PDF",
        )
    try:
        page = printer.pageLayout().paintRectPixels(printer.resolution())
        factor = min(page.width() / plan.page.width, page.height() / plan.page.height)
        painter.translate((page.width() - plan.page.width * factor) / 2, 0)
        painter.scale(factor, factor)
        paint_plan(painter, plan)
    finally:
        painter.end()
