"""Colours of petals in a gardener's words: which family a colour belongs to."""

from __future__ import annotations

from enum import StrEnum
from functools import lru_cache
from math import atan2, degrees, hypot

from bloomline.errors import UsageError
from bloomline.words import quoted

Rgb = tuple[float, float, float]


class Family(StrEnum):
    """Colour families, in the words a gardener uses for petals."""

    WHITE = "white and cream"
    YELLOW = "yellow"
    ORANGE = "orange and apricot"
    PINK = "pink"
    RED = "red"
    PURPLE = "lilac and purple"
    BLUE = "blue"
    DARK = "nearly black"
    GREEN = "green"


def rgb(colour_hex: str) -> Rgb:
    """Return red, green and blue [0..1] of #RRGGBB. Raises UsageError if it is not one."""
    digits = colour_hex.removeprefix("#")
    try:
        if len(digits) != 6:
            raise ValueError
        return (
            int(digits[0:2], 16) / 255.0,
            int(digits[2:4], 16) / 255.0,
            int(digits[4:6], 16) / 255.0,
        )
    except ValueError:
        raise UsageError(f"{quoted(colour_hex)} is not a colour; write it as #RRGGBB") from None


def linear(part: float) -> float:
    """Linear light [0..1] of an sRGB part [0..1]. Source: IEC 61966-2-1."""
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)


def _oklch(colour_hex: str) -> tuple[float, float, float]:
    """Lightness [0..1], chroma and hue [degrees]. Source: B. Ottosson, Oklab, 2020."""
    red, green, blue = (linear(part) for part in rgb(colour_hex))
    long = (0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue) ** (1 / 3)
    middle = (0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue) ** (1 / 3)
    short = (0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue) ** (1 / 3)
    lightness = 0.2104542553 * long + 0.7936177850 * middle - 0.0040720468 * short
    a = 1.9779984951 * long - 2.4285922050 * middle + 0.4505937099 * short
    b = 0.0259040371 * long + 0.7827717662 * middle - 0.8086757660 * short
    return lightness, hypot(a, b), degrees(atan2(b, a)) % 360.0


def hue_deg(colour_hex: str) -> float:
    """Hue of a colour in Oklch [degrees]; of little meaning for greys."""
    return _oklch(colour_hex)[2]


@lru_cache(maxsize=4096)
def family_of(colour_hex: str) -> Family:
    """Return the colour family of a petal colour. The limits are our own judgement by eye."""
    lightness, chroma, hue = _oklch(colour_hex)
    if lightness < 0.36 and chroma < 0.13 and not 240 <= hue < 300:
        return Family.DARK
    if lightness > 0.90 and chroma < 0.055:
        return Family.WHITE
    if chroma < 0.02:
        return Family.WHITE if lightness > 0.6 else Family.DARK
    if 78 <= hue < 112:
        return Family.YELLOW
    if 112 <= hue < 190:
        return Family.GREEN
    if 190 <= hue < 288:
        return Family.BLUE
    if 288 <= hue < 335:
        return Family.PURPLE
    if 42 <= hue < 78:
        return Family.ORANGE
    # Reds and pinks share their hues; pink is the lighter or the cooler of the two.
    if hue >= 335 or hue < 14:
        return Family.PINK if lightness > 0.50 else Family.RED
    return Family.PINK if lightness > 0.68 else Family.RED
