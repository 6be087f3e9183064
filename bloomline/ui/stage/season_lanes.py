"""Lanes of places under the season's rows: the same days, the same line of the day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import QEvent, QObject, Slot
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from bloomline.ui.document import Document
from bloomline.ui.season.plot import SeasonPlot
from bloomline.ui.stage.desk import StageDesk
from bloomline.ui.stage.lane_view import LaneView
from bloomline.ui.stage.watch import StageWatch


class SeasonLanes(LaneView):
    """The lanes that lie under a timeline and follow it."""

    def __init__(
        self,
        document: Document,
        plot: SeasonPlot,
        parent: QWidget | None = None,
        *,
        today: Callable[[], date] = date.today,
    ) -> None:
        watch = StageWatch(document)
        desk = StageDesk(document, watch)
        super().__init__(document, desk, parent, has_axis=False, today=today)
        self.watch, self.desk = watch, desk
        watch.setParent(self)
        desk.setParent(self)
        self._plot = plot
        self.watch.changed.connect(self._take_plan)
        plot.rows_box.days_changed.connect(self._follow_plot)
        plot.rows_box.resized.connect(self._follow_plot)
        plot.viewport().installEventFilter(self)

    @Slot()
    def _take_plan(self) -> None:
        self.show_plan(self.watch.plan)
        self._follow_plot()

    @Slot()
    def _follow_plot(self, *_: object) -> None:
        if self.isVisible():
            rect = self._plot.plot_rect()
            self.follow(self._plot.day_range, names=rect.left(), right=rect.right())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self._follow_plot()
        return False

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.watch.wake(True)
        self._take_plan()

    def hideEvent(self, event: QHideEvent) -> None:
        self.watch.wake(False)
        super().hideEvent(event)

    def stop(self) -> None:
        """End the work beside the window."""
        self.watch.stop()
