"""The timeline: its plot, with mouse, wheel, keys, tooltips and a menu."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, Qt
from PySide6.QtGui import (
    QAction,
    QContextMenuEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QToolTip, QWidget

from bloomline.plan.forecast.report import SeasonReport
from bloomline.ui.season.geometry import Range, kept_within, limits_of
from bloomline.ui.season.hand import Hand
from bloomline.ui.season.hits import tip_at
from bloomline.ui.season.menu import open_menu
from bloomline.ui.season.plot import SeasonPlot
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.words import SeasonWords


class SeasonView(SeasonPlot):
    """The timeline that answers."""

    def __init__(self, shown: Shown, words: SeasonWords, parent: QWidget | None = None) -> None:
        super().__init__(shown, words, parent)
        self.setObjectName("season_view")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.hand = Hand(self)
        self.menu_actions: list[QAction | None] = []
        self._known: tuple[Range, frozenset[str]] = ((0.0, 0.0), frozenset())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is not Qt.MouseButton.LeftButton:
            event.ignore()
            return
        self.hand.press(event)
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self.hand.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self.hand.let_go(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.hand.double_click(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        open_menu(self, self.menu_actions, event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        self.hand.turn(event)
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self.hand.answer(event):
            event.ignore()  # so that the window may have it

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        event.ignore()

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            at = QPointF(event.pos())
            tip = tip_at(self, at) if self.hand.is_empty else ""
            here = QRect(event.pos() - QPoint(4, 4), event.pos() + QPoint(4, 4))
            QToolTip.showText(event.globalPos(), tip, self.viewport(), here)
            return True
        return bool(super().viewportEvent(event))

    def keep_window(self, report: SeasonReport) -> None:
        """Keep the days shown while the same yard changes; fit when it is another one."""
        limits = limits_of(report)
        layers = frozenset(report.part_ids)
        old_limits, old_layers = self._known
        self._known = (limits, layers)
        is_other = limits != old_limits or not (layers & old_layers)
        # A whole season that gains or loses a layer is still to be a whole season.
        if is_other or (self.is_fitted and layers != old_layers):
            self.fit()
        else:
            window = kept_within(self.day_range, limits)
            if window != self.day_range:
                self.show_window(window)
