"""The QR code of a label (ISO/IEC 18004): as much of the text as stays large enough to read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath

if TYPE_CHECKING:
    import segno

QUIET_MODULES = 4  # ISO/IEC 18004, the quiet zone of a QR code
LEAST_MODULE_MM = 0.38
"""Two dots at 150 an inch and a little more. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Code:
    """A code: its text, and modules along a side, the quiet zone counted.

    What it looks like is worked out when it is painted: that takes longer than all else of a label.
    """

    text: str
    modules: int

    @property
    def version(self) -> int:
        """Its size as the standard counts it."""
        return (self.modules - 2 * QUIET_MODULES - 17) // 4

    @property
    def rows(self) -> tuple[bytes, ...]:
        """Its modules row by row without the quiet zone, dark ones 1."""
        return _drawn(self.text)[0]

    @property
    def level(self) -> str:
        """How much of it may be lost: M, or better where that is free."""
        return _drawn(self.text)[1]


def code_of(text: str) -> Code:
    """Return the smallest code of a text with error level M, or better where that is free.

    Text beyond ASCII is UTF-8 and says so (ECI 26), since a reader may take bytes for Latin-1.
    """
    return Code(text, _modules_of(text))


@lru_cache(maxsize=512)  # those of the pages in sight
def _drawn(text: str) -> tuple[tuple[bytes, ...], str]:
    made = _encoded(text)
    return tuple(bytes(row) for row in made.matrix), str(made.error)


def _encoded(text: str, *, mask: int | None = None) -> segno.QRCode:
    import segno

    plain = text.isascii()
    return segno.make_qr(
        text, error="m", encoding=None if plain else "utf-8", eci=not plain, mask=mask
    )


def _modules_of(text: str) -> int:
    """Modules along the side of a text's code."""
    # ASCII with a small letter is written byte by byte, so that its length alone tells the size.
    return _side_of("a" * len(text) if text.isascii() and text != text.upper() else text)


@lru_cache(maxsize=8192)
def _side_of(text: str) -> int:
    version = int(_encoded(text, mask=0).version)  # masks are not weighed: they change no size
    return 17 + 4 * version + 2 * QUIET_MODULES


def fitting_code(lines: Sequence[str], *, side_mm: float) -> Code:
    """Return the code with as many lines as keep its modules at least LEAST_MODULE_MM wide.

    lines : what matters most first; the first is kept, cut with … if it must be. A long line
    that doesn't fit is left out, and the shorter ones after it are not.
    """
    most = max(21 + 2 * QUIET_MODULES, int(side_mm / LEAST_MODULE_MM))
    whole = "\n".join(lines)
    if _modules_of(whole) <= most:
        return code_of(whole)
    kept: list[str] = []
    for line in lines:
        if _modules_of("\n".join([*kept, line])) <= most:
            kept.append(line)
        elif not kept:
            break
    if kept:
        return code_of("\n".join(kept))
    text = lines[0]
    while len(text) > 4:
        text = text[:-1]
        if _modules_of(text.rstrip() + "…") <= most:
            return code_of(text.rstrip() + "…")
    return code_of(text)


def paint_code(painter: QPainter, code: Code, x: float, y: float, side: float) -> None:
    """Paint a code as one shape on white, the quiet zone inside the square."""
    painter.fillRect(QRectF(x, y, side, side), QColor("#FFFFFF"))
    module = side / code.modules
    shape = QPainterPath()
    for j, row in enumerate(code.rows):
        top = y + (QUIET_MODULES + j) * module
        start: int | None = None
        for i, dark in enumerate((*row, 0)):
            if dark and start is None:
                start = i
            elif not dark and start is not None:
                left = x + (QUIET_MODULES + start) * module
                shape.addRect(QRectF(left, top, (i - start) * module, module))
                start = None
    painter.save()
    # Edges that fall between two dots stay sharp; blurred ones would leave seams between rows.
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor("#000000"))
    painter.drawPath(shape)
    painter.restore()
