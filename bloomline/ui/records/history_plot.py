"""One cultivar across the years: a row a season, what was seen over the forecast's bands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QSize
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.model.yard import Record, Seen
from bloomline.plan.records.facts import Fact
from bloomline.plan.records.stages import SEEN_ORDER
from bloomline.ui.page_kit import day_words
from bloomline.ui.plots import MonthAxis
from bloomline.ui.records.marks import stage_colour
from bloomline.ui.records.stage_plot import StagePlot
from bloomline.ui.records.words import COMMON_YEAR, forecast_words, season_day, seen_words
from bloomline.ui.theme import current_theme, em, tone_of

_ROW_EM = 3.0
_HEAD_EM = 4.0
_BAR = 0.075  # half the height of a forecast, in rows
_BEGIN = date(COMMON_YEAR, 1, 1).toordinal()


@dataclass(frozen=True, slots=True)
class Sighting:
    """A record of the cultivar, and its forecast where there is one."""

    record: Record
    season_year: int
    fact: Fact | None


@dataclass(frozen=True, slots=True)
class SeasonLine:
    """What was seen in one season, in the order of stages and days."""

    season_year: int
    sightings: tuple[Sighting, ...]

    def of(self, seen: Seen) -> tuple[Sighting, ...]:
        """What was seen of a stage."""
        return tuple(each for each in self.sightings if each.record.seen == seen)


def lines_of(sightings: Sequence[Sighting]) -> tuple[SeasonLine, ...]:
    """One line a season, the newest first."""
    found: dict[int, list[Sighting]] = {}
    for each in sightings:
        found.setdefault(each.season_year, []).append(each)

    def order(each: Sighting) -> tuple[int, date]:
        return SEEN_ORDER.index(each.record.seen), each.record.day

    return tuple(
        SeasonLine(season, tuple(sorted(some, key=order)))
        for season, some in sorted(found.items(), reverse=True)
    )


def days_across(lines: Sequence[SeasonLine]) -> tuple[int, int] | None:
    """The days of the season that hold all that is shown; None without anything."""
    days = []
    for line in lines:
        for each in line.sightings:
            days.append(season_day(each.record.day, line.season_year))
            if each.fact is not None and each.fact.p10 and each.fact.p90:
                days += [season_day(d, line.season_year) for d in (each.fact.p10, each.fact.p90)]
    return (min(days) - 6, max(days) + 6) if days else None


class HistoryPlot(StagePlot):
    """Rows are seasons; the table below says the same."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._lines: tuple[SeasonLine, ...] = ()
        super().__init__({"left": pg.AxisItem("left"), "top": MonthAxis("top")}, parent)
        self.setObjectName("history_plot")
        self.setAccessibleName(self.tr("What was seen across the years"))
        self.setAccessibleDescription(
            self.tr("Rows: seasons. Across: day of the year. The table below holds the dates.")
        )
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.getAxis("left").setStyle(tickLength=0)
        self.invertY(True)

    def show_lines(self, lines: tuple[SeasonLine, ...]) -> None:
        """Show other seasons."""
        self._lines = lines
        self.marks = [
            (
                _BEGIN + season_day(each.record.day, line.season_year) + 0.5,
                at + _lane(each.record.seen),
                each,
            )
            for at, line in enumerate(lines)
            for each in line.sightings
        ]
        self.dress()
        self.updateGeometry()
        self.setMinimumHeight(self.sizeHint().height())

    def sizeHint(self) -> QSize:
        rows = max(1, len(self._lines))
        return QSize(round(40 * em()), round((_HEAD_EM + rows * _ROW_EM + 0.4) * em()))

    def fill(self) -> None:
        across = days_across(self._lines)
        if across is None:
            return
        rows = len(self._lines)
        days = (_BEGIN + across[0], _BEGIN + across[1] + 1)
        self.setRange(xRange=days, yRange=(0, rows), padding=0)
        years = [(at + 0.5, str(line.season_year)) for at, line in enumerate(self._lines)]
        self.getAxis("left").setTicks([years])
        self.getAxis("left").setTextPen(QColor(tone_of(current_theme()).ink))
        for at in range(rows + 1):
            self.addItem(pg.InfiniteLine(at, angle=0, pen=QColor(current_theme().grid)))
        for seen in SEEN_ORDER:
            self._put_forecasts(seen)
        self.put_marks(size=em() * 0.64)
        bars = pg.BarGraphItem(x0=[0], width=0, height=0, brush=_wash("over"), pen=None)
        self.key.addItem(bars, self.tr("forecast, 8 years of 10"))

    def _put_forecasts(self, seen: Seen) -> None:
        """Put in the bands of a stage's forecasts, each with its middle date."""
        found = [
            (
                y,
                *(
                    _BEGIN + season_day(day, each.season_year)
                    for day in (each.fact.p10, each.fact.p90, each.fact.expected)
                ),
            )
            for _, y, each in self.marks
            if each.record.seen == seen and each.fact is not None
            if each.fact.p10 and each.fact.p90 and each.fact.expected
        ]
        if not found:
            return
        ys, lows, highs, middles = (list(one) for one in zip(*found, strict=True))
        bars = pg.BarGraphItem(
            x0=[low + 0.5 for low in lows],
            x1=[high + 0.5 for high in highs],
            y0=[y - _BAR for y in ys],
            y1=[y + _BAR for y in ys],
            brush=_wash(seen),
            pen=None,
        )
        self.addItem(bars)
        xs = [middle + 0.5 for middle in middles for _ in range(2)]
        ends = [y + side for y in ys for side in (-_BAR, _BAR)]
        pen = pg.mkPen(stage_colour(seen), width=1.2)
        self.addItem(pg.PlotCurveItem(xs, ends, connect="pairs", pen=pen))

    def tip_of(self, what: Any) -> str:
        record = what.record
        lines = [f"{seen_words(record.seen)}, {day_words(record.day, year=True)}"]
        if what.fact is not None:
            lines.append(forecast_words(what.fact))
        return "\n".join((*lines, *((record.note,) if record.note else ())))


def _lane(seen: Seen) -> float:
    """Where a stage lies in its season's row, as a share of it."""
    return (SEEN_ORDER.index(seen) + 0.5) / len(SEEN_ORDER)


def _wash(seen: Seen) -> QColor:
    wash = QColor(stage_colour(seen))
    wash.setAlphaF(0.25)
    return wash
