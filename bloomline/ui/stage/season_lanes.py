"""Lanes of places under the season's rows: the same days, the same line of the day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import QEvent, QObject, Slot
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QSplitter, QWidget

from bloomline.ui.document import Document
from bloomline.ui.season.plot import SeasonPlot
from bloomline.ui.stage.desk import StageDesk
from bloomline.ui.stage.lane_view import LaneView
from bloomline.ui.stage.watch import StageWatch

_ROWS, _STRIP = 4, 0.17


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

    def _keep_rows(self, wanted: bool) -> None:
        """Keep the height of some rows above, however low the window is, while lanes are seen."""
        parted = self.parentWidget()
        rows = parted.widget(0) if isinstance(parted, QSplitter) else None
        if rows is not None:
            look = self._plot.shown.look
            above = look.axis_height + 2.0 * look.line + 12.0 + self._plot.strip.lanes_height()
            # The flowers by day take a share of the height.
            least = (above + _ROWS * look.row_height) / (1.0 - _STRIP)
            rows.setMinimumHeight(round(least) if wanted else 0)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._keep_rows(True)
        self.watch.wake(True)
        self._take_plan()

    def hideEvent(self, event: QHideEvent) -> None:
        self.watch.wake(False)
        self._keep_rows(False)
        super().hideEvent(event)

    def stop(self) -> None:
        """End the work beside the window."""
        self.watch.stop()
