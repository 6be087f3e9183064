"""The yard's picture arranged by place: who stands where on the day looked at, under headings."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, QPointF, QRectF, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from bloomline.draw.base.ink import Ruler
from bloomline.draw.base.petals import Theme
from bloomline.draw.base.qt import painting_font
from bloomline.model.yard import Yard
from bloomline.plan.carry.verdicts import Verdict
from bloomline.plan.stage.words import room_words
from bloomline.plan.words.benches import pot_words
from bloomline.ui.document import Document
from bloomline.ui.stage.desk import StageDesk
from bloomline.ui.stage.grouped_row import Group, GroupedRow
from bloomline.ui.stage.watch import StageWatch
from bloomline.ui.theme import em, tone_of
from bloomline.ui.yard.painting import View
from bloomline.ui.yard.scene import PotRow
from bloomline.words import tr


class StageGrouping(QObject):
    """Arranges the yard's picture by place while it is switched on."""

    changed = Signal()
    """Pots stand otherwise."""
    said = Signal(str)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.watch = StageWatch(document, self)
        self._desk = StageDesk(document, self.watch, self)
        self._desk.said.connect(self.said)
        self._ruler = Ruler(painting_font())
        self._row: GroupedRow | None = None
        self._kept: tuple[object, tuple[Group, ...]] | None = None
        self._was_planned = False
        self.watch.changed.connect(self.changed)
        document.day_changed.connect(self._follow_day)

    @Slot(object)
    def _follow_day(self, _day: object) -> None:
        before = (self._kept[1], self._was_planned) if self._kept is not None else None
        if before != (self.groups(), self.is_planned):
            self.changed.emit()

    # Who stands where

    def groups(self) -> tuple[Group, ...]:
        """The places in the yard's order with who stands there on the day, own spots last.

        Until a rota is there, and on days outside of it, all stand at their own spots.
        """
        yard, plan, day = self._document.yard, self.watch.plan, self._document.day
        key = (yard.pots, yard.display_places, plan, day)
        if self._kept is not None and self._kept[0] == key:
            return self._kept[1]
        standing: dict[str, str | None] = {}
        if plan is not None:
            for place, stays in plan.standing(day):
                standing |= {stay.pot_id: place.name if place else None for stay in stays}
        found = [
            Group(place, tuple(p.id for p in yard.pots if standing.get(p.id) == place.name))
            for place in yard.display_places
        ]
        there = {pot_id for group in found for pot_id in group.pot_ids}
        rest = tuple(pot.id for pot in yard.pots if pot.id not in there)
        groups = (*found, *([Group(None, rest)] if rest or not found else []))
        self._kept, self._was_planned = (key, groups), self.is_planned
        return groups

    @property
    def is_planned(self) -> bool:
        """Whether the rota says who stands where on the day looked at."""
        plan = self.watch.plan
        return plan is not None and plan.covers(self._document.day)

    @property
    def key(self) -> object:
        """What the row follows from, besides the pots."""
        return self.groups()

    def row(self, yard: Yard, *, scale: float, em: float) -> PotRow:
        """The pots at a scale, place by place."""
        self._row = GroupedRow(yard, self.groups(), scale=scale, em=em)
        return self._row

    # Carrying pots between the places

    @property
    def count(self) -> int:
        """How many places there are to carry to, own spots among them."""
        return len(self.groups())

    def group_at(self, x: float) -> int:
        """The place at an x of the row, by number."""
        return 0 if self._row is None else self._row.group_at(x)

    def group_of(self, pot_id: str) -> int:
        """The place of a pot, by number."""
        return next((at for at, each in enumerate(self.groups()) if pot_id in each.pot_ids), 0)

    def judge(self, pot_id: str, number: int) -> Verdict:
        """What setting a pot down at a place on the day looked at would do."""
        groups = self.groups()
        group = groups[min(max(number, 0), len(groups) - 1)]
        if pot_id in group.pot_ids:
            name = self._document.yard.pot(pot_id).name
            return Verdict(allowed=False, words=tr("{pot}: it stands here already", pot=name))
        found = self._desk.judge(pot_id, group.name, self._document.day)
        return Verdict(found.apply is not None, found.words, name=found.name, apply=found.apply)

    # Painting

    def head_px(self) -> float:
        """Height of the headings. [px]"""
        return round(1.75 * em())

    def paint(
        self,
        painter: QPainter,
        view: View,
        *,
        theme: Theme,
        font: QFont,
        aim: tuple[int, bool] | None,
    ) -> None:
        """Paint the headings over the places, and the one that a pot is carried to.

        aim : its number, and whether the pot may stand there.
        """
        row = self._row
        if row is None:
            return
        tone, height = tone_of(theme), self.head_px()
        painter.fillRect(QRectF(0.0, 0.0, view.width, height), QColor(tone.panel))
        painter.setPen(QPen(QColor(tone.line), 1.0))
        painter.drawLine(QPointF(0.0, height - 0.5), QPointF(view.width, height - 0.5))
        px = round(0.72 * QFontMetricsF(font).height())
        for number, span in enumerate(row.spans):
            left, right = view.origin_x + span.left, view.origin_x + span.right
            if right < 0.0 or left > view.width:
                continue
            if number:
                painter.setPen(QPen(QColor(tone.line), 1.0, Qt.PenStyle.DashLine))
                painter.drawLine(QPointF(left, height), QPointF(left, view.ground_y))
            if aim is not None and aim[0] == number:
                self._paint_aim(painter, left, right, view, theme, is_allowed=aim[1])
            self._paint_heading(
                painter, span.group, max(left, 0.0), min(right, view.width), px, tone
            )
            if not span.group.pot_ids:
                self._text(
                    painter,
                    QRectF(left, view.ground_y + 0.2 * px, right - left, 1.6 * px),
                    tr("nobody"),
                    px,
                    tone.muted,
                )

    def _paint_aim(
        self,
        painter: QPainter,
        left: float,
        right: float,
        view: View,
        theme: Theme,
        *,
        is_allowed: bool,
    ) -> None:
        tone = tone_of(theme)
        colour = QColor(tone.focus if is_allowed else tone.warning)
        style = Qt.PenStyle.SolidLine if is_allowed else Qt.PenStyle.DashLine
        painter.setPen(QPen(colour, 2.0, style))
        wash = QColor(colour)
        wash.setAlphaF(0.08)
        painter.setBrush(wash)
        top = self.head_px() + 3.0
        rect = QRectF(left + 3.0, top, right - left - 6.0, view.ground_y - top)
        painter.drawRoundedRect(rect, 5.0, 5.0)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_heading(
        self, painter: QPainter, group: Group, left: float, right: float, px: int, tone: object
    ) -> None:
        """The name of a place in the middle of what is seen of it, with how full it is."""
        name, told = self.heading_of(group)
        room = right - left - px
        if room < 2.0 * px:
            return
        ink, muted = str(getattr(tone, "ink", "")), str(getattr(tone, "muted", ""))
        beside = self._ruler.width(told, px) + 0.7 * px if told else 0.0
        whole = self._ruler.width(name, px, bold=True)
        if whole + beside > room:
            beside, told = 0.0, ""
        name = self._ruler.fitted(name, px, room - beside, bold=True)
        width = self._ruler.width(name, px, bold=True) + beside
        x, high = left + 0.5 * (right - left - width), self.head_px()
        self._text(painter, QRectF(x, 0.0, width + px, high), name, px, ink, bold=True, left=True)
        if told:
            at = x + width - beside + 0.7 * px
            self._text(painter, QRectF(at, 0.0, beside + px, high), told, px, muted, left=True)

    def heading_of(self, group: Group) -> tuple[str, str]:
        """What stands over a place: its name, and how many of its room are taken."""
        if group.place is not None:
            return group.place.name, room_words(group.place, len(group.pot_ids))
        if self.is_planned:
            return tr("At their own spots"), ""
        if self.watch.plan is None:
            return tr("Working out who stands where…"), ""
        return tr("No rota for this day"), ""

    @staticmethod
    def _text(
        painter: QPainter,
        box: QRectF,
        words: str,
        px: int,
        colour: str,
        *,
        bold: bool = False,
        left: bool = False,
    ) -> None:
        font = QFont(painter.font())
        font.setPixelSize(px)
        font.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
        painter.setFont(font)
        painter.setPen(QColor(colour))
        across = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignHCenter
        painter.drawText(box, across | Qt.AlignmentFlag.AlignVCenter, words)

    def told(self) -> str:
        """Who stands where, in words."""
        pots = {pot.id: pot_words(pot) for pot in self._document.yard.pots}
        return " ".join(
            tr(
                "{place}: {pots}.",
                place=self.heading_of(group)[0],
                pots=_listed([pots[pot_id] for pot_id in group.pot_ids]),
            )
            for group in self.groups()
        )

    def stop(self) -> None:
        """End the work beside the window."""
        self.watch.stop()


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names) if names else tr("nobody")
