"""Two seasons under one another: each layer a row, with a bar for A and one for B."""

from __future__ import annotations

from datetime import timedelta
from itertools import chain

from PySide6.QtCore import QLineF, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.names import fit_name
from bloomline.draw.base.petals import petal_of
from bloomline.draw.season.axis import crisp, month_ticks, paint_grid
from bloomline.draw.season.bars import BarPainter, bars_of
from bloomline.draw.season.days import DayScale
from bloomline.plan.season.scenarios import Comparison
from bloomline.ui.season.look import current_look
from bloomline.ui.season.words import SeasonWords
from bloomline.ui.theme import em
from bloomline.words import tr

_SPARE_DAYS = 7


def scale_of(answer: Comparison, *, left: float, width: float) -> DayScale:
    """From a week before the first flower of either season to a week after the last."""
    bands = [
        band
        for each in answer.layers
        for layer in (each.a, each.b)
        for band in (layer.start, layer.end)
        if band is not None
    ]
    spare = timedelta(days=_SPARE_DAYS)
    first = min((band.p10 - spare for band in bands), default=answer.a.first_day)
    last = max((band.p90 + spare for band in bands), default=first + timedelta(days=364))
    return DayScale.of(first, last, left, width)


class CompareTimeline(QWidget):
    """The picture of a comparison; the table beneath says the same in words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("compare_timeline")
        self.setAccessibleName(tr("Two seasons side by side"))
        self.setAccessibleDescription(tr("The table next to it holds the same dates."))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._answer: Comparison | None = None
        self._words = SeasonWords(self)
        self._version = 0
        self._painters = (BarPainter(), BarPainter())

    def show_answer(self, answer: Comparison) -> None:
        """Show a comparison."""
        self._answer, self._version = answer, self._version + 1
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
        look, answer = current_look(), self._answer
        theme, px, small = look.theme, look.text_px, look.small_px
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = Ink(painter, look.family)
        names = round(min(em() * 15, self.width() * 0.28))
        left = names + em() * 1.6
        scale = scale_of(answer, left=left, width=max(self.width() - em() - left, 1.0))
        top, row = em() * 1.8, self._row_height()
        bar = row * 0.36
        painter.setPen(QPen(QColor(theme.grid), 1.0))
        lines = [crisp(top + at * row) for at in range(len(answer.layers) + 1)]
        painter.drawLines([QLineF(0, y, self.width(), y) for y in lines])
        paint_grid(ink, theme, scale, top=em() * 0.2, bottom=self.height(), weeks_top=None)
        for tick in month_ticks(scale, measure=lambda text: ink.width(text, small)):
            ink.text(tick.label_x, em() * 1.1, tick.label, small, theme.muted)
        seen = QRectF(event.rect())
        sides = ("A", answer.a, 0.27), ("B", answer.b, 0.73)
        bars = []
        for at, each in enumerate(answer.layers):
            y = top + at * row
            if y > seen.bottom() or y + row < seen.top():
                continue
            room = names - em() * 0.6
            name = fit_name(each.a.name, room=room, measure=lambda text: ink.width(text, px))
            ink.name(em() * 0.4, y + row / 2 + px * 0.35, name, px, theme.ink)
            for layer, (side, report, share) in zip((each.a, each.b), sides, strict=True):
                middle = y + row * share
                baseline = middle + small * 0.35
                ink.text(left - em() * 0.7, baseline, side, small, theme.muted, align="centre")
                found = bars_of(report, layer, petal_of(layer, theme=theme), middle)
                if not found:
                    ink.text(left, baseline, tr("no flower"), small, theme.muted)
                bars.append(found)
        for at, keeper in enumerate(self._painters):
            keeper.paint(
                ink,
                chain.from_iterable(bars[at::2]),
                scale=scale,
                height=bar,
                seen=seen,
                theme=theme,
                version=self._version,
            )
        painter.end()
