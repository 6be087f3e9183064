"""Paints rows: the names at the left, and bars, signs and words over the days."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil, floor

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainterPath, QPen

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.names import fit_name
from bloomline.draw.base.petals import Petal, Theme, mix, petal_of
from bloomline.draw.season.bars import Bar, BarPainter, bars_of
from bloomline.draw.season.days import DayScale, Plant, bar_days, part_id
from bloomline.draw.season.signs import (
    conflict_box,
    marker_size,
    paint_conflict,
    paint_planted,
    paint_records,
    paint_scent,
)
from bloomline.plan.forecast.report import CompanionForecast, LayerForecast, SeasonReport

BAR_SHARE = 0.72  # of a layer's bar: companions stand beside the bulbs, which are what counts
_DOT, _PITCH = 0.95, 5.0
_BEYOND = 12.0  # how far past what is seen a companion's bar is still painted


@dataclass(frozen=True, slots=True)
class Style:
    """Colours of rows, and sizes that follow from their height. [px]"""

    theme: Theme
    text_px: int
    small_px: int
    bar: float
    focus: str
    """Colour of what is chosen."""
    caution: str
    """Colour of the sign of a pot that isn't free."""


@dataclass(frozen=True, slots=True)
class Place:
    """What the row of a plant shows, and where its middle is.

    words : beside its bar. barren : instead of a bar. planted : where its planting sign
    stands, if anywhere. due : when it is to be planted while its pot isn't free. records : days
    on which something was seen.
    """

    plant: Plant
    middle: float
    words: str = ""
    barren: Sequence[str] = ()
    planted: date | None = None
    due: date | None = None
    records: Sequence[date] = ()
    is_chosen: bool = False
    line_height: float = 0.0


def looks_of(plants: Iterable[Plant], theme: Theme) -> dict[str, Petal]:
    """How the petals of plants are painted, by the id of the layer or of the companions."""
    found: dict[str, Petal] = {}
    of_colours: dict[tuple[str, str | None], Petal] = {}  # thousands of plants have a few colours
    for plant in plants:
        is_mixed = isinstance(plant, LayerForecast) and bool(plant.parts)
        colours = (plant.colour_hex, getattr(plant, "second_colour_hex", None))
        look = None if is_mixed else of_colours.get(colours)
        if look is None:
            look = petal_of(plant, theme=theme)
            if not is_mixed:
                of_colours[colours] = look
        found[part_id(plant)] = look
    return found


def name_room(ink: Ink, plant: Plant, px: int) -> float:
    """What number and scent of a plant take up beside its name. [px]"""
    count = max(ink.width("× 00", px), ink.width(f"× {plant.count}", px)) + 6
    return count + (18 if plant.scent else 0)


def paint_name(
    ink: Ink, style: Style, plant: Plant, middle: float, *, left: float, right: float
) -> None:
    """Paint a plant's name, scent and number between two edges."""
    px, muted = style.text_px, style.theme.muted
    baseline = middle + px * 0.35
    ink.text(right, baseline, f"× {plant.count}", style.small_px, muted, align="right")
    right -= name_room(ink, plant, style.small_px)
    if plant.scent:
        paint_scent(ink, right + 8, middle, plant.scent, muted, height=px * 0.95)
    name = fit_name(plant.name, room=right - left, measure=lambda text: ink.width(text, px))
    ink.name(left, baseline, name, px, style.theme.ink)


def paint_pot_words(
    ink: Ink, style: Style, baseline: float, *, left: float, right: float, summary: str, weeks: str
) -> None:
    """Write what a pot is and, at the right, how long it shows colour."""
    px, muted = style.small_px, style.theme.muted
    right -= 18 + ink.text(right, baseline, weeks, px, muted, align="right")
    ink.text(left, baseline, ink.fitted(summary, px, right - left), px, muted)


def paint_rows(
    ink: Ink,
    style: Style,
    report: SeasonReport,
    looks: Mapping[str, Petal],
    places: Sequence[Place],
    *,
    scale: DayScale,
    seen: QRectF,
    painter: BarPainter,
    version: object = None,
) -> None:
    """Paint bars and signs of rows over the days; only what is seen."""
    theme = style.theme
    bars: list[Bar] = []
    for place in places:
        plant, look = place.plant, looks[part_id(place.plant)]
        if isinstance(plant, CompanionForecast):
            _paint_top(ink, style, plant, look, place.middle, scale, seen)
        else:
            bars += bars_of(report, plant, look, place.middle)
    painter.paint(ink, bars, scale=scale, height=style.bar, seen=seen, theme=theme, version=version)
    size = marker_size(style.bar)
    for place in places:
        at = None if place.planted is None else scale.middle_of(place.planted)
        _paint_words(ink, style, place, at, scale)
        if at is not None and scale.left - size <= at <= scale.right + size:
            colour = style.focus if place.is_chosen else theme.muted
            is_tuft = isinstance(place.plant, CompanionForecast)
            where = QPointF(at, place.middle)
            paint_planted(ink, where, size, colour, ground=theme.ground, is_tuft=is_tuft)
        if place.due is not None:
            box = conflict_box(scale.middle_of(place.due), place.middle, size=size)
            if box.right() >= scale.left and box.left() <= scale.right:
                paint_conflict(ink, box, style.caution, ground=theme.ground)
        xs = [scale.middle_of(day) for day in place.records]
        shown = [x for x in xs if scale.left <= x <= scale.right]
        paint_records(ink, shown, place.middle, bar_height=style.bar, theme=theme)


def bar_across(plant: Plant, scale: DayScale) -> tuple[float, float] | None:
    """Outer left and right of a plant's bar, also outside the days shown; None without one."""
    if isinstance(plant, LayerForecast):
        days = bar_days(plant.start, plant.end)
        return None if days is None else days.across(scale)
    if plant.first is None or plant.last is None:
        return None
    return scale.x_of(plant.first), scale.end_of(plant.last)


def clear_room(
    left: float, right: float, marker: float | None, *, keep_off: float
) -> tuple[float, float]:
    """Left and right of the wider room beside a planting sign; all without one in view."""
    if marker is None or not left - keep_off < marker < right + keep_off:
        return left, right
    if marker - left > right - marker:
        return left, max(left, marker - keep_off)
    return min(marker + keep_off, right), right


def words_room(scale: DayScale, planted: date | None, *, bar_height: float) -> tuple[float, float]:
    """Left and right of the room that words have in place of a bar. [px]"""
    marker = None if planted is None else scale.middle_of(planted)
    keep_off = marker_size(bar_height) + 5
    return clear_room(scale.left + 10, scale.right - 10, marker, keep_off=keep_off)


def _paint_words(
    ink: Ink, style: Style, place: Place, marker: float | None, scale: DayScale
) -> None:
    """Write why there is no bar; or words behind it, or before it where there is no room."""
    px, theme = style.small_px, style.theme
    baseline = place.middle + px * 0.35
    across = bar_across(place.plant, scale)
    if across is None:
        left, right = words_room(scale, place.planted, bar_height=style.bar)
        for at, line in enumerate(place.barren):
            words, y = ink.fitted(line, px, right - left), baseline + at * place.line_height
            ink.plate(left, y, ink.width(words, px), px, theme.ground)
            ink.text(left, y, words, px, theme.bare_text)
    elif place.words and across[1] >= scale.left and across[0] <= scale.right:
        width = ink.width(place.words, px)
        before, size = across[0] - 6.0, marker_size(style.bar)
        signs = [] if marker is None else [(marker - size, marker + size)]
        if place.due is not None:
            box = conflict_box(scale.middle_of(place.due), place.middle, size=size)
            signs.append((box.left(), box.right()))
        for left, right in sorted(signs, reverse=True):
            if left < before and right > before - width:
                before = left - 6.0
        x = min(across[1], scale.right) + 6.0
        if x + width > scale.right:
            x = before - width
        if x >= scale.left + 2.0:
            ink.plate(x, baseline, width, px, theme.ground)
            ink.text(x, baseline, place.words, px, theme.muted)


def _paint_top(
    ink: Ink,
    style: Style,
    plant: CompanionForecast,
    look: Petal,
    middle: float,
    scale: DayScale,
    seen: QRectF,
) -> None:
    across = bar_across(plant, scale)
    if across is None:
        return
    height = style.bar * BAR_SHARE
    begin = max(across[0], scale.left, seen.left() - _BEYOND)
    end = min(across[1], scale.right, seen.right() + _BEYOND)
    if begin < end:
        rect = QRectF(begin, middle - height / 2, end - begin, height)
        paint_top_bar(
            ink,
            rect,
            look,
            is_leaf=plant.is_leaf,
            theme=style.theme,
            begins=begin == across[0],
            ends=end == across[1],
            origin=across[0],
        )


def fine_dots(rect: QRectF, *, origin: float) -> list[QPointF]:
    """Centres of staggered fine dots in a bar, counted from `origin` so that they stand still."""
    rows = max(1, floor((rect.height() - 3.0) / (0.5 * _PITCH)))
    first = ceil((rect.left() + 2.5 - origin) / (0.5 * _PITCH))
    last = floor((rect.right() - 2.5 - origin) / (0.5 * _PITCH))
    top = rect.center().y() - 0.25 * _PITCH * (rows - 1)
    return [
        QPointF(origin + column * 0.5 * _PITCH, top + row * 0.5 * _PITCH)
        for column in range(first, last + 1)
        for row in range(rows)
        if (row + column) % 2 == 0
    ]


def paint_top_bar(
    ink: Ink,
    rect: QRectF,
    look: Petal,
    *,
    is_leaf: bool,
    theme: Theme,
    begins: bool = True,
    ends: bool = True,
    origin: float | None = None,
) -> None:
    """Paint a companion's bar: fine dots between hard ends, as its season goes by date.

    Plants grown for their leaves have an outline only: they bring no colour of flowers. Where a
    bar begins or ends beyond what is shown, it has no end line there.
    """
    painter = ink.painter
    ground = theme.ground if is_leaf else mix(theme.ground, look.fade, 0.45)
    painter.fillRect(rect, QColor(ground))
    outline = QColor(look.outline)
    if not is_leaf:
        path = QPainterPath()
        for at in fine_dots(rect, origin=rect.left() if origin is None else origin):
            path.addEllipse(at, _DOT, _DOT)
        painter.fillPath(path, outline)
    pen = QPen(outline, 1.2)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.setPen(pen)
    left, right, top, bottom = rect.left(), rect.right(), rect.top() + 0.6, rect.bottom() - 0.6
    painter.drawLines([QLineF(left, y, right, y) for y in (top, bottom)])
    pen.setWidthF(2.0)
    painter.setPen(pen)
    stops = [left + 1.0] * begins + [right - 1.0] * ends
    painter.drawLines([QLineF(x, rect.top(), x, rect.bottom()) for x in stops])
