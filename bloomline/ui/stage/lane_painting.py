"""Paints lanes: a band for each place, boxes for who stands there, bars for what flowers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.petals import petal
from bloomline.draw.season.axis import crisp, paint_grid
from bloomline.draw.season.bars import Bar, BarPainter
from bloomline.draw.season.days import BarDays, DayScale
from bloomline.plan.stage.words import kind_words, lane_words, place_words
from bloomline.plan.words.benches import fitted_times
from bloomline.ui.season.look import Look
from bloomline.ui.season.parts import PAD, faint
from bloomline.ui.stage.rows import PlacedLane, PlacedStay, Sizes, StageRows
from bloomline.words import plural, tr

_INSET = 5.0
_ROUND = 4.0


def sizes_of(look: Look) -> Sizes:
    """Heights of lanes for a look."""
    return Sizes(head=look.pot_height, line=look.line + 1.0, bar=2.0 * round(look.text_px * 0.45))


@dataclass(frozen=True, slots=True)
class LaneScene:
    """What is to be painted, and how.

    names : width of the column of names. top : how far the lanes are scrolled. current : the stay
    that the keyboard is on. aim : the lane over which a pot is carried, and whether it may go
    there.
    """

    rows: StageRows
    look: Look
    scale: DayScale
    names: float
    top: float
    height: float
    today: date
    pot_id: str | None
    current: PlacedStay | None
    aim: tuple[PlacedLane, bool] | None


def paint_lanes(ink: Ink, scene: LaneScene, bars: BarPainter) -> None:
    """Paint the lanes that are seen."""
    painter, look = ink.painter, scene.look
    days = QRectF(scene.scale.left, 0.0, scene.scale.width, scene.height)
    painter.save()
    painter.setClipRect(days)
    bottom = min(scene.height, scene.rows.height - scene.top)
    paint_grid(ink, look.theme, scene.scale, top=0.0, bottom=bottom, weeks_top=0.0)
    x = crisp(scene.scale.middle_of(scene.today))
    painter.setPen(QPen(faint(look.theme.muted, 0.6), 1.0, Qt.PenStyle.DotLine))
    painter.drawLine(QLineF(x, 0.0, x, bottom))
    painter.restore()
    for lane in scene.rows.visible(scene.top, scene.top + scene.height):
        _paint_head(ink, scene, lane)
        painter.save()
        painter.setClipRect(days)
        if scene.aim is not None and scene.aim[0] is lane:
            _paint_aim(ink, scene, lane, is_allowed=scene.aim[1])
        seen = [one for one in lane.stays if _is_seen(scene, one)]
        for placed in seen:
            _paint_box(ink, scene, placed)
        found = [bar for placed in seen for bar in _bars(scene, placed)]
        bars.paint(
            ink,
            found,
            scale=scene.scale,
            height=sizes_of(look).bar,
            seen=days,
            theme=look.theme,
            ground=look.tone.raised,
        )
        for placed in seen:
            _paint_words(ink, scene, placed)
        if not lane.stays:
            y = lane.top + lane.head - scene.top + look.small_px * 1.1
            ink.text(
                days.left() + PAD, y, tr("nobody stands here"), look.small_px, look.theme.muted
            )
        painter.restore()
    painter.setPen(QPen(QColor(look.theme.month_line), 1.0))
    painter.drawLine(QLineF(scene.names - 0.5, 0.0, scene.names - 0.5, scene.height))


def _is_seen(scene: LaneScene, placed: PlacedStay) -> bool:
    y = placed.top - scene.top
    across = scene.scale.span(placed.stay.first, placed.stay.last)
    return y <= scene.height and y + placed.height >= 0.0 and across is not None


def _paint_head(ink: Ink, scene: LaneScene, lane: PlacedLane) -> None:
    """The band over a lane: its name, what it is, and how long it shows colour."""
    look, y = scene.look, lane.top - scene.top
    right = scene.scale.right
    ink.painter.fillRect(QRectF(0.0, y + 2, right, lane.head - 4), QColor(look.theme.panel))
    px, baseline = look.text_px, y + lane.head / 2 + look.text_px * 0.35
    name = tr("Own spots") if lane.lane is None else place_words(lane.name)
    room = scene.names - 1.6 * PAD
    ink.text(PAD, baseline, ink.fitted(name, px, room, bold=True), px, look.theme.ink, bold=True)
    small, left, end = look.small_px, scene.scale.left + PAD, right - PAD
    weeks = "" if lane.lane is None else lane_words(lane.lane)
    end -= ink.text(end, baseline, weeks, small, look.theme.ink, align="right") + 2 * PAD
    told = ink.fitted(about_words(lane), small, end - left)
    ink.text(left, baseline, told, small, look.theme.muted)


def about_words(lane: PlacedLane) -> str:
    """What a place is: its kind, its room, where it is seen from."""
    if lane.lane is None:
        return tr("pots that come from their own spots, or go back there")
    place = lane.lane.place
    parts = [
        kind_words(place),
        plural("room for {n} pot", "room for {n} pots", place.capacity),
    ]
    if place.seen_from:
        parts.append(tr("seen from {where}", where=place.seen_from))
    return " · ".join(parts)


def _paint_aim(ink: Ink, scene: LaneScene, lane: PlacedLane, *, is_allowed: bool) -> None:
    tone = scene.look.tone
    colour = tone.focus if is_allowed else tone.warning
    rect = QRectF(
        scene.scale.left + 1.0,
        lane.top - scene.top + 1.0,
        scene.scale.width - 2.0,
        lane.bottom - lane.top - 2.0,
    )
    style = Qt.PenStyle.SolidLine if is_allowed else Qt.PenStyle.DashLine
    ink.painter.setPen(QPen(QColor(colour), 2.0, style))
    ink.painter.setBrush(faint(colour, 0.08))
    ink.painter.drawRoundedRect(rect, _ROUND, _ROUND)


def box_of(scale: DayScale, placed: PlacedStay, *, top: float) -> QRectF:
    """The box of a stay, in pixels of the view."""
    left, right = scale.x_of(placed.stay.first), scale.end_of(placed.stay.last)
    return QRectF(left + 0.5, placed.top - top, max(right - left - 1.0, 3.0), placed.height)


def _paint_box(ink: Ink, scene: LaneScene, placed: PlacedStay) -> None:
    tone, painter = scene.look.tone, ink.painter
    rect = box_of(scene.scale, placed, top=scene.top)
    is_chosen = placed.stay.pot_id == scene.pot_id
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(tone.raised))
    painter.drawRoundedRect(rect, _ROUND, _ROUND)
    if is_chosen:
        painter.setBrush(faint(tone.focus, 0.12))
        painter.drawRoundedRect(rect, _ROUND, _ROUND)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if placed is scene.current:
        painter.setPen(QPen(QColor(tone.focus), 2.4))
    elif is_chosen:
        painter.setPen(QPen(QColor(tone.focus), 1.4))
    else:
        painter.setPen(QPen(QColor(tone.muted if placed.stay.by_hand else tone.line), 1.2))
    painter.drawRoundedRect(rect.adjusted(0.5, 0.5, -0.5, -0.5), _ROUND, _ROUND)


def _bars(scene: LaneScene, placed: PlacedStay) -> Iterator[Bar]:
    sizes = sizes_of(scene.look)
    base = placed.top - scene.top + sizes.line + sizes.bar / 2.0 + 0.5
    for at, tier in enumerate(placed.tiers):
        for flower in tier:
            look = petal(
                flower.colour_hex, theme=scene.look.theme, second_hex=flower.second_colour_hex
            )
            days = BarDays(flower.first, flower.first, flower.last, flower.last)
            yield Bar((flower.layer_id, flower.first), days, look, base + at * (sizes.bar + 2.0))


def mark_of(scale: DayScale, placed: PlacedStay, look: Look, *, top: float) -> QRectF | None:
    """Where the mark of the move to a stay stands; None where it began there."""
    if placed.move is None:
        return None
    side, x = 0.8 * look.small_px, scale.x_of(placed.stay.first)
    middle = placed.top - top + 0.5 * sizes_of(look).line + 0.5
    return QRectF(x - 0.5 * side, middle - 0.5 * side, side, side)


def _paint_words(ink: Ink, scene: LaneScene, placed: PlacedStay) -> None:
    """The mark of its move, the sign of a hand, and the pot's name as far as there is room."""
    look, painter = scene.look, ink.painter
    rect = box_of(scene.scale, placed, top=scene.top)
    mark = mark_of(scene.scale, placed, look, top=scene.top)
    x = max(rect.left(), scene.scale.left) + _INSET
    if mark is not None:
        painter.setPen(QPen(QColor(look.theme.ground), 1.0))
        painter.setBrush(QColor(look.tone.accent))
        painter.drawPolygon(
            QPolygonF([mark.topLeft(), QPointF(mark.right(), mark.center().y()), mark.bottomLeft()])
        )
        x = max(x, mark.right() + 3.0)
    middle = placed.top - scene.top + 0.5 * sizes_of(look).line + 0.5
    if placed.stay.by_hand:
        paint_pin(ink, QPointF(x + 0.3 * look.small_px, middle), look.small_px, look.tone.focus)
        x += 0.9 * look.small_px
    free = scene.scale.right if placed.free_until is None else scene.scale.x_of(placed.free_until)
    words = fitted_times(
        placed.stay.pot_name,
        placed.stay.copies,
        room=min(free, scene.scale.right) - x - 8.0,
        fit=lambda text, room: ink.fitted(text, look.small_px, room),
        width=lambda text: ink.width(text, look.small_px),
    )
    bold = placed.stay.pot_id == scene.pot_id
    ink.text(x, middle + 0.35 * look.small_px, words, look.small_px, look.theme.ink, bold=bold)


def paint_pin(ink: Ink, at: QPointF, px: float, colour: str) -> None:
    """The sign of what is fixed by hand: a pin with a round head."""
    painter = ink.painter
    painter.setPen(QPen(QColor(colour), max(1.4, 0.12 * px)))
    painter.drawLine(QLineF(at.x(), at.y(), at.x(), at.y() + 0.45 * px))
    painter.setBrush(QColor(colour))
    painter.drawEllipse(QPointF(at.x(), at.y() - 0.15 * px), 0.24 * px, 0.24 * px)
