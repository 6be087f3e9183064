"""Two seasons under one another: each layer a row, with a bar for A and one for B."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from PySide6.QtCore import QLocale, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.draw.petals import mix, petal
from bloomline.plan.report import LayerForecast
from bloomline.plan.scenarios import Comparison
from bloomline.ui.theme import current_theme, em, tone_of

_SPARE_DAYS = 7


@dataclass(frozen=True, slots=True)
class Span:
    """The days that are shown, and how they lie across the picture."""

    first: date
    last: date
    left: float
    right: float

    def x(self, day: date) -> float:
        """Where a day begins."""
        whole = max((self.last - self.first).days, 1)
        return self.left + (self.right - self.left) * (day - self.first).days / whole

    def months(self) -> list[date]:
        """The first days of the months within."""
        found = []
        day = self.first.replace(day=1)
        while day <= self.last:
            if day >= self.first:
                found.append(day)
            day = (day + timedelta(days=32)).replace(day=1)
        return found


def span_of(answer: Comparison, *, left: float, right: float) -> Span:
    """From a week before the first flower of either season to a week after the last."""
    bands = [
        band
        for each in answer.layers
        for layer in (each.a, each.b)
        for band in (layer.start, layer.end)
        if band is not None
    ]
    spare = timedelta(days=_SPARE_DAYS)
    if not bands:
        first = answer.a.first_day
        return Span(first, first + timedelta(days=365), left, right)
    return Span(
        min(band.p10 for band in bands) - spare,
        max(band.p90 for band in bands) + spare,
        left,
        right,
    )


def month_names(
    months: list[date], *, span: Span, width: Callable[[str], float], gap: float
) -> list[str]:
    """Names of months, short, or of one letter where the short ones would run together.

    width : how wide a word is. gap : what is left free beside it. [px]
    """
    locale = QLocale()
    found: list[str] = []
    for form in (QLocale.FormatType.ShortFormat, QLocale.FormatType.NarrowFormat):
        found = [locale.standaloneMonthName(month.month, form) for month in months]
        steps = [span.x(after) - span.x(month) for month, after in pairwise(months)]
        if all(width(words) + gap <= step for words, step in zip(found, steps, strict=False)):
            break
    return found


class CompareTimeline(QWidget):
    """The picture of a comparison; the table beneath says the same in words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("compare_timeline")
        self.setAccessibleName(self.tr("Two seasons side by side"))
        self.setAccessibleDescription(self.tr("The table next to it holds the same dates."))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._answer: Comparison | None = None

    def show_answer(self, answer: Comparison) -> None:
        """Show a comparison."""
        self._answer = answer
        self.setFixedHeight(self.sizeHint().height())
        self.update()

    def _row_height(self) -> float:
        return round(em() * 2.0)

    def sizeHint(self) -> QSize:
        rows = len(self._answer.layers) if self._answer else 0
        return QSize(round(em() * 30), round(em() * 1.8 + rows * self._row_height() + em() * 0.5))

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._answer is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme = current_theme()
        tone = tone_of(theme)
        metrics = QFontMetricsF(self.font())
        names = round(min(em() * 15, self.width() * 0.28))
        span = span_of(self._answer, left=names + em() * 1.6, right=self.width() - em())
        top, row = em() * 1.8, self._row_height()
        painter.setFont(self.font())
        stripe = QColor(mix(theme.ground, theme.ink, 0.035))
        for place in range(0, len(self._answer.layers), 2):
            painter.fillRect(QRectF(0, top + place * row, self.width(), row), stripe)
        months = span.months()
        names_of = month_names(months, span=span, width=metrics.horizontalAdvance, gap=em() * 0.5)
        for month, words in zip(months, names_of, strict=True):
            x = round(span.x(month)) + 0.5
            painter.setPen(QPen(QColor(tone.line), 1))
            painter.drawLine(QPointF(x, em() * 0.2), QPointF(x, self.height()))
            painter.setPen(QColor(tone.muted))
            if x + em() * 0.5 + metrics.horizontalAdvance(words) < self.width():
                painter.drawText(QPointF(x + em() * 0.25, em() * 1.1), words)
        for place, each in enumerate(self._answer.layers):
            y = top + place * row
            if y > event.rect().bottom() or y + row < event.rect().top():
                continue
            painter.setPen(QColor(tone.ink))
            name = metrics.elidedText(each.a.name, Qt.TextElideMode.ElideRight, names - em() * 0.6)
            painter.drawText(QRectF(em() * 0.4, y, names, row), Qt.AlignmentFlag.AlignVCenter, name)
            self._bar(painter, each.a, span, QRectF(0, y + row * 0.08, 0, row * 0.38), "A")
            self._bar(painter, each.b, span, QRectF(0, y + row * 0.54, 0, row * 0.38), "B")
        painter.end()

    def _bar(
        self, painter: QPainter, layer: LayerForecast, span: Span, lane: QRectF, side: str
    ) -> None:
        theme = current_theme()
        tone = tone_of(theme)
        small = painter.font()
        font = painter.font()
        font.setPixelSize(max(8, round(lane.height() * 0.95)))
        painter.setFont(font)
        painter.setPen(QColor(tone.muted))
        letter = QRectF(span.left - em() * 1.2, lane.top(), em(), lane.height())
        painter.drawText(letter, Qt.AlignmentFlag.AlignCenter, side)
        if layer.start is None or layer.end is None:
            words = self.tr("no flower")
            painter.drawText(
                QRectF(span.left, lane.top(), em() * 8, lane.height()),
                Qt.AlignmentFlag.AlignVCenter, words,
            )  # fmt: skip
            painter.setFont(small)
            return
        fill = petal(layer.colour_hex, theme=theme, second_hex=layer.second_colour_hex)
        left, right = span.x(layer.start.p10), span.x(layer.end.p90 + timedelta(days=1))
        core_left, core_right = span.x(layer.start.p50), span.x(layer.end.p50)
        middle = lane.center().y()
        painter.setPen(QPen(QColor(fill.outline), 1.4))
        painter.drawLine(QPointF(left, middle), QPointF(right, middle))
        for x in (left, right):
            painter.drawLine(QPointF(x, middle - 2.5), QPointF(x, middle + 2.5))
        painter.setBrush(QColor(fill.fill))
        painter.setPen(QPen(QColor(fill.outline), 1.2))
        box = QRectF(core_left, lane.top(), max(core_right - core_left, 2.0), lane.height())
        painter.drawRoundedRect(box, 3, 3)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setFont(small)
