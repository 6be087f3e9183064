"""A plot of what was seen: a mark for each record, the shapes named over it."""

from __future__ import annotations

from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QColor, QFontInfo
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.draw.season.signs import stage_outline
from bloomline.model.yard import Seen
from bloomline.plan.records.stages import SEEN_ORDER
from bloomline.ui.plots import DayPlot
from bloomline.ui.records.marks import stage_colour
from bloomline.ui.records.words import seen_words
from bloomline.ui.theme import current_theme, em, tone_of


class StagePlot(DayPlot):
    """Marks of stages, whose `what` has a record; a click asks for it."""

    record_chosen = Signal(str)

    def __init__(self, axes: dict[str, pg.AxisItem], parent: QWidget | None = None) -> None:
        self.key = pg.LegendItem(colCount=len(SEEN_ORDER) + 1, horSpacing=round(em() * 0.6))
        super().__init__(axes, parent)
        self.key.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        grid, title = self.getPlotItem().layout, self.getPlotItem().titleLabel
        grid.removeItem(title)
        grid.addItem(self.key, 0, 1, Qt.AlignmentFlag.AlignLeft)

    def put_marks(self, *, size: float) -> None:
        """Put the marks in, and name their shapes. size : across. [px]"""
        self.key.clear()
        self.key.setLabelTextColor(QColor(tone_of(current_theme()).ink))
        self.key.setLabelTextSize(f"{QFontInfo(self.font()).pixelSize()}px")
        for seen in SEEN_ORDER:
            some = [(x, y) for x, y, what in self.marks if what.record.seen == seen]
            colour = QColor(stage_colour(seen))
            item = pg.ScatterPlotItem(
                pos=some,
                size=size,
                symbol=stage_outline(seen, QPointF(), 0.5),
                pen=pg.mkPen(colour, width=1.4),
                brush=self.filling(seen),
            )
            self.addItem(item)
            self.key.addItem(item, seen_words(seen))

    @staticmethod
    def filling(seen: Seen) -> QColor:
        """What fills a stage's mark: its colour, but for those that are over."""
        return QColor(current_theme().ground if seen == "over" else stage_colour(seen))

    def choose_mark(self, what: Any) -> None:
        self.record_chosen.emit(what.record.id)
