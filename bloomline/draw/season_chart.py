"""The season chart: one row a layer, the yard's colour on top, bare and crowded days marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter

from bloomline.draw.chart_plan import ChartOptions, ChartPlan, StretchLabel
from bloomline.draw.frame import (
    figures_width,
    header_width,
    paint_axis,
    paint_footer,
    paint_grid,
    paint_header,
    paint_today,
)
from bloomline.draw.ink import Ink, Ruler
from bloomline.draw.layout import DayScale, place_labels
from bloomline.draw.legend import legend_items, legend_places, paint_legend
from bloomline.draw.page import LEGEND_LINE, PAD, arrange, ordered_pots
from bloomline.draw.petals import Family, petal, theme_named
from bloomline.draw.qt import painting_font
from bloomline.draw.rows import paint_heading, paint_row, paint_top_row
from bloomline.draw.strip import paint_hatching, paint_stretch_words, paint_strip
from bloomline.plan.report import CompanionForecast, LayerForecast, SeasonReport, Stretch

__all__ = ["ChartOptions", "ChartPlan", "paint_plan", "paint_season", "plan_season"]


def plan_season(report: SeasonReport, options: ChartOptions) -> ChartPlan:
    """Lay the chart out.

    Raises UsageError if the page is too small or the theme unknown, UnknownNameError for a
    pot that the yard doesn't have.
    """
    theme = theme_named(options.theme)
    ruler = Ruler(painting_font())
    pots = ordered_pots(report, options.pot_ids, in_yard_order=options.in_yard_order)
    # Bare and crowded days belong to the yard as a whole; of a few pots they say nothing.
    is_whole = len(pots) == len(report.pots)
    bare = report.bare if is_whole else ()
    crowded = report.crowded if is_whole else ()
    layers = [layer for pot in pots for layer in pot.layers]
    companions = [companion for pot in pots for companion in pot.companions]
    petals = {
        layer.layer_id: petal(layer.colour_hex, theme=theme, second_hex=layer.second_colour_hex)
        for layer in layers
    }
    for companion in companions:
        petals[companion.planting_id] = petal(companion.colour_hex, theme=theme)
    blooming = [layer for layer in layers if layer.start is not None]
    families = {petals[layer.layer_id].family for layer in blooming}
    items = legend_items(
        [family for family in Family if family in families],
        theme=theme,
        bare_share=report.bare_threshold if bare else None,
        crowd_limit=report.crowd_limit if crowded else None,
        has_scent=any(each.scent for each in layers) or any(each.scent for each in companions),
        has_planted=options.show_planted,
        has_flowers=bool(blooming),
        has_tops=any(not each.is_leaf for each in companions),
        has_leaf_tops=any(each.is_leaf for each in companions),
        has_conflicts=_has_conflicts(options, layers, companions),
    )
    places = legend_places(items, room=options.width - 2 * PAD, measure=ruler.width)
    beside = figures_width(ruler, report) if is_whole else 0.0
    wanted = header_width(ruler, report, options.title)
    has_figures_line = bool(beside) and wanted > options.width - 2 * PAD - beside
    bracket_lines = lane_lines = 1
    for _ in range(2):
        page = arrange(
            report,
            pots,
            width=options.width,
            height=options.height,
            measure=ruler.width,
            bracket_lines=bracket_lines,
            lane_lines=lane_lines,
            legend_lines=max((line for _, line in places), default=0) + 1,
            show_planted=options.show_planted,
            has_figures_line=has_figures_line,
            has_today=options.today is not None,
        )
        bare_labels = _labels(bare, page.scale, ruler, word="bare")
        crowd_labels = _labels(crowded, page.scale, ruler, word="crowded")
        bracket_lines = max((label.line for label in crowd_labels), default=0) + 1
        lane_lines = max((label.line for label in bare_labels), default=0) + 1
    return ChartPlan(
        report, options, page, theme, bare_labels, crowd_labels, items, tuple(places), petals
    )


def _has_conflicts(
    options: ChartOptions,
    layers: Sequence[LayerForecast],
    companions: Sequence[CompanionForecast],
) -> bool:
    shown = {layer.layer_id for layer in layers} | {each.planting_id for each in companions}
    return any(shown.intersection(conflict.new_ids) for conflict in options.conflicts)


def _labels(
    stretches: Sequence[Stretch], scale: DayScale, ruler: Ruler, *, word: str
) -> tuple[StretchLabel, ...]:
    """The words of the stretches; only their days where full words would pile up."""
    shown = [
        (stretch.days, span)
        for stretch in stretches
        if (span := scale.span(stretch.first, stretch.last)) is not None
    ]
    centres = [(left + right) / 2 for _, (left, right) in shown]
    for is_short in (False, True):
        words = [_stretch_words(days, word, is_short=is_short) for days, _ in shown]
        widths = [ruler.width(one, 13, bold=True) + 10 for one in words]
        places = place_labels(centres, widths, left=scale.left, right=scale.right)
        if max((line for _, line in places), default=0) <= 1:
            break
    return tuple(
        StretchLabel(one, x + 5, line, *span)
        for one, (_, span), (x, line) in zip(words, shown, places, strict=True)
    )


def _stretch_words(days: int, word: str, *, is_short: bool) -> str:
    if is_short:
        return f"{days} d"
    return f"{word} · {days} {'day' if days == 1 else 'days'}"


def paint_season(
    painter: QPainter, report: SeasonReport, rect: QRectF, options: ChartOptions
) -> None:
    """Paint the chart into a rectangle of the painter, laid out for the rectangle's size."""
    fitted = replace(options, width=rect.width(), height=rect.height())
    plan = plan_season(report, fitted)
    painter.save()
    painter.translate(rect.topLeft())
    paint_plan(painter, plan)
    painter.restore()


def paint_plan(painter: QPainter, plan: ChartPlan) -> None:
    """Paint a chart that is laid out, from the painter's (0, 0)."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    ink = Ink(painter, painting_font(), as_outlines=plan.options.as_outlines)
    page, theme = plan.page, plan.theme
    painter.fillRect(QRectF(0, 0, page.width, page.height), QColor(theme.ground))
    paint_header(ink, plan)
    paint_grid(ink, plan)
    paint_axis(ink, plan, page.axis_top, is_upper=True)
    if page.has_lower_axis:
        paint_axis(ink, plan, page.rows_bottom, is_upper=False)
    paint_strip(ink, plan)
    paint_hatching(ink, plan)
    paint_today(ink, plan)
    for block in page.blocks:
        paint_heading(ink, plan, block)
    paint_stretch_words(ink, plan)
    for block in page.blocks:
        for row in block.rows:
            paint_row(ink, plan, row)
        for top in block.tops:
            paint_top_row(ink, plan, top)
    paint_legend(
        ink,
        plan.items,
        plan.item_places,
        left=PAD,
        top=page.legend_top,
        line_height=LEGEND_LINE,
        theme=theme,
    )
    paint_footer(ink, plan)
