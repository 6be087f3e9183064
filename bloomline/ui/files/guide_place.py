"""Where a new yard is, how high it lies, and which spring is planned."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QSignalBlocker, Qt, Signal, Slot
from PySide6.QtWidgets import (
    QFormLayout,
    QLabel,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.finding import Found
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.fill.new_yard import default_season_year
from bloomline.ui.conditions.chooser import PlaceChooser
from bloomline.ui.conditions.height import HeightBox
from bloomline.ui.conditions.words import place_words
from bloomline.ui.theme import em
from bloomline.ui.units import Units
from bloomline.words import tr

_MOST_POTS = 12


class PlacePage(QWidget):
    """A town is typed and chosen, its height put right; and the year of the spring."""

    changed = Signal()

    def __init__(
        self,
        *,
        today: date,
        units: Units,
        home: PlaceChoice | None = None,
        parent: QWidget | None = None,
    ) -> None:
        """home : the place of the yard that was open; its country comes after the system's."""
        super().__init__(parent)
        self._today = today
        self._units = units
        self._town: Found | None = None
        self._height_m: float | None = None
        self._year_is_chosen = False
        self.chooser = PlaceChooser(
            self,
            name="guide",
            describe=self._describe,
            waiting=tr("The weather stations around give the climate of your yard."),
        )
        self.search, self.list, self.hint = (
            self.chooser.search,
            self.chooser.list,
            self.chooser.hint,
        )
        # The longest there is to say of a place, so that nothing moves while one types.
        self.hint.setMinimumHeight(3 * self.hint.fontMetrics().lineSpacing())
        self.hint.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.chooser.places.show_home(home)
        self.chooser.chosen.connect(self._chosen)
        self.height_box = HeightBox(units, self)
        self.height_box.setObjectName("guide_height")
        self.height_box.setKeyboardTracking(True)  # the climate above follows each key
        self.height_box.setToolTip(tr("Height of the garden above the sea"))
        self.height_box.valueChanged.connect(self._raise)
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
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.FieldsStayAtSizeHint)
        for box in (self.height_box, self.year):
            box.setMinimumWidth(round(em() * 9))
        form.addRow(tr("&Height"), self.height_box)
        form.addRow(tr("&Spring of"), self.year)
        layout.addLayout(form)
        self._show_height()
        self.chooser.places.prepare()

    def choice(self) -> PlaceChoice | None:
        """The place chosen, at the height typed for it if there is one."""
        found = self.chooser.found()
        return None if found is None else self._at_height(found)

    def _at_height(self, found: Found) -> PlaceChoice:
        height_m = self._height_m if found is self._town else None
        return found.choice.model_copy(update={"elevation_m": height_m})

    def _describe(self, found: Found) -> str:
        return place_words(garden_of(self._at_height(found)), self._units)

    @Slot()
    def _chosen(self) -> None:
        found = self.chooser.found()
        if found is not self._town:
            self._town, self._height_m = found, None
            self._show_height()
        if found is not None and not self._year_is_chosen:
            southern = found.latitude_deg < 0
            self.year.blockSignals(True)
            self.year.setValue(default_season_year(self._today, southern=southern))
            self.year.blockSignals(False)
        self.changed.emit()

    def _show_height(self) -> None:
        """The height of the town, or an empty field where there is none."""
        place = self.choice()
        self.height_box.setEnabled(place is not None)
        self.height_box.setSpecialValueText(" " if place is None else "")
        if place is not None:
            self.height_box.show_garden(garden_of(place))
        else:
            with QSignalBlocker(self.height_box):
                self.height_box.setValue(self.height_box.minimum())

    @Slot()
    def _raise(self) -> None:
        found = self.chooser.found()
        if found is None:
            return
        self._height_m = self.height_box.height_m
        self.height_box.say_guessed(False)
        self.hint.setText(self._describe(found))
        self.changed.emit()

    @Slot(int)
    def _year_chosen(self, _year: int) -> None:
        self._year_is_chosen = True
        self.changed.emit()

    def stop(self) -> None:
        """End the search."""
        self.chooser.stop()
