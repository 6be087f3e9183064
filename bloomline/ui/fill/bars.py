"""When the layers of a suggestion flower: one bar each on a scale that all suggestions share."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from PySide6.QtCore import QLineF, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.names import elide
from bloomline.draw.base.petals import petal_of
from bloomline.draw.season.axis import crisp, month_ticks, paint_grid
from bloomline.draw.season.bars import BarPainter, bars_of
from bloomline.draw.season.days import DayScale
from bloomline.plan.fill.short_names import short_form
from bloomline.plan.forecast.report import LayerForecast, SeasonReport
from bloomline.ui.season.look import current_look
from bloomline.ui.theme import em
from bloomline.words import day_words, tr

_SPARE_DAYS = 7


class LayerBars(QWidget):
    """A row for each layer, the earliest first: its name over its bar."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._report: SeasonReport | None = None
        self._layers: tuple[LayerForecast, ...] = ()
        self._first, self._last = date(2000, 1, 1), date(2000, 12, 31)
        self._painter = BarPainter()
        self._version = 0

    def show_layers(
        self, report: SeasonReport, layer_ids: Sequence[str], first: date, last: date
    ) -> None:
        """Show some layers of a season between two days."""
        wanted = set(layer_ids)
        layers = [each for each in report.layers if each.layer_id in wanted]
        layers.sort(key=lambda each: each.start.p50 if each.start else date.max)
        self._report, self._layers = report, tuple(layers)
        spare = timedelta(days=_SPARE_DAYS)
        self._first, self._last = first - spare, last + spare
        self._version += 1
        self.setAccessibleName(tr("When they flower"))
        self.setAccessibleDescription("; ".join(self._words_of(each) for each in layers))
        self.setFixedHeight(self.sizeHint().height())
        self.update()

    @staticmethod
    def _words_of(layer: LayerForecast) -> str:
        if layer.start is None or layer.end is None:
            return tr("{name}: no flower", name=layer.name)
        return tr(
            "{name}: {first} to {last}",
            name=layer.name,
            first=day_words(layer.start.p50),
            last=day_words(layer.end.p50),
        )

    def _row_height(self) -> float:
        return round(em() * 2.1)

    def sizeHint(self) -> QSize:
        return QSize(
            round(em() * 18),
            round(em() * 1.6 + len(self._layers) * self._row_height() + em() * 0.3),
        )

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._report is None:
            return
        look, theme = current_look(), current_look().theme
        px, small = look.text_px, look.small_px
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = Ink(painter, look.family)
        scale = DayScale.of(
            self._first, self._last, em() * 0.3, max(self.width() - em() * 0.6, 1.0)
        )
        top, row = em() * 1.6, self._row_height()
        painter.setPen(QPen(QColor(theme.grid), 1.0))
        lines = [crisp(top + at * row) for at in range(len(self._layers) + 1)]
        painter.drawLines([QLineF(0, y, self.width(), y) for y in lines])
        paint_grid(ink, theme, scale, top=em() * 0.2, bottom=self.height(), weeks_top=None)
        for tick in month_ticks(scale, measure=lambda text: ink.width(text, small)):
            ink.text(tick.label_x, em() * 1.0, tick.label, small, theme.muted)
        bars = []
        room, names = self.width() - em() * 0.6, [layer.name for layer in self._layers]

        def measure(text: str) -> float:
            return ink.width(text, px)

        for at, layer in enumerate(self._layers):
            y = top + at * row
            form = short_form(layer.name, names, room=room, measure=measure)
            name = elide(form, room=room, measure=measure)
            ink.name(em() * 0.3, y + px * 1.05, name, px, theme.ink)
            found = bars_of(self._report, layer, petal_of(layer, theme=theme), y + row - em() * 0.5)
            if not found:
                ink.text(em() * 0.3, y + row - em() * 0.3, tr("no flower"), small, theme.muted)
            bars += found
        self._painter.paint(
            ink,
            bars,
            scale=scale,
            height=em() * 0.62,
            seen=QRectF(event.rect()),
            theme=theme,
            version=self._version,
        )
        painter.end()
