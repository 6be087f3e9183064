"""Where the layers of a pot lie, what is wrong with that, and where they had better lie."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from bloomline.engine.potshape import PotShape, Section, compost_depth_cm

FindingCode = Literal[
    "too_shallow",
    "shallower_than_usual",
    "too_deep",
    "little_compost_under",
    "in_crocks",
    "layers_collide",
    "layers_close",
    "later_above_earlier",
    "taller_above_shorter",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthRules:
    """How deep bulbs lie in a pot. [cm, or bulb heights where the name says so]

    Sources: "no less than its own height above the tip and never under 5 cm" is a container
    planting leaflet (R3 of the shared rules); hole to base of two to three bulb heights R1,
    R2, so one to two heights above the tip; lowest layer to 30 cm and about 5 cm between
    layers R4; at least 5 cm compost under the lowest R8. `max_cover_in_heights` is common
    practice, no source: 30 cm to the base is six heights above a tulip's tip.
    """

    min_cover_cm: float = 5.0
    min_cover_in_heights: float = 1.0
    usual_hole_in_heights: tuple[float, float] = (2.0, 3.0)
    max_base_cm: float = 30.0
    max_cover_in_heights: float = 6.0
    between_cm: float = 5.0
    under_cm: float = 5.0

    def least_cover_cm(self, bulb_height_cm: float) -> float:
        """Least compost above the tip of a bulb. [cm]"""
        return max(self.min_cover_cm, self.min_cover_in_heights * bulb_height_cm)

    def usual_cover_cm(self, bulb_height_cm: float) -> tuple[float, float]:
        """Usual compost above the tip of a bulb that lies in a layer of its own: from, to. [cm]"""
        least = self.least_cover_cm(bulb_height_cm)
        shallow, deep = ((h - 1.0) * bulb_height_cm for h in self.usual_hole_in_heights)
        return max(shallow, least), max(deep, least)


@dataclass(frozen=True, slots=True, kw_only=True)
class PotFill:
    """What lies in a pot besides compost and bulbs: depths of each. [cm]"""

    crocks_cm: float = 0.0
    top_dressing_cm: float = 0.0
    rim_gap_cm: float = 2.5

    @property
    def surface_from_rim_cm(self) -> float:
        """Depth of the compost surface (under the top dressing) below the rim. [cm]"""
        return self.rim_gap_cm + self.top_dressing_cm

    def compost_depth_cm(self, pot: PotShape) -> float:
        """Depth of the compost in `pot`. [cm]"""
        return compost_depth_cm(
            pot,
            crocks_cm=self.crocks_cm,
            top_dressing_cm=self.top_dressing_cm,
            rim_gap_cm=self.rim_gap_cm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerInput:
    """One layer: bulb size and compost above the tip (`cover_cm`). [cm]

    `plant_height_cm` and `flowering_day` (any number that grows with the date) are needed
    for the order of the layers only.
    """

    bulb_diameter_cm: float
    bulb_height_cm: float
    cover_cm: float
    plant_height_cm: float | None = None
    flowering_day: float | None = None

    def __post_init__(self) -> None:
        """Refuse sizes that are no bulb's."""
        for name, value in (
            ("diameter", self.bulb_diameter_cm),
            ("height", self.bulb_height_cm),
        ):
            if not (math.isfinite(value) and value > 0.0):
                raise ValueError(f"The {name} of a bulb must be above 0 cm, not {value:g} cm.")
        if not math.isfinite(self.cover_cm):
            raise ValueError("The cover of a layer must be a number of cm.")


@dataclass(frozen=True, slots=True)
class LayerPlace:
    """Where a layer lies. [cm] `index` is its place in the list that was asked about.

    `compost_under_cm` is free compost below the bases: down to the next layer's tips, or to
    the crocks for the lowest; below zero where something is in the way.
    """

    index: int
    tip_cm: float
    base_cm: float
    tip_from_rim_cm: float
    base_from_rim_cm: float
    centre_from_rim_cm: float
    compost_under_cm: float
    pot: PotShape
    layer: LayerInput

    @property
    def section(self) -> Section:
        """The room for its bulbs as flat discs at the level of their middle."""
        return self.pot.section_for_bulb(
            centre_from_rim_cm=self.centre_from_rim_cm,
            bulb_diameter_cm=self.layer.bulb_diameter_cm,
            bulb_height_cm=self.layer.bulb_height_cm,
        )


@dataclass(frozen=True, slots=True)
class LayerFinding:
    """Something about a layer a gardener should know: `value_cm` against `limit_cm`.

    `other` is the second layer concerned. For the two order findings the values are days or
    plant heights of the upper layer and the lower one.
    """

    code: FindingCode
    index: int
    value: float
    limit: float
    other: int | None = None


@dataclass(frozen=True, slots=True)
class LayerLayout:
    """All layers of a pot from the top down, and what is wrong with them."""

    compost_depth_cm: float
    places: tuple[LayerPlace, ...]
    findings: tuple[LayerFinding, ...]

    def place_of(self, index: int) -> LayerPlace:
        """Give the place of the layer that stood at `index` in the list asked about."""
        return next(place for place in self.places if place.index == index)


def lay_out(
    pot: PotShape, *, fill: PotFill, layers: Sequence[LayerInput], rules: DepthRules | None = None
) -> LayerLayout:
    """Say where each layer lies and what is wrong with it.

    Raises: ValueError when crocks, dressing and rim gap leave no compost.
    """
    rules = rules or DepthRules()
    depth = fill.compost_depth_cm(pot)
    order = sorted(
        range(len(layers)),
        key=lambda i: (layers[i].cover_cm, layers[i].cover_cm + layers[i].bulb_height_cm, i),
    )
    places: list[LayerPlace] = []
    for rank, i in enumerate(order):
        layer = layers[i]
        base = layer.cover_cm + layer.bulb_height_cm
        below = layers[order[rank + 1]].cover_cm if rank + 1 < len(order) else depth
        surface = fill.surface_from_rim_cm
        places.append(
            LayerPlace(
                index=i,
                tip_cm=layer.cover_cm,
                base_cm=base,
                tip_from_rim_cm=surface + layer.cover_cm,
                base_from_rim_cm=surface + base,
                centre_from_rim_cm=surface + (layer.cover_cm + base) / 2.0,
                compost_under_cm=below - base,
                pot=pot,
                layer=layer,
            )
        )
    findings = [
        *(f for place in places for f in _depth_findings(place, layers, depth=depth, rules=rules)),
        *_neighbour_findings(places, rules=rules),
        *order_findings(layers, places=places),
    ]
    return LayerLayout(depth, tuple(places), tuple(findings))


def _depth_findings(
    place: LayerPlace, layers: Sequence[LayerInput], *, depth: float, rules: DepthRules
) -> list[LayerFinding]:
    found: list[LayerFinding] = []
    height = layers[place.index].bulb_height_cm
    least = rules.least_cover_cm(height)
    usual = rules.usual_cover_cm(height)[0]
    deepest_cover = min(rules.max_cover_in_heights * height, rules.max_base_cm - height)
    slack = 1e-6
    if place.tip_cm < least - slack:
        found.append(LayerFinding("too_shallow", place.index, place.tip_cm, least))
    elif place.tip_cm < usual - slack:
        found.append(LayerFinding("shallower_than_usual", place.index, place.tip_cm, usual))
    if place.tip_cm > max(deepest_cover, least) + slack:
        found.append(LayerFinding("too_deep", place.index, place.tip_cm, deepest_cover))
    under = depth - place.base_cm
    if under < -slack:
        found.append(LayerFinding("in_crocks", place.index, place.base_cm, depth))
    elif under < rules.under_cm - slack:
        found.append(LayerFinding("little_compost_under", place.index, under, rules.under_cm))
    return found


def _neighbour_findings(places: Sequence[LayerPlace], *, rules: DepthRules) -> list[LayerFinding]:
    found: list[LayerFinding] = []
    for rank, upper in enumerate(places):
        for lower in places[rank + 1 :]:
            between = lower.tip_cm - upper.base_cm
            if between < -1e-6:
                found.append(LayerFinding("layers_collide", upper.index, between, 0.0, lower.index))
            elif between < rules.between_cm - 1e-6:
                found.append(
                    LayerFinding(
                        "layers_close", upper.index, between, rules.between_cm, lower.index
                    )
                )
    return found


def order_findings(
    layers: Sequence[LayerInput], *, places: Sequence[LayerPlace]
) -> tuple[LayerFinding, ...]:
    """Name the pairs that are upside down: the later, or the taller, of two lies above.

    `places` run from the top down. A taller plant above a shorter one is named only when it
    isn't also the earlier of the two, since then date and height ask for opposite orders.
    """
    found: list[LayerFinding] = []
    for rank, upper in enumerate(places):
        for lower in places[rank + 1 :]:
            if upper.tip_cm >= lower.tip_cm:
                continue
            a, b = layers[upper.index], layers[lower.index]
            dated = a.flowering_day is not None and b.flowering_day is not None
            days = (a.flowering_day or 0.0, b.flowering_day or 0.0)
            measured = a.plant_height_cm is not None and b.plant_height_cm is not None
            tall = (a.plant_height_cm or 0.0, b.plant_height_cm or 0.0)
            if dated and days[0] > days[1]:
                found.append(LayerFinding("later_above_earlier", upper.index, *days, lower.index))
            earlier = dated and days[0] < days[1]
            if measured and tall[0] > tall[1] and not earlier:
                found.append(LayerFinding("taller_above_shorter", upper.index, *tall, lower.index))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class LayerProposal:
    """Proposed depths: `cover_cm[i]` for layer i, `order` from the top down.

    `between_cm` is the compost between neighbouring layers from the top down. `layout` holds
    the places and, as findings, everything that could not be met.
    """

    cover_cm: tuple[float, ...]
    order: tuple[int, ...]
    between_cm: tuple[float, ...]
    layout: LayerLayout


def planting_order(layers: Sequence[LayerInput]) -> tuple[int, ...]:
    """Give the order from the top down: earliest, then shortest, then smallest on top."""

    def key(i: int) -> tuple[float, float, float, int]:
        layer = layers[i]
        day = layer.flowering_day if layer.flowering_day is not None else -math.inf
        tall = layer.plant_height_cm if layer.plant_height_cm is not None else -math.inf
        return day, tall, layer.bulb_height_cm, i

    return tuple(sorted(range(len(layers)), key=key))


def propose_layers(
    pot: PotShape,
    *,
    fill: PotFill,
    layers: Sequence[LayerInput],
    order: Sequence[int] | None = None,
    rules: DepthRules | None = None,
) -> LayerProposal:
    """Propose the cover of every layer; the `cover_cm` given is what each would like.

    The latest and tallest come lowest. Every layer gets the cover it would like where the
    ones above leave it room, about 5 cm of compost lie between layers and at least 5 cm under
    the lowest. Where the pot is too shallow the top cover gives way first, down to its least,
    then the compost between layers, evenly, then the compost under the lowest, and last of all
    the least cover.

    Raises: ValueError when the pot holds no compost.
    """
    rules = rules or DepthRules()
    chosen = planting_order(layers) if order is None else tuple(order)
    if sorted(chosen) != list(range(len(layers))):
        raise ValueError("The order must name every layer of the pot once.")
    depth = fill.compost_depth_cm(pot)
    covers = _covers([layers[i] for i in chosen], depth=depth, rules=rules)
    placed: list[LayerInput] = list(layers)
    for i, cover in zip(chosen, covers, strict=True):
        placed[i] = replace(layers[i], cover_cm=cover)
    between = tuple(
        covers[k + 1] - covers[k] - layers[chosen[k]].bulb_height_cm for k in range(len(chosen) - 1)
    )
    return LayerProposal(
        cover_cm=tuple(layer.cover_cm for layer in placed),
        order=chosen,
        between_cm=between,
        layout=lay_out(pot, fill=fill, layers=placed, rules=rules),
    )


def _covers(stack: Sequence[LayerInput], *, depth: float, rules: DepthRules) -> list[float]:
    """Covers of a stack given from the top down, in compost `depth` deep."""
    if not stack:
        return []
    heights = [layer.bulb_height_cm for layer in stack]
    least = rules.least_cover_cm(heights[0])
    floor = min(depth - rules.under_cm, max(rules.max_base_cm, least + heights[0]))
    gaps = len(stack) - 1
    spare = floor - least - sum(heights)
    if spare < 0.0:
        # Not even touching layers fit: compost under the lowest gives way before the least cover,
        # since bulbs with too little over them are the graver fault.
        least = min(least, max(depth - sum(heights), 0.0))
        spare, floor = 0.0, least + sum(heights)
    between = min(rules.between_cm, spare / gaps) if gaps else 0.0
    covers: list[float] = []
    top = least
    for k, layer in enumerate(stack):
        below = sum(heights[k:]) + between * (gaps - k)
        latest = max(floor - below, top)  # lower than this the ones below would not fit
        liked = min(
            max(layer.cover_cm, rules.least_cover_cm(heights[k])),
            rules.max_cover_in_heights * heights[k],
        )
        covers.append(min(max(top, liked), latest))
        top = covers[-1] + heights[k] + between
    return covers


def cover_for_drop(
    pot: PotShape,
    *,
    fill: PotFill,
    pointer_from_rim_cm: float,
    bulb_height_cm: float,
    rules: DepthRules | None = None,
) -> float:
    """Give the cover of a layer whose bulbs are dropped with their middle at the pointer. [cm]

    Kept between the least cover and the crocks; in a pot too shallow for both the crocks win.
    """
    rules = rules or DepthRules()
    cover = pointer_from_rim_cm - fill.surface_from_rim_cm - bulb_height_cm / 2.0
    lowest = max(fill.compost_depth_cm(pot) - bulb_height_cm, 0.0)
    return min(max(cover, rules.least_cover_cm(bulb_height_cm)), lowest)
