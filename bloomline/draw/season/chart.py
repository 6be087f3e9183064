"""The season chart: one row a layer, the yard's colour on top, bare and crowded days marked."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from bloomline.draw.base.export import LARGEST_SIDE_PX
from bloomline.draw.base.ink import Ink, Ruler
from bloomline.draw.base.petals import Family, theme_named
from bloomline.draw.base.qt import painting_font
from bloomline.draw.season.bars import BarPainter
from bloomline.draw.season.chart_plan import ChartOptions, ChartPlan
from bloomline.draw.season.days import Plant, part_id
from bloomline.draw.season.frame import (
    figures_width,
    header_width,
    paint_axes,
    paint_footer,
    paint_header,
    paint_today,
)
from bloomline.draw.season.legend import legend_items, legend_places, paint_legend
from bloomline.draw.season.page import (
    BRACKET_LINE,
    INDENT,
    LANE_LINE,
    LEGEND_LINE,
    PAD,
    POT_GAP,
    SECOND_LINE,
    Block,
    Row,
    arrange,
    ordered_pots,
    planted_on,
)
from bloomline.draw.season.rows import (
    Place,
    Style,
    looks_of,
    paint_name,
    paint_pot_words,
    paint_rows,
)
from bloomline.draw.season.stretches import (
    paint_bare,
    paint_bare_words,
    paint_crowded,
    place_stretches,
)
from bloomline.draw.season.strip import StripPainter, paint_strip_side, plan_strip
from bloomline.draw.season.wish_lane import lanes_of, paint_wishes
from bloomline.errors import UsageError
from bloomline.plan.forecast.report import Alike, CompanionForecast, LayerForecast, SeasonReport
from bloomline.plan.words.benches import fitted_times
from bloomline.words import plural, short_day_words, tr

__all__ = ["ChartOptions", "ChartPlan", "paint_plan", "plan_season"]

STRETCH_PX = 13  # letters of bare and crowded days


def plan_season(report: SeasonReport, options: ChartOptions) -> ChartPlan:
    """Lay the chart out.

    Raises UsageError if the page is too small or too large or the theme unknown,
    UnknownNameError for a pot that the yard doesn't have.
    """
    for what, value in (("width", options.width), ("height", options.height)):
        if value is not None and not 1 <= value <= LARGEST_SIDE_PX:
            raise UsageError(
                tr(
                    "the {what} of a chart is between 1 and {largest_side_px} px, not {value:g}",
                    what=what,
                    largest_side_px=LARGEST_SIDE_PX,
                    value=value,
                )
            )
    theme = theme_named(options.theme)
    ruler = Ruler(painting_font())
    pots = ordered_pots(report, options.pot_ids, by_first_flower=options.by_first_flower)
    # Bare and crowded days belong to the yard as a whole; of a few pots they say nothing.
    is_whole = len(pots) == len(report.pots)
    bare = report.bare if is_whole else ()
    crowded = report.crowded if is_whole else ()
    layers = [layer for pot in pots for layer in pot.layers]
    companions = [companion for pot in pots for companion in pot.companions]
    petals = looks_of([*layers, *companions], theme)
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
    wishes = options.wishes if is_whole else ()
    wish_lines = max(lanes_of(wishes).values(), default=-1) + 1
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
            wish_lines=wish_lines,
            legend_lines=max((line for _, line in places), default=0) + 1,
            show_planted=options.show_planted,
            has_figures_line=has_figures_line,
            has_today=options.today is not None,
        )
        bare_labels, crowd_labels = (
            place_stretches(
                some,
                [_stretch_words(each.days, is_bare=some is bare) for each in some],
                scale=page.scale,
                measure=lambda text: ruler.width(text, STRETCH_PX, bold=True),
                most_lines=2,
            )
            for some in (bare, crowded)
        )
        bracket_lines = max((label.line for label in crowd_labels), default=0) + 1
        lane_lines = max((label.line for label in bare_labels), default=0) + 1
    return ChartPlan(
        report,
        options,
        page,
        theme,
        bare_labels,
        crowd_labels,
        items,
        tuple(places),
        petals,
        wishes,
    )


def _has_conflicts(
    options: ChartOptions,
    layers: Sequence[LayerForecast],
    companions: Sequence[CompanionForecast],
) -> bool:
    shown = {layer.layer_id for layer in layers} | {each.planting_id for each in companions}
    return any(shown.intersection(conflict.new_ids) for conflict in options.conflicts)


def _stretch_words(days: int, *, is_bare: bool) -> tuple[str, str]:
    if is_bare:
        words = plural("bare · {n} day", "bare · {n} days", days)
    else:
        words = plural("crowded · {n} day", "crowded · {n} days", days)
    return words, tr("{days} d", days=days)


def paint_plan(painter: QPainter, plan: ChartPlan, *, as_outlines: bool = False) -> None:
    """Paint a chart that is laid out, from the painter's (0, 0); letters as shapes for SVG."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    ink = Ink(painter, painting_font(), as_outlines=as_outlines)
    page, theme = plan.page, plan.theme
    painter.fillRect(QRectF(0, 0, page.width, page.height), QColor(theme.ground))
    paint_header(ink, plan)
    paint_axes(ink, plan)
    _paint_strip(ink, plan)
    first_row = page.rows_top + page.sizes.pot * POT_GAP
    lane = page.lane_top, page.wish_top if plan.wishes else first_row
    field = first_row, page.rows_bottom
    paint_bare(ink, theme, plan.bare, top=lane[0], bottom=lane[1], is_lane=True)
    paint_bare(ink, theme, plan.bare, top=field[0], bottom=field[1])
    paint_today(ink, plan)
    style = _style(plan)
    for block in page.blocks:
        _paint_heading(ink, plan, block, style)
    paint_bare_words(
        ink,
        theme,
        plan.bare,
        top=page.lane_top + 3,
        line_height=LANE_LINE,
        px=STRETCH_PX,
        lines=page.lane_lines,
    )
    if plan.wishes:
        px = page.sizes.small_px
        words = ink.fitted(tr("wished for"), px, page.label_right - PAD)
        ink.text(PAD, page.wish_top + LANE_LINE * 0.7, words, px, theme.muted)
    paint_wishes(
        ink,
        theme,
        plan.wishes,
        scale=page.scale,
        top=page.wish_top,
        line=LANE_LINE,
        px=STRETCH_PX,
    )
    paint_crowded(
        ink,
        theme,
        plan.crowded,
        base=page.strip_top - 7,
        line_height=BRACKET_LINE,
        px=STRETCH_PX,
        lines=page.bracket_lines,
    )
    places = [_place(plan, row) for block in page.blocks for row in block.rows]
    for place in places:
        paint_name(ink, style, place.plant, place.middle, left=PAD + INDENT, right=page.label_right)
    paint_rows(
        ink,
        style,
        plan.report,
        plan.petals,
        places,
        scale=page.scale,
        seen=QRectF(0, 0, page.width, page.height),
        painter=BarPainter(),
    )
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


def _style(plan: ChartPlan) -> Style:
    sizes, theme = plan.page.sizes, plan.theme
    return Style(
        theme, sizes.text_px, sizes.small_px, sizes.bar, focus=theme.muted, caution=theme.bare_text
    )


def _place(plan: ChartPlan, row: Row) -> Place:
    sizes, plant = plan.page.sizes, row.plant
    return Place(
        plant,
        row.top + sizes.row / 2,
        words=_dates(plant) if plan.options.show_dates else "",
        barren=row.reason,
        planted=planted_on(plant) if plan.options.show_planted else None,
        due=plan.due_of(part_id(plant)),
        line_height=sizes.row * SECOND_LINE,
    )


def _dates(plant: Plant) -> str:
    """The dates that are written beside a plant's bar."""
    if isinstance(plant, CompanionForecast):
        if plant.first is None or plant.last is None:
            return ""
        return tr(
            "{short_day_words} – {short_date2} · on top, by date",
            short_day_words=short_day_words(plant.first),
            short_date2=short_day_words(plant.last),
        )
    if plant.start is None or plant.end is None:
        return ""
    words = f"{short_day_words(plant.start.p50)} – {short_day_words(plant.end.p50)}"
    return tr("{words} · established", words=words) if plant.established else words


def _paint_heading(ink: Ink, plan: ChartPlan, block: Block, style: Style) -> None:
    """Paint a pot's name, what it is, and how long it is in colour."""
    page, theme, sizes = plan.page, plan.theme, plan.page.sizes
    px = sizes.text_px
    band = QRectF(
        PAD - 10, block.top + sizes.pot * POT_GAP, page.width - 2 * PAD + 20, sizes.pot * 0.76
    )
    ink.painter.setPen(Qt.PenStyle.NoPen)
    ink.painter.setBrush(QColor(theme.panel))
    ink.painter.drawRoundedRect(band, 5, 5)
    baseline = band.center().y() + px * 0.34
    right = page.width - PAD
    name = fitted_times(
        block.pot.name,
        block.pot.copies,
        room=(right - PAD) * 0.5,
        fit=lambda text, room: ink.fitted(text, px, room, bold=True),
        width=lambda text: ink.width(text, px, bold=True),
    )
    left = PAD + ink.text(PAD, baseline, name, px, theme.ink, bold=True) + 14
    weeks = tr("{expected:.1f} weeks of colour", expected=block.pot.weeks_of_colour.expected)
    paint_pot_words(
        ink, style, baseline, left=left, right=right, summary=block.pot.summary, weeks=weeks
    )


def _paint_strip(ink: Ink, plan: ChartPlan) -> None:
    page, theme, scale, report = plan.page, plan.theme, plan.page.scale, plan.report
    pots = [block.pot for block in page.blocks]
    layers = [Alike(layer, 1, pot.copies) for pot in pots for layer in pot.layers]
    strip = plan_strip(report, layers, plan.petals, first=scale.first_day, last=scale.last_day)
    top, base = page.strip_top + 4, page.strip_top + page.strip_height
    limit = report.crowd_limit if plan.crowded else None
    StripPainter().paint(
        ink, strip, scale=scale, top=top, base=base, theme=theme, crowd_limit=limit
    )
    if not strip.bands:
        words = tr("nothing is expected to flower this season")
        ink.plate(scale.left + 6, base - 40, ink.width(words, 14), 14, theme.ground)
        ink.text(scale.left + 6, base - 40, words, 14, theme.muted)
    paint_strip_side(
        ink,
        theme,
        strip.levels(top, base) if strip.bands else (),
        (tr("layers in flower"), tr("expected each day")),
        left=PAD,
        right=page.label_right,
        base=base - 16,
        px=14,
        small_px=13,
    )
