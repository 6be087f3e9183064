"""Colours, font and spacing of the window: calm and warm, light or dark as the system is.

The colours come from the painters' theme, so that the window and the printed chart match.
Sizes follow the font, so that everything grows with it.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontInfo, QFontMetricsF, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

from bloomline.draw.base.petals import DARK, LIGHT, Theme, mix
from bloomline.draw.base.qt import painting_font

_STYLED = "bloomline_styled"


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


def style_sheet(theme: Theme) -> str:
    """The few rules that a palette can't say: cards, focus, heads."""
    tone = tone_of(theme)
    return f"""
    QWidget#card {{ background: {tone.raised}; border: 1px solid {tone.line};
        border-radius: 6px; }}
    QLabel#heading {{ font-weight: 600; }}
    QLabel#muted {{ color: {tone.muted}; }}
    QLabel#caution {{ color: {tone.caution}; }}
    QLabel#warning {{ color: {tone.warning}; font-weight: 600; }}
    QSplitter::handle {{ background: {theme.grid}; }}
    QSplitter::handle:hover {{ background: {tone.line}; }}
    QMenuBar {{ background: {tone.ground}; border-bottom: 1px solid {theme.grid}; }}
    QMenuBar::item {{ background: transparent; padding: 4px 9px; border-radius: 3px; }}
    QMenuBar::item:selected {{ background: {tone.panel}; color: {tone.ink}; }}
    QTabBar#page_tabs::tab {{ padding: 4px 14px; border: none; color: {tone.ink};
        border-bottom: 3px solid transparent; }}
    QTabBar#page_tabs::tab:selected {{ border-bottom-color: {tone.accent}; }}
    QTabBar#page_tabs::tab:hover {{ background: {tone.panel}; }}
    QTabBar#page_tabs:focus {{ border: 1px solid {tone.focus}; }}
    QToolButton:checked {{ background: {mix(theme.panel, tone.accent, 0.3)}; color: {tone.ink};
        border: 1px solid {tone.accent}; border-radius: 3px; padding: 1px 2px; }}
    QToolTip {{ background: {tone.raised}; color: {tone.ink};
        border: 1px solid {tone.line}; padding: 4px; }}
    """


def dress(app: QApplication, theme: Theme | None = None) -> None:
    """Give the application its style, font and colours.

    Each of them goes through every widget there is, which takes long once all pages are made:
    what is so already is not set again.
    """
    if not app.property(_STYLED):
        app.setStyle("Fusion")
        app.setProperty(_STYLED, True)
    font = QFont(app.font())
    font.setFamily(painting_font())
    if font.pointSizeF() > 0:
        font.setPointSizeF(max(font.pointSizeF(), 10.0))
    if font != app.font():
        app.setFont(font)
    chosen = theme or system_theme()
    sheet = style_sheet(chosen)
    if current_theme().name != chosen.name or app.styleSheet() != sheet:
        app.setPalette(palette_of(chosen))
        app.setStyleSheet(sheet)
