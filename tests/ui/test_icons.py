"""Icons: there, visible in light and dark, sharp on fine screens."""

from __future__ import annotations

import gc
import re
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QColor, QIcon, QImage, QPalette, QPixmap
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from bloomline.data import data_root
from bloomline.draw.base.petals import DARK, LIGHT, Theme
from bloomline.errors import FileProblemError
from bloomline.ui import theme
from bloomline.ui.icons import APPLICATION, icon, icon_names

NAMES = icon_names()
WANTED = [
    "new",
    "open",
    "save",
    "save-as",
    "export",
    "print",
    "copy",
    "cut",
    "paste",
    "undo",
    "redo",
    "add-pot",
    "duplicate",
    "rename",
    "delete",
    "play",
    "pause",
    "zoom-in",
    "zoom-out",
    "zoom-fit",
    "table",
    "today",
    "search",
    "help",
    "about",
    "layer-up",
    "layer-down",
    "carry",
    "warning",
    "caution",
    "note",
    "scent",
    "poisonous",
    "bloomline",
]


@pytest.fixture(params=[LIGHT, DARK], ids=["light", "dark"])
def dressed(request: pytest.FixtureRequest, qapp: QApplication) -> Iterator[Theme]:
    before = QPalette(qapp.palette())
    qapp.setPalette(theme.palette_of(request.param))
    yield request.param
    qapp.setPalette(before)


def _ink(picture: QPixmap, ground: str) -> list[float]:
    """For each pixel how much it differs in lightness from the ground it is shown on, 0..1."""
    shown = QImage(picture.size(), QImage.Format.Format_RGB32)
    shown.fill(QColor(ground))
    from PySide6.QtGui import QPainter

    painter = QPainter(shown)
    plain = QPixmap(picture)
    plain.setDevicePixelRatio(1.0)
    painter.drawPixmap(0, 0, plain)
    painter.end()
    under = QColor(ground).lightnessF()
    return [
        abs(shown.pixelColor(x, y).lightnessF() - under)
        for y in range(shown.height())
        for x in range(shown.width())
    ]


def test_all_wanted_are_there() -> None:
    assert set(WANTED) <= set(NAMES)


def test_an_unknown_name_is_told() -> None:
    with pytest.raises(FileProblemError, match="no icon of that name"):
        icon("nothing-like-it")


@pytest.mark.parametrize("name", NAMES)
def test_each_is_visible_at_16_and_64(name: str, dressed: Theme) -> None:
    ground = theme.tone_of(dressed).panel
    for side in (16, 64):
        picture = icon(name).pixmap(QSize(side, side))
        assert picture.size() == QSize(side, side)
        ink = _ink(picture, ground)
        # Neither blank nor a blot, and dark (or light) enough to be seen.
        assert 0.04 < sum(each > 0.2 for each in ink) / len(ink) < 0.95
        assert max(ink) > 0.45


@pytest.mark.parametrize("name", NAMES)
def test_a_drawing_is_plain_svg_of_our_own(name: str) -> None:
    text = (data_root("resources") / "icons" / f"{name}.svg").read_text(encoding="utf-8")
    root = ElementTree.fromstring(text)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert "href" not in text and "<script" not in text and "<style" not in text
    if name != APPLICATION:
        assert root.get("viewBox") == "0 0 24 24"
        assert set(re.findall(r"#[0-9A-Fa-f]{3,6}", text)) == set()
        assert "currentColor" in text


def test_colour_follows_the_palette_and_disabled_is_paler(qapp: QApplication) -> None:
    before = QPalette(qapp.palette())
    try:
        qapp.setPalette(theme.palette_of(LIGHT))
        on_light = icon("save").pixmap(QSize(32, 32)).toImage()
        qapp.setPalette(theme.palette_of(DARK))
        on_dark = icon("save").pixmap(QSize(32, 32)).toImage()
        disabled = icon("save").pixmap(QSize(32, 32), QIcon.Mode.Disabled).toImage()
        assert on_light != on_dark
        assert disabled != on_dark
    finally:
        qapp.setPalette(before)


def test_twice_as_fine_on_a_fine_screen(qapp: QApplication) -> None:
    fine = icon("save").pixmap(QSize(24, 24), 2.0)
    assert fine.size() == QSize(48, 48)
    assert fine.devicePixelRatio() == 2.0
    # The same as one drawn at 48 px, not one of 24 px blown up.
    plain = icon("save").pixmap(QSize(48, 48), 1.0).toImage()
    image = fine.toImage()
    image.setDevicePixelRatio(1.0)
    assert image == plain


def test_copies_outlive_what_they_were_made_from(qapp: QApplication, qtbot: QtBot) -> None:
    copy = QIcon(icon("open"))
    icon.cache_clear()
    gc.collect()
    button = QPushButton("Open")
    qtbot.addWidget(button)
    button.setIcon(copy)
    del copy
    gc.collect()
    button.show()
    assert not button.grab().isNull()
    assert not button.icon().pixmap(QSize(16, 16)).isNull()


@pytest.mark.parametrize("side", [16, 22, 24, 32, 48, 64, 128, 256])
def test_the_application_icon_shows_pot_and_flower_at_all_sizes(
    qapp: QApplication, side: int
) -> None:
    image = icon(APPLICATION).pixmap(QSize(side, side), 1.0).toImage()
    colours = [image.pixelColor(x, y) for y in range(side) for x in range(side)]
    solid = [each for each in colours if each.alpha() > 200]
    assert len(solid) > 0.7 * side * side
    warm = [c for c in solid if c.red() > 150 and c.red() - c.blue() > 90]
    green = [c for c in solid if c.green() > c.red() + 10 and c.green() > c.blue() + 10]
    earth = [c for c in solid if c.lightnessF() < 0.4 and c.red() > c.blue()]
    assert warm and green and earth
