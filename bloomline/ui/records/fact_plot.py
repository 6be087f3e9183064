"""Forecast against fact as a picture: a mark for each record, its day across, its error upwards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from PySide6.QtCore import QEvent, QLocale, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QHelpEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from bloomline.plan.records import Fact
from bloomline.ui.records.marks import nearest_mark, paint_key, paint_stage
from bloomline.ui.records.words import (
    COMMON_YEAR,
    forecast_words,
    record_words,
    season_day,
    signed_days,
)
from bloomline.ui.theme import current_theme, em, tone_of

_STEPS = (1, 2, 5, 10, 20, 50, 100, 200)
_LEAST_DAYS = 10.0


@dataclass(frozen=True, slots=True)
class FactFrame:
    """Where days of the season lie across and errors upwards; later than forecast is higher."""

    first: int
    last: int
    most_days: float
    area: QRectF

    def x(self, day: float) -> float:
        """Where a day of the season lies, counted from 1 January."""
        share = (day + 0.5 - self.first) / (self.last + 1 - self.first)
        return self.area.left() + self.area.width() * share

    def y(self, error_days: float) -> float:
        """Where an error lies."""
        middle = self.area.center().y()
        return middle - self.area.height() / 2 * error_days / self.most_days

    @property
    def step(self) -> int:
        """Days between the lines across."""
        return next((s for s in _STEPS if self.most_days / s <= 4.0), _STEPS[-1])


def frame_of(facts: Sequence[Fact], area: QRectF) -> FactFrame | None:
    """The frame that holds every record with a forecast; None without any."""
    known = [fact for fact in facts if fact.expected is not None]
    if not known:
        return None
    days = [season_day(fact.record.day, fact.season_year) for fact in known]
    band = [abs(edge) for edge in band_of(known)]
    most = max(_LEAST_DAYS, *(abs(fact.residual_days) for fact in known), *band)
    return FactFrame(min(days) - 7, max(days) + 7, ceil(most * 1.12 / 5) * 5.0, area)


def band_of(facts: Sequence[Fact]) -> tuple[float, float]:
    """How far the 80 % bands reach below and above their middle, on average. [days]"""
    spans = [
        ((fact.p10 - fact.expected).days, (fact.p90 - fact.expected).days)
        for fact in facts
        if fact.expected is not None and fact.p10 is not None and fact.p90 is not None
    ]
    if not spans:
        return 0.0, 0.0
    return (
        sum(low for low, _ in spans) / len(spans),
        sum(high for _, high in spans) / len(spans),
    )


def _place(frame: FactFrame, fact: Fact) -> QPointF:
    day = season_day(fact.record.day, fact.season_year)
    return QPointF(frame.x(day), frame.y(fact.residual_days))


class FactPlot(QWidget):
    """The picture; the tables beside it say the same."""

    record_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("fact_plot")
        self.setAccessibleName(self.tr("Forecast against fact"))
        self.setAccessibleDescription(
            self.tr(
                "Across: day of the year. Upwards: days later than forecast, downwards: days "
                "earlier. The table below holds the figures."
            )
        )
        self.setMinimumHeight(round(em() * 13))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._facts: tuple[Fact, ...] = ()

    def show_facts(self, facts: Sequence[Fact]) -> None:
        """Show records beside their forecasts."""
        self._facts = tuple(fact for fact in facts if fact.expected is not None)
        self.update()

    @property
    def places(self) -> list[tuple[QPointF, Fact]]:
        """Where the marks lie."""
        frame = frame_of(self._facts, self._area())
        return [] if frame is None else [(_place(frame, fact), fact) for fact in self._facts]

    def _area(self) -> QRectF:
        size = em()
        return QRectF(self.rect()).adjusted(size * 3.0, size * 2.0, -size * 0.8, -size * 1.8)

    def paintEvent(self, event: QPaintEvent) -> None:
        frame = frame_of(self._facts, self._area())
        if frame is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_band(painter, frame)
        self._paint_axes(painter, frame)
        radius = em() * (0.34 if len(self._facts) < 150 else 0.24)
        for fact in self._facts:
            paint_stage(painter, fact.record.seen, _place(frame, fact), radius=radius)
        self._paint_key(painter)
        painter.end()

    def _paint_band(self, painter: QPainter, frame: FactFrame) -> None:
        low, high = band_of(self._facts)
        tone, size = tone_of(current_theme()), em()
        rect = QRectF(
            QPointF(frame.area.left(), frame.y(high)), QPointF(frame.area.right(), frame.y(low))
        )
        wash = QColor(tone.accent)
        wash.setAlphaF(0.16)
        painter.fillRect(rect, wash)
        painter.setPen(QColor(tone.muted))
        words = self.tr("8 years of 10")
        painter.drawText(QPointF(rect.left() + size * 0.4, rect.top() + size * 0.95), words)

    def _paint_axes(self, painter: QPainter, frame: FactFrame) -> None:
        theme = current_theme()
        tone, size, locale = tone_of(theme), em(), QLocale()
        most = int(frame.most_days // frame.step) * frame.step
        for days in range(-most, most + 1, frame.step):
            y = round(frame.y(days)) + 0.5
            is_zero = days == 0
            painter.setPen(QPen(QColor(tone.ink if is_zero else theme.grid), 1.4 if is_zero else 1))
            painter.drawLine(QPointF(frame.area.left(), y), QPointF(frame.area.right(), y))
            painter.setPen(QColor(tone.muted))
            box = QRectF(0, y - size * 0.6, frame.area.left() - size * 0.4, size * 1.2)
            side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(box, side, signed_days(days))
        metrics = QFontMetricsF(self.font())
        begin = date(COMMON_YEAR, 1, 1)
        month = (begin + timedelta(days=frame.first)).replace(day=1)
        end = begin + timedelta(days=frame.last)
        while month <= end:
            number = (month - begin).days
            if number >= frame.first:
                x = round(frame.x(number - 0.5)) + 0.5
                painter.setPen(QPen(QColor(theme.grid), 1))
                painter.drawLine(QPointF(x, frame.area.top()), QPointF(x, frame.area.bottom()))
                painter.setPen(QColor(tone.muted))
                name = locale.standaloneMonthName(month.month, QLocale.FormatType.ShortFormat)
                if x + metrics.horizontalAdvance(name) < frame.area.right():
                    painter.drawText(QPointF(x + size * 0.2, frame.area.bottom() + size), name)
            month = (month + timedelta(days=32)).replace(day=1)

    def _paint_key(self, painter: QPainter) -> None:
        """Which mark is which, over the picture, with what upwards and downwards mean."""
        tone, size = tone_of(current_theme()), em()
        metrics, y = QFontMetricsF(self.font()), size * 0.8
        x = paint_key(painter, size * 3.0, y, metrics=metrics)
        painter.setPen(QColor(tone.muted))
        words = self.tr("days later (+) or earlier (−) than forecast")
        left = self.width() - metrics.horizontalAdvance(words) - size * 0.8
        if left > x:
            painter.drawText(QPointF(left, y + metrics.capHeight() / 2), words)

    def fact_at(self, at: QPointF) -> Fact | None:
        """The record whose mark lies nearest to a point, if one is near."""
        return nearest_mark(self.places, at, within=em() * 0.9)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            fact = self.fact_at(QPointF(event.pos()))
            words = ""
            if fact is not None:
                name = record_words(fact.record, fact.cultivar.name)
                words = f"{name}\n{forecast_words(fact)}"
            QToolTip.showText(event.globalPos(), words, self)
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        fact = self.fact_at(event.position())
        if event.button() == Qt.MouseButton.LeftButton and fact is not None:
            self.record_chosen.emit(fact.record.id)
            return
        super().mousePressEvent(event)
