"""Which sets of bulbs lie one above the other in the free depths of a pot, for many sets at once.

Each lies as high as it may: under its least cover, below the layers over it, inside one of the
free intervals. So a set has room exactly when this way of laying it has (bulbs may lie lower than
that, never higher).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.layers import DepthRules

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_HAIR_CM = 1e-9


@dataclass(frozen=True, slots=True)
class Interval:
    """Free compost: tips lie at `top_cm` or deeper, bases at `bottom_cm` or higher. [cm]"""

    top_cm: float
    bottom_cm: float


@dataclass(frozen=True, slots=True, eq=False)
class Bulbs:
    """Kinds as they lie. height_cm : of the bulbs; liked_cm : their usual cover; shape (n,)."""

    height_cm: Floats
    liked_cm: Floats


def free_intervals(
    *,
    depth_cm: float,
    fixed: list[tuple[float, float]],
    rooted_top_cm: float | None = None,
    rules: DepthRules | None = None,
    between_cm: float,
) -> list[Interval]:
    """Free compost of a pot, from the top down.

    fixed : tip and base of the layers that stay. rooted_top_cm : tip of the highest that is in
    the ground; below it nothing can be laid. between_cm : compost left beside a fixed layer.
    """
    rules = rules or DepthRules()
    floor = min(depth_cm - rules.under_cm, rules.max_base_cm)
    found: list[Interval] = []
    top = 0.0
    for tip, base in sorted(fixed):
        found.append(Interval(top, min(tip - between_cm, floor)))
        top = max(top, base + between_cm)
        if rooted_top_cm is not None and tip >= rooted_top_cm - 1e-9:
            top = floor
    found.append(Interval(top, floor))
    return [each for each in found if each.bottom_cm - each.top_cm > 0.0]


def covers_of(
    sets: Ints,
    *,
    bulbs: Bulbs,
    intervals: list[Interval],
    rules: DepthRules | None = None,
) -> Floats:
    """The highest covers of sets, from the top down; NaN in a set that has no room. [cm]

    sets : shape (n, size), the highest first. Returns the same shape.
    """
    rules = rules or DepthRules()
    n, size = sets.shape
    covers = np.full((n, size), np.nan)
    pointer = np.zeros(n)
    for column in range(size):
        height = bulbs.height_cm[sets[:, column]]
        covers[:, column] = _highest(pointer, height, intervals, rules)
        pointer = covers[:, column] + height + rules.between_cm
    covers[np.isnan(covers).any(axis=1)] = np.nan
    return covers


def most_layers(*, bulbs: Bulbs, intervals: list[Interval], rules: DepthRules | None = None) -> int:
    """The most layers that lie one above the other, kinds in rising order from the top down."""
    rules = rules or DepthRules()
    n = len(bulbs.height_cm)
    pointer, layers = np.zeros(n), 0  # where the next may begin, over what lies above each kind
    while layers < n:
        base = _highest(pointer, bulbs.height_cm, intervals, rules) + bulbs.height_cm
        if np.isnan(base).all():
            break
        layers += 1
        above = np.minimum.accumulate(np.where(np.isnan(base), np.inf, base + rules.between_cm))
        pointer = np.append(np.inf, above[:-1])
    return layers


def _highest(
    pointer: Floats, height: Floats, intervals: list[Interval], rules: DepthRules
) -> Floats:
    """The highest cover of bulbs at or below some depths, NaN where there is none. [cm]"""
    least = np.maximum(rules.min_cover_cm, rules.min_cover_in_heights * height)
    deepest = np.minimum(rules.max_cover_in_heights * height, rules.max_base_cm - height)
    deepest = np.maximum(deepest, least)
    tip = np.full(len(pointer), np.nan)
    for interval in intervals:
        here = np.maximum(np.maximum(pointer, interval.top_cm), least)
        good = (here + height <= interval.bottom_cm + _HAIR_CM) & (here <= deepest + _HAIR_CM)
        tip = np.where(np.isnan(tip) & good, here, tip)
    return tip
