"""Our own icons: line drawings that take the colour of the text, in any size and resolution."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QByteArray, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QGuiApplication, QIcon, QIconEngine, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer

from bloomline.data import data_root
from bloomline.errors import FileProblemError

APPLICATION = "bloomline"
_SIZES = (16, 20, 24, 32, 48, 64, 128, 256)
_GROUPS = {
    QIcon.Mode.Normal: (QPalette.ColorGroup.Active, QPalette.ColorRole.ButtonText),
    QIcon.Mode.Active: (QPalette.ColorGroup.Active, QPalette.ColorRole.ButtonText),
    QIcon.Mode.Disabled: (QPalette.ColorGroup.Disabled, QPalette.ColorRole.ButtonText),
    QIcon.Mode.Selected: (QPalette.ColorGroup.Active, QPalette.ColorRole.HighlightedText),
}


def icon_names() -> list[str]:
    """The names that `icon` knows."""
    folder = data_root("resources") / "icons"
    return sorted(
        each.name.removesuffix(".svg") for each in folder.iterdir() if each.name.endswith(".svg")
    )


@lru_cache(maxsize=256)
def icon(name: str) -> QIcon:
    """The icon of that name. It follows the palette: no new one is needed for light or dark.

    Raises FileProblemError for a name that no drawing has.
    """
    return QIcon(_LineEngine(name))


@lru_cache(maxsize=256)
def _drawing(name: str) -> str:
    source = data_root("resources") / "icons" / f"{name}.svg"
    try:
        return source.read_text(encoding="utf-8")
    except OSError:
        raise FileProblemError(
            str(source), "there is no icon of that name; install bloomline again"
        ) from None


@lru_cache(maxsize=1024)
def _renderer(name: str, colour: str) -> QSvgRenderer:
    svg = _drawing(name).replace("currentColor", colour)
    return QSvgRenderer(QByteArray(svg.encode()))


class _LineEngine(QIconEngine):
    """Draws a line icon in the palette's colour at the size that is asked for."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._name = name
        _drawing(name)

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, state: QIcon.State) -> None:
        group, role = _GROUPS[mode]
        colour = QGuiApplication.palette().color(group, role).name()
        if self._name == APPLICATION and mode is QIcon.Mode.Disabled:
            painter.setOpacity(0.5)
        side = min(rect.width(), rect.height())
        square = QRectF(0, 0, side, side)
        square.moveCenter(QRectF(rect).center())
        _renderer(self._name, colour).render(painter, square)

    def pixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QPixmap:
        return self.scaledPixmap(size, mode, state, 1.0)

    def scaledPixmap(
        self, size: QSize, mode: QIcon.Mode, state: QIcon.State, scale: float
    ) -> QPixmap:
        # Asked for in device-independent pixels; Qt sets the ratio of the answer itself.
        size = (size.toSizeF() * scale).toSize()
        picture = QPixmap(size)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        try:
            self.paint(painter, QRect(0, 0, size.width(), size.height()), mode, state)
        finally:
            painter.end()
        return picture

    def actualSize(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QSize:
        side = min(size.width(), size.height())
        return QSize(side, side)

    def availableSizes(
        self, mode: QIcon.Mode = QIcon.Mode.Normal, state: QIcon.State = QIcon.State.Off
    ) -> list[QSize]:
        return [QSize(side, side) for side in _SIZES]

    def isNull(self) -> bool:
        return False

    def clone(self) -> QIconEngine:
        return _LineEngine(self._name)

    def key(self) -> str:
        return "bloomline-line"

    def iconName(self) -> str:
        return self._name
