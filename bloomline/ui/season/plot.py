"""The plot of the timeline: its boxes, the days and rows in them, and what can be asked of it."""

from __future__ import annotations

from datetime import date, timedelta
from math import floor

from PySide6.QtCore import QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QFocusEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import QFrame, QGraphicsScene, QGraphicsView, QScrollBar, QWidget

from bloomline.draw.season.days import DayScale
from bloomline.plan.forecast.report import Stretch
from bloomline.ui.season.axis import Corner, DayAxis, RowNames
from bloomline.ui.season.box import DaysBox
from bloomline.ui.season.day_line import DayLine
from bloomline.ui.season.geometry import (
    Range,
    brought_into,
    limits_of,
    panned,
    whole_season,
    zoomed,
)
from bloomline.ui.season.parts import PartInk, RowsPart, StripPart
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.words import SeasonWords
from bloomline.words import tr

_MARKS_AFTER_MS = 60


class SeasonPlot(QGraphicsView):
    """An axis of days, the coverage strip, and a row for each layer; the view adds the hand."""

    day_asked = Signal(object)
    chosen = Signal(str, object)
    """Id of a pot, a layer or companions, and the modifier keys held meanwhile."""
    planting_asked = Signal(str, object, str)
    """Layer or companions, new planting day, and the word for the gesture it belongs to."""
    planting_let_go = Signal()
    details_asked = Signal(str)
    """Id of a layer or of companions."""
    record_asked = Signal(str)
    """Id of a record that was clicked."""
    gap_asked = Signal(object, object)
    """First and last day of a gap that is to be filled."""

    def __init__(self, shown: Shown, words: SeasonWords, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setScene(QGraphicsScene(self))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        for set_policy in (self.setHorizontalScrollBarPolicy, self.setVerticalScrollBarPolicy):
            set_policy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setMinimumSize(320, 160)
        self.shown, self.words = shown, words
        self._ink = PartInk(shown.look.family)
        self.is_fitted = True
        self._lanes_height = 0.0
        self.is_line_held = False
        """Whether the hand holds the day line."""
        self.scroll_bar = QScrollBar(Qt.Orientation.Vertical)
        self.scroll_bar.setObjectName("season_scroll")
        self.scroll_bar.setAccessibleName(tr("Rows"))
        self.scroll_bar.valueChanged.connect(self._scrolled)
        self._build()
        self._marks = QTimer(self)
        self._marks.setSingleShot(True)
        self._marks.setInterval(_MARKS_AFTER_MS)
        self._marks.timeout.connect(self.rows.update)
        self.restyle()

    def _build(self) -> None:
        """Two boxes that share their days, an axis over them and a column of names."""
        self.rows_box, self.strip_box = DaysBox(), DaysBox()
        self.axis = DayAxis(self.rows_box, self.shown, self.words, self._ink)
        self.names = RowNames(self.rows_box, self.shown, self._ink)
        self.strip = StripPart(self.strip_box, self.shown, self.words, self._ink)
        self.rows = RowsPart(self.rows_box, self.shown, self.words, self._ink)
        self.day_line = DayLine(self.shown, self.words, self._ink)
        self.corner = Corner(self.shown, self.words, self._ink, self.axis, self.strip)
        for item in (
            *(self.strip_box, self.rows_box, self.axis, self.names),
            *(self.day_line, self.corner),
        ):
            self.scene().addItem(item)
        self.rows_box.days_changed.connect(self._range_moved)

    # What is shown

    def restyle(self) -> None:
        """Take colours and sizes from the palette and font."""
        self._ink.family = self.shown.look.family
        self.setBackgroundBrush(QColor(self.shown.look.theme.ground))
        self._lay_out()
        self.renew()
        for still in (self.axis, self.names):
            still.update()

    def renew(self) -> None:
        """Paint anew what the report or the selection changed."""
        self._marks.stop()
        lanes_height = self.strip.lanes_height()
        if self._names_width() != round(self.names.width()) or lanes_height != self._lanes_height:
            self._lay_out()
        self._set_scroll_range()
        for still in (self.axis, self.names):
            still.renew()
        for part in (self.corner, self.strip, self.rows):
            part.update()
        self._lay_day_line()

    def renew_marks(self, *, report_comes: bool) -> None:
        """Paint planting days and records anew: all that the yard changes before its report.

        A report that comes in a moment paints them as well, and a step is painted once.
        """
        if report_comes:
            self._marks.start()
        else:
            self.rows.update()

    @property
    def day_range(self) -> Range:
        """The day numbers at the left and the right edge."""
        return self.rows_box.days

    def show_window(self, window: Range) -> None:
        """Show other days."""
        self.is_fitted = False
        self._set_window(window)

    def _set_window(self, window: Range) -> None:
        for box in (self.rows_box, self.strip_box):
            box.show_days(window)

    def fit(self) -> None:
        """Show the whole season, from the first planting to the last flower."""
        if self.shown.report is not None:
            self._set_window(whole_season(self.shown.report))
            self.is_fitted = True

    def zoom(self, factor: float, *, around: float | None = None) -> None:
        """Show fewer days (factor > 1) or more; the day number `around` stays in place."""
        if self.shown.report is None:
            return
        if around is None:
            number = self.shown.day.toordinal() + 0.5
            first, last = self.day_range
            around = number if first <= number <= last else (first + last) / 2
        limits = limits_of(self.shown.report)
        self.show_window(zoomed(self.day_range, factor, around=around, limits=limits))

    def pan(self, days: float) -> None:
        """Move the days shown."""
        if self.shown.report is not None:
            self.show_window(panned(self.day_range, days, limits=limits_of(self.shown.report)))

    def show_day(self) -> None:
        """Move the day line to the day looked at, and into view."""
        if self.shown.report is not None:
            # The hand may take the line to the very edge; beyond it the days move along.
            margin = 0.0 if self.is_line_held else 0.06
            limits = limits_of(self.shown.report)
            window = brought_into(self.day_range, self.shown.day, limits=limits, margin=margin)
            if window != self.day_range:
                self._set_window(window)
        self._lay_day_line()

    def show_selection(self) -> None:
        """Scroll the selected row into view."""
        rows = self.shown.rows
        index = self.shown.chosen_row()
        if index is not None:
            top, bottom = rows.span(index)
            page, value = self.scroll_bar.pageStep(), self.scroll_bar.value()
            if top < value:
                self.scroll_bar.setValue(floor(top))
            elif bottom > value + page:
                # Up to the top of a row, so that no half letters of one are left over.
                cut = rows.at(max(bottom - page, 0.0))
                begin, end = (0.0, 0.0) if cut is None else rows.span(cut)
                self.scroll_bar.setValue(round(begin if begin >= bottom - page else end))
        self.renew()

    def step_row(
        self, step: int, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> None:
        """Choose the next layer or companions, or those before; with Shift besides the others.

        With Ctrl only the keyboard goes there, and `pick_row` selects it.
        """
        row = self.shown.rows.next_part(self.shown.chosen_row(), step)
        self.mark_gap(None)
        if row is None:
            return
        if keys == Qt.KeyboardModifier.ControlModifier:
            self.shown.cursor = row.part_id
            self.show_selection()
        else:
            self.chosen.emit(row.part_id, keys)

    def pick_row(self) -> None:
        """Add the row that the keyboard is on to what is selected, or leave it out again."""
        index = self.shown.chosen_row()
        if index is not None:
            name = self.shown.rows.rows[index].part_id
            self.chosen.emit(name, Qt.KeyboardModifier.ControlModifier)
            self.shown.cursor = name
            self.show_selection()

    def leave_others(self) -> bool:
        """Go back to what is selected with the keyboard, then to the one chosen last alone."""
        shown = self.shown
        if shown.cursor is not None:
            shown.cursor = None
            self.show_selection()
            return True
        if shown.selection.is_many and shown.current is not None:
            self.chosen.emit(shown.current, Qt.KeyboardModifier.NoModifier)
            return True
        return False

    def mark_gap(self, gap: tuple[date, date] | None) -> None:
        """Mark days that may be filled; None marks none."""
        if gap != self.shown.gap:
            self.shown.gap = gap
            self.strip.update()

    def step_bare(self, step: int) -> Stretch | None:
        """Mark the next bare stretch after the day looked at, or the one before, and go there."""
        report, marked = self.shown.report, self.shown.gap
        if report is None:
            return None
        stretches = sorted(report.bare, key=lambda each: each.first)
        here = self.shown.day if marked is None else marked[0]
        if step > 0:
            beyond = [each for each in stretches if each.first > here]
            if marked is None:
                beyond = [each for each in stretches if each.last >= here]
        else:
            beyond = [each for each in reversed(stretches) if each.first < here]
        if not beyond and stretches:  # round to the other end
            beyond = [stretches[0] if step > 0 else stretches[-1]]
        if not beyond:
            return None
        self.mark_gap((beyond[0].first, beyond[0].last))
        self.ask_day(beyond[0].first)
        return beyond[0]

    def ask_gap(self) -> None:
        """Ask to fill the days that are marked, else the bare stretch that the day line is in.

        Where it is in none, the three weeks round it.
        """
        report, day, gap = self.shown.report, self.shown.day, self.shown.gap
        if report is None:
            return
        for each in report.bare:
            if gap is None and each.first <= day <= each.last:
                gap = (each.first, each.last)
        if gap is None:
            round_it = timedelta(days=10)
            gap = (self.within(day - round_it), self.within(day + round_it))
        self.mark_gap(gap)
        self.gap_asked.emit(*gap)

    def within(self, day: date) -> date:
        """The day, kept to those of the report."""
        report = self.shown.report
        return day if report is None else min(max(day, report.first_day), report.last_day)

    def ask_day(self, day: date) -> None:
        """Ask for a day to be looked at, kept to those of the report."""
        self.day_asked.emit(self.within(day))

    # Layout

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if hasattr(self, "corner"):
            self._lay_out()

    def _lay_out(self) -> None:
        look = self.shown.look
        width, height = self.viewport().width(), self.viewport().height()
        names_width = self._names_width()
        strip = min(max(height * 0.17, look.text_px * 2.6), look.text_px * 7.0)
        self._lanes_height = self.strip.lanes_height()
        strip_height = floor(strip + 2 * look.line + 12 + self._lanes_height)
        across = max(1.0, width - names_width)
        top = look.axis_height + strip_height
        rows_height = max(1.0, height - top)
        self.setSceneRect(0, 0, width, height)
        self.axis.lay(QRectF(names_width, 0, across, look.axis_height))
        self.strip_box.lay(QRectF(names_width, look.axis_height, across, strip_height))
        self.names.lay(QRectF(0, top, names_width, rows_height))
        self.rows_box.lay(QRectF(names_width, top, across, rows_height))
        self.corner.lay(QRectF(0, 0, names_width, top))
        self._set_scroll_range()
        self._lay_day_line()

    def _names_width(self) -> int:
        """What the names need, as long as most of the width is left to the days. [px]"""
        least = self.shown.look.text_px * 9.0
        most = max(float(self.viewport().width()) * 0.35, least)
        return floor(min(max(self.names.wanted_width(), least), most))

    def _set_scroll_range(self) -> None:
        page = max(1, floor(self.rows_box.height()))
        self.scroll_bar.setPageStep(page)
        self.scroll_bar.setSingleStep(round(self.shown.look.row_height))
        self.scroll_bar.setRange(0, max(0, floor(self.shown.rows.height) + 8 - page))
        self._scrolled(self.scroll_bar.value())

    def _scrolled(self, value: int) -> None:
        self.rows_box.scroll_to(value)

    def _range_moved(self, *_: object) -> None:
        self.corner.update()
        self._lay_day_line()

    def plot_rect(self) -> QRectF:
        """Where the days lie, from the axis down, in the view."""
        box = self.rows_box
        return QRectF(box.x(), 0, box.width(), box.y() + box.height())

    def days(self) -> DayScale:
        """Which days lie where, in the view's pixels."""
        first, last = self.day_range
        rect = self.plot_rect()
        return DayScale(first, last, rect.left(), max(1.0, rect.width()))

    def _lay_day_line(self) -> None:
        rect = self.plot_rect()
        x = self.days().middle_of(self.shown.day)
        self.day_line.lay(x, left=rect.left(), right=rect.right(), height=rect.bottom())

    # What lies where

    def rows_top(self) -> float:
        """Where the rows begin under the strip. [px]"""
        return self.rows_box.y()

    def row_y(self, index: int) -> float:
        """The middle of a row, in the view."""
        return self.rows_top() + self.shown.rows.middle(index) - self.rows.top()

    # Painting

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._renew_frame()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._renew_frame()

    def _renew_frame(self) -> None:
        # The frame belongs to no item of the scene, so that Qt paints it anew only where something
        # else moves: without this the day line wiped it away in pieces.
        self.viewport().update()

    def drawForeground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        super().drawForeground(painter, rect)
        if self.hasFocus():
            painter.setPen(QPen(QColor(self.shown.look.tone.focus), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.viewport().rect()).adjusted(1, 1, -1, -1))
