"""Small pictures of plants and pots, kept so that the yard repaints fast.

Made at the screen's own density, so they are crisp at every scale factor.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPixmap

from bloomline.draw.base.petals import Theme
from bloomline.draw.pot.layout import LayerSpots, PotCut, seed_of, thinned
from bloomline.draw.pot.picture import paint_pot
from bloomline.draw.pot.plant_picture import PlantLook, paint_plant, plant_box
from bloomline.model.yard import Pot
from bloomline.plan.forecast.growth import Growth
from bloomline.ui.yard.tops import ALL_THERE, Presence

VARIANTS = 4
_APART_PX = 2.5
_HEIGHT_STEP = 0.02  # of the full height: smaller growth is not shown
_OPEN_STEPS = 4
_YELLOW_STEPS = 6
_POT_MARGIN_PX = 14.0


@dataclass(frozen=True, slots=True)
class Sprite:
    """A picture, and where its upper left corner lies from the foot or the rim's middle."""

    pixmap: QPixmap
    offset: QPointF


class Shelf:
    """Keeps pictures up to a number of bytes; the longest unused go first."""

    def __init__(self, most_bytes: int) -> None:
        self._most = most_bytes
        self.held_bytes = 0
        self._kept: OrderedDict[Hashable, tuple[object, tuple[Sprite, ...]]] = OrderedDict()

    def get(self, key: Hashable, owner: object = None) -> tuple[Sprite, ...] | None:
        """The pictures under a key, unless they belong to another owner."""
        kept = self._kept.get(key)
        if kept is None or kept[0] is not owner:
            return None
        self._kept.move_to_end(key)
        return kept[1]

    def put(self, key: Hashable, sprites: tuple[Sprite, ...], owner: object = None) -> None:
        """Keep pictures; the owner is kept alive with them."""
        old = self._kept.pop(key, None)
        if old is not None:
            self.held_bytes -= _bytes(old[1])
        self._kept[key] = (owner, sprites)
        self.held_bytes += _bytes(sprites)
        while self.held_bytes > self._most and len(self._kept) > 1:
            _, (_, gone) = self._kept.popitem(last=False)
            self.held_bytes -= _bytes(gone)

    def clear(self) -> None:
        """Forget all pictures."""
        self._kept.clear()
        self.held_bytes = 0


def _bytes(sprites: tuple[Sprite, ...]) -> int:
    return sum(4 * each.pixmap.width() * each.pixmap.height() for each in sprites)


def blank_for(box: QRectF, ratio: float) -> tuple[QPixmap, QPainter, QPointF]:
    """A clear picture for a box, a painter on it, and its upper left corner."""
    left, top = math.floor(box.left()), math.floor(box.top())
    width = max(math.ceil(box.right() - left), 1)
    height = max(math.ceil(box.bottom() - top), 1)
    pixmap = QPixmap(math.ceil(width * ratio), math.ceil(height * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(-left, -top)
    return pixmap, painter, QPointF(left, top)


@dataclass(frozen=True, slots=True)
class _Stand:
    """How a plant stands, rounded to what a picture can show."""

    growth: Growth
    key: tuple[Hashable, ...]


def _stand(look: PlantLook, growth: Growth, *, scale: float, ratio: float) -> _Stand:
    full = look.height_cm * scale
    step = max(round(_HEIGHT_STEP * full * ratio), 1)
    tall = max(round(full * growth.height * ratio / step) * step, 1)
    opened = round(growth.open * _OPEN_STEPS)
    yellow = round(growth.yellow * _YELLOW_STEPS)
    rounded = Growth(
        growth.stage, tall / (full * ratio), opened / _OPEN_STEPS, yellow / _YELLOW_STEPS
    )
    return _Stand(rounded, (growth.stage, tall, opened, yellow, scale, ratio))


class PlantSprites:
    """Pictures of single plants by look, stage and size, and of a layer's plants together."""

    def __init__(self, most_bytes: int = 48_000_000) -> None:
        self._shelf = Shelf(most_bytes)
        self._clumps = Shelf(most_bytes)

    @property
    def held_bytes(self) -> int:
        """Memory that the pictures take."""
        return self._shelf.held_bytes + self._clumps.held_bytes

    def clump(
        self,
        layer: LayerSpots,
        look: PlantLook,
        growth: Growth,
        *,
        scale: float,
        theme: Theme,
        ratio: float,
    ) -> Sprite:
        """All the plants of a layer; the offset counts from the pot's middle at the soil."""
        stand = _stand(look, growth, scale=scale, ratio=ratio)
        key = (layer.layer_id, theme.name, look, *stand.key)
        kept = self._clumps.get(key, layer)
        if kept is not None:
            return kept[0]
        sprites = self._variants(look, stand, scale=scale, theme=theme, ratio=ratio)
        seed = seed_of(layer.layer_id)
        spots = thinned(layer.bulbs, apart_cm=_APART_PX / scale)
        places = [
            (sprites[((seed >> (k % 24)) + k) % len(sprites)], spot.x_cm * scale)
            for k, spot in enumerate(spots)
        ]
        box = QRectF()
        for sprite, x in places:
            size = sprite.pixmap.deviceIndependentSize()
            box = box.united(QRectF(QPointF(sprite.offset.x() + x, sprite.offset.y()), size))
        pixmap, painter, offset = blank_for(box.adjusted(-1.0, 0.0, 1.0, 0.0), ratio)
        for sprite, x in places:
            left = round((sprite.offset.x() + x) * ratio) / ratio
            painter.drawPixmap(QPointF(left, sprite.offset.y()), sprite.pixmap)
        painter.end()
        clump = Sprite(pixmap, offset)
        self._clumps.put(key, (clump,), layer)
        return clump

    def _variants(
        self, look: PlantLook, stand: _Stand, *, scale: float, theme: Theme, ratio: float
    ) -> tuple[Sprite, ...]:
        key = (look, theme.name, *stand.key)
        sprites = self._shelf.get(key)
        if sprites is None:
            few = look.height_cm * scale < 30.0  # too small for more differences to be seen
            sprites = tuple(
                self._made(
                    look, stand.growth, scale=scale, theme=theme, ratio=ratio, variant=variant
                )
                for variant in range(2 if few else VARIANTS)
            )
            self._shelf.put(key, sprites)
        return sprites

    @staticmethod
    def _made(
        look: PlantLook,
        growth: Growth,
        *,
        scale: float,
        theme: Theme,
        ratio: float,
        variant: int,
    ) -> Sprite:
        pixmap, painter, offset = blank_for(plant_box(look, growth, scale=scale), ratio)
        paint_plant(painter, look, growth, scale=scale, theme=theme, variant=variant)
        painter.end()
        return Sprite(pixmap, offset)

    def clear(self) -> None:
        """Forget all pictures."""
        self._shelf.clear()
        self._clumps.clear()


class PotSprites:
    """Pictures of pots cut open, by pot."""

    def __init__(self, most_bytes: int = 160_000_000) -> None:
        self._shelf = Shelf(most_bytes)
        self._last: dict[str, tuple[float, Sprite]] = {}

    def ready(
        self,
        cut: PotCut,
        *,
        scale: float,
        theme: Theme,
        ratio: float,
        presence: Presence = ALL_THERE,
    ) -> Sprite | None:
        """The picture of a pot, if it has been made."""
        kept = self._shelf.get((cut.pot_id, scale, theme.name, ratio, presence), cut)
        return kept[0] if kept else None

    def make(
        self,
        cut: PotCut,
        *,
        pot: Pot,
        scale: float,
        theme: Theme,
        ratio: float,
        presence: Presence = ALL_THERE,
    ) -> Sprite:
        """Make the picture of a pot with the bulbs that are in it."""
        outer = cut.outer_half_cm * scale + _POT_MARGIN_PX + 2.5 * scale
        box = QRectF(-outer, -8.0, 2.0 * outer, cut.foot_cm * scale + 16.0)
        pixmap, painter, offset = blank_for(box, ratio)
        paint_pot(
            painter,
            cut,
            pot=pot,
            scale=scale,
            theme=theme,
            planned=presence.planned,
            gone=presence.gone,
        )
        painter.end()
        sprite = Sprite(pixmap, offset)
        self._shelf.put((cut.pot_id, scale, theme.name, ratio, presence), (sprite,), cut)
        self._last[cut.pot_id] = (scale, sprite)
        if len(self._last) > 400:
            self._last.pop(next(iter(self._last)))
        return sprite

    def last(self, pot_id: str) -> tuple[float, Sprite] | None:
        """The picture last made of a pot and its scale, to show until the new one is made."""
        return self._last.get(pot_id)

    def clear(self) -> None:
        """Forget all pictures."""
        self._shelf.clear()
        self._last.clear()
