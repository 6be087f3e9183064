"""A small dialog for the place of the yard: a town, put right by the gardener's own position."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Qt, Slot
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import BloomlineError
from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.finding import Found
from bloomline.plan.climate.garden import Garden, garden_at, garden_of
from bloomline.ui.conditions.chooser import PlaceChooser
from bloomline.ui.conditions.height import HeightBox
from bloomline.ui.conditions.words import climate_lines, place_words
from bloomline.ui.theme import em
from bloomline.ui.units import Units
from bloomline.words import tr


class PositionDialog(QDialog):
    """Asks for a town, or latitude, longitude and height; says which stations stand for them.

    A height that nobody typed is guessed anew with the position, and stays unsaid in the yard.
    """

    def __init__(
        self,
        garden: Garden,
        *,
        name: str,
        units: Units,
        home: PlaceChoice | None = None,
        parent: QWidget | None,
    ) -> None:
        """home : where the yard is now; towns of its country come first."""
        super().__init__(parent)
        self.setWindowTitle(tr("Own position"))
        self._units = units
        self._height_is_guessed = garden.height_is_guessed
        self._station_id: str | None = None
        self.chooser = PlaceChooser(
            self,
            name="position",
            describe=lambda found: found.label,
            waiting=tr("A town fills in the fields below; put them right for your own garden."),
        )
        self.chooser.places.show_home(home)
        self.chooser.setMinimumSize(round(em() * 26), round(em() * 14))
        self.chooser.hint.setMinimumHeight(2 * self.chooser.hint.fontMetrics().lineSpacing())
        self.name = QLineEdit(name)
        self.name.setMaxLength(120)
        self.latitude = _degrees(90.0, garden.latitude_deg)
        self.longitude = _degrees(180.0, garden.longitude_deg)
        self.elevation = HeightBox(units)
        self.elevation.setKeyboardTracking(True)  # the climate below follows each key
        self.latitude.setToolTip(tr("Degrees north of the equator; south is negative"))
        self.longitude.setToolTip(tr("Degrees east of Greenwich; west is negative"))
        self.elevation.setToolTip(tr("Height of the garden above the sea"))
        self.station = QLabel()
        self.station.setWordWrap(True)
        self.station.setAlignment(Qt.AlignmentFlag.AlignTop)
        # Five lines: the longest there is to say of a place, so that nothing moves while one types.
        self.station.setMinimumHeight(5 * self.station.fontMetrics().lineSpacing())
        form = QFormLayout()
        form.addRow(tr("&Name"), self.name)
        form.addRow(tr("L&atitude"), self.latitude)
        form.addRow(tr("L&ongitude"), self.longitude)
        form.addRow(tr("&Height"), self.elevation)
        town = QLabel(tr("&Find a town"))
        town.setBuddy(self.chooser.search)
        standard = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(standard.Ok | standard.Cancel)
        self.buttons.button(standard.Ok).setText(tr("Move the yard here"))
        layout = QVBoxLayout(self)
        layout.addWidget(town)
        layout.addWidget(self.chooser, 1)
        layout.addLayout(form)
        layout.addWidget(self.station)
        layout.addWidget(self.buttons)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self.chooser.chosen.connect(self._take_town)
        self.elevation.show_garden(garden)
        for box in (self.latitude, self.longitude):
            box.valueChanged.connect(self._move)
        self.elevation.valueChanged.connect(self._raise)
        self.name.textChanged.connect(self._show_climate)
        self._show_climate()

    def choice(self) -> PlaceChoice:
        """The place as it is entered."""
        return PlaceChoice(
            station_id=self._station_id,
            name=self.name.text().strip(),
            latitude_deg=self.latitude.value(),
            longitude_deg=self.longitude.value(),
            elevation_m=None if self._height_is_guessed else self.elevation.height_m,
        )

    def stop(self) -> None:
        """End what is looked for beside; safe to call twice."""
        self.chooser.stop()

    @Slot()
    def _take_town(self) -> None:
        found: Found | None = self.chooser.found()
        if found is None:
            return
        place = found.choice
        garden = garden_of(place)
        self._station_id = place.station_id
        self._height_is_guessed = True  # nobody typed it: a station's own counts as such
        for box, value in (
            (self.latitude, place.latitude_deg),
            (self.longitude, place.longitude_deg),
        ):
            with QSignalBlocker(box):
                box.setValue(value)
        self.name.setText(place.name)
        self.elevation.show_garden(garden)
        self._show_climate()

    @Slot()
    def _move(self) -> None:
        self._station_id = None
        if self._height_is_guessed:
            try:
                garden = garden_at(self.latitude.value(), longitude_deg=self.longitude.value())
            except BloomlineError:
                return
            self.elevation.show_garden(garden)
        self._show_climate()

    @Slot()
    def _raise(self) -> None:
        self._height_is_guessed = False
        self.elevation.say_guessed(False)
        self._show_climate()

    @Slot()
    def _show_climate(self) -> None:
        ok = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        if not self.name.text().strip():
            self.station.setText(tr("Give the place a name."))
            ok.setEnabled(False)
            return
        try:
            garden = garden_of(self.choice())
        except BloomlineError as error:
            self.station.setText(str(error))
            ok.setEnabled(False)
            return
        ok.setEnabled(True)
        words = place_words(garden, self._units)
        if garden.station_is_far:
            words += " " + tr("It is far away: take the dates with care.")
        self.station.setText(words)
        self.station.setToolTip(climate_lines(garden, self._units))


def _degrees(most: float, value: float) -> QDoubleSpinBox:
    box = QDoubleSpinBox()
    box.setDecimals(3)
    box.setRange(-most, most)
    box.setSingleStep(0.1)
    box.setSuffix("°")
    box.setValue(value if value <= most else value - 360.0)
    return box
