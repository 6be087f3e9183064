"""A slider with words at its ends, whose every slide is one step that can be undone."""

from __future__ import annotations

import time

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import (
    QAbstractSlider,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QSlider,
    QWidget,
)

from bloomline.ui.dressed import say_as
from bloomline.ui.theme import current_theme, em, tone_of

_ONE_GESTURE_S = 1.0
"""Key steps that follow each other within this time are one slide."""


class GestureSlider(QSlider):
    """A horizontal slider that tells each move with the word of its gesture.

    From press to release is one gesture, and so are keys or wheel steps in quick succession. A
    click beside the handle takes it there. `show_value` moves it without telling anyone.
    """

    slid = Signal(int, str)
    """The gardener moved it: the value, and the word of the gesture."""

    def __init__(self, word: str, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._word = word
        self._number = 0
        self._last_move_s = -10.0
        self._quiet = False
        self._pale = False
        self._tick = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.valueChanged.connect(self._tell)

    # What others ask for

    def show_value(self, value: int) -> None:
        """Stand at a value without telling it as a move."""
        self._quiet = True
        self.setValue(value)
        self._quiet = False

    def show_range(self, least: int, most: int, *, page: int, tick: int = 0) -> None:
        """Run over other values without telling it; `tick` is the way between two ticks."""
        self._quiet = True
        self.setRange(least, most)
        self.setPageStep(page)
        self._tick = tick
        self._quiet = False
        self.update()

    def set_pale(self, pale: bool) -> None:
        """Show that the slider's value is not in use now; a move takes it into use."""
        if pale != self._pale:
            self._pale = pale
            self.update()

    @property
    def is_pale(self) -> bool:
        """Whether the slider's value is not in use."""
        return self._pale

    def handle_centre(self) -> QPointF:
        """Where the middle of the handle is drawn."""
        return QPointF(self._x_of(self.sliderPosition()), self.height() / 2.0)

    # Telling moves

    @Slot(int)
    def _tell(self, value: int) -> None:
        if self._quiet:
            return
        now = time.monotonic()
        if not self.isSliderDown() and now - self._last_move_s > _ONE_GESTURE_S:
            self._number += 1
        self._last_move_s = now
        self.slid.emit(value, f"{self._word}-{self._number}")

    def _begin(self) -> None:
        self._number += 1
        self.setSliderDown(True)

    def _finish(self) -> None:
        self.setSliderDown(False)
        self._last_move_s = -10.0  # a key pressed next is a slide of its own

    # Mouse and keys

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton or self.maximum() <= self.minimum():
            event.ignore()
            return
        self._begin()
        self._grip = 0.0
        x = event.position().x()
        if abs(x - self.handle_centre().x()) <= self._radius() + 1.0:
            self._grip = x - self.handle_centre().x()
        elif not self._pale:
            self.setSliderPosition(self._value_at(x))
        if self._pale:
            self._take_up(self._value_at(x))
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self.isSliderDown():
            self.setSliderPosition(self._value_at(event.position().x() - self._grip))
            event.accept()
        else:
            event.ignore()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and self.isSliderDown():
            self._finish()
            event.accept()
        else:
            event.ignore()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self._pale and event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return):
            self._take_up(self.value())
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        if self.isSliderDown():
            self._finish()
        super().focusOutEvent(event)

    def _take_up(self, value: int) -> None:
        """Bring a pale slider into use, also where its value stays the same."""
        if value == self.value():
            self._tell(value)
        else:
            self.setSliderPosition(value)

    def sliderChange(self, change: QAbstractSlider.SliderChange) -> None:
        super().sliderChange(change)
        self.update()

    # Geometry and paint

    def _radius(self) -> float:
        return float(round(em() * 0.40))

    def _ends(self) -> tuple[float, float]:
        inset = self._radius() + 3.0
        return inset, self.width() - inset

    def _x_of(self, value: int) -> float:
        left, right = self._ends()
        span = self.maximum() - self.minimum()
        return left if span <= 0 else left + (right - left) * (value - self.minimum()) / span

    def _value_at(self, x: float) -> int:
        left, right = self._ends()
        part = min(max((x - left) / max(right - left, 1.0), 0.0), 1.0)
        return self.minimum() + round(part * (self.maximum() - self.minimum()))

    def sizeHint(self) -> QSize:
        return QSize(round(em() * 9), round(self._radius() * 2 + 9))

    def minimumSizeHint(self) -> QSize:
        return QSize(round(em() * 5), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint(painter)
        painter.end()

    def _paint(self, painter: QPainter) -> None:
        tone = tone_of(current_theme())
        left, right = self._ends()
        centre = self.handle_centre()
        in_use = self.isEnabled() and self.maximum() > self.minimum()
        groove = max(em() * 0.16, 3.0)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tone.line))
        over = self._radius()  # the rail goes on under the handle at its ends
        rail = QRectF(left - over, centre.y() - groove / 2, right - left + 2 * over, groove)
        painter.drawRoundedRect(rail, groove / 2, groove / 2)
        self._paint_ticks(painter, below=centre.y() + groove / 2 + 2.0, colour=tone.line)
        if not in_use:
            return
        radius = self._radius()
        if not self._pale:
            painter.setBrush(QColor(tone.accent))
            painter.setPen(Qt.PenStyle.NoPen)
            rail.setRight(centre.x())
            painter.drawRoundedRect(rail, groove / 2, groove / 2)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(tone.focus), 2.0))
            painter.drawEllipse(centre, radius + 2.0, radius + 2.0)
        painter.setBrush(QColor(tone.raised))
        edge = QColor(tone.muted if self._pale else tone.accent)
        style = Qt.PenStyle.DotLine if self._pale else Qt.PenStyle.SolidLine
        painter.setPen(QPen(edge, 2.0, style))
        painter.drawEllipse(centre, radius - 1.0, radius - 1.0)

    def _paint_ticks(self, painter: QPainter, *, below: float, colour: str) -> None:
        left, right = self._ends()
        if self._tick <= 0 or self.maximum() <= self.minimum() or right <= left:
            return  # no two ticks could come apart
        painter.setPen(QPen(QColor(colour), 1.0))
        step = self._tick
        while self._x_of(self.minimum() + step) - self._x_of(self.minimum()) < 4.0:
            step *= 2
        for value in range(self.minimum(), self.maximum() + 1, step):
            x = self._x_of(value)
            painter.drawLine(QPointF(x, below), QPointF(x, below + 3.0))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self.updateGeometry()
            self.update()


class SliderGroup(QWidget):
    """A heading with one control beside it, the value in words, and a slider with its ends.

    The heading's mnemonic goes to the slider.
    """

    def __init__(
        self,
        heading: str,
        *,
        slider: GestureSlider,
        ends: tuple[str, str],
        beside: QWidget | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.slider = slider
        self.heading = QLabel(heading)
        say_as(self.heading, "muted")
        self.heading.setBuddy(slider)
        self.value = ElidedLabel()
        say_as(self.value, "heading")
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(round(em() * 0.4))
        grid.setVerticalSpacing(round(em() * 0.15))
        grid.addWidget(self.heading, 0, 0)
        if beside is not None:
            grid.addWidget(beside, 0, 1)
        grid.setColumnStretch(1, 1)
        grid.setRowMinimumHeight(0, round(em() * 1.5))  # level with the neighbours
        grid.addWidget(self.value, 1, 0, 1, 2)
        row = QHBoxLayout()
        row.setSpacing(round(em() * 0.2))
        self.first, self.last = QLabel(ends[0]), QLabel(ends[1])
        for label in (self.first, self.last):
            say_as(label, "muted")
        row.addWidget(self.first)
        row.addWidget(slider, 1)
        row.addWidget(self.last)
        grid.addLayout(row, 2, 0, 1, 2)

    def say(self, value: str, *, tip: str = "") -> None:
        """Show the value in words, to the eye and to a screen reader."""
        self.value.setText(value)
        self.value.setToolTip(tip or value)
        self.slider.setToolTip(tip)
        self.slider.setAccessibleDescription(f"{value}. {tip}" if tip else value)


class ElidedLabel(QLabel):
    """A line of text that is cut with … where there is no room, and never asks for more.

    `most_em` : how wide it would like to be for words that need it, in lines of text. `shorter` :
    words that say the most needed part, shown where the whole has no room.
    """

    def __init__(self, words: str = "", *, most_em: float = 10.0) -> None:
        super().__init__(words)
        self._most_em = most_em
        self.shorter = ""

    def minimumSizeHint(self) -> QSize:
        return QSize(round(em() * 4), super().minimumSizeHint().height())

    def sizeHint(self) -> QSize:
        words = float(self.fontMetrics().horizontalAdvance(self.text()) + 2)
        width = min(max(words, em() * 10), em() * self._most_em)
        return QSize(round(width), super().sizeHint().height())

    def shown_text(self) -> str:
        """The text as it is drawn now."""
        metrics, room = self.fontMetrics(), self.contentsRect().width()
        whole = metrics.horizontalAdvance(self.text()) <= room
        words = self.text() if whole or not self.shorter else self.shorter
        return metrics.elidedText(words, Qt.TextElideMode.ElideRight, room)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        painter.drawText(
            self.contentsRect(),
            Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft,
            self.shown_text(),
        )
        painter.end()
