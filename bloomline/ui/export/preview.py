"""Shows the chart as it will be."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.ui import theme
from bloomline.words import tr


class PreviewPane(QWidget):
    """Paints the last picture in its middle, with the edge of the paper."""

    resized = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("export_preview")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(tr("Preview of the chart"))
        self._image: QImage | None = None
        self._words = ""

    def sizeHint(self) -> QSize:
        em = theme.em()
        return QSize(round(38 * em), round(26 * em))

    def minimumSizeHint(self) -> QSize:
        em = theme.em()
        return QSize(round(18 * em), round(14 * em))

    @property
    def image(self) -> QImage | None:
        """The picture on show."""
        return self._image

    def show_image(self, image: QImage) -> None:
        """Show a picture."""
        self._image, self._words = image, ""
        self.update()

    def show_words(self, words: str) -> None:
        """Show a sentence in place of a picture."""
        self._image, self._words = None, words
        self.update()

    def room(self) -> tuple[int, int]:
        """How large a picture may be, in device-independent pixels."""
        return max(self.width() - 2, 50), max(self.height() - 2, 50)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.resized.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        try:
            tone = theme.tone_of(theme.current_theme())
            painter.fillRect(self.rect(), QColor(tone.panel))
            if self._image is None:
                painter.setPen(QColor(tone.muted))
                flags = 0x0004 | 0x0080 | 0x1000  # centred both ways, words wrapped
                painter.drawText(self.rect().adjusted(12, 12, -12, -12), flags, self._words)
                return
            size = self._image.deviceIndependentSize()
            # Between two requests the old picture is fitted to the new room.
            fit = min(self.width() / size.width(), self.height() / size.height(), 1.0)
            place = QRectF(0, 0, size.width() * fit, size.height() * fit)
            place.moveCenter(QRectF(self.rect()).center())
            place.moveTo(round(place.x()), round(place.y()))
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, fit < 1.0)
            painter.drawImage(place, self._image)
            painter.setPen(QColor(tone.line))
            painter.drawRect(place.adjusted(-0.5, -0.5, 0.5, 0.5))
        finally:
            painter.end()
