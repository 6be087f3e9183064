"""Initials of the months, over the strips of the shelf's list."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractItemView, QSizePolicy, QWidget

from bloomline.ui.shelf.delegate import plan_row
from bloomline.ui.shelf.strip import month_starts
from bloomline.ui.theme import current_theme, em, tone_of
from bloomline.words import month_letter, tr


class MonthHeader(QWidget):
    """Initials of the months over the strips of the list."""

    def __init__(self, view: QAbstractItemView, parent: QWidget) -> None:
        super().__init__(parent)
        self._view = view
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Months"))

    def sizeHint(self) -> QSize:
        return QSize(1, round(em() * 0.9))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        viewport = self._view.viewport()
        left = self.mapFromGlobal(viewport.mapToGlobal(viewport.rect().topLeft())).x()
        plan = plan_row(float(viewport.width()), line_px=em())
        begin, room = left + plan.text_left, plan.right - plan.text_left
        painter = QPainter(self)
        font = painter.font()
        font.setPointSizeF(max(font.pointSizeF() * 0.78, 9.0))
        painter.setFont(font)
        painter.setPen(QColor(tone_of(current_theme()).muted))
        starts = (*month_starts(), 1.0)
        for month in range(12):
            box = QRectF(
                begin + starts[month] * room,
                0,
                (starts[month + 1] - starts[month]) * room,
                self.height(),
            )
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, month_letter(month + 1))
        painter.end()
