"""A small dialog for the gardener's own position."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QWidget,
)

from bloomline.errors import BloomlineError
from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.garden import Garden, garden_at
from bloomline.ui.conditions.words import M_PER_FOOT, distance_text, height_text
from bloomline.ui.theme import em
from bloomline.ui.units import Units
from bloomline.words import tr

LOWEST_M, HIGHEST_M = -450, 6000
"""Heights at which a garden can lie, as the plan takes them."""


class PositionDialog(QDialog):
    """Asks for latitude, longitude and height, and says which station stands for them."""

    def __init__(self, garden: Garden, *, name: str, units: Units, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Own position"))
        self._units = units
        self.name = QLineEdit(name)
        self.name.setMaxLength(120)
        self.latitude = _degrees(90.0, garden.latitude_deg)
        self.longitude = _degrees(180.0, garden.longitude_deg)
        self.elevation = QDoubleSpinBox()
        self.elevation.setDecimals(0)
        per = M_PER_FOOT if units.imperial else 1.0
        self.elevation.setSuffix(tr(" ft") if units.imperial else tr(" m"))
        self.elevation.setRange(round(LOWEST_M / per), round(HIGHEST_M / per))
        self.elevation.setValue(round(garden.elevation_m / per))
        self.latitude.setToolTip(tr("Degrees north of the equator; south is negative"))
        self.longitude.setToolTip(tr("Degrees east of Greenwich; west is negative"))
        self.elevation.setToolTip(tr("Height of the garden above the sea"))
        self.station = QLabel()
        self.station.setWordWrap(True)
        self.station.setMinimumWidth(round(em() * 16))
        self.station.setMinimumHeight(round(em() * 2.4))
        form = QFormLayout(self)
        form.addRow(tr("&Name"), self.name)
        form.addRow(tr("L&atitude"), self.latitude)
        form.addRow(tr("L&ongitude"), self.longitude)
        form.addRow(tr("&Height"), self.elevation)
        form.addRow(tr("Station"), self.station)
        standard = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(standard.Ok | standard.Cancel)
        self.buttons.button(standard.Ok).setText(tr("Move the yard here"))
        form.addRow(self.buttons)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        for box in (self.latitude, self.longitude, self.elevation):
            box.valueChanged.connect(self._show_station)
        self.name.textChanged.connect(self._show_station)
        self._show_station()

    def choice(self) -> PlaceChoice:
        """The place as it is entered."""
        per = M_PER_FOOT if self._units.imperial else 1.0
        return PlaceChoice(
            name=self.name.text().strip(),
            latitude_deg=self.latitude.value(),
            longitude_deg=self.longitude.value(),
            elevation_m=float(round(self.elevation.value() * per)),
        )

    @Slot()
    def _show_station(self) -> None:
        ok = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        if not self.name.text().strip():
            self.station.setText(tr("Give the place a name."))
            ok.setEnabled(False)
            return
        per = M_PER_FOOT if self._units.imperial else 1.0
        try:
            garden = garden_at(
                self.latitude.value(),
                longitude_deg=self.longitude.value(),
                elevation_m=self.elevation.value() * per,
            )
        except BloomlineError as error:
            self.station.setText(str(error))
            ok.setEnabled(False)
            return
        ok.setEnabled(True)
        words = tr(
            "{name}, {height}, {distance} away",
            name=garden.station_name,
            height=height_text(garden.elevation_m - garden.rise_m, self._units),
            distance=distance_text(garden.distance_km, self._units),
        )
        if garden.station_is_far:
            words += ". " + tr("It is far away: take the dates with care.")
        self.station.setText(words)


def _degrees(most: float, value: float) -> QDoubleSpinBox:
    box = QDoubleSpinBox()
    box.setDecimals(3)
    box.setRange(-most, most)
    box.setSingleStep(0.1)
    box.setSuffix("°")
    box.setValue(value if value <= most else value - 360.0)
    return box
