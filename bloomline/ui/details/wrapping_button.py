"""A push button whose words wrap, for what is said in a sentence rather than in a word."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import (
    QPushButton,
    QSizePolicy,
    QStyle,
    QStyleOptionButton,
    QStylePainter,
    QWidget,
)

from bloomline.ui.details.words import kept_together
from bloomline.ui.theme import current_theme, em, tone_of

_WRAP = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)


class WrappingButton(QPushButton):
    """As wide as its place and as high as its words need."""

    def __init__(self, words: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = ""
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.set_words(words)

    def set_words(self, words: str) -> None:
        """Say something else; a & is only a &."""
        self._words = kept_together(words)
        self.setText(words.replace("&", "&&"))
        self.updateGeometry()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        across, down = self._margins()
        room = QRect(0, 0, max(width - 2 * across, 1), 10_000)
        return self.fontMetrics().boundingRect(room, _WRAP, self._words).height() + 2 * down

    def sizeHint(self) -> QSize:
        width = round(em() * 14)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        _, down = self._margins()
        return QSize(round(em() * 4), self.fontMetrics().height() + 2 * down)

    def _margins(self) -> tuple[int, int]:
        return round(em() * 0.45), round(em() * 0.25)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QStylePainter(self)
        option = QStyleOptionButton()
        self.initStyleOption(option)
        option.text = ""
        painter.drawControl(QStyle.ControlElement.CE_PushButton, option)
        across, down = self._margins()
        painter.drawItemText(
            self.rect().adjusted(across, down, -across, -down),
            _WRAP,
            self.palette(),
            self.isEnabled(),
            self._words,
            QPalette.ColorRole.ButtonText,
        )
        if self.hasFocus():
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(QColor(tone_of(current_theme()).focus), 2.0))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 3.0, 3.0)
