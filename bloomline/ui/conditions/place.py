"""Where the yard is: found by name or position, at its own height."""

from __future__ import annotations

import time

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QDialog, QGridLayout, QLabel, QPushButton, QWidget

from bloomline.model import edits
from bloomline.model.yard import PlaceChoice, Yard
from bloomline.plan.climate.finding import Found
from bloomline.plan.climate.garden import Garden, garden_of
from bloomline.plan.climate.nearby import AT_STATION_KM
from bloomline.ui.conditions.height import HeightBox
from bloomline.ui.conditions.search import PlaceSearch
from bloomline.ui.conditions.slider import ElidedLabel
from bloomline.ui.conditions.words import (
    climate_lines,
    climate_words,
    height_text,
    margin_text,
)
from bloomline.ui.document import Document
from bloomline.ui.dressed import say_as
from bloomline.ui.theme import em
from bloomline.ui.units import Units, units_of
from bloomline.words import tr

_ONE_GESTURE_S = 1.0


class PlacePart(QWidget):
    """The place by name, the station that stands for it, the height, the own position."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._units = Units()
        self._garden: Garden | None = None
        self._shown: tuple[PlaceChoice, Units] | None = None
        self._number = 0
        self._last_move_s = -10.0
        heading = QLabel(tr("&Place"))
        say_as(heading, "muted")
        self.search = PlaceSearch()
        self.search.setObjectName("place_search")
        self.search.setAccessibleName(tr("Place of the yard"))
        self.search.setToolTip(tr("Type a town, or town, country, and press Enter"))
        heading.setBuddy(self.search)
        self.station = ElidedLabel()
        say_as(self.station, "muted")
        height_heading = QLabel(tr("Hei&ght"))
        say_as(height_heading, "muted")
        self.elevation = HeightBox()
        self.elevation.setObjectName("place_height")
        height_heading.setBuddy(self.elevation)
        self.position = QPushButton(tr("Positio&n…"))
        self.position.setObjectName("own_position")
        self.position.setAccessibleName(tr("Own position by latitude and longitude"))
        self.position.setAutoDefault(False)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(round(em() * 0.4))
        grid.setVerticalSpacing(round(em() * 0.15))
        grid.setColumnStretch(1, 1)
        grid.addWidget(heading, 0, 0)
        grid.addWidget(self.search, 0, 1, 1, 2)
        grid.addWidget(self.station, 1, 0, 1, 3)
        grid.addWidget(height_heading, 2, 0)
        grid.addWidget(self.elevation, 2, 1)
        grid.addWidget(self.position, 2, 2)
        self.search.found.connect(self._take_found)
        self.search.missed.connect(self._say_missed)
        self.elevation.valueChanged.connect(self._raise)
        self.position.clicked.connect(self.ask_position)
        document.yard_changed.connect(self._show)
        self._show()

    @Slot()
    def _show(self) -> None:
        yard = self._document.yard
        units = units_of(yard)
        if (yard.place, units) == self._shown:
            return
        self._shown = (yard.place, units)
        self._units = units
        garden = self._garden = garden_of(yard.place)
        self.search.show_place(yard.place.name, yard.place)
        self._show_height(garden, units)
        self._say_station(garden, units)

    def _show_height(self, garden: Garden, units: Units) -> None:
        self.elevation.set_units(units)
        self.elevation.show_garden(garden)
        # Normals of one's own were measured at the yard's height already.
        own = self._document.yard.place.own_normals is not None
        tip = (
            tr("The yard has temperatures of its own, so its height changes nothing")
            if own
            else tr(
                "Guessed from the towns around, and may be {margin} off: put it right if you "
                "know better",
                margin=margin_text(garden.guess.margin_m, units),
            )
            if garden.guess is not None
            else tr("0.65 °C colder for each 100 m above the station (ISO 2533)")
        )
        self.elevation.setEnabled(not own)
        self.elevation.setToolTip(tip)
        self.elevation.setAccessibleDescription(tip)

    def _say_station(self, garden: Garden, units: Units) -> None:
        height = height_text(garden.elevation_m - garden.rise_m, units)
        at_station = self._document.yard.place.station_id is not None
        if at_station and garden.distance_km < AT_STATION_KM:
            self._tell(tr("weather station at {height}", height=height))
        else:
            self._tell(climate_words(garden, units), climate_lines(garden, units))

    def _tell(self, words: str, tip: str = "") -> None:
        self.station.setText(words)
        self.station.setToolTip(tip or words)
        self.search.setAccessibleDescription(words)

    @Slot(str)
    def _say_missed(self, words: str) -> None:
        self._tell(words)
        self._document.refused.emit(words)

    @Slot(object)
    def _take_found(self, found: Found) -> None:
        self._document.look_at_place(found.choice)
        if self._garden is not None:
            self._say_station(self._garden, self._units)

    @Slot()
    def _raise(self) -> None:
        garden = self._garden
        if garden is None:
            return
        now = time.monotonic()
        if now - self._last_move_s > _ONE_GESTURE_S:
            self._number += 1
        self._last_move_s = now
        height_m: float | None = self.elevation.height_m
        place = self._document.yard.place
        if place.station_id is not None and height_m == round(garden.elevation_m - garden.rise_m):
            height_m = None  # the station's own height

        def lift(yard: Yard) -> Yard:
            return edits.change_place(yard, elevation_m=height_m)

        self._document.edit(tr("Change height of the yard"), lift, gesture=f"height-{self._number}")

    @Slot()
    def ask_position(self) -> None:
        """Ask for the own position and move the yard there."""
        from bloomline.ui.conditions.position import PositionDialog

        garden = self._garden or garden_of(self._document.yard.place)
        place = self._document.yard.place
        name = place.name if place.station_id is None else tr("My garden")
        dialog = PositionDialog(garden, name=name, units=self._units, home=place, parent=self)
        try:
            if dialog.exec() == QDialog.DialogCode.Accepted:
                self._document.set_place(dialog.choice())
        finally:
            dialog.stop()
            dialog.deleteLater()

    def stop(self) -> None:
        """End what is looked for beside; safe to call twice."""
        self.search.stop()
