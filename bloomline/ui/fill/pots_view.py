"""Some pots on a day, cut open and in flower: the yard's own painter on a small picture."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from bloomline.model.yard import Pot, Yard
from bloomline.plan.forecast.growth import Growth, growth_on
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.outlook import Outlook
from bloomline.ui.selection import Selection
from bloomline.ui.theme import current_theme, em
from bloomline.ui.yard.camera import LABEL_LINES, LEAST_SCALE, Camera
from bloomline.ui.yard.painting import ShownYard, View, YardPainter
from bloomline.ui.yard.scene import Cuts, PotRow
from bloomline.ui.yard.tops import ALL_THERE
from bloomline.ui.yard.words import bulbs_in, contents
from bloomline.words import day_words, tr

_SMALLER = 0.93
_TALL_EM = 15.0


class PotsView(QWidget):
    """Shows pots as they are expected to look on a day."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._yard: Yard | None = None
        self._tall_cm = 0.0
        self._painter: YardPainter | None = None
        self._growths: dict[str, Growth] = {}
        self._camera = Camera(label_lines=LABEL_LINES)
        self._row: PotRow | None = None

    def show_pots(
        self, outlook: Outlook, report: SeasonReport, shown: Yard, day: date, *, tall_cm: float
    ) -> None:
        """Show the pots of a yard on a day.

        tall_cm : how high the tallest yard beside it reaches, so that all are drawn to one scale.
        """
        self._yard, self._tall_cm = shown, tall_cm
        cuts = Cuts(outlook.cultivar_of)
        self._painter = YardPainter(cuts.of, cuts.look, self.font().family())
        self._growths = {each.layer_id: growth_on(each, day) for each in report.layers}
        names = ", ".join(pot.name for pot in shown.pots)
        self.setAccessibleName(tr("{names} on {day}", names=names, day=day_words(day)))
        self.setToolTip(self.accessibleName())
        self._fit()

    @property
    def px_per_cm(self) -> float:
        """The scale of the picture."""
        return self._camera.scale

    def sizeHint(self) -> QSize:
        return QSize(round(18 * em()), round(_TALL_EM * em()))

    def minimumSizeHint(self) -> QSize:
        return QSize(round(8 * em()), 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Take the largest scale at which all pots are seen, and no more height than they need."""
        if self._yard is None:
            return
        camera = self._camera
        camera.fit_height(height=_TALL_EM * em(), em=em(), tallest_cm=self._tall_cm)
        self._row = PotRow(self._yard, scale=camera.scale, em=em())
        while self._row.width > self.width() and camera.scale > LEAST_SCALE:
            camera.scale *= _SMALLER
            self._row = PotRow(self._yard, scale=camera.scale, em=em())
        self.setFixedHeight(round(self._tall_cm * camera.scale + (LABEL_LINES + 0.5) * em()))
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._painter is not None:
            self._painter.clear()

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._row is None or self._painter is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        camera, row = self._camera, self._row
        view = View(
            camera.origin_x(self.width(), row.width),
            camera.ground_y(self.height(), em()),
            self.width(),
            self.height(),
        )
        self._painter.paint(
            painter,
            row,
            view,
            self._shown(),
            theme=current_theme(),
            ratio=self.devicePixelRatioF(),
            font=self.font(),
            budget_s=1.0,
        )
        painter.end()

    def _shown(self) -> ShownYard:
        return ShownYard(
            growths=self._growths,
            barren=frozenset(),
            flawed_of=_no_flaws,
            selection=Selection(),
            cursor=None,
            has_focus=False,
            tops_of=lambda _: (),
            presence_of=lambda _: ALL_THERE,
            line_of=contents,
            short_line_of=bulbs_in,
            site_of=lambda _: "",
        )


def _no_flaws(_pot: Pot) -> frozenset[str]:
    return frozenset()
