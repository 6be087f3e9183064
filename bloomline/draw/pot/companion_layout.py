"""Where companions stand on top of a pot, in centimetres; no painting, no Qt.

They are seen as low mounds side by side, in front of the bulbs' own leaves and flowers.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bloomline.draw.pot.layout import PotCut, scatter, seed_of

_LEAST_APART = 0.4  # of a plant's width: nearer ones would only hide each other
_OUTLINE_SHARE = 0.35


@dataclass(frozen=True, slots=True)
class TuftLook:
    """What one plant of a companion looks like in season. [cm]"""

    colour_hex: str
    is_leaf: bool
    height_cm: float
    spread_cm: float


@dataclass(frozen=True, slots=True)
class Tufts:
    """The plants of one planting: middles from the pot's middle. [cm]

    Fewer are drawn than there are where more would only hide each other.
    """

    planting_id: str
    look: TuftLook
    xs_cm: tuple[float, ...]

    def height_cm(self, *, is_planned: bool) -> float:
        """How high they are drawn; those to come only as a low outline."""
        return self.look.height_cm * (_OUTLINE_SHARE if is_planned else 1.0)

    def covers(self, x_cm: float, high_cm: float, *, is_planned: bool) -> bool:
        """Whether a point over the compost lies on one of the plants."""
        if not 0.0 <= high_cm <= self.height_cm(is_planned=is_planned):
            return False
        return any(abs(x_cm - x) <= 0.5 * self.look.spread_cm for x in self.xs_cm)


def tufts_on(cut: PotCut, plantings: Sequence[tuple[str, int, TuftLook]]) -> tuple[Tufts, ...]:
    """Place plantings (id, number of plants, look) beside and between each other."""
    half = cut.half_at(cut.dressing_cm)
    return tuple(
        _placed(planting_id, count, look, half, turn=at, of=len(plantings))
        for at, (planting_id, count, look) in enumerate(plantings)
    )


def _placed(
    planting_id: str, count: int, look: TuftLook, half: float, *, turn: int, of: int
) -> Tufts:
    room = max(2.0 * half - 0.6 * look.spread_cm, 0.0)
    most = 1 + int(room / (_LEAST_APART * look.spread_cm))
    shown = min(count, most)
    # Plantings that share a pot stand in each other's gaps.
    shift = (turn + 0.5) / of - 0.5
    step = room / shown
    loose = scatter(seed_of(planting_id), shown)[:, 0]
    places = []
    for k in range(shown):
        x = -0.5 * room + (k + 0.5 + shift) * step + 0.25 * step * (float(loose[k]) - 0.5)
        places.append(min(max(x, -0.5 * room), 0.5 * room))
    return Tufts(planting_id, look, tuple(places))


def mound(height_cm: float, spread_cm: float, *, steps: int = 12) -> list[tuple[float, float]]:
    """The outline of a plant from the left foot over the top to the right, y upwards. [cm]"""
    return [
        (
            -0.5 * spread_cm * math.cos(math.pi * k / steps),
            height_cm * math.sin(math.pi * k / steps) ** 0.7,
        )
        for k in range(steps + 1)
    ]
