"""A field for the height of a garden above the sea, guessed until somebody types it."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QWidget

from bloomline.model.garden_place import HIGHEST_M, LOWEST_M
from bloomline.plan.climate.garden import Garden
from bloomline.ui.conditions.words import M_PER_FOOT
from bloomline.ui.units import QuietDoubleSpinBox, Units
from bloomline.words import tr


class HeightBox(QuietDoubleSpinBox):
    """Shows a garden's height in the yard's units, with "about" before one that is guessed."""

    def __init__(self, units: Units | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._per = 1.0
        self.setDecimals(0)
        self.setSingleStep(10.0)
        self.setAccessibleName(tr("Height of the yard above the sea"))
        self.set_units(units or Units())

    @property
    def height_m(self) -> float:
        """What stands in the field. [m]"""
        return float(round(self.value() * self._per))

    def set_units(self, units: Units) -> None:
        """Take metres or feet; a height is shown anew after that."""
        self._per = M_PER_FOOT if units.imperial else 1.0
        with QSignalBlocker(self):
            self.setSuffix(tr(" ft") if units.imperial else tr(" m"))
            self.setRange(round(LOWEST_M / self._per), round(HIGHEST_M / self._per))

    def show_garden(self, garden: Garden) -> None:
        """Show the height of a garden, and whether it is guessed, without a signal."""
        with QSignalBlocker(self):
            self.setValue(round(garden.elevation_m / self._per))
            self.say_guessed(garden.height_is_guessed)

    def say_guessed(self, is_guessed: bool) -> None:
        """Say so before the figure, or no more."""
        self.setPrefix(tr("about ") if is_guessed else "")
