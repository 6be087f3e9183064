"""Which bulbs of a pot are in it at the same time, so that they share its compost."""

from __future__ import annotations

from collections.abc import Callable

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot

OUT_AFTER_DAYS = 100
"""Bulbs kept for one season are out of a pot that is planted again so many days after them.

Judgement, no source: the shortest time from planting to the end of flowers is about this long.
"""

TOGETHER_DAYS = 75
"""Plantings of a pot within one autumn or spring are one planting; judgement, no source."""


def is_out_before(earlier: Layer, later: Layer, *, cultivar_of: Callable[[str], Cultivar]) -> bool:
    """Whether one layer has left the pot when another is planted."""
    if later.planted <= earlier.planted:
        return False
    if earlier.lifted_on is not None:
        return earlier.lifted_on <= later.planted
    days = (later.planted - earlier.planted).days
    return days >= OUT_AFTER_DAYS and (
        cultivar_of(earlier.cultivar_id).perennial_in_pot == "replace"
    )


def plantings_of(
    pot: Pot, *, cultivar_of: Callable[[str], Cultivar]
) -> tuple[tuple[int, ...], ...]:
    """Layers that are in a pot together, by their places in it from the deepest up.

    One group for a pot that is planted once; one more for each later planting that finds
    others gone. A layer that stays is in several groups.
    """
    days = [layer.planted for layer in pot.layers]
    if all(layer.lifted_on is None for layer in pot.layers) and (
        not days or (max(days) - min(days)).days < OUT_AFTER_DAYS
    ):
        return (tuple(range(len(days))),)  # none is out before another comes
    groups: list[tuple[int, ...]] = []
    for newest in pot.layers:
        group = tuple(
            at
            for at, layer in enumerate(pot.layers)
            if layer.planted <= newest.planted
            and not is_out_before(layer, newest, cultivar_of=cultivar_of)
        )
        groups.append(group)
    unique = list(dict.fromkeys(groups))
    return tuple(
        group for group in unique if not any(set(group) < set(other) for other in unique)
    ) or ((),)
