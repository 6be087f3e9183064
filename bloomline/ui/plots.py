"""Plots over days in the window's colours: an axis of months, and marks that answer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from math import ceil, floor
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QHelpEvent, QMouseEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from bloomline.draw.season.axis import month_starts
from bloomline.draw.season.days import DayScale
from bloomline.ui.theme import current_theme, em, tone_of
from bloomline.words import month_letter, short_month_words

_GAP = 4.0  # round the name of a month. [px]


class MonthAxis(pg.AxisItem):  # type: ignore[misc]
    """Months over whole-day numbers (`date.toordinal()`): no hours, no time zones.

    A month is named in the middle of what is seen of it, where its name has room.
    """

    def __init__(self, orientation: str) -> None:
        super().__init__(orientation)
        self._names: dict[float, str] = {}
        self.setStyle(tickLength=0)

    def starts(self) -> list[int]:
        """The first days of the months in view."""
        first, last = sorted(self.range)
        if first < 1.0:
            return []  # nothing is shown yet
        numbers = [month.toordinal() for month in month_starts(DayScale(first, last, 0.0, 1.0))]
        return [number for number in numbers if number >= first]

    def tickValues(self, first: float, last: float, size: float) -> list[tuple[float, list[float]]]:
        first, last = sorted((first, last))
        if first < 1.0:
            return []
        edges = [first, *(number for number in self.starts() if number > first), last]
        is_flat = self.orientation in ("top", "bottom")
        metrics = QFontMetricsF(self.style["tickFont"] or self.font())
        for named in (short_month_words, month_letter):
            self._names, fits = {}, []
            for begin, end in pairwise(edges):
                name = named(date.fromordinal(floor(begin)).month)
                room = (end - begin) * size / (last - first)
                needed = metrics.horizontalAdvance(name) if is_flat else metrics.height()
                fits.append(needed + _GAP <= room)
                if fits[-1]:
                    self._names[(begin + end) / 2] = name
            if all(fits[1:-1]):
                break
        return [(30.0, list(self._names))]

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        return [self._names.get(value, "") for value in values]


class DayPlot(pg.PlotWidget):  # type: ignore[misc]
    """A plot that stands still: its days don't zoom, its table says the same.

    `marks` are (x, y, what): the tooltip and a click find the nearest.
    """

    def __init__(self, axes: dict[str, pg.AxisItem], parent: QWidget | None = None) -> None:
        super().__init__(parent, background=None, axisItems=axes)
        self.marks: list[tuple[float, float, Any]] = []
        self._is_stale = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setMouseEnabled(False, False)
        self.setMenuEnabled(False)
        self.hideButtons()
        for side in ("left", "bottom", "top"):
            self.showAxis(side, side in axes)
        self.getViewBox().setDefaultPadding(0.0)
        self.dress()

    def dress(self) -> None:
        """Take over the colours and the font of the window, and show what there is anew."""
        theme = current_theme()
        tone = tone_of(theme)
        for side in ("left", "bottom", "top"):
            axis = self.getAxis(side)
            axis.setPen(QColor(tone.line))
            axis.setTickPen(QColor(theme.month_line))
            axis.setTextPen(QColor(tone.muted))
            axis.setTickFont(self.font())
            if side != "left":  # pyqtgraph's own height cuts the feet of letters off
                high = ceil(QFontMetricsF(self.font()).height())
                axis.setStyle(tickTextHeight=high, autoExpandTextSpace=False)
                axis.setHeight(None)
            axis.setZValue(-10)
        self.clear()
        self.fill()
        for side, angle in (("left", 0), ("bottom", 90), ("top", 90)):
            axis = self.getAxis(side)
            if axis.isVisible() and isinstance(axis, MonthAxis):
                for number in axis.starts():
                    line = pg.InfiniteLine(number, angle=angle, pen=QColor(theme.month_line))
                    line.setZValue(-10)
                    self.addItem(line, ignoreBounds=True)

    def fill(self) -> None:
        """Put the items in; called with none in place."""

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        kinds = (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.LocaleChange)
        is_whole = "marks" in self.__dict__ and self.plotItem is not None  # None once closed
        if event.type() in kinds and is_whole:
            # Many pages have plots: those out of sight wait until they are seen.
            self._is_stale = not self.isVisible()
            if not self._is_stale:
                self.dress()

    def showEvent(self, event: QShowEvent) -> None:
        if self._is_stale:
            self._is_stale = False
            self.dress()
        super().showEvent(event)

    # What lies where

    @property
    def places(self) -> list[tuple[QPointF, Any]]:
        """Where the marks lie, in the plot's pixels."""
        box = self.getViewBox()
        return [
            (QPointF(self.mapFromScene(box.mapViewToScene(QPointF(x, y)))), what)
            for x, y, what in self.marks
        ]

    def mark_at(self, at: QPointF) -> Any | None:
        """What the mark nearest to a point stands for, if one is near."""
        near = [((place - at).manhattanLength(), what) for place, what in self.places]
        distance, what = min(near, key=lambda each: each[0], default=(0.0, None))
        return what if distance <= em() * 0.9 else None

    def tip_of(self, what: Any) -> str:
        """The words of a mark's tooltip."""
        return ""

    def choose_mark(self, what: Any) -> None:
        """A mark was clicked."""

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            what = self.mark_at(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), "" if what is None else self.tip_of(what), self)
            return True
        return bool(super().viewportEvent(event))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        what = self.mark_at(event.position())
        if what is not None:
            self.choose_mark(what)
        event.accept()
