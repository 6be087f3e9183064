"""The lanes as a picture that scrolls: an axis of days, a lane for each place, the day's line."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from math import ceil

from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QWidget

from bloomline.draw.season.axis import paint_axis, paint_grid
from bloomline.draw.season.bars import BarPainter
from bloomline.draw.season.days import DayScale
from bloomline.plan.stage.rota import StagePlan
from bloomline.ui.season.day_line import pieces
from bloomline.ui.season.geometry import Range, kept_within, panned, zoomed
from bloomline.ui.season.look import current_look
from bloomline.ui.season.parts import PAD, PartInk
from bloomline.ui.stage.lane_painting import LaneScene, box_of, paint_lanes, sizes_of
from bloomline.ui.stage.rows import PlacedLane, PlacedStay, StageRows
from bloomline.ui.theme import em
from bloomline.words import number_words, short_day_words

_CLEAR = 4.0  # between the day's line and words beside it


class LanePlot(QAbstractScrollArea):
    """Lanes of places. It shows a rota; it changes nothing.

    has_axis : whether it has an axis of its own; else it lies under one, whose days it follows.
    """

    def __init__(
        self,
        parent: QWidget | None = None,
        *,
        has_axis: bool = True,
        today: Callable[[], date] = date.today,
    ) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self._today = today
        self.look = current_look()
        self.has_axis = has_axis
        self.day = today()
        self.pot_id: str | None = None
        self.at: int | None = None
        self.aim: tuple[PlacedLane, bool] | None = None
        self.carried_words: tuple[QPointF, str] | None = None
        self.rows = StageRows(None, sizes_of(self.look))
        self._window: Range = (0.0, 1.0)
        self._names: float | None = None
        self._right: float | None = None
        self._ink = PartInk(self.look.family)
        self._bars = BarPainter()

    def sizeHint(self) -> QSize:
        return QSize(round(40 * em()), round((20 if self.has_axis else 9) * em()))

    def minimumSizeHint(self) -> QSize:
        return QSize(round(20 * em()), round((12 if self.has_axis else 2.8) * em()))

    # What is shown

    def show_plan(self, plan: StagePlan | None) -> None:
        """Show another rota; the days in view stay as far as they can."""
        old = self.rows.plan
        self.rows = StageRows(plan, sizes_of(self.look))
        self._bars = BarPainter()
        if self.has_axis and plan is not None:
            limits = self.limits()
            is_other = old is None or old.weeks != plan.weeks
            self._window = limits if is_other else kept_within(self._window, limits)
        self.at = self.rows.index_of(self.pot_id, self.day)
        self._settle()

    def show_day(self, day: date) -> None:
        """Move the day's line."""
        self.day = day
        self.at = self.rows.index_of(self.pot_id, day)
        self.viewport().update()

    def show_pot(self, pot_id: str | None) -> None:
        """Mark where a pot stands."""
        self.pot_id = pot_id
        current = self.current()
        if current is None or current.stay.pot_id != pot_id:
            self.at = self.rows.index_of(pot_id, self.day)
            self.reveal()
        self.viewport().update()

    def current(self) -> PlacedStay | None:
        """The stay that the keyboard is on."""
        stays = self.rows.stays
        return stays[self.at] if self.at is not None and self.at < len(stays) else None

    def reveal(self) -> None:
        """Scroll the current stay into view."""
        current = self.current()
        if current is None:
            return
        bar, page = self.verticalScrollBar(), self._lanes_height()
        if current.top - sizes_of(self.look).head < bar.value():
            bar.setValue(round(current.top - sizes_of(self.look).head))
        elif current.top + current.height > bar.value() + page:
            bar.setValue(ceil(current.top + current.height - page))

    # Days

    def limits(self) -> Range:
        """The days that can be shown: those of the rota."""
        plan = self.rows.plan
        assert plan is not None
        return float(plan.weeks[0].toordinal()), float(plan.last_day.toordinal() + 1)

    def zoom(self, factor: float, *, around: float | None = None) -> None:
        """Show fewer days (factor > 1) or more."""
        if self.has_axis and self.rows.plan is not None:
            first, last = self._window
            at = self.day.toordinal() + 0.5
            if around is None:
                around = at if first <= at <= last else (first + last) / 2
            self._window = zoomed(self._window, factor, around=around, limits=self.limits())
            self.viewport().update()

    def pan(self, days: float) -> None:
        """Move the days shown."""
        if self.has_axis and self.rows.plan is not None:
            self._window = panned(self._window, days, limits=self.limits())
            self.viewport().update()

    def fit(self) -> None:
        """Show the whole rota."""
        if self.has_axis and self.rows.plan is not None:
            self._window = self.limits()
            self.viewport().update()

    def follow(self, window: Range, *, names: float, right: float) -> None:
        """Lie under another picture of days: its days, from the end of its names to its right."""
        self._window, self._names, self._right = window, names, right
        self.viewport().update()

    def days(self) -> DayScale:
        """Which days lie where, in pixels of the view."""
        first, last = self._window
        right = self.viewport().width() if self._right is None else self._right
        left = self.names_width()
        return DayScale(first, max(last, first + 1.0), left, max(1.0, right - left))

    def names_width(self) -> float:
        """Width of the column of names. [px]"""
        if self._names is not None:
            return self._names
        look, lanes = self.look, self.rows.lanes
        widths = [self._ink.width(lane.name or "", look.text_px, bold=True) for lane in lanes]
        wanted = max(widths, default=0.0) + 2.0 * PAD
        return min(max(wanted, 8.0 * look.text_px), 0.3 * self.viewport().width())

    def axis_height(self) -> float:
        """Height of the axis. [px]"""
        return self.look.axis_height if self.has_axis else 0.0

    def on_lanes(self, y: float) -> float:
        """A height of the view among the lanes."""
        return y - self.axis_height() + self.verticalScrollBar().value()

    def box(self, placed: PlacedStay) -> QRectF:
        """Where the box of a stay lies in the view."""
        top = self.verticalScrollBar().value() - self.axis_height()
        return box_of(self.days(), placed, top=top)

    # Size and paint

    def _lanes_height(self) -> float:
        return max(1.0, self.viewport().height() - self.axis_height())

    def _settle(self) -> None:
        bar, page = self.verticalScrollBar(), self._lanes_height()
        bar.setPageStep(round(page))
        bar.setSingleStep(round(self.look.row_height))
        bar.setRange(0, max(0, ceil(self.rows.height + 6.0 - page)))
        self.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._settle()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        kinds = (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.LocaleChange)
        if event.type() in kinds and hasattr(self, "rows"):
            self.look = current_look()
            self._ink.family = self.look.family
            self.show_plan(self.rows.plan)

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        painter.fillRect(event.rect(), QColor(self.look.theme.ground))
        if self.rows.plan is not None:
            with self._ink.on(painter, self):
                self._draw(painter)
        if self.hasFocus():
            painter.setPen(QPen(QColor(self.look.tone.focus), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.viewport().rect()).adjusted(1.0, 1.0, -1.0, -1.0))
        painter.end()

    def _draw(self, painter: QPainter) -> None:
        scale, axis = self.days(), self.axis_height()
        scene = LaneScene(
            rows=self.rows,
            look=self.look,
            scale=scale,
            names=self.names_width(),
            top=float(self.verticalScrollBar().value()),
            height=self._lanes_height(),
            today=self._today(),
            pot_id=self.pot_id,
            current=self.current() if self.hasFocus() else None,
            aim=self.aim,
        )
        painter.save()
        painter.setClipRect(QRectF(0.0, axis, self.viewport().width(), scene.height))
        painter.translate(0.0, axis)
        paint_lanes(self._ink, scene, self._bars)
        painter.restore()
        if self.has_axis:
            self._draw_axis(painter, scale)
        self._draw_day(painter, scale)
        if self.carried_words is not None:
            self._draw_carried(*self.carried_words)

    def _draw_axis(self, painter: QPainter, scale: DayScale) -> None:
        look, height = self.look, self.axis_height()
        month_line = height - look.line - look.text_px * 0.42
        painter.save()
        painter.setClipRect(QRectF(scale.left, 0.0, scale.width, height))
        paint_grid(
            self._ink,
            look.theme,
            scale,
            top=month_line - look.text_px,
            bottom=height,
            weeks_top=None,
        )
        paint_axis(
            self._ink,
            look.theme,
            scale,
            months=(month_line, look.text_px),
            weeks=(height - look.line * 0.32, look.small_px),
            number=number_words,
        )
        painter.restore()

    def _draw_day(self, painter: QPainter, scale: DayScale) -> None:
        """The line of the day looked at; with an axis it has its date on a flag."""
        look = self.look
        x = scale.middle_of(self.day)
        if not scale.left - 1.0 <= x <= scale.right + 1.0:
            return
        begin = look.flag_height - 1 if self.has_axis else 0.0
        words = self._ink.words_at(x, margin=_CLEAR)
        lines = [
            QLineF(x, top, x, bottom)
            for top, bottom in pieces(begin, self.viewport().height(), around=words)
        ]
        flat = Qt.PenCapStyle.FlatCap
        for width, colour in ((4.0, look.theme.ground), (2.0, look.tone.accent)):
            painter.setPen(QPen(QColor(colour), width, Qt.PenStyle.SolidLine, flat))
            painter.drawLines(lines)
        if not self.has_axis:
            return
        label = short_day_words(self.day, weekday=True)
        width = self._ink.width(label, look.small_px, bold=True) + 18
        left = min(max(x - width / 2, scale.left), scale.right - width)
        flag = QRectF(left, 1, width, look.flag_height - 1)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(look.tone.accent))
        painter.drawRoundedRect(flag, 6, 6)
        self._ink.text(
            flag.center().x(),
            flag.center().y() + look.small_px * 0.35,
            label,
            look.small_px,
            look.tone.on_accent,
            bold=True,
            align="centre",
        )

    def _draw_carried(self, at: QPointF, words: str) -> None:
        """What a drop would do, beside the pointer."""
        look, ink, view = self.look, self._ink, self.viewport()
        is_allowed = self.aim is not None and self.aim[1]
        room = view.width() - 4.0 * PAD
        words = ink.fitted(words, look.small_px, room)
        width = ink.width(words, look.small_px) + 2.0 * PAD
        height = look.line + 8.0
        x = min(max(at.x() + 14.0, 4.0), view.width() - width - 4.0)
        y = min(at.y() + 16.0, view.height() - height - 2.0)
        colour = look.tone.focus if is_allowed else look.tone.warning
        ink.painter.setPen(QPen(QColor(colour), 1.4))
        ink.painter.setBrush(QColor(look.tone.raised))
        ink.painter.drawRoundedRect(QRectF(x, y, width, height), 5.0, 5.0)
        ink.text(
            x + PAD, y + height / 2 + look.small_px * 0.35, words, look.small_px, look.theme.ink
        )

    def within(self, day: date) -> date:
        """A day, kept to those of the rota."""
        plan = self.rows.plan
        return day if plan is None else min(max(day, plan.weeks[0]), plan.last_day)

    def day_at(self, x: float) -> date:
        """The day at an x of the view, kept to those that are seen."""
        scale = self.days()
        return self.within(scale.day_at(min(max(x, scale.left), scale.right - 1.0)))

    def step_day(self, days: int) -> date:
        """The day some days on."""
        return self.within(self.day + timedelta(days=days))
