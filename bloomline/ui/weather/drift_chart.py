"""The picture of how expected dates moved: one line a layer, from cut-off to cut-off."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from bloomline.draw.base.petals import petal
from bloomline.plan.season.drift import Drift, LayerDrift
from bloomline.ui.plots import DayPlot, MonthAxis
from bloomline.ui.theme import current_theme, em, tone_of
from bloomline.words import tr

_SPARE_DAYS = 5


class DriftChart(DayPlot):
    """Lines of the middle dates; the chosen layer with its band. The table says the same."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._drift: Drift | None = None
        self._chosen: str | None = None
        super().__init__({"left": MonthAxis("left"), "bottom": MonthAxis("bottom")}, parent)
        self.setObjectName("drift_chart")
        self.setAccessibleName(tr("How expected dates moved"))
        self.setAccessibleDescription(
            tr(
                "Across: how far the weather was known. Down: expected first flower. The "
                "table holds the first and the present date."
            )
        )
        self.setMinimumHeight(round(em() * 12))
        self.invertY(True)

    def show_drift(self, drift: Drift | None) -> None:
        """Show lines, or nothing."""
        self._drift = drift
        self.dress()

    def choose(self, layer_id: str | None) -> None:
        """Bring one layer out."""
        if layer_id != self._chosen:
            self._chosen = layer_id
            self.dress()

    def fill(self) -> None:
        drift = self._drift
        bands = [] if drift is None else [b for layer in drift.layers for b in layer.expected if b]
        if drift is None or not bands or not drift.cutoffs:
            return
        opens = (min(band.p10 for band in bands), max(band.p90 for band in bands))
        self.setRange(
            xRange=(drift.cutoffs[0].toordinal(), drift.cutoffs[-1].toordinal() + 1),
            yRange=(opens[0].toordinal() - _SPARE_DAYS, opens[1].toordinal() + _SPARE_DAYS),
            padding=0,
        )
        muted = tone_of(current_theme()).muted
        self.setLabel("bottom", tr("weather known until"), color=muted)
        self.setLabel("left", tr("opens"), color=muted)
        for layer in sorted(drift.layers, key=lambda one: one.layer_id == self._chosen):
            self._put_line(drift, layer, is_chosen=layer.layer_id == self._chosen)

    def _put_line(self, drift: Drift, layer: LayerDrift, *, is_chosen: bool) -> None:
        theme = current_theme()
        look = petal(layer.colour_hex, theme=theme)
        known = [
            (day.toordinal(), band.p10.toordinal(), band.p50.toordinal(), band.p90.toordinal())
            for day, band in zip(drift.cutoffs, layer.expected, strict=True)
            if band is not None
        ]
        if not known:
            return
        xs, early, middle, late = (list(one) for one in zip(*known, strict=True))
        line = pg.PlotCurveItem(
            xs,
            middle,
            pen=pg.mkPen(look.fill, width=3.0 if is_chosen else 1.4),
            shadowPen=pg.mkPen(look.outline, width=4.5 if is_chosen else 2.4),
            antialias=True,
        )
        if is_chosen:
            wash = QColor(look.outline)
            wash.setAlphaF(0.18)
            edges = [pg.PlotCurveItem(xs, edge) for edge in (early, late)]
            self.addItem(pg.FillBetweenItem(*edges, brush=wash))
            ground = QColor(theme.ground)
            ground.setAlphaF(0.85)
            name = pg.TextItem(layer.name, color=theme.ink, fill=ground, anchor=(0, 1.2))
            name.setPos(xs[0], middle[0])
            self.addItem(name, ignoreBounds=True)
        self.addItem(line)
