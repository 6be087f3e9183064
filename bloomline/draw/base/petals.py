"""Petal colours on screen and paper: themes, colour families, marks and contrast.

Colour is never the only carrier. Every colour family has a mark of its own (rings, dots,
dashes …) that is printed on bars and bands, and every petal gets an outline that stands out
from the ground, so that white on cream and maroon on black can both be seen.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from typing import Literal, Protocol

from bloomline.errors import UsageError
from bloomline.model.colours import Family as Family
from bloomline.model.colours import Rgb, linear
from bloomline.model.colours import family_of as family_of
from bloomline.model.colours import rgb as rgb
from bloomline.words import tr

ThemeName = Literal["light", "dark"]

TEXT_CONTRAST = 4.5  # WCAG 2.2, success criterion 1.4.3
SHAPE_CONTRAST = 3.0  # WCAG 2.2, success criterion 1.4.11


class Mark(StrEnum):
    """The small sign that is repeated over petals of one family."""

    RING = "rings"
    DOT = "dots"
    PEAK = "peaks"
    PLUS = "plus signs"
    UPRIGHT = "upright strokes"
    SLANT = "slanted strokes"
    WAVE = "waves"
    CROSS = "crosses"
    TRIANGLE = "triangles"


MARK_OF_FAMILY: dict[Family, Mark] = {
    Family.WHITE: Mark.RING,
    Family.YELLOW: Mark.DOT,
    Family.ORANGE: Mark.PEAK,
    Family.PINK: Mark.PLUS,
    Family.RED: Mark.UPRIGHT,
    Family.PURPLE: Mark.SLANT,
    Family.BLUE: Mark.WAVE,
    Family.DARK: Mark.CROSS,
    Family.GREEN: Mark.TRIANGLE,
}

# A typical petal of each family, for legends.
SAMPLE_OF_FAMILY: dict[Family, str] = {
    Family.WHITE: "#FAF8EE",
    Family.YELLOW: "#F6CF35",
    Family.ORANGE: "#EE8F46",
    Family.PINK: "#EB93B0",
    Family.RED: "#C2272F",
    Family.PURPLE: "#8A55A3",
    Family.BLUE: "#4A68BE",
    Family.DARK: "#3C1A2E",
    Family.GREEN: "#8DAA5E",
}


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours of everything that is not a petal, as #RRGGBB."""

    name: ThemeName
    ground: str
    panel: str
    ink: str
    muted: str
    grid: str
    month_line: str
    bare: str
    bare_text: str
    crowd: str
    today: str
    today_text: str

    @property
    def text_pairs(self) -> tuple[tuple[str, str], ...]:
        """Every (text colour, colour behind it) that the pictures use."""
        on_ground = (self.ink, self.muted, self.bare_text, self.crowd)
        return (
            *((text, self.ground) for text in on_ground),
            *((text, self.panel) for text in (self.ink, self.muted)),
            (self.today_text, self.today),
        )


LIGHT = Theme(
    name="light",
    ground="#FCF9F2",
    panel="#F2ECDF",
    ink="#28302B",
    muted="#5C6259",
    grid="#ECE5D7",
    month_line="#D5CBB7",
    bare="#C8744C",
    bare_text="#97401C",
    crowd="#2F4A73",
    today="#2E6B4A",
    today_text="#FFFFFF",
)
DARK = Theme(
    name="dark",
    ground="#1E221F",
    panel="#2A2F2A",
    ink="#F0EBDF",
    muted="#B6B5A8",
    grid="#2B302B",
    month_line="#454B43",
    bare="#C9764D",
    bare_text="#F0A57E",
    crowd="#A9C1EA",
    today="#8CCBA3",
    today_text="#16211A",
)


def theme_named(name: str) -> Theme:
    """Return the theme. Raises UsageError for a name that is not light or dark."""
    if name == "light":
        return LIGHT
    if name == "dark":
        return DARK
    raise UsageError(tr("no theme called “{name}”; choose light or dark", name=name))


def hex_of(colour: Rgb) -> str:
    """Return #RRGGBB of red, green and blue [0..1]."""
    return "#" + "".join(f"{round(min(max(part, 0.0), 1.0) * 255):02X}" for part in colour)


@lru_cache(maxsize=4096)
def luminance(colour_hex: str) -> float:
    """Relative luminance [0..1]. Source: WCAG 2.2, "relative luminance"."""
    red, green, blue = (linear(part) for part in rgb(colour_hex))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one_hex: str, other_hex: str) -> float:
    """Contrast ratio [1..21]. Source: WCAG 2.2, "contrast ratio"."""
    lighter, darker = sorted((luminance(one_hex), luminance(other_hex)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def mix(colour_hex: str, other_hex: str, share: float) -> str:
    """Return the colour with `share` [0..1] of the other in it."""
    one, other = rgb(colour_hex), rgb(other_hex)
    red, green, blue = (a + (b - a) * share for a, b in zip(one, other, strict=True))
    return hex_of((red, green, blue))


@lru_cache(maxsize=4096)
def standing_out(
    colour_hex: str, *, against: tuple[str, ...], ratio: float = SHAPE_CONTRAST
) -> str:
    """Return the colour, darkened or lightened as little as needed to stand out from `against`.

    If nothing between black and white does, the better of the two is returned.
    """

    def least(candidate: str) -> float:
        return min(contrast(candidate, back) for back in against)

    for step in range(21):
        candidates = [mix(colour_hex, end, step / 20) for end in ("#1A1512", "#FFFDF8")]
        good = [candidate for candidate in candidates if least(candidate) >= ratio]
        if good:
            return max(good, key=least)
    return max(("#000000", "#FFFFFF"), key=least)


@dataclass(frozen=True, slots=True)
class Petal:
    """How one petal colour is painted: fill, outline and mark, colours as #RRGGBB.

    `fade` is the fill for see-through parts: a little nearer to the outline where the fill
    itself would vanish into the ground.
    """

    fill: str
    fade: str
    outline: str
    mark_ink: str
    mark: Mark
    family: Family
    parts: tuple[tuple[Petal, float], ...] = ()
    """Petals of a mixture with their shares; it is itself painted as the largest of them."""

    @property
    def shares(self) -> tuple[tuple[Petal, float, float], ...]:
        """Each petal with where its share begins and ends [0..1]; itself where it is one kind."""
        found, begin = [], 0.0
        for look, share in self.parts or ((self, 1.0),):
            found.append((look, begin, begin + share))
            begin += share
        return tuple(found)


class Coloured(Protocol):
    """What has petals: a cultivar, a layer's forecast, a part of it, companions."""

    @property
    def colour_hex(self) -> str: ...


def petal_of(plant: Coloured, *, theme: Theme) -> Petal:
    """How the petals of a plant are painted; of a mixture with those of all its parts."""
    whole = petal(
        plant.colour_hex, theme=theme, second_hex=getattr(plant, "second_colour_hex", None)
    )
    shares: tuple[tuple[Coloured, float], ...] = getattr(plant, "shares", ())
    if len(shares) < 2:
        return whole
    parts = tuple((petal_of(kind, theme=theme), share) for kind, share in shares)
    return replace(max(parts, key=lambda each: each[1])[0], parts=parts)


@lru_cache(maxsize=4096)
def petal(colour_hex: str, *, theme: Theme, second_hex: str | None = None) -> Petal:
    """Return how a petal is painted on a theme.

    The outline stands out from the ground by at least 3:1. The marks take the second petal
    colour where that stands out from the fill, else a shade of the fill.
    """
    fill = hex_of(rgb(colour_hex))
    family = family_of(fill)
    second = hex_of(rgb(second_hex)) if second_hex else None
    if second is not None and contrast(second, fill) >= SHAPE_CONTRAST:
        mark_ink = second
    else:
        mark_ink = standing_out(fill, against=(fill,))
    outline = standing_out(fill, against=(theme.ground, theme.panel))
    return Petal(
        fill=fill,
        fade=mix(fill, outline, 0.3) if contrast(fill, theme.ground) < 1.5 else fill,
        outline=outline,
        mark_ink=mark_ink,
        mark=MARK_OF_FAMILY[family],
        family=family,
    )
