"""The coverage strip: stacked petal colours, as high as layers are expected in flower."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from math import ceil

import numpy as np
from numpy.typing import NDArray

from bloomline.draw.layout import place_labels, stack_bands
from bloomline.draw.petals import Family, Petal
from bloomline.plan.report import LayerForecast, SeasonReport, Stretch
from bloomline.ui.season.geometry import DayView

MOST_SINGLE = 40
"""With more layers than this, those of one petal colour share a band."""

Floats = NDArray[np.float64]
Outline = tuple[Floats, Floats]
"""x and height of the corners of a closed outline."""


@dataclass(frozen=True, slots=True)
class StripBand:
    """One band: outlines as (days from the report's first day, layers), open where it is."""

    petal: Petal
    outlines: tuple[Outline, ...]


@dataclass(frozen=True, slots=True)
class StripFamily:
    """All the bands of one colour family, for the pattern printed over them."""

    petals: tuple[Petal, ...]
    lower: Floats
    upper: Floats
    edges: Floats
    """Upper edge of each of its bands, (n_bands, n_days). [layers]"""


@dataclass(frozen=True, slots=True)
class Strip:
    """The strip of a report, in days and layers."""

    bands: tuple[StripBand, ...] = ()
    families: tuple[StripFamily, ...] = ()
    middles: Floats = field(default_factory=lambda: np.empty(0))
    """Noon of each day, from the report's first day. [days]"""
    peak: float = 1.0
    is_single: bool = True
    """Whether each layer has a band of its own."""


def plan_strip(report: SeasonReport, petals: dict[str, Petal]) -> Strip:
    """Stack the daily chances: one colour family over the other, the earliest at the bottom."""
    layers = [layer for layer in report.layers if layer.start is not None]
    if not layers:
        return Strip()
    count = len(report.coverage)
    is_single = len(layers) <= MOST_SINGLE
    groups: dict[object, list[LayerForecast]] = defaultdict(list)
    for layer in layers:
        groups[layer.layer_id if is_single else petals[layer.layer_id]].append(layer)
    first_of: dict[Family, date] = {}
    for layer in layers:
        family = petals[layer.layer_id].family
        first_of[family] = min(first_of.get(family, date.max), _opens(layer))
    ordered = sorted(groups.values(), key=lambda group: _order(group, petals, first_of))
    chances = np.zeros((len(ordered), count))
    for row, group in enumerate(ordered):
        for layer in group:
            days = min(count, len(layer.chance))
            chances[row, :days] += layer.chance[:days]
    lower, upper = stack_bands(chances)
    middles = np.arange(count, dtype=np.float64) + 0.5
    looks = [petals[group[0].layer_id] for group in ordered]
    bands = tuple(
        StripBand(look, band_edges(middles, lower[row], upper[row]))
        for row, look in enumerate(looks)
    )
    families = []
    for family in dict.fromkeys(look.family for look in looks):
        members = [row for row, look in enumerate(looks) if look.family is family]
        families.append(
            StripFamily(
                petals=tuple(looks[row] for row in members),
                lower=lower[members[0]],
                upper=upper[members[-1]],
                edges=upper[members],
            )
        )
    peak = max(1.0, float(ceil(upper[-1].max())))
    return Strip(bands, tuple(families), middles, peak, is_single)


def band_edges(xs: Floats, lower: Floats, upper: Floats) -> tuple[Outline, ...]:
    """Outlines of a band, as `band_outline` of the chart draws them, but as arrays."""
    is_open = (upper - lower) > 1e-4
    steps = np.diff(np.concatenate(([0], is_open.view(np.int8), [0])))
    outlines = []
    for start, end in zip(np.flatnonzero(steps == 1), np.flatnonzero(steps == -1), strict=True):
        part = slice(max(0, start - 1), min(len(xs), end + 1))
        outlines.append(
            (
                np.concatenate((xs[part], xs[part][::-1])),
                np.concatenate((upper[part], lower[part][::-1])),
            )
        )
    return tuple(outlines)


def _opens(layer: LayerForecast) -> date:
    return layer.start.p50 if layer.start is not None else date.max


def _order(
    group: list[LayerForecast], petals: dict[str, Petal], first_of: dict[Family, date]
) -> tuple[date, str, date]:
    family = petals[group[0].layer_id].family
    return first_of[family], family.value, min(map(_opens, group))


@dataclass(frozen=True, slots=True)
class StretchPlace:
    """A bare or crowded stretch on screen, and where its words begin; "" if they don't fit."""

    stretch: Stretch
    left: float
    right: float
    words: str
    words_x: float


def place_stretches(
    stretches: Sequence[Stretch],
    words: Sequence[tuple[str, str]],
    *,
    days: DayView,
    width_of: dict[str, float],
    padding: float = 10.0,
) -> tuple[StretchPlace, ...]:
    """Where stretches and their words lie in one line; words that would cover others go.

    words : the full and the short words of each stretch. width_of : their widths. [px]
    """
    seen = []
    for stretch, choice in zip(stretches, words, strict=True):
        left = max(days.x_of(stretch.first), days.left)
        right = min(days.x(stretch.last.toordinal() + 1), days.right)
        if right > left:
            seen.append((stretch, left, right, choice))
    centres = [(left + right) / 2 for _, left, right, _ in seen]
    chosen: list[str] = []
    places: list[tuple[float, int]] = []
    for is_short in (0, 1):
        chosen = [choice[is_short] for *_, choice in seen]
        widths = [width_of[one] + padding for one in chosen]
        places = place_labels(centres, widths, left=days.left, right=days.right)
        if all(line == 0 for _, line in places):
            break
    return tuple(
        StretchPlace(stretch, left, right, "" if line else one, x + padding / 2)
        for (stretch, left, right, _), one, (x, line) in zip(seen, chosen, places, strict=True)
    )
