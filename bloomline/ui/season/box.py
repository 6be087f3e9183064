"""The boxes of the timeline's plot: where they lie, and which days and rows are in view."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsItem, QGraphicsObject, QStyleOptionGraphicsItem, QWidget

from bloomline.ui.season.geometry import Range


class Box(QGraphicsObject):
    """A part of the plot, painted in its own pixels."""

    resized = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._size = (0.0, 0.0)

    def lay(self, rect: QRectF) -> None:
        """Take a place in the scene."""
        self.setPos(rect.topLeft())
        size = (rect.width(), rect.height())
        if size != self._size:
            self.prepareGeometryChange()
            self._size = size
            self.update()
            self.resized.emit()

    def width(self) -> float:
        """[px]"""
        return self._size[0]

    def height(self) -> float:
        """[px]"""
        return self._size[1]

    def boundingRect(self) -> QRectF:
        return QRectF(0.0, 0.0, *self._size)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        """Nothing of its own."""


class DaysBox(Box):
    """A box over days; what stands in it is cut off at its edges."""

    days_changed = Signal()
    """Other days are in view."""
    changed = Signal()
    """Other days or other rows are in view."""

    def __init__(self) -> None:
        super().__init__()
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemClipsChildrenToShape)
        self.days: Range = (0.0, 1.0)
        """Day numbers at the left and the right edge."""
        self.top = 0.0
        """How far the rows are scrolled. [px]"""

    def show_days(self, days: Range) -> None:
        """Show other days."""
        days = (float(days[0]), float(days[1]))
        if days != self.days:
            self.days = days
            self.days_changed.emit()
            self.changed.emit()

    def scroll_to(self, top: float) -> None:
        """Show other rows. top : [px]"""
        if top != self.top:
            self.top = float(top)
            self.changed.emit()
