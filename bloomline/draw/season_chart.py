"""The season chart: one row a layer, the yard's colour on top, bare and crowded days marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from bloomline.draw.bars import paint_bar
from bloomline.draw.ink import Ink, Ruler
from bloomline.draw.layout import (
    MONTHS,
    DayScale,
    band_outline,
    bar_chance,
    month_ticks,
    place_labels,
    short_date,
    stack_bands,
    week_ticks,
)
from bloomline.draw.legend import (
    Item,
    legend_items,
    legend_places,
    paint_bracket,
    paint_legend,
    paint_planted,
    paint_scent,
)
from bloomline.draw.marks import marks_in_area
from bloomline.draw.names import elide, fit_name
from bloomline.draw.page import (
    BRACKET_LINE,
    INDENT,
    LANE_LINE,
    LEGEND_LINE,
    PAD,
    Block,
    Page,
    Row,
    arrange,
    ordered_pots,
)
from bloomline.draw.petals import Family, Petal, Theme, ThemeName, family_of, petal, theme_named
from bloomline.draw.qt import painting_font
from bloomline.plan.report import LayerForecast, SeasonReport, Spread, Stretch


@dataclass(frozen=True, slots=True)
class ChartOptions:
    """What the chart shows and how large it is laid out.

    Lengths are in px of 1/96 inch, whatever the resolution of the picture. Without a height
    the chart is as tall as its content.
    """

    width: float = 1600.0
    height: float | None = None
    theme: ThemeName = "light"
    today: date | None = None
    pot_ids: tuple[str, ...] | None = None
    title: str | None = None
    show_planted: bool = False
    show_dates: bool = True
    in_yard_order: bool = False
    as_outlines: bool = False


@dataclass(frozen=True, slots=True)
class _Label:
    words: str
    x: float
    line: int
    left: float
    right: float


@dataclass(frozen=True, slots=True)
class ChartPlan:
    """A chart that is laid out and ready to be painted."""

    report: SeasonReport
    options: ChartOptions
    page: Page
    theme: Theme
    bare: tuple[_Label, ...]
    crowded: tuple[_Label, ...]
    items: tuple[Item, ...]
    item_places: tuple[tuple[float, int], ...]
    petals: dict[str, Petal]


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
    petals = {
        layer.layer_id: petal(layer.colour_hex, theme=theme, second_hex=layer.second_colour_hex)
        for layer in layers
    }
    blooming = [layer for layer in layers if layer.start is not None]
    families = {petals[layer.layer_id].family for layer in blooming}
    items = legend_items(
        [family for family in Family if family in families],
        theme=theme,
        bare_share=report.bare_threshold if bare else None,
        crowd_limit=report.crowd_limit if crowded else None,
        has_scent=any(layer.scent for layer in layers),
        has_planted=options.show_planted,
    )
    places = legend_places(items, room=options.width - 2 * PAD, measure=ruler.width)
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
        )
        bare_labels = _labels(bare, page.scale, ruler, word="bare", one_day="1 bare day")
        crowd_labels = _labels(crowded, page.scale, ruler, word="crowded", one_day="")
        bracket_lines = max((label.line for label in crowd_labels), default=0) + 1
        lane_lines = max((label.line for label in bare_labels), default=0) + 1
    return ChartPlan(
        report, options, page, theme, bare_labels, crowd_labels, items, tuple(places), petals
    )


def _labels(
    stretches: Sequence[Stretch], scale: DayScale, ruler: Ruler, *, word: str, one_day: str
) -> tuple[_Label, ...]:
    spans = []
    for stretch in stretches:
        span = scale.span(stretch.first, stretch.last)
        if span is None:
            continue
        days = stretch.days
        plural = "day" if days == 1 else "days"
        words = f"{days} bare {plural}" if word == "bare" else f"crowded · {days} {plural}"
        spans.append((span, words))
    widths = [ruler.width(words, 13, bold=True) + 10 for _, words in spans]
    centres = [(span[0] + span[1]) / 2 for span, _ in spans]
    places = place_labels(centres, widths, left=scale.left, right=scale.right)
    return tuple(
        _Label(words, x + 5, line, *span)
        for (span, words), (x, line) in zip(spans, places, strict=True)
    )


def paint_season(
    painter: QPainter, report: SeasonReport, rect: QRectF, options: ChartOptions
) -> None:
    """Paint the chart into a rectangle of the painter, laid out for the rectangle's size."""
    fitted = ChartOptions(
        width=rect.width(),
        height=rect.height(),
        theme=options.theme,
        today=options.today,
        pot_ids=options.pot_ids,
        title=options.title,
        show_planted=options.show_planted,
        show_dates=options.show_dates,
        in_yard_order=options.in_yard_order,
        as_outlines=options.as_outlines,
    )
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
    _paint_header(ink, plan)
    _paint_grid(ink, plan)
    _paint_axis(ink, plan, page.axis_top, is_upper=True)
    if page.has_lower_axis:
        _paint_axis(ink, plan, page.rows_bottom, is_upper=False)
    _paint_strip(ink, plan)
    _paint_stretches(ink, plan)
    for block in page.blocks:
        _paint_block(ink, plan, block)
    _paint_today(ink, plan)
    paint_legend(
        ink,
        plan.items,
        plan.item_places,
        left=PAD,
        top=page.legend_top,
        line_height=LEGEND_LINE,
        theme=theme,
    )
    _paint_footer(ink, plan)


def _figure(spread: Spread) -> tuple[str, str]:
    low, high = sorted((spread.coldest, spread.warmest))
    return f"{spread.expected:.0f}", f"{low:.0f} to {high:.0f}"


def _paint_header(ink: Ink, plan: ChartPlan) -> None:
    report, page, theme = plan.report, plan.page, plan.theme
    right = page.width - PAD
    if plan.options.pot_ids is None:
        figures = (
            ("weeks of colour", report.weeks_of_colour),
            ("weeks of scent", report.weeks_of_scent),
            ("bare days", report.bare_days),
        )
        for words, spread in reversed(figures):
            expected, swing = _figure(spread)
            width = max(ink.width(f"{expected} {words}", 15, bold=True), ink.width(swing, 12))
            ink.text(right - width, PAD + 20, f"{expected} {words}", 15, theme.ink, bold=True)
            ink.text(right - width, PAD + 38, f"{swing}", 12, theme.muted)
            right -= width + 30
    room = right - PAD
    title = plan.options.title if plan.options.title is not None else report.yard_name
    measure = lambda text: ink.width(text, 28, bold=True)  # noqa: E731
    ink.text(PAD, PAD + 24, elide(title, room=room, measure=measure), 28, theme.ink, bold=True)
    line = f"Season {report.season_year}  ·  {report.place_label}  ·  {report.weather_label}"
    small = lambda text: ink.width(text, 14)  # noqa: E731
    ink.text(PAD, PAD + 47, elide(line, room=room, measure=small), 14, theme.muted)


def _paint_grid(ink: Ink, plan: ChartPlan) -> None:
    page, theme = plan.page, plan.theme
    top, bottom = page.axis_top + 18, page.rows_bottom
    ink.painter.setPen(QPen(QColor(theme.grid), 0.8))
    for tick in week_ticks(page.scale):
        ink.painter.drawLine(QLineF(tick.left, top + 20, tick.left, bottom))
    ink.painter.setPen(QPen(QColor(theme.month_line), 1.2))
    for tick in month_ticks(page.scale):
        if tick.is_whole:
            ink.painter.drawLine(QLineF(tick.left, page.axis_top, tick.left, bottom))


def _paint_axis(ink: Ink, plan: ChartPlan, top: float, *, is_upper: bool) -> None:
    page, theme = plan.page, plan.theme
    month_line, week_line = (top + 14, top + 33) if is_upper else (top + 32, top + 14)
    for tick in month_ticks(page.scale):
        ink.text(tick.left + 6, month_line, tick.label, 14, theme.ink, bold=True)
    ink.text(page.label_right, week_line, "week", 12, theme.muted, align="right")
    for tick in week_ticks(page.scale):
        ink.text(
            (tick.left + tick.right) / 2, week_line, tick.label, 12, theme.muted, align="centre"
        )


def _strip_layers(plan: ChartPlan) -> list[LayerForecast]:
    """Layers with a flower, one colour family after the other, the earliest at the bottom."""
    layers = [layer for layer in plan.page.layers if layer.start is not None]
    order: dict[Family, date] = {}
    for layer in layers:
        assert layer.start is not None
        family = plan.petals[layer.layer_id].family
        order[family] = min(order.get(family, date.max), layer.start.p50)
    return sorted(
        layers,
        key=lambda layer: (
            order[plan.petals[layer.layer_id].family],
            plan.petals[layer.layer_id].family,
            layer.start.p50 if layer.start else date.max,
        ),
    )


def _paint_strip(ink: Ink, plan: ChartPlan) -> None:
    page, theme, scale, painter = plan.page, plan.theme, plan.page.scale, ink.painter
    layers = _strip_layers(plan)
    base = page.strip_top + page.strip_height
    if layers:
        chances = np.array(
            [bar_chance(plan.report, one, scale.first, scale.last) for one in layers]
        )
        lower, upper = stack_bands(chances)
        peak = max(1.0, float(ceil(upper[-1].max())))
        unit = (page.strip_height - 4) / peak
        xs = scale.left + (np.arange(scale.days) + 0.5) * scale.day_width
        for level in sorted({0, round(peak / 2), round(peak)}):
            y = base - level * unit
            painter.setPen(QPen(QColor(theme.month_line), 0.8))
            painter.drawLine(QLineF(scale.left, y, scale.right, y))
            ink.text(page.label_right, y + 4, str(level), 12, theme.muted, align="right")
        for index, layer in enumerate(layers):
            look = plan.petals[layer.layer_id]
            painter.setPen(QPen(QColor(look.outline), 0.6))
            painter.setBrush(QColor(look.fill))
            for outline in band_outline(xs, base - lower[index] * unit, base - upper[index] * unit):
                painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in outline]))
        _paint_strip_marks(ink, plan, layers, xs, base - upper * unit, base - lower * unit)
    label_room = page.label_right - PAD - 30
    small = lambda text: ink.width(text, 13)  # noqa: E731
    ink.text(PAD, base - 34, "layers in flower", 14, theme.ink, bold=True)
    words = elide("expected number on each day", room=label_room, measure=small)
    ink.text(PAD, base - 16, words, 13, theme.muted)


def _paint_strip_marks(
    ink: Ink,
    plan: ChartPlan,
    layers: Sequence[LayerForecast],
    xs: np.ndarray,
    tops: np.ndarray,
    bottoms: np.ndarray,
) -> None:
    looks = [plan.petals[layer.layer_id] for layer in layers]
    for index, look in enumerate(looks):
        centres = marks_in_area(xs, tops[index], bottoms[index], radius=2.4, pitch=13)
        ink.marks(centres, look, radius=2.4)


def _paint_stretches(ink: Ink, plan: ChartPlan) -> None:
    page, theme, painter = plan.page, plan.theme, ink.painter
    for label in plan.bare:
        rect = QRectF(
            label.left,
            page.lane_top,
            label.right - label.left,
            page.rows_bottom - page.lane_top,
        )
        wash = QColor(theme.bare)
        wash.setAlphaF(0.10)
        painter.fillRect(rect, wash)
        ink.hatch(rect, theme.bare, pitch=9, width=0.8)
    for label in plan.bare:
        y = page.lane_top + 3 + label.line * LANE_LINE
        width = ink.width(label.words, 13, bold=True)
        painter.setPen(QPen(QColor(theme.bare), 1))
        painter.setBrush(QColor(theme.ground))
        painter.drawRoundedRect(QRectF(label.x - 5, y, width + 10, LANE_LINE - 3), 5, 5)
        ink.text(label.x, y + 13, label.words, 13, theme.bare_text, bold=True)
    for label in plan.crowded:
        y = page.strip_top - 7 - label.line * BRACKET_LINE
        paint_bracket(ink, label.left, label.right, y, theme.crowd)
        ink.text(label.x, y - 4, label.words, 13, theme.crowd, bold=True)


def _paint_block(ink: Ink, plan: ChartPlan, block: Block) -> None:
    page, theme, sizes = plan.page, plan.theme, plan.page.sizes
    px = sizes.text_px
    band = QRectF(
        PAD - 10, block.top + sizes.pot * 0.16, page.width - 2 * PAD + 20, sizes.pot * 0.76
    )
    ink.painter.setPen(Qt.PenStyle.NoPen)
    ink.painter.setBrush(QColor(theme.panel))
    ink.painter.drawRoundedRect(band, 5, 5)
    baseline = band.center().y() + px * 0.34
    weeks = f"{block.pot.weeks_of_colour.expected:.1f} weeks of colour"
    right = page.width - PAD
    right -= ink.text(right, baseline, weeks, max(px - 2, 10), theme.muted, align="right") + 20
    bold = lambda text: ink.width(text, px, bold=True)  # noqa: E731
    small = lambda text: ink.width(text, max(px - 2, 10))  # noqa: E731
    x = PAD
    name = elide(block.pot.name, room=(right - x) * 0.6, measure=bold)
    x += ink.text(x, baseline, name, px, theme.ink, bold=True) + 14
    summary = elide(block.pot.summary, room=right - x, measure=small)
    ink.text(x, baseline, summary, max(px - 2, 10), theme.muted)
    for row in block.rows:
        _paint_row(ink, plan, row)


def _paint_row(ink: Ink, plan: ChartPlan, row: Row) -> None:
    page, theme, sizes, layer = plan.page, plan.theme, plan.page.sizes, row.layer
    px = sizes.text_px
    middle = row.top + sizes.row / 2
    baseline = middle + px * 0.34
    count = f"× {layer.count}"
    right = page.label_right
    ink.text(right, baseline, count, px, theme.muted, align="right")
    right -= max(ink.width("× 00", px), ink.width(count, px)) + 8
    if layer.scent:
        paint_scent(ink, right - 8, middle, layer.scent, theme.muted)
    right -= 18
    left = PAD + INDENT
    plain = lambda text: ink.width(text, px)  # noqa: E731
    ink.name(left, baseline, fit_name(layer.name, room=right - left, measure=plain), px, theme.ink)
    scale = page.scale
    small_px = max(px - 2, 10)
    small = lambda text: ink.width(text, small_px)  # noqa: E731
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
        words = f"no flower this season: {layer.reason or 'not known why'}"
        words = elide(words, room=scale.width - 12, measure=small)
        ink.text(scale.left + 6, baseline, words, small_px, theme.bare_text)
        return
    words = _row_words(layer) if plan.options.show_dates else ""
    width = ink.width(words, small_px)
    x = outer[1] + 6
    if x + width > scale.right:
        x = outer[0] - 6 - width
    if words and x >= scale.left:
        ink.text(x, baseline, words, small_px, theme.muted)


def _row_words(layer: LayerForecast) -> str:
    assert layer.start is not None and layer.end is not None
    words = f"{short_date(layer.start.p50)} – {short_date(layer.end.p50)}"
    return f"{words} · established" if layer.established else words


def _paint_today(ink: Ink, plan: ChartPlan) -> None:
    today, page, theme = plan.options.today, plan.page, plan.theme
    if today is None or not page.scale.first <= today <= page.scale.last:
        return
    x = page.scale.x(today) + page.scale.day_width / 2
    ink.painter.setPen(QPen(QColor(theme.today), 2))
    ink.painter.drawLine(QLineF(x, page.axis_top, x, page.rows_bottom))
    words = f"today, {short_date(today)}"
    width = ink.width(words, 13, bold=True) + 16
    left = min(max(x - width / 2, page.scale.left), page.width - 6 - width)
    ink.painter.setPen(Qt.PenStyle.NoPen)
    ink.painter.setBrush(QColor(theme.today))
    ink.painter.drawRoundedRect(QRectF(left, page.axis_top - 3, width, 21), 10, 10)
    ink.text(left + 8, page.axis_top + 12, words, 13, theme.today_text, bold=True)


def _paint_footer(ink: Ink, plan: ChartPlan) -> None:
    report, page, theme = plan.report, plan.page, plan.theme
    words = (
        "A forecast, not a promise: real weather, pots and bulbs differ.  "
        f"Climate of station {report.station_id}, 1991–2020; {report.weather_label}."
    )
    small = lambda text: ink.width(text, 12)  # noqa: E731
    room = page.width - 2 * PAD
    ink.text(PAD, page.footer_top + 26, elide(words, room=room, measure=small), 12, theme.muted)
