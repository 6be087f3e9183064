"""Chooses one scenario: weather, climate, place, planting time and site."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Signal, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSpinBox,
    QWidget,
)

from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.finding import Found
from bloomline.plan.climate.garden import Garden, garden_of
from bloomline.plan.climate.weather import reference_departures
from bloomline.plan.season.scenarios import MOST_LATER_WEEKS, MOST_WARMER_C, Scenario
from bloomline.reference.sites import load_sites
from bloomline.ui.conditions.search import PlaceSearch
from bloomline.ui.dressed import CardFrame, say_as
from bloomline.ui.theme import em
from bloomline.words import tr


class ScenarioPicker(CardFrame):
    """One side of the comparison; what is left alone is as the yard has it."""

    changed = Signal()
    missed = Signal(str)
    """A place that nobody knows; the words say so."""

    def __init__(self, side: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.side = side
        self._home: PlaceChoice | None = None
        self._place: Garden | None = None
        self._make_parts()
        self._lay_out()

    def _make_parts(self) -> None:
        side = self.side
        self.weather = QComboBox(self)
        self.weather.setAccessibleName(tr("Weather of {side}", side=side))
        count = reference_departures().n_years
        self.weather.addItem(tr("all weather years"), None)
        self.weather.addItem(tr("the coldest year"), 0)
        for rank in range(1, count - 1):
            words = tr("year {rank} of {count}, from coldest")
            self.weather.addItem(words.format(rank=rank + 1, count=count), rank)
        self.weather.addItem(tr("the warmest year"), count - 1)
        self.warmer = QDoubleSpinBox(self)
        self.warmer.setRange(-MOST_WARMER_C, MOST_WARMER_C)
        self.warmer.setSingleStep(0.5)
        self.warmer.setDecimals(1)
        self.warmer.setSuffix(tr(" °C"))
        self.warmer.setAccessibleName(tr("Degrees warmer in {side}", side=side))
        self.later = QSpinBox(self)
        self.later.setRange(-MOST_LATER_WEEKS, MOST_LATER_WEEKS)
        self.later.setSuffix(tr(" weeks"))
        self.later.setAccessibleName(tr("Weeks planted later in {side}", side=side))
        self.site = QComboBox(self)
        self.site.setAccessibleName(tr("Site of all pots in {side}", side=side))
        self.site.addItem(tr("as each pot has it"), None)
        for name, site in load_sites().items():
            self.site.addItem(tr(site.label), name)
        self.place = PlaceSearch(self)
        self.place.setAccessibleName(tr("Place of {side}", side=side))
        self.place.setToolTip(tr("Type another town and press Enter"))
        self.back = QPushButton(tr("As it is"), self)
        self.back.setAccessibleName(tr("Set {side} back to as it is", side=side))
        for name in ("weather", "warmer", "later", "site", "place", "back"):
            getattr(self, name).setObjectName(f"scenario_{side.lower()}_{name}")
        self.weather.currentIndexChanged.connect(self._tell)
        self.warmer.valueChanged.connect(self._tell)
        self.later.valueChanged.connect(self._tell)
        self.site.currentIndexChanged.connect(self._tell)
        self.place.found.connect(self._take_place)
        self.place.missed.connect(self.missed)
        self.back.clicked.connect(self.set_back)

    def _lay_out(self) -> None:
        gap = round(em() * 0.5)
        heading = QLabel(tr("Season {side}", side=self.side), self)
        say_as(heading, "heading")
        head = QHBoxLayout()
        head.addWidget(heading, 1)
        head.addWidget(self.back)
        grid = QGridLayout(self)
        grid.setContentsMargins(2 * gap, gap, 2 * gap, gap)
        grid.setHorizontalSpacing(2 * gap)
        grid.setVerticalSpacing(gap)
        grid.addLayout(head, 0, 0, 1, 4)
        places = (
            (tr("Weather"), self.weather, 1, 0),
            (tr("Warmer by"), self.warmer, 1, 2),
            (tr("Site"), self.site, 2, 0),
            (tr("Planted later by"), self.later, 2, 2),
            (tr("Place"), self.place, 3, 0),
        )
        for words, control, row, column in places:
            label = QLabel(words, self)
            label.setBuddy(control)
            grid.addWidget(label, row, column)
            grid.addWidget(control, row, column + 1, 1, 3 if control is self.place else 1)
        grid.setColumnStretch(1, 2)
        grid.setColumnStretch(3, 1)

    @property
    def scenario(self) -> Scenario:
        """What is chosen."""
        return Scenario(
            warmer_c=self.warmer.value(),
            later_weeks=self.later.value(),
            weather_year=self.weather.currentData(),
            place=self._place,
            site=self.site.currentData(),
        )

    def show_home(self, home: PlaceChoice) -> None:
        """Show the yard's own place while no other is chosen."""
        self._home = home
        self._show_place()

    def _show_place(self) -> None:
        home = self._home
        name = "" if home is None else home.name
        self.place.show_place(name if self._place is None else self._place.label, home)

    def show_scenario(self, scenario: Scenario, *, home: PlaceChoice | None) -> None:
        """Show a scenario whose weather year is given by its rank; tells once."""
        with (
            QSignalBlocker(self.weather),
            QSignalBlocker(self.warmer),
            QSignalBlocker(self.later),
            QSignalBlocker(self.site),
        ):
            self.weather.setCurrentIndex(max(self.weather.findData(scenario.weather_year), 0))
            self.warmer.setValue(scenario.warmer_c)
            self.later.setValue(scenario.later_weeks)
            self.site.setCurrentIndex(max(self.site.findData(scenario.site), 0))
        self._place = scenario.place
        self._home = home
        self._show_place()
        self._tell()

    @Slot()
    def set_back(self) -> None:
        """Choose the yard as it is."""
        self.show_scenario(Scenario(), home=self._home)

    @Slot(object)
    def _take_place(self, found: Found) -> None:
        self._place = garden_of(found.choice)
        self._show_place()
        self._tell()

    @Slot()
    def _tell(self) -> None:
        self.changed.emit()
