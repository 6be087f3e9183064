"""A layer seen from above: where its bulbs lie so that they don't touch."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QSize
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.draw.pot.plan_picture import paint_plan
from bloomline.plan.pot.fitting import LayerFit, bulb_positions_cm
from bloomline.ui.theme import current_theme, em, tone_of
from bloomline.words import tr

_HIGH_EM = 9.0


class PlanView(QWidget):
    """The level of a pot at the bulbs' middle, with the bulbs at their true size."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("plan_view")
        self.setAccessibleName(tr("Layer from above"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._fit: LayerFit | None = None
        self._places: NDArray[np.float64] = np.zeros((0, 2))

    def sizeHint(self) -> QSize:
        return QSize(round(12 * em()), round(_HIGH_EM * em()))

    def show_fit(self, fit: LayerFit | None) -> None:
        """Show a layer; None where it has no room."""
        if fit == self._fit:
            return
        self._fit = fit
        self._places = np.zeros((0, 2)) if fit is None else bulb_positions_cm(fit)
        self.setVisible(fit is not None)
        if fit is not None:
            placed = len(self._places)
            words = tr("{placed} of {count} bulbs placed, {width} cm wide at this depth")
            self.setToolTip(
                words.format(placed=placed, count=fit.count, width=round(fit.section.width_cm, 1))
            )
            self.setAccessibleDescription(self.toolTip())
        self.update()

    def scale(self) -> float:
        """Pixels to a centimetre of the pot."""
        if self._fit is None:
            return 1.0
        section = self._fit.section
        # Long pots lie across: their length runs from left to right.
        return min((self.width() - 8) / section.length_cm, (self.height() - 8) / section.width_cm)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._fit is None:
            return
        tone = tone_of(current_theme())
        section, scale = self._fit.section, self.scale()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        centre = QPointF(self.width() / 2.0, self.height() / 2.0)
        paint_plan(
            painter,
            section,
            self._places,
            bulb_diameter_cm=self._fit.bulb_diameter_cm,
            centre=centre,
            scale=scale,
            wall=(QPen(QColor(tone.ink), 1.6), QBrush(QColor(tone.panel))),
            bulb=(QPen(QColor(tone.ink), 1.0), QBrush(QColor("#D9B97C"))),
        )
        painter.end()
