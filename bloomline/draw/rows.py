"""The rows of the season chart: a heading for each pot, a bar for each layer and companion."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor

from bloomline.draw.bars import paint_bar
from bloomline.draw.chart_plan import ChartPlan
from bloomline.draw.companion_bar import paint_companion
from bloomline.draw.ink import Ink
from bloomline.draw.layout import short_date
from bloomline.draw.legend import paint_conflict, paint_planted, paint_scent
from bloomline.draw.names import fit_name
from bloomline.draw.page import INDENT, PAD, POT_GAP, SECOND_LINE, Block, Row, TopRow
from bloomline.plan.report import CompanionForecast, LayerForecast


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
    _paint_label(ink, plan, layer, middle)
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
    _paint_due(ink, plan, layer.layer_id, middle)
    if outer is None:
        for index, line in enumerate(row.reason):
            y = baseline + index * sizes.row * SECOND_LINE
            ink.plate(scale.left + 6, y, ink.width(line, small_px), small_px, theme.ground)
            ink.text(scale.left + 6, y, line, small_px, theme.bare_text)
        return
    _paint_dates(ink, plan, _row_words(layer), outer, baseline)


def paint_top_row(ink: Ink, plan: ChartPlan, row: TopRow) -> None:
    """Paint a companion's name and count, and its bar or that it is out of season."""
    theme, sizes, companion = plan.theme, plan.page.sizes, row.companion
    middle = row.top + sizes.row / 2
    baseline = middle + sizes.text_px * 0.34
    _paint_label(ink, plan, companion, middle)
    scale = plan.page.scale
    outer = paint_companion(
        ink,
        companion,
        plan.petals[companion.planting_id],
        scale=scale,
        middle=middle,
        bar_height=sizes.bar,
        theme=theme,
    )
    if plan.options.show_planted:
        span = scale.span(companion.planted, companion.planted)
        if span is not None:
            paint_planted(ink, (span[0] + span[1]) / 2, middle, theme.muted)
    _paint_due(ink, plan, companion.planting_id, middle)
    if outer is None:
        words = "on top; not in season in these days"
        ink.plate(
            scale.left + 6, baseline, ink.width(words, sizes.small_px), sizes.small_px, theme.ground
        )
        ink.text(scale.left + 6, baseline, words, sizes.small_px, theme.bare_text)
        return
    _paint_dates(ink, plan, _top_words(companion), outer, baseline)


def _paint_due(ink: Ink, plan: ChartPlan, part_id: str, middle: float) -> None:
    """Mark the day of a planting whose pot isn't free; before the planting sign, if shown."""
    due = plan.due_of(part_id)
    span = None if due is None else plan.page.scale.span(due, due)
    if span is not None:
        half = plan.page.sizes.bar * 0.44
        x = (span[0] + span[1]) / 2 - (half + 6.0) * plan.options.show_planted
        paint_conflict(ink, x, middle, plan.theme, half=half)


def _paint_label(
    ink: Ink, plan: ChartPlan, plant: LayerForecast | CompanionForecast, middle: float
) -> None:
    """Paint a plant's name, scent and count in the column of names."""
    theme, sizes, px = plan.theme, plan.page.sizes, plan.page.sizes.text_px
    baseline = middle + px * 0.34
    count = f"× {plant.count}"
    right = plan.page.label_right
    ink.text(right, baseline, count, px, theme.muted, align="right")
    right -= max(ink.width("× 00", px), ink.width(count, px)) + 8
    if plant.scent:
        paint_scent(ink, right - 8, middle, plant.scent, theme.muted, height=sizes.bar * 0.8)
    right -= 18
    left = PAD + INDENT
    name = fit_name(plant.name, room=right - left, measure=lambda text: ink.width(text, px))
    ink.name(left, baseline, name, px, theme.ink)


def _paint_dates(
    ink: Ink, plan: ChartPlan, words: str, outer: tuple[float, float], baseline: float
) -> None:
    """Paint the dates of a bar behind it, or before it where there is no room."""
    if not plan.options.show_dates or not words:
        return
    scale, small_px = plan.page.scale, plan.page.sizes.small_px
    width = ink.width(words, small_px)
    x = outer[1] + 6
    if x + width > scale.right:
        x = outer[0] - 6 - width
    if x >= scale.left:
        ink.plate(x, baseline, width, small_px, plan.theme.ground)
        ink.text(x, baseline, words, small_px, plan.theme.muted)


def _row_words(layer: LayerForecast) -> str:
    if layer.start is None or layer.end is None:
        return ""
    words = f"{short_date(layer.start.p50)} – {short_date(layer.end.p50)}"
    return f"{words} · established" if layer.established else words


def _top_words(companion: CompanionForecast) -> str:
    if companion.first is None or companion.last is None:
        return ""
    return f"{short_date(companion.first)} – {short_date(companion.last)} · on top, by date"
