"""Paints an entry of the shelf: petal, name, height and group, warnings, expected window."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPalette, QPen, QPixmap
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from bloomline.draw.base.names import elide, fit_name
from bloomline.draw.base.petals import Theme, petal_of
from bloomline.draw.season.days import BarDays, bar_days
from bloomline.model.advice import Severity
from bloomline.plan.season.shelf import ShelfWindow
from bloomline.ui.document import Document
from bloomline.ui.shelf.companions import CompanionEntry
from bloomline.ui.shelf.entries import Entry
from bloomline.ui.shelf.model import Item, Role
from bloomline.ui.shelf.paint import (
    paint_name,
    paint_petal_dot,
    paint_severity,
    paint_strip,
    paint_strip_day,
)
from bloomline.ui.shelf.words import CompanionWords, Warn
from bloomline.ui.theme import Tone, current_theme, em, tone_of
from bloomline.ui.units import units_of
from bloomline.words import tr

_MOST_PICTURES = 80  # some screenfuls


@dataclass(frozen=True, slots=True)
class RowPlan:
    """Where the parts of an entry stand, for a row at (0, 0) of a width. [px]"""

    width: float
    height: float
    pad: float
    dot: float
    text_left: float
    name_baseline: float
    meta_baseline: float
    strip_top: float
    strip_height: float

    @property
    def right(self) -> float:
        """Where text and strip end."""
        return self.width - self.pad


def plan_row(width: float, *, line_px: float) -> RowPlan:
    """Plan an entry for a width and a height of line."""
    pad = round(line_px * 0.45)
    dot = line_px * 1.25
    strip = round(line_px * 0.5)
    return RowPlan(
        width=width,
        height=round(line_px * 2.0 + strip + pad * 2.4),
        pad=pad,
        dot=dot,
        text_left=pad + dot + pad,
        name_baseline=pad * 0.7 + line_px * 0.78,
        meta_baseline=pad * 0.7 + line_px * 1.78,
        strip_top=round(pad * 0.7 + line_px * 2.0 + pad * 0.7),
        strip_height=strip,
    )


@dataclass(frozen=True, slots=True)
class _Face:
    """What is shown of an entry, be it a bulb or a companion.

    `aside` is what stands in brackets behind a companion's Latin name.
    """

    name: str
    parts: tuple[str, ...]
    aside: str
    warnings: list[Warn]
    season: BarDays | None
    notes: tuple[str, ...] = ()


def _strip_box(plan: RowPlan) -> QRectF:
    """Where the year of an entry lies in its row. [px]"""
    width = plan.right - plan.text_left
    return QRectF(plan.text_left, plan.strip_top, width, plan.strip_height)


class ShelfDelegate(QStyledItemDelegate):
    """Paints entries. What doesn't change from row to row is made once a theme and font."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._words = CompanionWords()
        self._row_height = 0
        # Rows as they were painted last, by the id of their kind: a day that moves, or a list
        # that is scrolled, paints none of them anew.
        self._pictures: dict[str, tuple[Item, tuple[object, ...], QPixmap]] = {}
        self.restyle()

    def restyle(self) -> None:
        """Take over the colours and font of the application anew."""
        self._pictures.clear()
        self._theme: Theme = current_theme()
        self._tone: Tone = tone_of(self._theme)
        self._line = em()
        self._row_height = round(plan_row(200.0, line_px=self._line).height)

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        return QSize(round(self._line * 12), self._row_height)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        entry = index.data(Role.ENTRY)
        if not isinstance(entry, Entry | CompanionEntry):
            return
        rect, state = option.rect, option.state
        states = tuple(
            bool(state & each)
            for each in (
                QStyle.StateFlag.State_Selected,
                QStyle.StateFlag.State_HasFocus,
                QStyle.StateFlag.State_MouseOver,
            )
        )
        settings = self._document.yard.settings
        ratio = painter.device().devicePixelRatioF()
        window, notes = index.data(Role.WINDOW), index.data(Role.NOTES) or ()
        of = (window, notes, states, settings.pets, settings.units, rect.size(), ratio)
        name = entry.cultivar.id if isinstance(entry, Entry) else entry.companion.id
        kept = self._pictures.get(name)
        if kept is None or kept[0] is not entry or kept[1] != of:
            picture = QPixmap(rect.size() * ratio)
            picture.setDevicePixelRatio(ratio)
            picture.fill(option.palette.color(QPalette.ColorRole.Base))
            inside = QPainter(picture)
            inside.setFont(painter.font())
            self._paint_entry(inside, QRectF(rect), entry, self._face(entry, window, notes), states)
            inside.end()
            kept = self._pictures[name] = entry, of, picture
            if len(self._pictures) > _MOST_PICTURES:
                del self._pictures[next(iter(self._pictures))]
        painter.drawPixmap(rect.topLeft(), kept[2])
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(rect.topLeft())
        plan = plan_row(rect.width(), line_px=self._line)
        paint_strip_day(painter, _strip_box(plan), tone=self._tone, day=self._document.day)
        painter.restore()

    def _paint_entry(
        self, painter: QPainter, rect: QRectF, entry: Item, face: _Face, states: tuple[bool, ...]
    ) -> None:
        """All but the day looked at."""
        selected, focused, hovered = states
        plan = plan_row(rect.width(), line_px=self._line)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_ground(painter, plan, selected=selected, focused=focused, hovered=hovered)
        plant = entry.cultivar if isinstance(entry, Entry) else entry.companion
        look = petal_of(plant, theme=self._theme)
        radius = plan.dot / 2
        middle = QPointF(plan.pad + radius, plan.name_baseline - self._line * 0.28 + radius * 0.4)
        paint_petal_dot(painter, middle, radius, look)
        self._paint_text(painter, plan, face)
        paint_strip(painter, _strip_box(plan), face.season, look=look, tone=self._tone)

    def _face(self, entry: Item, window: object, notes: tuple[str, ...]) -> _Face:
        yard = self._document.yard
        if isinstance(entry, CompanionEntry):
            companion = entry.companion
            return _Face(
                companion.name,
                (units_of(yard).length(companion.height_cm), tr("on top, by date")),
                companion.name.partition("(")[2].rstrip(")"),
                self._words.poison(entry, pets=yard.settings.pets),
                entry.season,
            )
        cultivar = entry.cultivar
        known = window if isinstance(window, ShelfWindow) else None
        group = cultivar.group or cultivar.common_type
        parts = [units_of(yard).length(cultivar.height_cm), *notes, group]
        if entry.own:
            parts.insert(1, tr("your own"))
        return _Face(
            cultivar.name,
            tuple(parts),
            "",
            self._words.warnings(entry, known, pets=yard.settings.pets),
            bar_days(known.start, known.end) if known is not None else None,
            notes,
        )

    def _paint_ground(
        self, painter: QPainter, plan: RowPlan, *, selected: bool, focused: bool, hovered: bool
    ) -> None:
        box = QRectF(0, 0, plan.width, plan.height)
        if selected:
            accent = QColor(self._tone.accent)
            accent.setAlphaF(0.16)
            painter.fillRect(box, accent)
            painter.fillRect(QRectF(0, 0, 3, plan.height), QColor(self._tone.accent))
        elif hovered:
            tint = QColor(self._tone.line)
            tint.setAlphaF(0.28)
            painter.fillRect(box, tint)
        if focused:
            painter.setPen(QPen(QColor(self._tone.focus), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(box.adjusted(1.5, 1.5, -1.5, -1.5), 4, 4)
        else:
            painter.setPen(QPen(QColor(self._tone.line), 1.0))
            painter.drawLine(
                QPointF(plan.text_left, plan.height - 0.5), QPointF(plan.right, plan.height - 0.5)
            )

    def _paint_text(self, painter: QPainter, plan: RowPlan, face: _Face) -> None:
        room = plan.right - plan.text_left
        base = QFont(painter.font())
        name_font = QFont(base)
        name_font.setWeight(QFont.Weight.DemiBold)
        measure = QFontMetricsF(name_font).horizontalAdvance
        name = fit_name(face.name, room=room, measure=measure)
        paint_name(
            painter, QPointF(plan.text_left, plan.name_baseline), name, name_font, self._tone.ink
        )
        after_name = plan.text_left + measure(name) + self._line * 0.6
        small = QFont(base)
        small.setPointSizeF(max(small.pointSizeF() * 0.92, 9.0))
        painter.setFont(small)
        metrics = QFontMetricsF(small)
        left = self._paint_warnings(painter, plan, face.warnings, metrics)
        # Several companions share a Latin name: what tells them apart must not be cut off.
        is_cut = bool(face.aside) and face.aside not in name
        parts = (face.parts[0], face.aside) if is_cut else face.parts
        space = left - plan.text_left - self._line * 0.3
        painter.setPen(QColor(self._tone.muted))
        height_width = metrics.horizontalAdvance(parts[0])
        if plan.right - height_width >= after_name:
            # The height goes behind the name, so that the group has the second line's room.
            painter.drawText(QPointF(plan.right - height_width, plan.name_baseline), parts[0])
            meta = " · ".join(parts[1:])
        else:
            meta = " · ".join(parts)
        if face.notes and metrics.horizontalAdvance(meta) > space:
            # A count matters more than the first letters of the group.
            meta = face.notes[0]
        if metrics.horizontalAdvance(meta) > space:
            meta = elide(meta, room=space, measure=metrics.horizontalAdvance)
        painter.drawText(QPointF(plan.text_left, plan.meta_baseline), meta)

    def _paint_warnings(
        self,
        painter: QPainter,
        plan: RowPlan,
        warnings: list[Warn],
        metrics: QFontMetricsF,
    ) -> float:
        """Paint warnings at the right end of the second line; returns where they begin.

        Where there is no room for all words, the gravest keep theirs and the others their sign.
        """
        icon = metrics.ascent() * 0.95
        gap, between = self._line * 0.25, self._line * 0.4
        least = plan.text_left + metrics.horizontalAdvance("000 cm") + self._line * 0.4
        room = plan.right - least - len(warnings) * (icon + between)
        worded: list[tuple[Warn, float]] = []
        for warn in warnings:
            width = metrics.horizontalAdvance(warn.words) + gap
            fits = width <= room
            room -= width if fits else 0.0
            worded.append((warn, width if fits else 0.0))
        x = plan.right
        for warn, width in reversed(worded):
            colour = self._tone.warning if warn.severity is Severity.WARNING else self._tone.caution
            x -= icon + width
            paint_severity(
                painter,
                QRectF(x, plan.meta_baseline - icon * 0.9, icon, icon),
                warn.severity,
                colour=colour,
            )
            if width:
                painter.setPen(QColor(colour))
                painter.drawText(QPointF(x + icon + gap, plan.meta_baseline), warn.words)
            x -= between
        return x
