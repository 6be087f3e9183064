"""Sizes and colours of the timeline: they follow the font and the palette."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QFontInfo, QGuiApplication

from bloomline.draw.base.petals import Theme
from bloomline.draw.base.qt import painting_font
from bloomline.draw.season.rows import Style
from bloomline.ui.theme import Tone, current_theme, least_px, tone_of


@dataclass(frozen=True, slots=True)
class Look:
    """How the timeline looks now. Lengths in px."""

    theme: Theme
    tone: Tone
    family: str
    text_px: int

    @property
    def small_px(self) -> int:
        """Size of the words that come second."""
        return max(least_px(), round(self.text_px * 0.88))

    @property
    def row_height(self) -> float:
        """Height of a layer's row."""
        return round(self.text_px * 1.75)

    @property
    def pot_height(self) -> float:
        """Height of a pot's heading."""
        return round(self.text_px * 2.0)

    @property
    def bar_height(self) -> float:
        """Height of a bar; even, so that its middle lies between pixels."""
        return 2 * round(self.row_height * 0.31)

    @property
    def style(self) -> Style:
        """What the painter of rows needs of it."""
        tone = self.tone
        return Style(
            self.theme,
            self.text_px,
            self.small_px,
            self.bar_height,
            focus=tone.focus,
            caution=tone.caution,
        )

    @property
    def line(self) -> float:
        """Height of a line of small words."""
        return round(self.small_px * 1.5)

    @property
    def flag_height(self) -> float:
        """Height of the day line's flag."""
        return round(self.small_px * 1.6)

    @property
    def axis_height(self) -> float:
        """Height of the axis: the flag, the months and the weeks."""
        return self.flag_height + 2 + round(self.text_px * 1.4) + self.line


def current_look() -> Look:
    """The look for the application's palette and font."""
    theme = current_theme()
    text_px = max(9, QFontInfo(QGuiApplication.font()).pixelSize())
    return Look(theme=theme, tone=tone_of(theme), family=painting_font(), text_px=text_px)
