"""Colours, font and spacing of the window: calm and warm, light or dark as the system is.

The colours come from the painters' theme, so that the window and the printed chart match.
Sizes follow the font, so that everything grows with it.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontInfo, QFontMetricsF, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QToolTip

from bloomline.draw.base.petals import DARK, LIGHT, Theme, mix
from bloomline.draw.base.qt import painting_font

_STYLED, _COLOURED = "bloomline_styled", "bloomline_coloured"


@dataclass(frozen=True, slots=True)
class Tone:
    """Colours of the window beside those of the painters, as #RRGGBB."""

    ground: str
    panel: str
    raised: str
    line: str
    ink: str
    muted: str
    accent: str
    on_accent: str
    focus: str
    caution: str
    warning: str


def tone_of(theme: Theme) -> Tone:
    """The window's colours for a painters' theme."""
    light = theme.name == "light"
    return Tone(
        ground=theme.ground,
        panel=theme.panel,
        raised="#FFFFFF" if light else mix(theme.panel, "#FFFFFF", 0.08),
        line=theme.month_line,
        ink=theme.ink,
        muted=theme.muted,
        accent=theme.today,
        on_accent=theme.today_text,
        focus="#1F5FA8" if light else "#8FB8F0",
        caution="#7A5200" if light else "#F0C674",
        warning="#97401C" if light else "#F0A57E",
    )


def system_theme() -> Theme:
    """Light or dark, as the system says."""
    hints = QGuiApplication.styleHints()
    return DARK if hints.colorScheme() == Qt.ColorScheme.Dark else LIGHT


def current_theme() -> Theme:
    """The theme that the application's palette shows now."""
    window = QGuiApplication.palette().color(QPalette.ColorRole.Window)
    return DARK if window.lightness() < 128 else LIGHT


def em() -> float:
    """Height of a line of the application's font, in device-independent pixels."""
    return _sizes()[0]


def least_px() -> int:
    """The size of the smallest words that are shown: nine points. [px]"""
    return _sizes()[1]


_measured: tuple[QFont, tuple[float, int]] | None = None


def _sizes() -> tuple[float, int]:
    """Of the application's font, measured once: each paint asks some fifty times."""
    global _measured
    font = QGuiApplication.font()
    if _measured is None or _measured[0] != font:
        small = QFont(font)
        small.setPointSizeF(9.0)
        _measured = font, (QFontMetricsF(font).height(), QFontInfo(small).pixelSize())
    return _measured[1]


def palette_of(theme: Theme) -> QPalette:
    """The palette of a theme."""
    tone = tone_of(theme)
    palette = QPalette()
    roles = {
        QPalette.ColorRole.Window: tone.ground,
        QPalette.ColorRole.WindowText: tone.ink,
        QPalette.ColorRole.Base: tone.raised,
        QPalette.ColorRole.AlternateBase: tone.panel,
        QPalette.ColorRole.Text: tone.ink,
        QPalette.ColorRole.Button: tone.panel,
        QPalette.ColorRole.ButtonText: tone.ink,
        QPalette.ColorRole.BrightText: tone.warning,
        QPalette.ColorRole.Highlight: tone.accent,
        QPalette.ColorRole.HighlightedText: tone.on_accent,
        QPalette.ColorRole.ToolTipBase: tone.raised,
        QPalette.ColorRole.ToolTipText: tone.ink,
        QPalette.ColorRole.PlaceholderText: tone.muted,
        QPalette.ColorRole.Link: tone.focus,
        QPalette.ColorRole.LinkVisited: tone.caution,  # no page has links that are visited
        QPalette.ColorRole.Midlight: theme.grid,
        QPalette.ColorRole.Mid: tone.line,
        QPalette.ColorRole.Accent: tone.accent,
    }
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    muted = QColor(mix(tone.muted, tone.ground, 0.35))
    for role in (
        QPalette.ColorRole.WindowText,
        QPalette.ColorRole.Text,
        QPalette.ColorRole.ButtonText,
    ):
        palette.setColor(QPalette.ColorGroup.Disabled, role, muted)
    return palette


def bar_sheet(theme: Theme) -> str:
    """The style sheet of a menu bar and of the tabs in it, which a palette can't say."""
    tone = tone_of(theme)
    return f"""
    QMenuBar {{ background: {tone.ground}; border-bottom: 1px solid {theme.grid}; }}
    QMenuBar::item {{ background: transparent; padding: 4px 9px; border-radius: 3px; }}
    QMenuBar::item:selected {{ background: {tone.panel}; color: {tone.ink}; }}
    QTabBar::tab {{ padding: 4px 14px; border: none; color: {tone.ink};
        border-bottom: 3px solid transparent; }}
    QTabBar::tab:selected {{ border-bottom-color: {tone.accent}; }}
    QTabBar::tab:hover {{ background: {tone.panel}; }}
    QTabBar:focus {{ border: 1px solid {tone.focus}; }}
    """


def dress(app: QApplication, theme: Theme | None = None) -> None:
    """Give the application its style, font and colours.

    Each of them goes through every widget there is: what is so already is not set again. There is
    no style sheet of the application (see `dressed`).
    """
    if not app.property(_STYLED):
        app.setStyle("Fusion")
        # Or what has a style sheet of its own, and all in it, would keep the colours of before.
        app.setAttribute(Qt.ApplicationAttribute.AA_UseStyleSheetPropagationInWidgetStyles)
        app.setProperty(_STYLED, True)
    font = QFont(app.font())
    font.setFamily(painting_font())
    if font.pointSizeF() > 0:
        font.setPointSizeF(max(font.pointSizeF(), 10.0))
    if font != app.font():
        app.setFont(font)
    chosen = theme or system_theme()
    palette = palette_of(chosen)
    if current_theme().name != chosen.name or not app.property(_COLOURED):
        app.setPalette(palette)
        QToolTip.setPalette(palette)
        app.setProperty(_COLOURED, True)
