"""Parts that take their colours from the palette as they are painted: cards, kinds of words.

A style sheet of the application would say as much in fewer lines, but Qt goes through all widgets
for it, each once for every widget that it stands in: a second and more from light to dark once all
pages are made. The palette is told in a twentieth of that.
"""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QSplitter,
    QSplitterHandle,
    QStyle,
    QStyleOptionToolButton,
    QStylePainter,
    QToolButton,
    QWidget,
)

from bloomline.draw.base.petals import mix

# Where the palette (`theme.palette_of`) keeps the colour of each kind of words.
_ROLES = {
    "muted": QPalette.ColorRole.PlaceholderText,
    "caution": QPalette.ColorRole.LinkVisited,
    "warning": QPalette.ColorRole.BrightText,
}
_BOLD = ("heading", "warning")
_ROUND_PX = 6.0


def say_as(label: QLabel, kind: str) -> None:
    """Show a label's words as "heading", "muted", "caution", "warning", or "" for plain ones.

    The kind is its object name, too.
    """
    label.setObjectName(kind)
    label.setForegroundRole(_ROLES.get(kind, QPalette.ColorRole.WindowText))
    is_bold = kind in _BOLD
    if (label.font().weight() == QFont.Weight.DemiBold) is not is_bold:
        font = QFont()  # of which nothing but the weight is set
        if is_bold:
            font.setWeight(QFont.Weight.DemiBold)
        label.setFont(font)


class CardFrame(QFrame):
    """A raised ground with round corners and a line around it, a thicker one with the keyboard."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.setFrameStyle(QFrame.Shape.Box | QFrame.Shadow.Plain)  # one pixel wide

    def paintEvent(self, _event: QPaintEvent) -> None:
        palette = self.palette()
        wide = 2.0 if self.hasFocus() else 1.0
        role = QPalette.ColorRole.Link if self.hasFocus() else QPalette.ColorRole.Mid
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(palette.color(role), wide))
        painter.setBrush(palette.base())
        half = wide / 2
        edge = QRectF(self.rect()).adjusted(half, half, -half, -half)
        painter.drawRoundedRect(edge, _ROUND_PX - half, _ROUND_PX - half)
        painter.end()


class Splitter(QSplitter):
    """A splitter with handles that are seen; no part of it can be pushed to nothing."""

    def __init__(self, orientation: Qt.Orientation, parent: QWidget | None = None) -> None:
        super().__init__(orientation, parent)
        self.setChildrenCollapsible(False)

    def createHandle(self) -> QSplitterHandle:
        return _Handle(self.orientation(), self)


class _Handle(QSplitterHandle):
    def __init__(self, orientation: Qt.Orientation, parent: QSplitter) -> None:
        super().__init__(orientation, parent)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)

    def paintEvent(self, _event: QPaintEvent) -> None:
        role = QPalette.ColorRole.Mid if self.underMouse() else QPalette.ColorRole.Midlight
        painter = QPainter(self)
        painter.fillRect(self.rect(), self.palette().color(role))
        painter.end()


class SwitchButton(QToolButton):
    """A flat button that shows plainly whether it is on."""

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self.isChecked():
            super().paintEvent(event)
            return
        option = QStyleOptionToolButton()
        self.initStyleOption(option)
        for on in (QStyle.StateFlag.State_On, QStyle.StateFlag.State_Sunken):
            option.state &= ~on
        palette = self.palette()
        accent = palette.color(QPalette.ColorRole.Accent)
        ground = mix(palette.color(QPalette.ColorRole.Button).name(), accent.name(), 0.3)
        painter = QStylePainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(accent)
        painter.setBrush(ground)
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 3.0, 3.0)
        painter.drawControl(QStyle.ControlElement.CE_ToolButtonLabel, option)
        painter.end()
