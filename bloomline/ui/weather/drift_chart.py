"""The picture of how expected dates moved: one line a layer, from cut-off to cut-off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from PySide6.QtCore import QLocale, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.draw.petals import petal
from bloomline.plan.drift import Drift, LayerDrift
from bloomline.ui.theme import current_theme, em, tone_of

_SPARE_DAYS = 5


@dataclass(frozen=True, slots=True)
class Frame:
    """Where days lie: known days across, expected first flowers upwards."""

    known: tuple[date, date]
    opens: tuple[date, date]
    left: float
    top: float
    right: float
    bottom: float

    def x(self, known: date) -> float:
        """Where the day up to which weather was known lies."""
        whole = max((self.known[1] - self.known[0]).days, 1)
        return self.left + (self.right - self.left) * (known - self.known[0]).days / whole

    def y(self, opens: date) -> float:
        """Where a day of first flower lies; later days lie lower."""
        whole = max((self.opens[1] - self.opens[0]).days, 1)
        return self.top + (self.bottom - self.top) * (opens - self.opens[0]).days / whole


def frame_of(drift: Drift, *, left: float, top: float, right: float, bottom: float) -> Frame | None:
    """The frame that holds every expected date; None when there is nothing to show."""
    bands = [band for layer in drift.layers for band in layer.expected if band is not None]
    if not bands or not drift.cutoffs:
        return None
    spare = timedelta(days=_SPARE_DAYS)
    return Frame(
        known=(drift.cutoffs[0], drift.cutoffs[-1]),
        opens=(min(band.p10 for band in bands) - spare, max(band.p90 for band in bands) + spare),
        left=left,
        top=top,
        right=right,
        bottom=bottom,
    )


def months_between(first: date, last: date) -> list[date]:
    """First days of months from one day to another."""
    found = []
    day = first.replace(day=1)
    while day <= last:
        if day >= first:
            found.append(day)
        day = (day + timedelta(days=32)).replace(day=1)
    return found


class DriftChart(QWidget):
    """Lines of the middle dates; the chosen layer with its band. The table says the same."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("drift_chart")
        self.setAccessibleName(self.tr("How expected dates moved"))
        self.setAccessibleDescription(
            self.tr(
                "Across: how far the weather was known. Down: expected first flower. The "
                "table holds the first and the present date."
            )
        )
        self.setMinimumHeight(round(em() * 12))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._drift: Drift | None = None
        self._chosen: str | None = None

    def show_drift(self, drift: Drift | None) -> None:
        """Show lines, or nothing."""
        self._drift = drift
        self.update()

    def choose(self, layer_id: str | None) -> None:
        """Bring one layer out."""
        if layer_id != self._chosen:
            self._chosen = layer_id
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._drift is None:
            return
        size, metrics = em(), QFontMetricsF(self.font())
        frame = frame_of(
            self._drift,
            left=size * 3.4,
            top=size * 1.6,
            right=self.width() - size * 1.2,
            bottom=self.height() - size * 2.8,
        )
        if frame is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_axes(painter, frame, metrics)
        chosen = None
        for layer in self._drift.layers:
            if layer.layer_id == self._chosen:
                chosen = layer
            else:
                self._paint_line(painter, frame, layer, is_chosen=False)
        if chosen is not None:
            self._paint_band(painter, frame, chosen)
            self._paint_line(painter, frame, chosen, is_chosen=True)
            self._paint_name(painter, frame, chosen, metrics)
        painter.end()

    def _paint_axes(self, painter: QPainter, frame: Frame, metrics: QFontMetricsF) -> None:
        tone, size, locale = tone_of(current_theme()), em(), QLocale()
        for month in months_between(*frame.opens):
            y = round(frame.y(month)) + 0.5
            painter.setPen(QPen(QColor(tone.line), 1))
            painter.drawLine(QPointF(frame.left, y), QPointF(frame.right, y))
            painter.setPen(QColor(tone.muted))
            words = locale.standaloneMonthName(month.month, QLocale.FormatType.ShortFormat)
            box = QRectF(0, y - size * 0.6, frame.left - size * 0.4, size * 1.2)
            painter.drawText(
                box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, words
            )
        painter.setPen(QPen(QColor(tone.line), 1))
        painter.drawLine(
            QPointF(frame.left, frame.bottom + 0.5), QPointF(frame.right, frame.bottom + 0.5)
        )
        for month in months_between(*frame.known):
            x = round(frame.x(month)) + 0.5
            painter.setPen(QPen(QColor(tone.line), 1))
            painter.drawLine(QPointF(x, frame.bottom), QPointF(x, frame.bottom + size * 0.3))
            painter.setPen(QColor(tone.muted))
            words = locale.standaloneMonthName(month.month, QLocale.FormatType.ShortFormat)
            if x + metrics.horizontalAdvance(words) < frame.right:
                painter.drawText(QPointF(x, frame.bottom + size * 1.2), words)
        painter.setPen(QColor(tone.muted))
        across = self.tr("weather known until")
        painter.drawText(
            QPointF(frame.right - metrics.horizontalAdvance(across), self.height() - size * 0.4),
            across,
        )
        painter.drawText(QPointF(size * 0.4, size * 1.0), self.tr("opens"))

    def _paint_line(
        self, painter: QPainter, frame: Frame, layer: LayerDrift, *, is_chosen: bool
    ) -> None:
        assert self._drift is not None
        fill = petal(layer.colour_hex, theme=current_theme())
        line = QPolygonF()
        for known, band in zip(self._drift.cutoffs, layer.expected, strict=True):
            if band is not None:
                line.append(QPointF(frame.x(known), frame.y(band.p50)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(fill.outline), 4.5 if is_chosen else 2.4))
        painter.drawPolyline(line)
        painter.setPen(QPen(QColor(fill.fill), 3.0 if is_chosen else 1.4))
        painter.drawPolyline(line)

    def _paint_name(
        self, painter: QPainter, frame: Frame, layer: LayerDrift, metrics: QFontMetricsF
    ) -> None:
        """Name the chosen line above its beginning, on the ground's colour."""
        first = next((band for band in layer.expected if band is not None), None)
        if first is None:
            return
        theme = current_theme()
        width, size = metrics.horizontalAdvance(layer.name), em()
        box = QRectF(
            frame.left + size * 0.4, frame.y(first.p50) - size * 1.5, width + size * 0.6, size * 1.2
        )
        ground = QColor(theme.ground)
        ground.setAlphaF(0.85)
        painter.fillRect(box, ground)
        painter.setPen(QColor(theme.ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, layer.name)

    def _paint_band(self, painter: QPainter, frame: Frame, layer: LayerDrift) -> None:
        assert self._drift is not None
        known = [
            (frame.x(day), frame.y(band.p10), frame.y(band.p90), band)
            for day, band in zip(self._drift.cutoffs, layer.expected, strict=True)
            if band is not None
        ]
        if not known:
            return
        ground = QColor(petal(layer.colour_hex, theme=current_theme()).outline)
        ground.setAlphaF(0.18)
        shape = [QPointF(x, early) for x, early, _, _ in known]
        shape += [QPointF(x, late) for x, _, late, _ in reversed(known)]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ground)
        painter.drawPolygon(QPolygonF(shape))
