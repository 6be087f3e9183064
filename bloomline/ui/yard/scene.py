"""Where the pots of a yard stand in its picture, and what lies at a point of it.

Pure geometry in pixels: x runs from the left end of the row of pots, y from the ground line
downwards, so all that stands above the ground has a negative y. No widgets, no painting.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Literal

from bloomline.draw.pot.layout import LayerSpots, PotCut, cut_pot
from bloomline.draw.pot.plant_forms import head_size_cm
from bloomline.draw.pot.plant_picture import PlantLook, look_of
from bloomline.errors import BloomlineError
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.forecast.growth import Growth
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.tops.companions import companion_of
from bloomline.ui.yard.tops import ALL_THERE, Presence, Top, top_at

HandleKind = Literal["width", "height", "base"]

COUNTS_FROM_SCALE = 0.9
"""From here on the numbers of bulbs stand beside the layers. [px a cm]"""
_GAP_EM = 1.6
_COUNTS_GAP_EM = 2.8  # so that a number is nearer to its own pot than to the next one
_RULE_EM = 3.0  # room for the rule at the left edge
_LABEL_EM = 7.5
_SMALLEST_TALL_CM = 40.0


@dataclass(frozen=True, slots=True)
class PlacedPot:
    """A pot's place in the row. [px]"""

    index: int
    pot: Pot
    left: float
    right: float
    middle: float
    half: float
    rim: float

    def depth_cm(self, y: float, scale: float) -> float:
        """The depth below the rim of a height in the picture."""
        return (y - self.rim) / scale

    def handles(self, scale: float) -> dict[HandleKind, tuple[float, float]]:
        """Where the pot can be taken to change its size."""
        _, _, top, bottom = _sides(self.pot)
        wall = self.pot.wall_cm * scale
        return {
            "width": (self.middle + 0.5 * top * scale + wall, self.rim),
            "height": (self.middle, self.rim),
            "base": (self.middle + 0.5 * bottom * scale + wall, 0.0),
        }


@dataclass(frozen=True, slots=True)
class UnderPointer:
    """What lies at a point: a layer's bulbs or plants, companions, a pot, or nothing."""

    pot_id: str | None = None
    layer_id: str | None = None
    companion_id: str | None = None
    on_label: bool = False


class PotRow:
    """The pots of a yard side by side at one scale."""

    def __init__(self, yard: Yard, *, scale: float, em: float) -> None:
        self.scale = scale
        self.em = em
        self.gap = _GAP_EM * em * min(1.0, max(scale / 2.0, 0.25))
        if scale >= COUNTS_FROM_SCALE:
            self.gap = max(self.gap, _COUNTS_GAP_EM * em)
        # Names need room, but not so much that a far view of a large yard can't be had.
        label = _LABEL_EM * em * min(max((scale - 0.5) / 0.5, 0.0), 1.0)
        self.pots: list[PlacedPot] = []
        x = max(self.gap, _RULE_EM * em)
        for index, pot in enumerate(yard.pots):
            outer_half, tall, _, _ = _sides(pot)
            half = outer_half * scale
            width = max(2.0 * half, label)
            self.pots.append(
                PlacedPot(index, pot, x, x + width, x + 0.5 * width, half, -tall * scale)
            )
            x += width + self.gap
        self.width = x
        self._lefts = [placed.left - 0.5 * self.gap for placed in self.pots]
        self._by_id = {placed.pot.id: placed for placed in self.pots}

    @property
    def order(self) -> tuple[Pot, ...]:
        """The pots as they stand side by side."""
        return tuple(placed.pot for placed in self.pots)

    def of(self, pot_id: str) -> PlacedPot | None:
        """The place of a pot."""
        return self._by_id.get(pot_id)

    def free_right_of(self, placed: PlacedPot) -> float:
        """How far it is from a pot's outer wall to the next pot's. [px]"""
        if placed.index + 1 >= len(self.pots):
            return self.gap + placed.right - placed.middle - placed.half
        following = self.pots[placed.index + 1]
        return (following.middle - following.half) - (placed.middle + placed.half)

    def between(self, left: float, right: float) -> list[PlacedPot]:
        """The pots that can be seen between two x; plants may lean a little beyond theirs."""
        first = max(bisect_right(self._lefts, left - 2.0 * self.em) - 1, 0)
        last = bisect_right(self._lefts, right + 2.0 * self.em)
        return self.pots[first:last]

    def at(self, x: float) -> PlacedPot | None:
        """The pot whose place covers x, half the gap on each side included."""
        index = bisect_right(self._lefts, x) - 1
        if index < 0 or x > self.pots[index].right + 0.5 * self.gap:
            return None
        return self.pots[index]

    def pot_under(self, x: float) -> PlacedPot | None:
        """The pot whose own width covers x."""
        placed = self.at(x)
        if placed is None:
            return None
        reach = max(placed.half + 3.0, 0.5 * (placed.right - placed.left) - 0.5 * self.em)
        return placed if abs(x - placed.middle) <= reach else None

    def gap_index(self, x: float) -> int:
        """Before which pot (by number) something dropped at x would stand."""
        return sum(1 for placed in self.pots if placed.middle < x)

    def gap_x(self, index: int) -> float:
        """The x of the gap before a pot, or after the last."""
        if not self.pots:
            return _RULE_EM * self.em
        if index >= len(self.pots):
            return self.pots[-1].right + 0.5 * self.gap
        return self.pots[index].left - 0.5 * self.gap

    def place_x(self, number: int) -> float:
        """The middle of a place, by number, in a row that is arranged by place."""
        return self.gap_x(number)


def _sides(pot: Pot) -> tuple[float, float, float, float]:
    """Half the outside width, the height above ground, and the inside widths. [cm]"""
    top = pot.top_length_cm or pot.top_width_cm
    bottom = pot.bottom_length_cm or pot.bottom_width_cm
    tall = pot.inside_height_cm + max(pot.wall_cm, 0.3)
    return 0.5 * max(top, bottom) + pot.wall_cm, tall, top, bottom


def is_long(pot: Pot) -> bool:
    """Whether the side that is seen is the pot's length."""
    return pot.top_length_cm is not None


def tallest_cm(yard: Yard, cultivar_of: CultivarOf) -> float:
    """How high the yard reaches above the ground with all in flower. [cm]"""
    tall = _SMALLEST_TALL_CM
    known: dict[str, float] = {}
    for pot in yard.pots:
        _, rim, _, _ = _sides(pot)
        tall = max(tall, rim)
        surface = rim - pot.rim_gap_cm
        for layer in pot.layers:
            name = layer.cultivar_id
            if name not in known:
                try:
                    known[name] = cultivar_of(name).height_cm
                except BloomlineError:
                    known[name] = 0.0
            tall = max(tall, surface + 1.08 * known[name])
        for planting in pot.companions:
            with suppress(BloomlineError):  # one that isn't known is not drawn
                tall = max(tall, surface + 1.08 * companion_of(planting.companion_id).height_cm)
    return tall


# What no picture of a pot shows: a slide of the planting day must not paint every pot anew.
_UNSEEN_OF_POT = frozenset(
    {"name", "notes", "site", "sheltered_from", "sheltered_until", "display_place", "to_buy"}
)
_UNSEEN_OF_LAYER = frozenset(
    {"planted", "lifted_on", "prechill_weeks", "prechill_temperature_c", "notes"}
)
_SEEN_OF_POT = tuple(sorted(set(Pot.model_fields) - _UNSEEN_OF_POT - {"layers", "companions"}))
_SEEN_OF_LAYER = tuple(sorted(set(Layer.model_fields) - _UNSEEN_OF_LAYER))


def _seen_of(pot: Pot) -> tuple[object, ...]:
    """All of a pot that its picture may show."""
    layers = tuple(getattr(layer, name) for layer in pot.layers for name in _SEEN_OF_LAYER)
    return (len(pot.layers), *(getattr(pot, name) for name in _SEEN_OF_POT), *layers)


class Cuts:
    """Keeps the cutaways of pots that have not changed, and the looks of their plants."""

    def __init__(self, cultivar_of: CultivarOf) -> None:
        self._cultivar_of = cultivar_of
        self._kept: dict[str, tuple[Pot, PotCut]] = {}
        self._looks: dict[str, PlantLook] = {}
        self._own: object = None

    def begin(self, yard: Yard) -> None:
        """Forget what an edit of the yard's own cultivars or of its pots has made old."""
        if yard.own_cultivars != self._own:
            self._own = yard.own_cultivars
            self._kept.clear()
            self._looks.clear()
        if len(self._kept) > 2 * len(yard.pots) + 50:
            here = {pot.id for pot in yard.pots}
            self._kept = {name: kept for name, kept in self._kept.items() if name in here}

    def has(self, pot: Pot) -> bool:
        """Whether the cutaway of a pot is at hand."""
        kept = self._kept.get(pot.id)
        return kept is not None and kept[0] is pot

    def of(self, pot: Pot) -> PotCut:
        """The cutaway of a pot; the same one while only dates, names or notes change."""
        kept = self._kept.get(pot.id)
        if kept is not None and kept[0] is pot:
            return kept[1]
        if kept is not None and _seen_of(kept[0]) == _seen_of(pot):
            self._kept[pot.id] = (pot, kept[1])
            return kept[1]
        try:
            cut = cut_pot(pot, cultivar_of=self._cultivar_of)
        except BloomlineError:  # a kind that isn't known: paint the rest rather than nothing
            known = tuple(layer for layer in pot.layers if self._is_known(layer.cultivar_id))
            cut = cut_pot(pot.model_copy(update={"layers": known}), cultivar_of=self._cultivar_of)
        self._kept[pot.id] = (pot, cut)
        return cut

    def _is_known(self, cultivar_id: str) -> bool:
        try:
            self._cultivar_of(cultivar_id)
        except BloomlineError:
            return False
        return True

    def look(self, cultivar_id: str) -> PlantLook:
        """How a cultivar is drawn."""
        if cultivar_id not in self._looks:
            self._looks[cultivar_id] = look_of(self._cultivar_of(cultivar_id))
        return self._looks[cultivar_id]


def spot_at(
    row: PotRow,
    x: float,
    y: float,
    *,
    cut_of: Callable[[Pot], PotCut],
    look: Callable[[str], PlantLook],
    growths: Mapping[str, Growth],
    tops_of: Callable[[Pot], tuple[Top, ...]] = lambda _: (),
    presence_of: Callable[[Pot], Presence] = lambda _: ALL_THERE,
) -> UnderPointer:
    """What lies at a point of the picture."""
    placed = row.at(x)
    if placed is None:
        return UnderPointer()
    if y > 0.0:
        near = abs(x - placed.middle) <= max(placed.half, 0.5 * (placed.right - placed.left))
        return UnderPointer(placed.pot.id, on_label=True) if near else UnderPointer()
    depth = placed.depth_cm(y, row.scale)
    off = (x - placed.middle) / row.scale
    cut = cut_of(placed.pot)
    if depth >= cut.dressing_cm:
        if abs(off) > cut.half_at(depth) + cut.wall_cm + 3.0 / row.scale:
            return UnderPointer()
        layer = _bulbs_at(cut, off, depth, presence_of(placed.pot))
        return UnderPointer(placed.pot.id, layer.layer_id if layer else None)
    top = top_at(tops_of(placed.pot), off, cut.dressing_cm - depth)
    if top is not None:  # companions stand in front of the bulbs' leaves and stems
        return UnderPointer(placed.pot.id, companion_id=top.planting_id)
    layer = _plant_at(cut, off, cut.dressing_cm - depth, look=look, growths=growths)
    if layer is not None:
        return UnderPointer(placed.pot.id, layer.layer_id)
    inside = depth >= 0.0 and abs(off) <= cut.outer_half_cm + 3.0 / row.scale
    return UnderPointer(placed.pot.id) if inside else UnderPointer()


def _bulbs_at(cut: PotCut, off: float, depth: float, presence: Presence) -> LayerSpots | None:
    """The layer whose bulbs lie at a depth; those that are there before those to come."""
    if presence is ALL_THERE:
        return cut.layer_at(off, depth)
    absent = presence.planned | presence.gone
    there = tuple(each for each in cut.layers if each.layer_id not in absent)
    to_come = tuple(each for each in cut.layers if each.layer_id in presence.planned)
    found = replace(cut, layers=there).layer_at(off, depth)
    return found or replace(cut, layers=to_come).layer_at(off, depth)


def _plant_at(
    cut: PotCut,
    off: float,
    high: float,
    *,
    look: Callable[[str], PlantLook],
    growths: Mapping[str, Growth],
) -> LayerSpots | None:
    """The layer whose plants are at a height: one with its flowers there, else the lowest."""
    found: list[tuple[bool, float, LayerSpots]] = []
    for layer in cut.layers:
        growth = growths.get(layer.layer_id)
        if growth is None or not growth.shows or not layer.bulbs:
            continue
        plant = look(layer.cultivar_id)
        tall = plant.height_cm * growth.height
        head_w, head_h = head_size_cm(plant.habit, plant.height_cm)
        reach = max(abs(spot.x_cm) for spot in layer.bulbs) + max(0.5 * head_w, 2.0)
        if high <= 1.1 * tall + 1.0 and abs(off) <= reach:
            on_head = growth.open > 0.0 and high >= tall - 1.1 * head_h
            found.append((not on_head, tall, layer))
    return min(found, key=lambda each: each[:2])[2] if found else None
