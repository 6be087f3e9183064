"""The frame of the season chart: heading, axis, lines of months and weeks, today, foot."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPen

from bloomline.draw.base.ink import Ink, Ruler
from bloomline.draw.base.names import wrapped
from bloomline.draw.season.axis import paint_axis, paint_grid, shows_days
from bloomline.draw.season.chart_plan import ChartPlan
from bloomline.draw.season.page import PAD
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.words import figure
from bloomline.words import short_day_words, tr

FIGURE_GAP = 30.0


def chart_title(report: SeasonReport, title: str | None) -> str:
    """The title that was asked for, else the yard's name."""
    return report.yard_name if title is None else title


def header_width(ruler: Ruler, report: SeasonReport, title: str | None) -> float:
    """Width of the wider of title and subtitle."""
    words = chart_title(report, title)
    return max(ruler.width(words, 28, bold=True), ruler.width(subtitle(report), 14))


def subtitle(report: SeasonReport) -> str:
    """Season, place and weather in one line."""
    return tr(
        "Season {season_year}  ·  {place_label}  ·  {weather_label}",
        season_year=report.season_year,
        place_label=report.place_label,
        weather_label=report.weather_label,
    )


def figures_width(ruler: Ruler, report: SeasonReport) -> float:
    """Width of the yard's figures at the right of the heading."""
    return sum(width + FIGURE_GAP for _, _, width in _figures(ruler, report))


def _figures(ruler: Ruler, report: SeasonReport) -> list[tuple[str, str, float]]:
    """Each figure's words, the words under it, and the wider one's width."""
    figures = []
    for words, spread in (
        (tr("weeks of colour"), report.weeks_of_colour),
        (tr("weeks of scent"), report.weeks_of_scent),
        (tr("bare days"), report.bare_days),
    ):
        upper = f"{figure(spread.expected)} {words}"
        lower = tr("this year alone")
        if report.weather_year is None:
            lower = tr(
                "{figure}–{figure2} in 8 years of 10",
                figure=figure(spread.p10),
                figure2=figure(spread.p90),
            )
        width = max(ruler.width(upper, 15, bold=True), ruler.width(lower, 12))
        figures.append((upper, lower, width))
    return figures


def paint_header(ink: Ink, plan: ChartPlan) -> None:
    """Paint the title, place and year, and the yard's figures at the right or underneath."""
    report, page, theme = plan.report, plan.page, plan.theme
    room = page.width - 2 * PAD
    if plan.has_figures:
        figures = _figures(ink, report)
        x, top = PAD, PAD + 62
        if not page.has_figures_line:
            x, top = page.width - PAD + FIGURE_GAP - figures_width(ink, report), PAD
            room = x - FIGURE_GAP - PAD
        for upper, lower, width in figures:
            ink.text(x, top + 20, upper, 15, theme.ink, bold=True)
            ink.text(x, top + 38, lower, 12, theme.muted)
            x += width + FIGURE_GAP
    words = ink.fitted(chart_title(report, plan.options.title), 28, room, bold=True)
    ink.text(PAD, PAD + 24, words, 28, theme.ink, bold=True)
    ink.text(PAD, PAD + 47, ink.fitted(subtitle(report), 14, room), 14, theme.muted)


def paint_axes(ink: Ink, plan: ChartPlan) -> None:
    """Paint the lines of the days, and months and weeks over the rows and, if far, below."""
    page, theme, scale = plan.page, plan.theme, plan.page.scale
    top = page.axis_top
    paint_grid(ink, theme, scale, top=top, bottom=page.rows_bottom, weeks_top=top + 38)
    lines = [(top + 14, top + 33)]
    if page.has_lower_axis:
        lines.append((page.rows_bottom + 32, page.rows_bottom + 14))
    for months, weeks in lines:
        paint_axis(ink, theme, scale, months=(months, 14), weeks=(weeks, 12))
        words = "day" if shows_days(scale) else "week"
        ink.text(page.label_right, weeks, words, 12, theme.muted, align="right")


def paint_today(ink: Ink, plan: ChartPlan) -> None:
    """Paint the line of today, if it was asked for and is among the days shown."""
    today, page, theme = plan.options.today, plan.page, plan.theme
    if today is None or not page.scale.shows(today):
        return
    x = page.scale.middle_of(today)
    ink.painter.setPen(QPen(QColor(theme.today), 2))
    ink.painter.drawLine(QLineF(x, page.axis_top, x, page.rows_bottom))
    words = tr("today, {short_day_words}", short_day_words=short_day_words(today))
    width = ink.width(words, 13, bold=True) + 16
    left = min(max(x - width / 2, page.scale.left), page.width - 6 - width)
    ink.painter.setPen(Qt.PenStyle.NoPen)
    ink.painter.setBrush(QColor(theme.today))
    ink.painter.drawRoundedRect(QRectF(left, page.axis_top - 24, width, 21), 10, 10)
    ink.text(left + 8, page.axis_top - 9, words, 13, theme.today_text, bold=True)


def paint_footer(ink: Ink, plan: ChartPlan) -> None:
    """Paint what the forecast rests on, and that it is one."""
    report, page, theme = plan.report, plan.page, plan.theme
    source = report.climate_source or report.place_label
    words = tr(
        "A forecast, not a promise: real weather, pots and bulbs differ.  "
        "Climate of {source}; {weather_label}.",
        source=source,
        weather_label=report.weather_label,
    )
    room = page.width - 2 * PAD
    lines = wrapped(words, room=room, measure=lambda text: ink.width(text, 12), most_lines=2)
    for index, line in enumerate(reversed(lines)):
        ink.text(PAD, page.footer_top + 36 - index * 16, line, 12, theme.muted)
