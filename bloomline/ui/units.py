"""Lengths, temperatures and weights in the units that the gardener reads, on the screen."""

from __future__ import annotations

import re
from dataclasses import dataclass

from PySide6.QtCore import QLocale, Signal, Slot
from PySide6.QtGui import QValidator
from PySide6.QtWidgets import QDoubleSpinBox, QWidget

from bloomline.model.yard import Yard
from bloomline.plan.words import units as plan_units
from bloomline.plan.words.units import CM_PER_INCH
from bloomline.words.region import use_habits

__all__ = [
    "CM_PER_INCH",
    "LengthSpinBox",
    "QuietDoubleSpinBox",
    "Units",
    "follow_system",
    "system_locale",
    "units_of",
]

_TYPED = re.compile(
    r"\s*(?P<number>\d+(?:[.,]\d*)?|[.,]\d+)\s*(?P<unit>mm|cm|m|in|inch|inches|″|\"|)\s*",
    re.IGNORECASE,
)
_CM_PER_UNIT = {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": CM_PER_INCH, "inch": CM_PER_INCH}
_CM_PER_UNIT |= {"inches": CM_PER_INCH, '"': CM_PER_INCH, "″": CM_PER_INCH}


@dataclass(frozen=True, slots=True)
class Units(plan_units.Units):
    """How figures are written on the screen: in the language's own numbers."""


def system_locale() -> QLocale:
    """How the system measures, whatever language the window speaks."""
    return QLocale.system()


def units_of(yard: Yard) -> Units:
    """The units of a yard: as its settings say, else as the system measures."""
    return Units(imperial=plan_units.units_of(yard).imperial)


def follow_system() -> None:
    """Write days and measures as the system does, where yard and language leave it open.

    Qt calls miles and pints in Britain a system of their own; pots and weather are metric there.
    """
    locale = system_locale()
    american = QLocale.MeasurementSystem.ImperialUSSystem
    month_first = locale.dateFormat(QLocale.FormatType.ShortFormat).startswith("M")
    use_habits(imperial=locale.measurementSystem() == american, month_first=month_first)


class QuietDoubleSpinBox(QDoubleSpinBox):
    """A spin box that a wheel over it doesn't change while the panel is scrolled."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setKeyboardTracking(False)
        self.setAccelerated(True)


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
