"""Forecast against fact as a picture: a mark for each record, its day across, its error upwards."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import ceil
from typing import Any

import pyqtgraph as pg
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from bloomline.plan.records.facts import Fact
from bloomline.ui.plots import MonthAxis
from bloomline.ui.records.stage_plot import StagePlot
from bloomline.ui.records.words import (
    COMMON_YEAR,
    forecast_words,
    record_words,
    season_day,
    signed_days,
)
from bloomline.ui.theme import current_theme, em, tone_of
from bloomline.words import tr

_LEAST_DAYS = 10.0
_BEGIN = date(COMMON_YEAR, 1, 1).toordinal()


def band_of(facts: Sequence[Fact]) -> tuple[float, float]:
    """How far the 80 % bands reach below and above their middle, on average. [days]"""
    spans = [
        ((fact.p10 - fact.expected).days, (fact.p90 - fact.expected).days)
        for fact in facts
        if fact.expected is not None and fact.p10 is not None and fact.p90 is not None
    ]
    if not spans:
        return 0.0, 0.0
    return (
        sum(low for low, _ in spans) / len(spans),
        sum(high for _, high in spans) / len(spans),
    )


class _ErrorAxis(pg.AxisItem):  # type: ignore[misc]
    """Errors in days, with their signs."""

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        return [signed_days(value) for value in values]


class FactPlot(StagePlot):
    """The picture; the tables beside it say the same."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._facts: tuple[Fact, ...] = ()
        super().__init__({"left": _ErrorAxis("left"), "bottom": MonthAxis("bottom")}, parent)
        self.setObjectName("fact_plot")
        self.setAccessibleName(tr("Forecast against fact"))
        self.setAccessibleDescription(
            tr(
                "Across: day of the year. Upwards: days later than forecast, downwards: days "
                "earlier. The table below holds the figures."
            )
        )
        self.setMinimumHeight(round(em() * 13))

    def show_facts(self, facts: Sequence[Fact]) -> None:
        """Show records beside their forecasts."""
        self._facts = tuple(fact for fact in facts if fact.expected is not None)
        self.marks = [
            (
                _BEGIN + season_day(fact.record.day, fact.season_year) + 0.5,
                fact.residual_days,
                fact,
            )
            for fact in self._facts
        ]
        self.dress()

    def fill(self) -> None:
        if not self._facts:
            return
        low, high = band_of(self._facts)
        days = [x for x, _, _ in self.marks]
        most = max(_LEAST_DAYS, -low, high, *(abs(y) for _, y, _ in self.marks))
        most = ceil(most * 1.12 / 5) * 5.0
        self.setRange(xRange=(min(days) - 7.5, max(days) + 7.5), yRange=(-most, most), padding=0)
        tone = tone_of(current_theme())
        wash = QColor(tone.accent)
        wash.setAlphaF(0.16)
        band = pg.LinearRegionItem(
            (low, high), "horizontal", brush=wash, pen=QColor(0, 0, 0, 0), movable=False
        )
        self.addItem(band, ignoreBounds=True)
        self.addItem(pg.InfiniteLine(0.0, angle=0, pen=pg.mkPen(tone.ink, width=1.4)))
        for words, x, y, anchor in (
            (tr("8 years of 10"), min(days) - 7.5, high, 0),
            (tr("days later (+) or earlier (−) than forecast"), max(days) + 7.5, most, 1),
        ):
            item = pg.TextItem(words, color=tone.muted, anchor=(anchor, 0))
            item.setPos(x, y)
            self.addItem(item, ignoreBounds=True)
        self.put_marks(size=em() * (0.68 if len(self._facts) < 150 else 0.48))
        self.getAxis("left").setGrid(90)

    def tip_of(self, what: Any) -> str:
        return f"{record_words(what.record, what.cultivar.name)}\n{forecast_words(what)}"
