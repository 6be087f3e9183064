"""Lengths, weights, volumes and temperatures in the units that the gardener reads.

Factors: NIST Special Publication 811 (2008), appendix B: the international inch is 2.54 cm,
the avoirdupois pound 0.45359237 kg and the cubic foot 28.316846592 L, all exactly;
t/°F = 1.8 t/°C + 32.
"""

from __future__ import annotations

from dataclasses import dataclass

from bloomline.model.yard import Yard
from bloomline.words import in_language, plural, tr
from bloomline.words.region import is_imperial

CM_PER_INCH = 2.54
KG_PER_POUND = 0.45359237
LITRES_PER_CUBIC_FOOT = 28.316846592

_EIGHTHS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")
_FINE_BELOW_CM = 4.0  # what is smaller is told more finely: bulbs that stand close
_TENTH_FROM = 0.0995  # from here on one decimal tells a small volume, below it two


@dataclass(frozen=True, slots=True)
class Units:
    """How figures are written: metric, or inches, pounds and degrees Fahrenheit."""

    imperial: bool = False

    def number(self, value: float, decimals: int) -> str:
        """A number as the language writes it, without noughts at its end."""
        text = f"{value:.{decimals}f}"
        text = text.rstrip("0").removesuffix(".") if decimals else text
        return in_language("0" if text == "-0" else text)

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
        """A length with its unit; whole cm or tenths of an inch unless told otherwise."""
        default = 1 if self.imperial else 0
        places = default if decimals is None else decimals
        return f"{self.number(self.length_number(length_cm), places)} {self.length_suffix}"

    def tape(self, length_cm: float) -> str:
        """A length as it is read off a tape: to half a cm or a quarter inch.

        Under 4 cm to a millimetre or an eighth of an inch.
        """
        is_fine = abs(length_cm) < _FINE_BELOW_CM
        if not self.imperial:
            return tr(
                "{what} cm", what=self.number(length_cm if is_fine else round(length_cm * 2) / 2, 1)
            )
        step = 1 if is_fine else 2
        eighths = step * round(length_cm / CM_PER_INCH * 8 / step)
        whole, part = divmod(eighths, 8)
        return (
            tr("{whole}{eighths} in", whole=whole or "", eighths=_EIGHTHS[part])
            if eighths
            else tr("0 in")
        )

    def over_tips(self, cover_cm: float, *, count: int = 2) -> str:
        """How deep bulbs lie, put the same everywhere: "12 cm of compost over the tips"."""
        tips = plural("tip", "tips", count)
        return tr(
            "{cover} of compost over the {tips}", cover=self.length(cover_cm, decimals=1), tips=tips
        )

    def volume(self, volume_l: float) -> str:
        """A volume of compost in litres; in cubic feet as well where those are read.

        Bags are marked in litres or in cubic feet, so imperial readers get both.
        """
        litres = f"{self.number(volume_l, 0 if volume_l >= 9.95 else 1)} L"
        if not self.imperial:
            return litres
        feet = volume_l / LITRES_PER_CUBIC_FOOT
        return tr(
            "{feet} cu ft ({litres})",
            feet=self.number(feet, 1 if feet >= _TENTH_FROM else 2),
            litres=litres,
        )

    def temperature(self, temp_c: float, *, decimals: int = 0) -> str:
        """A temperature with its unit."""
        if self.imperial:
            return tr("{temp} °F", temp=self.number(temp_c * 9.0 / 5.0 + 32.0, decimals))
        return tr("{temp} °C", temp=self.number(temp_c, decimals))

    def mass(self, mass_kg: float, *, decimals: int = 1) -> str:
        """A weight with its unit."""
        if self.imperial:
            return tr(
                "{kg_per_pound} lb", kg_per_pound=self.number(mass_kg / KG_PER_POUND, decimals)
            )
        return tr("{mass} kg", mass=self.number(mass_kg, decimals))


METRIC = Units()


def units_of(yard: Yard) -> Units:
    """The units that a yard's settings name; where they name none, as the system measures."""
    chosen = yard.settings.units
    return Units(imperial=is_imperial() if chosen is None else chosen == "imperial")
