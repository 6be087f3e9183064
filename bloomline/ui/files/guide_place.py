"""Where a new yard is, and which spring is planned."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import (
    QFormLayout,
    QLabel,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.fill.new_yard import default_season_year
from bloomline.ui.conditions.chooser import PlaceChooser
from bloomline.ui.conditions.words import place_words
from bloomline.ui.units import Units
from bloomline.words import tr

_MOST_POTS = 12


class PlacePage(QWidget):
    """A town is typed and chosen; and the year of the spring."""

    changed = Signal()

    def __init__(
        self, *, today: date, home: PlaceChoice | None = None, parent: QWidget | None = None
    ) -> None:
        """home : the place of the yard that was open; its country comes after the system's."""
        super().__init__(parent)
        self._today = today
        self._year_is_chosen = False
        self.chooser = PlaceChooser(
            self,
            name="guide",
            describe=lambda found: place_words(garden_of(found.choice), Units()),
            waiting=tr("The weather stations around give the climate of your yard."),
        )
        self.search, self.list, self.hint = (
            self.chooser.search,
            self.chooser.list,
            self.chooser.hint,
        )
        self.chooser.places.show_home(home)
        self.chooser.chosen.connect(self._chosen)
        self.year = QSpinBox(self)
        self.year.setObjectName("guide_year")
        self.year.setRange(1901, 2198)
        self.year.setGroupSeparatorShown(False)
        self.year.setValue(default_season_year(today, southern=False))
        self.year.valueChanged.connect(self._year_chosen)
        heading = QLabel(tr("&Place"), self)
        heading.setBuddy(self.search)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(heading)
        layout.addWidget(self.chooser, 1)
        spring = QFormLayout()
        spring.addRow(tr("&Spring of"), self.year)
        layout.addLayout(spring)
        self.chooser.places.prepare()

    def choice(self) -> PlaceChoice | None:
        """The place chosen."""
        found = self.chooser.found()
        return None if found is None else found.choice

    @Slot()
    def _chosen(self) -> None:
        place = self.choice()
        if place is not None and not self._year_is_chosen:
            southern = place.latitude_deg < 0
            self.year.blockSignals(True)
            self.year.setValue(default_season_year(self._today, southern=southern))
            self.year.blockSignals(False)
        self.changed.emit()

    @Slot(int)
    def _year_chosen(self, _year: int) -> None:
        self._year_is_chosen = True
        self.changed.emit()

    def stop(self) -> None:
        """End the search."""
        self.chooser.stop()
