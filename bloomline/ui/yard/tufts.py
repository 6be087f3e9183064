"""Small pictures of companions on top of pots, and the outline of those selected."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath, QPolygonF

from bloomline.draw.base.petals import Theme
from bloomline.draw.pot.companion_layout import mound
from bloomline.draw.pot.companion_picture import paint_tuft, tuft_box
from bloomline.draw.pot.layout import seed_of
from bloomline.ui.yard.sprites import Shelf, Sprite, blank_for
from bloomline.ui.yard.tops import Top

_HALO_CM = 0.8


class TuftSprites:
    """Pictures of all the plants of a planting together."""

    def __init__(self, most_bytes: int = 24_000_000) -> None:
        self._shelf = Shelf(most_bytes)

    def clump(self, top: Top, *, scale: float, theme: Theme, ratio: float) -> Sprite:
        """The plants of a planting; the offset counts from the pot's middle at the soil."""
        key = (top, scale, theme.name, ratio)
        kept = self._shelf.get(key)
        if kept is not None:
            return kept[0]
        look, xs = top.tufts.look, top.tufts.xs_cm
        one = tuft_box(look, scale=scale)
        box = QRectF()
        for x in xs:
            box = box.united(one.translated(x * scale, 0.0))
        pixmap, painter, offset = blank_for(box, ratio)
        seed = seed_of(top.planting_id)
        for k, x in enumerate(xs):
            painter.save()
            painter.translate(x * scale, 0.0)
            paint_tuft(painter, look, top.stand, scale=scale, theme=theme, variant=(seed + k) % 5)
            painter.restore()
        painter.end()
        sprite = Sprite(pixmap, offset)
        self._shelf.put(key, (sprite,))
        return sprite

    def clear(self) -> None:
        """Forget all pictures."""
        self._shelf.clear()


def tufts_path(top: Top, *, scale: float) -> QPainterPath:
    """The outline of a planting about its foot, for marking it; gone ones keep their place."""
    tall = top.tufts.height_cm(is_planned=top.stand != "leaf" and top.stand != "flower")
    outline = mound(tall + _HALO_CM, top.tufts.look.spread_cm + 2.0 * _HALO_CM)
    path = QPainterPath()
    for x in top.tufts.xs_cm:
        one = QPainterPath()
        one.addPolygon(QPolygonF([QPointF((x + a) * scale, -b * scale) for a, b in outline]))
        one.closeSubpath()
        path = path.united(one)
    return path
