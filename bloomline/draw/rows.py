"""The rows of the season chart: a heading for each pot, a bar for each layer."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor

from bloomline.draw.bars import paint_bar
from bloomline.draw.chart_plan import ChartPlan
from bloomline.draw.ink import Ink
from bloomline.draw.layout import short_date
from bloomline.draw.legend import paint_planted, paint_scent
from bloomline.draw.names import fit_name
from bloomline.draw.page import INDENT, PAD, POT_GAP, SECOND_LINE, Block, Row
from bloomline.plan.report import LayerForecast


def paint_heading(ink: Ink, plan: ChartPlan, block: Block) -> None:
    """Paint a pot's name, what it is, and how long it is in colour."""
    page, theme, sizes = plan.page, plan.theme, plan.page.sizes
    px, small_px = sizes.text_px, sizes.small_px
    band = QRectF(
        PAD - 10, block.top + sizes.pot * POT_GAP, page.width - 2 * PAD + 20, sizes.pot * 0.76
    )
    ink.painter.setPen(Qt.PenStyle.NoPen)
    ink.painter.setBrush(QColor(theme.panel))
    ink.painter.drawRoundedRect(band, 5, 5)
    baseline = band.center().y() + px * 0.34
    weeks = f"{block.pot.weeks_of_colour.expected:.1f} weeks of colour"
    right = page.width - PAD
    right -= ink.text(right, baseline, weeks, small_px, theme.muted, align="right") + 20
    x = PAD
    name = ink.fitted(block.pot.name, px, (right - x) * 0.6, bold=True)
    x += ink.text(x, baseline, name, px, theme.ink, bold=True) + 14
    summary = ink.fitted(block.pot.summary, small_px, right - x)
    ink.text(x, baseline, summary, small_px, theme.muted)


def paint_row(ink: Ink, plan: ChartPlan, row: Row) -> None:
    """Paint a layer's name, scent and count, and its bar or why it has none."""
    page, theme, sizes, layer = plan.page, plan.theme, plan.page.sizes, row.layer
    px = sizes.text_px
    middle = row.top + sizes.row / 2
    baseline = middle + px * 0.34
    count = f"× {layer.count}"
    right = page.label_right
    ink.text(right, baseline, count, px, theme.muted, align="right")
    right -= max(ink.width("× 00", px), ink.width(count, px)) + 8
    if layer.scent:
        paint_scent(ink, right - 8, middle, layer.scent, theme.muted, height=sizes.bar * 0.8)
    right -= 18
    left = PAD + INDENT
    name = fit_name(layer.name, room=right - left, measure=lambda text: ink.width(text, px))
    ink.name(left, baseline, name, px, theme.ink)
    scale = page.scale
    small_px = sizes.small_px
    outer = paint_bar(
        ink,
        plan.report,
        layer,
        plan.petals[layer.layer_id],
        scale=scale,
        middle=middle,
        bar_height=sizes.bar,
        theme=theme,
    )
    if plan.options.show_planted:
        span = scale.span(layer.planted, layer.planted)
        if span is not None and not layer.established:
            paint_planted(ink, (span[0] + span[1]) / 2, middle, theme.muted)
    if outer is None:
        for index, line in enumerate(row.reason):
            y = baseline + index * sizes.row * SECOND_LINE
            ink.plate(scale.left + 6, y, ink.width(line, small_px), small_px, theme.ground)
            ink.text(scale.left + 6, y, line, small_px, theme.bare_text)
        return
    words = _row_words(layer) if plan.options.show_dates else ""
    width = ink.width(words, small_px)
    x = outer[1] + 6
    if x + width > scale.right:
        x = outer[0] - 6 - width
    if words and x >= scale.left:
        ink.plate(x, baseline, width, small_px, theme.ground)
        ink.text(x, baseline, words, small_px, theme.muted)


def _row_words(layer: LayerForecast) -> str:
    if layer.start is None or layer.end is None:
        return ""
    words = f"{short_date(layer.start.p50)} – {short_date(layer.end.p50)}"
    return f"{words} · established" if layer.established else words
