"""The place's year as two plots over its months: warmth above, frost and cold below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFontInfo
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.ui.plots import DayPlot, MonthAxis
from bloomline.ui.theme import current_theme, em, tone_of

_YEAR_DAYS = 365


@dataclass(frozen=True, slots=True)
class Series:
    """One figure of every month. values : one a month, None where there is none.

    symbol : the shape of its marks, as pyqtgraph names them. bar : whether it is a bar, and at
    which side of the month's middle (−1, 1); 0 for marks.
    """

    name: str
    values: tuple[float | None, ...]
    colour: str
    symbol: str = "o"
    bar: int = 0
    is_line: bool = True


class MonthPlot(DayPlot):
    """Figures of months, each in the middle of its month. The table beside it says the same."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        self._months: tuple[date, ...] = ()
        self._series: tuple[Series, ...] = ()
        self._unit, self._zero = "", False
        self.key = pg.LegendItem(colCount=3, horSpacing=round(em() * 0.8))
        axes = {"left": pg.AxisItem("left"), "bottom": MonthAxis("bottom")}
        super().__init__(axes, parent)
        self.setObjectName(name)
        self.setMinimumHeight(round(em() * 8))
        self.key.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        grid, title = self.getPlotItem().layout, self.getPlotItem().titleLabel
        grid.setContentsMargins(0, 0, 0, round(em() * 0.3))  # the feet of letters
        grid.removeItem(title)
        grid.addItem(self.key, 0, 1, Qt.AlignmentFlag.AlignLeft)

    def show_series(
        self, months: Sequence[date], series: Sequence[Series], *, unit: str, zero: bool
    ) -> None:
        """Show figures of months. zero : whether a line at 0 °C is wanted, not a floor."""
        self._months, self._series = tuple(months), tuple(series)
        self._unit, self._zero = unit, zero
        self.dress()

    def fill(self) -> None:
        self.marks = []
        if not self._months:
            return
        theme = current_theme()
        tone = tone_of(theme)
        self.key.clear()
        self.key.setLabelTextColor(QColor(tone.ink))
        self.key.setLabelTextSize(f"{QFontInfo(self.font()).pixelSize()}px")
        self.setLabel("left", self._unit, color=tone.muted)
        start = self._months[0].toordinal()
        known = [v for one in self._series for v in one.values if v is not None]
        least, most = (min(known), max(known)) if self._zero else (0.0, max([1.0, *known]))
        spare = 0.08 * max(most - least, 1.0)
        self.setRange(
            xRange=(start, start + _YEAR_DAYS),
            yRange=(least - spare if self._zero else 0.0, most + spare),
            padding=0,
        )
        for one in self._series:
            self._put(one, ground=theme.ground)

    def _put(self, one: Series, *, ground: str) -> None:
        tone = tone_of(current_theme())
        colour = QColor(getattr(tone, one.colour))
        points = [
            (month.replace(day=15).toordinal() + 6.0 * one.bar, value)
            for month, value in zip(self._months, one.values, strict=True)
            if value is not None
        ]
        months = [m for m, value in zip(self._months, one.values, strict=True) if value is not None]
        xs, ys = ([each[i] for each in points] for i in (0, 1))
        if one.bar:
            fill = QColor(colour)
            if one.bar > 0:
                fill.setAlphaF(0.35)  # told apart by more than the colour
            item = pg.BarGraphItem(
                x=xs, height=ys, width=10.0, brush=fill, pen=pg.mkPen(colour, width=1.4)
            )
        else:
            item = pg.PlotDataItem(
                xs,
                ys,
                pen=pg.mkPen(colour, width=1.6) if one.is_line else None,
                symbol=one.symbol,
                symbolSize=em() * 0.7,
                symbolPen=pg.mkPen(colour, width=1.4),
                symbolBrush=colour if one.is_line else QColor(ground),
            )
        self.addItem(item)
        sample = (
            item
            if not one.bar
            else pg.ScatterPlotItem(
                size=em() * 0.8, symbol="s", pen=pg.mkPen(colour, width=1.4), brush=fill
            )
        )
        self.key.addItem(sample, one.name)
        self.marks += [
            (x, y, (one.name, month, y)) for x, y, month in zip(xs, ys, months, strict=True)
        ]

    def tip_of(self, what: Any) -> str:
        name, month, value = what
        locale = self.locale()
        words = self.tr("{month}: {name} {value} {unit}").format(
            month=locale.standaloneMonthName(month.month),
            name=name,
            value=locale.toString(float(value), "f", 1),
            unit=self._unit,
        )
        return str(words).strip()
