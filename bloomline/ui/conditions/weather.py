"""The year slider: all weather years together, or one from coldest to warmest."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Slot
from PySide6.QtWidgets import QCheckBox, QVBoxLayout, QWidget

from bloomline.plan.climate.weather import reference_departures
from bloomline.plan.season.yard import year_label
from bloomline.ui.conditions.slider import GestureSlider, SliderGroup
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.words import plural, tr


class WeatherPart(QWidget):
    """Chooses the weather that the season is looked at in; no change of the yard."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._service = service
        self._count = 0
        self.all_years = QCheckBox(tr("a&ll years"))
        self.all_years.setObjectName("all_years")
        self.all_years.setToolTip(tr("The chances over all weather years, not a single one"))
        self.slider = GestureSlider("weather")
        self.slider.setObjectName("weather_slider")
        self.slider.setAccessibleName(tr("Weather year, from coldest to warmest"))
        self.group = SliderGroup(
            tr("&Weather"),
            slider=self.slider,
            ends=(tr("coldest"), tr("warmest")),
            beside=self.all_years,
        )
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self.group)
        self.all_years.toggled.connect(self._toggle)
        self.slider.slid.connect(self._slide)
        document.weather_year_changed.connect(self._show)
        service.report_ready.connect(self._show)
        self._show()

    @Slot()
    def _show(self) -> None:
        # The years are read when the first season stands, which has read them already.
        if not self._count and self._service.report is not None:
            self._count = reference_departures().n_years
            self.slider.show_range(0, self._count - 1, page=5, tick=1)
            self.slider.show_value(self._count // 2)
        self.slider.setEnabled(self._count > 1)
        rank = self._document.weather_year
        with QSignalBlocker(self.all_years):
            self.all_years.setChecked(rank is None)
        self.slider.set_pale(rank is None)
        if rank is not None:
            self.slider.show_value(rank)
        if self._count:
            self.group.say(
                plural("the only weather year", "all {n} weather years", self._count)
                if rank is None
                else year_label(rank, count=self._count)
            )

    @Slot(bool)
    def _toggle(self, checked: bool) -> None:
        self._document.look_at_weather_year(None if checked else self.slider.value())

    @Slot(int, str)
    def _slide(self, rank: int, _gesture: str) -> None:
        self._document.look_at_weather_year(rank)
