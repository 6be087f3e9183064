"""Paints the row of pots: ground, pots, plants, names, marks of what is selected."""

from __future__ import annotations

import time
from collections.abc import Callable, Container, Mapping
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen

from bloomline.draw.base.ink import Ruler
from bloomline.draw.base.petals import Theme, mix
from bloomline.draw.pot.layout import LayerSpots, PotCut
from bloomline.draw.pot.picture import layer_path, outline_path
from bloomline.draw.pot.plant_picture import PlantLook
from bloomline.draw.pot.plant_picture import look_of as look_of_kind
from bloomline.model.yard import Pot
from bloomline.plan.forecast.growth import Growth
from bloomline.plan.words.benches import fitted_times
from bloomline.ui.selection import Selection
from bloomline.ui.theme import tone_of
from bloomline.ui.yard.counts import counts_of, paint_counts
from bloomline.ui.yard.scene import COUNTS_FROM_SCALE, PlacedPot, PotRow
from bloomline.ui.yard.sprites import PlantSprites, PotSprites
from bloomline.ui.yard.tops import Presence, Top
from bloomline.ui.yard.tufts import TuftSprites, tufts_path


@dataclass(frozen=True, slots=True)
class View:
    """What part of the row is seen: the row's origin on the widget, and the widget's size."""

    origin_x: float
    ground_y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class ShownYard:
    """What to paint on the row."""

    growths: Mapping[str, Growth]
    barren: Container[str]
    flawed_of: Callable[[Pot], frozenset[str]]
    selection: Selection
    cursor: str | None
    """What the keyboard is on without having selected it."""
    has_focus: bool
    tops_of: Callable[[Pot], tuple[Top, ...]]
    presence_of: Callable[[Pot], Presence]
    line_of: Callable[[Pot], str]
    short_line_of: Callable[[Pot], str]
    site_of: Callable[[Pot], str]


class YardPainter:
    """Paints; keeps small pictures between paints, never any of the yard's facts."""

    def __init__(
        self, cut_of: Callable[[Pot], PotCut], look_of: Callable[[str], PlantLook], family: str
    ) -> None:
        self._cut_of = cut_of
        self._look_of = look_of
        self.plants = PlantSprites()
        self.pots = PotSprites()
        self.tufts = TuftSprites()
        self._ruler = Ruler(family)

    def clear(self) -> None:
        """Forget pictures, as when the colours change."""
        self.plants.clear()
        self.pots.clear()
        self.tufts.clear()

    def paint(
        self,
        painter: QPainter,
        row: PotRow,
        view: View,
        shown: ShownYard,
        *,
        theme: Theme,
        ratio: float,
        font: QFont,
        budget_s: float,
    ) -> bool:
        """Paint what can be seen. Returns whether pots are left that had no time to be made."""
        ground = view.ground_y
        self._paint_ground(painter, view, theme)
        seen = row.between(-view.origin_x, view.width - view.origin_x)
        late: set[str] = set()
        deadline = time.perf_counter() + budget_s
        for placed in seen:
            at = _snapped(QPointF(view.origin_x + placed.middle, ground + placed.rim), ratio)
            presence = shown.presence_of(placed.pot)
            ready = self._pot_is_ready(placed, row, theme, ratio, presence)
            if not ready and time.perf_counter() > deadline:
                self._paint_stand_in(painter, placed, at, row.scale)
                late.add(placed.pot.id)
                continue
            cut = self._cut_of(placed.pot)
            sprite = self.pots.ready(
                cut, scale=row.scale, theme=theme, ratio=ratio, presence=presence
            )
            if sprite is None:
                sprite = self.pots.make(
                    cut,
                    pot=placed.pot,
                    scale=row.scale,
                    theme=theme,
                    ratio=ratio,
                    presence=presence,
                )
            painter.drawPixmap(at + sprite.offset, sprite.pixmap)
            self._paint_plants(painter, cut, at, row.scale, shown, theme=theme, ratio=ratio)
            self._paint_tops(
                painter, placed.pot, cut, at, row.scale, shown, theme=theme, ratio=ratio
            )
        for placed in seen:
            at = QPointF(view.origin_x + placed.middle, ground + placed.rim)
            self._paint_words(painter, placed, at, ground, row, shown, theme=theme, font=font)
            # How the bulbs of a pot lie is worked out with its picture, not for the words alone.
            if row.scale >= COUNTS_FROM_SCALE and placed.pot.id not in late:
                counts = counts_of(
                    self._cut_of(placed.pot),
                    presence=shown.presence_of(placed.pot),
                    flawed=shown.flawed_of(placed.pot),
                    barren=shown.barren,
                    chosen=frozenset(shown.selection.layers),
                )
                paint_counts(
                    painter,
                    counts,
                    at=at,
                    half=placed.half,
                    free=row.free_right_of(placed),
                    scale=row.scale,
                    theme=theme,
                    font=font,
                )
        self._paint_marks(painter, row, view, shown, theme=theme)
        return bool(late)

    def _pot_is_ready(
        self, placed: PlacedPot, row: PotRow, theme: Theme, ratio: float, presence: Presence
    ) -> bool:
        last = self.pots.last(placed.pot.id)
        if last is None:
            return False
        cut = self._cut_of(placed.pot)
        sprite = self.pots.ready(cut, scale=row.scale, theme=theme, ratio=ratio, presence=presence)
        return sprite is not None

    def _paint_stand_in(
        self, painter: QPainter, placed: PlacedPot, at: QPointF, scale: float
    ) -> None:
        """The pot's last picture, stretched, or a plain shape, for the moment it takes."""
        last = self.pots.last(placed.pot.id)
        if last is None:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor("#8A7A66"))
            painter.drawRect(QRectF(at.x() - placed.half, at.y(), 2.0 * placed.half, -placed.rim))
            return
        factor = scale / last[0]
        sprite = last[1]
        size = sprite.pixmap.deviceIndependentSize() * factor
        painter.drawPixmap(
            QRectF(at + sprite.offset * factor, size),
            sprite.pixmap,
            QRectF(sprite.pixmap.rect()),
        )

    # Ground and plants

    def _paint_ground(self, painter: QPainter, view: View, theme: Theme) -> None:
        tone = tone_of(theme)
        painter.fillRect(QRectF(0.0, 0.0, view.width, view.height), QColor(tone.ground))
        painter.fillRect(
            QRectF(0.0, view.ground_y, view.width, view.height - view.ground_y),
            QColor(mix(tone.panel, tone.line, 0.25)),
        )
        painter.setPen(QPen(QColor(mix(tone.line, tone.muted, 0.45)), 1.5))
        painter.drawLine(QPointF(0.0, view.ground_y), QPointF(view.width, view.ground_y))

    def _paint_plants(
        self,
        painter: QPainter,
        cut: PotCut,
        at: QPointF,
        scale: float,
        shown: ShownYard,
        *,
        theme: Theme,
        ratio: float,
    ) -> None:
        foot = _snapped(at + QPointF(0.0, cut.dressing_cm * scale), ratio)
        for layer in cut.layers:  # the deepest, so the tallest as a rule, stand behind
            looks = [(look_of_kind(kind), spots) for kind, spots in layer.parts]
            for look, spots in looks or [(self._look_of(layer.cultivar_id), layer)]:
                growth = shown.growths.get(spots.layer_id)
                if growth is None or not growth.shows or not spots.bulbs:
                    continue
                clump = self.plants.clump(
                    spots, look, growth, scale=scale, theme=theme, ratio=ratio
                )
                painter.drawPixmap(foot + clump.offset, clump.pixmap)

    def _paint_tops(
        self,
        painter: QPainter,
        pot: Pot,
        cut: PotCut,
        at: QPointF,
        scale: float,
        shown: ShownYard,
        *,
        theme: Theme,
        ratio: float,
    ) -> None:
        foot = _snapped(at + QPointF(0.0, cut.dressing_cm * scale), ratio)
        for top in shown.tops_of(pot):
            if top.stand != "gone":
                clump = self.tufts.clump(top, scale=scale, theme=theme, ratio=ratio)
                painter.drawPixmap(foot + clump.offset, clump.pixmap)

    # Words and marks

    def _paint_words(
        self,
        painter: QPainter,
        placed: PlacedPot,
        at: QPointF,
        ground: float,
        row: PotRow,
        shown: ShownYard,
        *,
        theme: Theme,
        font: QFont,
    ) -> None:
        tone = tone_of(theme)
        px = QFontMetricsF(font).height()
        room = placed.right - placed.left + 0.7 * row.gap
        size = round(0.72 * px)
        if room < 2.2 * px:
            return
        pot = placed.pot
        names = [each.id for each in pot.layers] + [each.id for each in pot.companions]
        is_chosen = any(name in shown.selection for name in (pot.id, *names))
        name = fitted_times(
            pot.name,
            pot.copies,
            room=room,
            fit=lambda text, left: self._ruler.fitted(text, size, left, bold=True),
            width=lambda text: self._ruler.width(text, size, bold=True),
        )
        bold = QFont(font)
        bold.setPixelSize(size)
        bold.setWeight(QFont.Weight.DemiBold)
        plain = QFont(font)
        plain.setPixelSize(size)
        left = at.x() - 0.5 * room
        painter.setFont(bold)
        painter.setPen(QColor(tone.ink))
        box = QRectF(left, ground + 0.2 * px, room, px)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, name)
        if is_chosen:
            width = min(self._ruler.width(name, size, bold=True), room)
            y = ground + 1.2 * px
            painter.setPen(QPen(QColor(tone.accent), 2.0))
            painter.drawLine(QPointF(at.x() - width / 2, y), QPointF(at.x() + width / 2, y))
        painter.setFont(plain)
        painter.setPen(QColor(tone.muted))
        line = shown.line_of(placed.pot)
        if self._ruler.width(line, size) > room:
            line = self._ruler.fitted(shown.short_line_of(placed.pot), size, room)
        painter.drawText(
            QRectF(left, ground + 1.2 * px, room, px), Qt.AlignmentFlag.AlignCenter, line
        )
        self._paint_site(painter, placed, at.x(), ground + 2.25 * px, px, shown, theme=theme)

    def _paint_site(
        self,
        painter: QPainter,
        placed: PlacedPot,
        x: float,
        y: float,
        px: float,
        shown: ShownYard,
        *,
        theme: Theme,
    ) -> None:
        words = shown.site_of(placed.pot)
        if not words:
            return
        tone = tone_of(theme)
        size = round(0.66 * px)
        width = self._ruler.width(words, size) + 0.8 * px
        if width > placed.right - placed.left + row_slack(px):
            return
        box = QRectF(x - 0.5 * width, y, width, 0.9 * px)
        painter.setPen(QPen(QColor(tone.muted), 1.0))
        painter.setBrush(QColor(tone.raised))
        painter.drawRoundedRect(box, 0.45 * px, 0.45 * px)
        font = QFont(painter.font())
        font.setPixelSize(size)
        painter.setFont(font)
        painter.setPen(QColor(tone.ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)

    def _paint_marks(
        self, painter: QPainter, row: PotRow, view: View, shown: ShownYard, *, theme: Theme
    ) -> None:
        chosen = frozenset(shown.selection.ids)
        if not chosen and shown.cursor is None:
            return
        for placed in row.between(-view.origin_x, view.width - view.origin_x):
            self._mark_pot(painter, placed, row, view, shown, chosen, theme=theme)
        if len(shown.selection.pots) == 1:
            only = row.of(shown.selection.pots[0])
            if only is not None:
                self._paint_handles(painter, only, row, view, theme=theme)

    def _mark_pot(
        self,
        painter: QPainter,
        placed: PlacedPot,
        row: PotRow,
        view: View,
        shown: ShownYard,
        selection: frozenset[str],
        *,
        theme: Theme,
    ) -> None:
        """Outline what of a pot is selected, with dashes what the keyboard alone is on."""
        pot = placed.pot
        names = {pot.id, *(each.id for each in pot.layers), *(each.id for each in pot.companions)}
        if shown.cursor not in names and names.isdisjoint(selection):
            return
        tone = tone_of(theme)
        colour = QColor(tone.focus if shown.has_focus else tone.accent)
        cut = self._cut_of(pot)
        painter.save()
        painter.translate(view.origin_x + placed.middle, view.ground_y + placed.rim)
        if pot.id in selection or shown.cursor == pot.id:
            grown = outline_path(cut, scale=row.scale).boundingRect().adjusted(-5, -5, 5, 4)
            path = QPainterPath()
            path.addRoundedRect(grown, 5.0, 5.0)
            _halo(painter, path, colour, dashed=pot.id not in selection)
        for layer in cut.layers:
            if layer.layer_id in selection or layer.layer_id == shown.cursor:
                path = layer_path(layer, cut, scale=row.scale, margin_px=3.0)
                _halo(painter, path, colour, dashed=layer.layer_id not in selection)
                if layer.layer_id in selection:
                    _pointers(painter, layer, placed.half, row.scale, colour)
        if any(each.id in selection or each.id == shown.cursor for each in pot.companions):
            painter.translate(0.0, cut.dressing_cm * row.scale)
            for top in shown.tops_of(pot):
                if top.planting_id in selection or top.planting_id == shown.cursor:
                    dashed = top.planting_id not in selection
                    _halo(painter, tufts_path(top, scale=row.scale), colour, dashed=dashed)
        painter.restore()

    def _paint_handles(
        self, painter: QPainter, placed: PlacedPot, row: PotRow, view: View, *, theme: Theme
    ) -> None:
        tone = tone_of(theme)
        painter.setPen(QPen(QColor(tone.focus), 1.5))
        painter.setBrush(QColor(tone.raised))
        for x, y in placed.handles(row.scale).values():
            painter.drawRect(QRectF(view.origin_x + x - 4.0, view.ground_y + y - 4.0, 8.0, 8.0))


def row_slack(px: float) -> float:
    """How much wider than its place a pot's tag may be."""
    return 0.8 * px


def _halo(painter: QPainter, path: QPainterPath, colour: QColor, *, dashed: bool = False) -> None:
    """An outline that can be seen on compost and on the ground: dark and light together."""
    painter.setBrush(QBrush(Qt.BrushStyle.NoBrush))
    under = QColor(0, 0, 0, 170) if colour.lightness() > 128 else QColor(255, 255, 255, 200)
    painter.setPen(QPen(under, 4.0))
    painter.drawPath(path)
    pen = QPen(colour, 2.0)
    if dashed:
        pen.setStyle(Qt.PenStyle.DashLine)
    painter.setPen(pen)
    painter.drawPath(path)


def _pointers(
    painter: QPainter, layer: LayerSpots, half: float, scale: float, colour: QColor
) -> None:
    """A small arrow on the left that points at the selected layer."""
    y = 0.5 * (layer.tip_cm + layer.base_cm) * scale
    x = -half - 3.0
    arrow = QPainterPath(QPointF(x, y))
    arrow.lineTo(x - 8.0, y - 5.0)
    arrow.lineTo(x - 8.0, y + 5.0)
    arrow.closeSubpath()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawPath(arrow)


def _snapped(point: QPointF, ratio: float) -> QPointF:
    return QPointF(round(point.x() * ratio) / ratio, round(point.y() * ratio) / ratio)
