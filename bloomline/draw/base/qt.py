"""Makes Qt ready to paint: an application if there is none, and the program's own font."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from bloomline.data import data_root
from bloomline.errors import FileProblemError
from bloomline.words import tr

if TYPE_CHECKING:
    from PySide6.QtGui import QGuiApplication

FONT_FILES = ("SourceSans3_400Regular.ttf", "SourceSans3_600SemiBold.ttf")

# Qt deletes an application that nothing in Python refers to.
_kept: list[QGuiApplication] = []
_families: list[str] = []


def painting_font() -> str:
    """Return the font family for pictures, with an application and the font files in place.

    An application that exists already is used as it is. Otherwise an offscreen one is made:
    pictures need no display, and the choice of platform stays inside this process.
    Raises FileProblemError if a font file is missing or damaged.
    """
    from PySide6.QtGui import QFontDatabase, QGuiApplication

    if QGuiApplication.instance() is None:
        _kept.append(_offscreen_application())
    if not (_families and _families[-1] in QFontDatabase.families()):
        _families.append(_register_fonts())
    return _families[-1]


def _offscreen_application() -> QGuiApplication:
    from PySide6.QtGui import QGuiApplication

    before = os.environ.get("QT_QPA_PLATFORM")
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    try:
        return QGuiApplication(["bloomline"])
    finally:
        if before is None:
            del os.environ["QT_QPA_PLATFORM"]
        else:
            os.environ["QT_QPA_PLATFORM"] = before


def _register_fonts() -> str:
    from PySide6.QtGui import QFontDatabase

    family = ""
    for name in FONT_FILES:
        source = data_root("resources") / "fonts" / name
        try:
            data = source.read_bytes()
        except OSError as error:
            raise FileProblemError(
                str(source),
                tr(
                    "the font can't be read ({strerror}); install bloomline again",
                    strerror=error.strerror,
                ),
            ) from error
        number = QFontDatabase.addApplicationFontFromData(data)
        families = QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
        if not families:
            raise FileProblemError(str(source), tr("the font is damaged; install bloomline again"))
        # The upright regular file comes first: it names the family.
        family = family or families[0]
    return family
