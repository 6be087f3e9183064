"""Lengths, temperatures and weights in the units that the gardener reads."""

from __future__ import annotations

import re
from dataclasses import dataclass

from PySide6.QtCore import QLocale, Signal, Slot
from PySide6.QtGui import QValidator, QWheelEvent
from PySide6.QtWidgets import QDoubleSpinBox, QWidget

from bloomline.model.yard import Yard

CM_PER_INCH = 2.54  # exact, by definition (international inch)
KG_PER_POUND = 0.45359237  # exact, by definition (avoirdupois pound)

_TYPED = re.compile(
    r"\s*(?P<number>\d+(?:[.,]\d*)?|[.,]\d+)\s*(?P<unit>mm|cm|m|in|inch|inches|″|\"|)\s*",
    re.IGNORECASE,
)
_CM_PER_UNIT = {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": CM_PER_INCH, "inch": CM_PER_INCH}
_CM_PER_UNIT |= {"inches": CM_PER_INCH, '"': CM_PER_INCH, "″": CM_PER_INCH}


@dataclass(frozen=True, slots=True)
class Units:
    """How figures are written: metric, or inches, pounds and degrees Fahrenheit."""

    imperial: bool = False
    locale: QLocale | None = None

    def _number(self, value: float, decimals: int) -> str:
        text = (self.locale or QLocale()).toString(value, "f", decimals)
        point = (self.locale or QLocale()).decimalPoint()
        return text.rstrip("0").removesuffix(point) if decimals and point in text else text

    @property
    def length_suffix(self) -> str:
        """What stands behind a length."""
        return "in" if self.imperial else "cm"

    def length_number(self, length_cm: float) -> float:
        """A length as a number of inches or cm."""
        return length_cm / CM_PER_INCH if self.imperial else length_cm

    def length_cm(self, number: float) -> float:
        """The length of a number of inches or cm. [cm]"""
        return round(number * CM_PER_INCH, 3) if self.imperial else number

    def length(self, length_cm: float, *, decimals: int | None = None) -> str:
        """A length with its unit; whole cm or quarter inches unless told otherwise."""
        if self.imperial:
            number = length_cm / CM_PER_INCH
            places = 1 if decimals is None else decimals
            return f"{self._number(number, places)} in"
        return f"{self._number(length_cm, 0 if decimals is None else decimals)} cm"

    def temperature(self, temp_c: float, *, decimals: int = 0) -> str:
        """A temperature with its unit."""
        if self.imperial:
            return f"{self._number(temp_c * 9.0 / 5.0 + 32.0, decimals)} °F"
        return f"{self._number(temp_c, decimals)} °C"

    def temperature_step(self, step_c: float, *, decimals: int = 1) -> str:
        """A difference of temperatures with its unit."""
        if self.imperial:
            return f"{self._number(step_c * 9.0 / 5.0, decimals)} °F"
        return f"{self._number(step_c, decimals)} °C"

    def mass(self, mass_kg: float, *, decimals: int = 1) -> str:
        """A weight with its unit."""
        if self.imperial:
            return f"{self._number(mass_kg / KG_PER_POUND, decimals)} lb"
        return f"{self._number(mass_kg, decimals)} kg"


def units_of(yard: Yard) -> Units:
    """The units of a yard: as its settings say, else as the system measures."""
    chosen = yard.settings.units
    if chosen is not None:
        return Units(imperial=chosen == "imperial")
    metric = QLocale.MeasurementSystem.MetricSystem
    return Units(imperial=QLocale().measurementSystem() != metric)


class QuietDoubleSpinBox(QDoubleSpinBox):
    """A spin box that a wheel over it doesn't change while the panel is scrolled."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setKeyboardTracking(False)
        self.setAccelerated(True)

    def wheelEvent(self, event: QWheelEvent) -> None:
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


class LengthSpinBox(QuietDoubleSpinBox):
    """Enters a length. Shown in the yard's units; any of mm, cm, m and inches may be typed."""

    length_changed = Signal(float)
    """The gardener chose another length. [cm]"""

    def __init__(self, parent: QWidget | None = None, *, most_cm: float = 9999.0) -> None:
        super().__init__(parent)
        self._units = Units()
        self._most_cm = most_cm
        self._length_cm = 0.0
        self._showing = False
        self.set_units(self._units)
        self.valueChanged.connect(self._tell)

    @property
    def length_cm(self) -> float:
        """The length as it is, not as it is rounded for show. [cm]"""
        return self._length_cm

    def set_units(self, units: Units) -> None:
        """Show the length in other units."""
        self._units = units
        self._showing = True
        self.setDecimals(2 if units.imperial else 1)
        self.setSingleStep(0.25 if units.imperial else 0.5)
        self.setRange(0.0, units.length_number(self._most_cm))
        self.setSuffix(f" {units.length_suffix}")
        self.setValue(units.length_number(self._length_cm))
        self._showing = False

    def set_length_cm(self, length_cm: float) -> None:
        """Show a length; that is no change by the gardener."""
        self._showing = True
        self._length_cm = length_cm
        self.setValue(self._units.length_number(length_cm))
        self._showing = False

    @Slot(float)
    def _tell(self, value: float) -> None:
        if not self._showing:
            self._length_cm = self._units.length_cm(value)
            self.length_changed.emit(self._length_cm)

    def textFromValue(self, value: float) -> str:
        decimals = self.decimals()
        text = self.locale().toString(value, "f", decimals)
        point = self.locale().decimalPoint()
        return text.rstrip("0").removesuffix(point) if decimals and point in text else text

    def valueFromText(self, text: str) -> float:
        match = _TYPED.fullmatch(self._with_own_unit(text))
        if match is None:
            return self.value()
        number = float(match["number"].replace(",", "."))
        unit = match["unit"].lower()
        if not unit or unit == self._units.length_suffix:
            return number
        return self._units.length_number(number * _CM_PER_UNIT[unit])

    def validate(self, text: str, pos: int) -> tuple[QValidator.State, str, int]:
        match = _TYPED.fullmatch(self._with_own_unit(text))
        if match is not None:
            return QValidator.State.Acceptable, text, pos
        plain = re.fullmatch(r"[\d.,\s]*[a-zA-Z\"″\s]*", text)
        state = QValidator.State.Intermediate if plain else QValidator.State.Invalid
        return state, text, pos

    def _with_own_unit(self, text: str) -> str:
        """Take the box's own suffix off where another unit was typed before it."""
        suffix = self.suffix()
        body = text.removesuffix(suffix).rstrip() if suffix else text
        return body
