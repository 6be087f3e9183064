"""The region slider: places of a country, or around the yard, from earliest to latest spring."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Slot
from PySide6.QtWidgets import QComboBox, QSizePolicy, QVBoxLayout, QWidget

from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.garden import Garden, garden_of
from bloomline.plan.climate.regions import (
    REFERENCE_FLOWER_ID,
    RegionStop,
    nearest_stop,
    spring_order,
)
from bloomline.reference.places import load_places
from bloomline.ui.conditions.slider import GestureSlider, SliderGroup
from bloomline.ui.conditions.words import (
    KM_PER_MILE,
    choice_of,
    distance_text,
    height_text,
    station_of,
)
from bloomline.ui.document import Document
from bloomline.ui.units import Units, units_of
from bloomline.words import short_day_words, tr

_RADII_KM = (100.0, 300.0, 1000.0)
_RADII_MILES = (60.0, 200.0, 600.0)


class RegionPart(QWidget):
    """Chooses a region and slides through its places.

    A slide only looks at the season as at another place; the yard stays where it is. The region
    follows the yard when its place changes elsewhere.
    """

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._units: Units | None = None
        self._place: PlaceChoice | None = None
        self._garden: Garden | None = None
        self._here: RegionStop | None = None
        self._last, self._way = 0, 1
        self._stops: tuple[RegionStop, ...] = ()
        self._index: dict[str, int] = {}
        self._kept: dict[str, tuple[RegionStop, ...]] = {}
        self.choice = QComboBox()
        self.choice.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.choice.setMinimumContentsLength(8)
        self.choice.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.choice.setMaxVisibleItems(16)
        self.choice.setObjectName("region_choice")
        self.choice.setAccessibleName(tr("Region to slide through"))
        self.choice.setToolTip(tr("Which places the slider runs through"))
        self.slider = GestureSlider("region")
        self.slider.setObjectName("region_slider")
        self.slider.setAccessibleName(tr("Place, from earliest to latest spring"))
        self.group = SliderGroup(
            tr("&Region"),
            slider=self.slider,
            ends=(tr("early"), tr("late spring")),
            beside=self.choice,
        )
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self.group)
        self.choice.currentIndexChanged.connect(self._choose)
        self.slider.slid.connect(self._slide)
        document.yard_changed.connect(self._show_yard)
        document.place_looked_at_changed.connect(self._show_yard)
        self._show_yard()

    @property
    def stops(self) -> tuple[RegionStop, ...]:
        """The places that the slider runs through."""
        return self._stops

    def next_places(self) -> list[PlaceChoice]:
        """The places that a step of the slider may lead to, the likeliest first."""
        at, way = self.slider.value(), self._way
        steps = (1, -1) if self.slider.is_pale else (way, -way, 2 * way)
        return [
            choice_of(self._stops[at + step].station)
            for step in steps
            if 0 <= at + step < len(self._stops)
        ]

    def choose_country(self, country: str) -> None:
        """Slide through the places of a country. Raises UnknownNameError."""
        index = self.choice.findData(country)
        if index < 0:
            load_places().in_country(country)
        self.choice.setCurrentIndex(index)

    # The yard tells

    @Slot()
    def _show_yard(self) -> None:
        yard = self._document.yard
        units = units_of(yard)
        if units != self._units:
            self._units = units
            self._fill_choice(units)
            self._say()
        place = self._document.place_looked_at or yard.place
        if place == self._place:
            return
        self._place = place
        self._garden = garden_of(place)
        if self._garden.station_id not in self._index:
            self._follow(self._garden)
        self._stand()

    def _fill_choice(self, units: Units) -> None:
        chosen = self.choice.currentData()
        radii = [m * KM_PER_MILE for m in _RADII_MILES] if units.imperial else _RADII_KM
        with QSignalBlocker(self.choice):
            self.choice.clear()
            for radius_km in radii:
                words = tr("within {distance} of here")
                self.choice.addItem(
                    words.format(distance=distance_text(radius_km, units)), float(radius_km)
                )
            self.choice.insertSeparator(self.choice.count())
            for country in load_places().countries():
                self.choice.addItem(country, country)
            self.choice.setCurrentIndex(max(self.choice.findData(chosen), 0))
        if isinstance(chosen, float) and self.choice.currentData() != chosen:
            self._gather()
            self._stand()

    def _follow(self, garden: Garden) -> None:
        """Bring the region to where the yard is now."""
        by_country = not isinstance(self.choice.currentData(), float) or self._stops == ()
        if by_country and garden.station_id:
            country = load_places().get(garden.station_id).country
            with QSignalBlocker(self.choice):
                self.choice.setCurrentIndex(self.choice.findData(country))
        self._gather()

    def _gather(self) -> None:
        """Put the chosen region's places in order."""
        wanted = self.choice.currentData()
        places = load_places()
        if isinstance(wanted, float):
            garden = garden_of(self._document.yard.place)
            near = places.within(garden.latitude_deg, garden.longitude_deg, wanted)
            self._stops = spring_order([station for station, _ in near])
        else:
            if wanted not in self._kept:
                self._kept[wanted] = spring_order(places.in_country(wanted))
            self._stops = self._kept[wanted]
        self._index = {stop.station.station_id: i for i, stop in enumerate(self._stops)}
        most = max(len(self._stops) - 1, 0)
        self.slider.show_range(0, most, page=max(most // 10, 1), tick=1)
        self.slider.setEnabled(bool(self._stops))

    def _stand(self) -> None:
        """Put the handle where the yard is, or as near to it as the region comes."""
        garden = self._garden
        if garden is None:
            return
        at = self._index.get(garden.station_id)
        self.slider.set_pale(at is None)
        self._here = None
        if at is not None and len(garden.stations) == 1:
            self.slider.show_value(at)
        elif self._stops:
            # A place between its stations stands among them where its own spring falls.
            (here,) = spring_order([station_of(garden)])
            self.slider.show_value(nearest_stop(self._stops, here.days))
            self._here = here if at is not None else None
        self._say()

    def _say(self) -> None:
        units = self._units or Units()
        if not self._stops:
            self.group.say(tr("no weather station there"))
            return
        index = self.slider.value()
        stop = self._here or self._stops[index]
        if self.slider.is_pale:
            words = tr("the yard is elsewhere: slide to look here")
            self.group.say(words)
            return
        garden = self._garden
        height = stop.station.elevation_m if garden is None else garden.elevation_m
        name = stop.station.name
        if self._here is not None and self._place is not None:
            name = self._place.name.split(",")[0]
        name = f"{name}, {height_text(height, units)}"
        flower = self._document.catalogue.get(REFERENCE_FLOWER_ID).name
        rank = tr(
            "Place {rank} of {count} from earliest to latest spring.",
            rank=index + 1,
            count=len(self._stops),
        )
        if stop.spring_day is None:
            self.group.say(
                tr("{place} · no spring", place=name),
                tip=f"{rank} " + tr("It never gets warm enough here for spring bulbs."),
            )
            return
        day = short_day_words(stop.spring_day.in_year(self._document.yard.season_year))
        why = tr(
            "Spring is the day on which {flower} would open by the mean temperatures alone. "
            "It puts the places in order; the forecast asks for the cold and the weather too."
        )
        self.group.say(
            tr("{place} · spring {day}", place=name, day=day),
            tip=f"{rank} {why.format(flower=flower)}",
        )

    # The gardener tells

    @Slot(int)
    def _choose(self, _index: int) -> None:
        self._gather()
        self._stand()

    @Slot(int, str)
    def _slide(self, index: int, _gesture: str) -> None:
        self._last, self._way = index, 1 if index >= self._last else -1
        self._document.look_at_place(choice_of(self._stops[index].station))
        # The yard may stand there already, on a pale slider say.
        self._stand()
