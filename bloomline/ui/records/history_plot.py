"""One cultivar across the years: a row a season, what was seen over the forecast's bands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from PySide6.QtCore import QEvent, QLineF, QLocale, QPointF, QRectF, QSize, Qt, Signal
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

from bloomline.model.yard import Record, Seen
from bloomline.plan.records import SEEN_ORDER, Fact
from bloomline.ui.page_kit import day_words
from bloomline.ui.records.marks import nearest_mark, paint_key, paint_stage, stage_colour
from bloomline.ui.records.words import COMMON_YEAR, forecast_words, season_day, seen_words
from bloomline.ui.theme import current_theme, em, tone_of

_ROW_EM = 3.0
_HEAD_EM = 3.2


@dataclass(frozen=True, slots=True)
class Sighting:
    """A record of the cultivar, and its forecast where there is one."""

    record: Record
    season_year: int
    fact: Fact | None


@dataclass(frozen=True, slots=True)
class SeasonLine:
    """What was seen in one season, in the order of stages and days."""

    season_year: int
    sightings: tuple[Sighting, ...]

    def of(self, seen: Seen) -> tuple[Sighting, ...]:
        """What was seen of a stage."""
        return tuple(each for each in self.sightings if each.record.seen == seen)


def lines_of(sightings: Sequence[Sighting]) -> tuple[SeasonLine, ...]:
    """One line a season, the newest first."""
    found: dict[int, list[Sighting]] = {}
    for each in sightings:
        found.setdefault(each.season_year, []).append(each)

    def order(each: Sighting) -> tuple[int, date]:
        return SEEN_ORDER.index(each.record.seen), each.record.day

    return tuple(
        SeasonLine(season, tuple(sorted(some, key=order)))
        for season, some in sorted(found.items(), reverse=True)
    )


def days_across(lines: Sequence[SeasonLine]) -> tuple[int, int] | None:
    """The days of the season that hold all that is shown; None without anything."""
    days = []
    for line in lines:
        for each in line.sightings:
            days.append(season_day(each.record.day, line.season_year))
            if each.fact is not None and each.fact.p10 and each.fact.p90:
                days += [season_day(d, line.season_year) for d in (each.fact.p10, each.fact.p90)]
    return (min(days) - 6, max(days) + 6) if days else None


def _row_top(at: int) -> float:
    return (_HEAD_EM + at * _ROW_EM) * em()


def _lane_y(top: float, lane: int) -> float:
    return top + _ROW_EM * em() * (lane + 0.5) / len(SEEN_ORDER)


class HistoryPlot(QWidget):
    """Rows are seasons; the table below says the same."""

    record_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("history_plot")
        self.setAccessibleName(self.tr("What was seen across the years"))
        self.setAccessibleDescription(
            self.tr("Rows: seasons. Across: day of the year. The table below holds the dates.")
        )
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._lines: tuple[SeasonLine, ...] = ()
        self._across: tuple[int, int] | None = None

    def show_lines(self, lines: tuple[SeasonLine, ...]) -> None:
        """Show other seasons."""
        self._lines, self._across = lines, days_across(lines)
        self.updateGeometry()
        self.setMinimumHeight(self.sizeHint().height())
        self.update()

    @property
    def places(self) -> list[tuple[QPointF, Sighting]]:
        """Where the marks lie."""
        if self._across is None:
            return []
        return [
            (QPointF(self._x(season_day(each.record.day, line.season_year)), y), each)
            for at, line in enumerate(self._lines)
            for each in line.sightings
            for y in [_lane_y(_row_top(at), SEEN_ORDER.index(each.record.seen))]
        ]

    def sizeHint(self) -> QSize:
        rows = max(1, len(self._lines))
        return QSize(round(40 * em()), round((_HEAD_EM + rows * _ROW_EM + 0.4) * em()))

    def _x(self, day: int) -> float:
        assert self._across is not None
        first, last = self._across
        left, right = 4.0 * em(), self.width() - 0.8 * em()
        return left + (right - left) * (day + 0.5 - first) / (last + 1 - first)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._across is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_months(painter)
        self._paint_key(painter)
        seen_rows = event.rect()
        for at, line in enumerate(self._lines):
            top = _row_top(at)
            if top > seen_rows.bottom() or top + _ROW_EM * em() < seen_rows.top():
                continue
            self._paint_line(painter, line, top)
        painter.end()

    def _paint_months(self, painter: QPainter) -> None:
        assert self._across is not None
        theme, size, locale = current_theme(), em(), QLocale()
        tone, metrics = tone_of(theme), QFontMetricsF(self.font())
        begin = date(COMMON_YEAR, 1, 1)
        first, last = self._across
        month = (begin + timedelta(days=first)).replace(day=1)
        while month <= begin + timedelta(days=last):
            number = (month - begin).days
            following = (month + timedelta(days=32)).replace(day=1)
            name = locale.standaloneMonthName(month.month, QLocale.FormatType.ShortFormat)
            x = round(self._x(max(number, first)) - 0.5) + 0.5
            end = self._x(min((following - begin).days, last))
            if number >= first:
                painter.setPen(QPen(QColor(tone.line), 1))
                painter.drawLine(QLineF(x, _HEAD_EM * size - 0.9 * size, x, self.height()))
            painter.setPen(QColor(tone.muted))
            if end - x > metrics.horizontalAdvance(name) + size * 0.4:
                painter.drawText(QPointF(x + size * 0.25, _HEAD_EM * size - 0.3 * size), name)
            month = following

    def _paint_key(self, painter: QPainter) -> None:
        tone, size = tone_of(current_theme()), em()
        metrics, y = QFontMetricsF(self.font()), size * 0.8
        x = paint_key(painter, 4.0 * size, y, metrics=metrics)
        words = self.tr("bars: forecast, 8 years of 10")
        if x + metrics.horizontalAdvance(words) < self.width():
            painter.setPen(QColor(tone.muted))
            painter.drawText(QPointF(x, y + metrics.capHeight() / 2), words)

    def _paint_line(self, painter: QPainter, line: SeasonLine, top: float) -> None:
        theme, size = current_theme(), em()
        tone = tone_of(theme)
        high = _ROW_EM * size
        painter.setPen(QPen(QColor(theme.grid), 1))
        painter.drawLine(QLineF(0, round(top) + 0.5, self.width(), round(top) + 0.5))
        painter.setPen(QColor(tone.ink))
        box = QRectF(0, top, 3.4 * size, high)
        side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(box, side, str(line.season_year))
        for lane, seen in enumerate(SEEN_ORDER):
            y = _lane_y(top, lane)
            for each in line.of(seen):
                self._paint_forecast(painter, each, line.season_year, y)
            for each in line.of(seen):
                at = QPointF(self._x(season_day(each.record.day, line.season_year)), y)
                paint_stage(painter, seen, at, radius=size * 0.32)

    def _paint_forecast(
        self, painter: QPainter, each: Sighting, season_year: int, y: float
    ) -> None:
        fact = each.fact
        if fact is None or fact.p10 is None or fact.p90 is None or fact.expected is None:
            return
        size = em()
        left, right, middle = (
            self._x(season_day(day, season_year)) for day in (fact.p10, fact.p90, fact.expected)
        )
        wash = QColor(stage_colour(each.record.seen))
        wash.setAlphaF(0.25)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(wash)
        painter.drawRoundedRect(QRectF(left, y - size * 0.22, right - left, size * 0.44), 3, 3)
        painter.setPen(QPen(QColor(stage_colour(each.record.seen)), 1.2))
        painter.drawLine(QLineF(middle, y - size * 0.22, middle, y + size * 0.22))

    # What lies where

    def sighting_at(self, at: QPointF) -> Sighting | None:
        """What was seen that lies nearest to a point, if anything is near."""
        return nearest_mark(self.places, at, within=em() * 0.8)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            each = self.sighting_at(QPointF(event.pos()))
            words = ""
            if each is not None:
                record = each.record
                words = f"{seen_words(record.seen)}, {day_words(record.day, year=True)}"
                if each.fact is not None:
                    words += f"\n{forecast_words(each.fact)}"
                if record.note:
                    words += f"\n{record.note}"
            QToolTip.showText(event.globalPos(), words, self)
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        each = self.sighting_at(event.position())
        if event.button() == Qt.MouseButton.LeftButton and each is not None:
            self.record_chosen.emit(each.record.id)
            return
        super().mousePressEvent(event)
