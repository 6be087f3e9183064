"""How pots could be filled for less: another mix, no top dressing, other bags, compost kept.

What the bags cost follows from litres, and litres from the pots that are filled and the bulbs in
them, as `plan.pot.compost` reckons them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import product
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.potshape import BulbLot
from bloomline.model import edits, store_edits
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Yard
from bloomline.plan.pot.compost import bags_for, kinds_of_compost, recipe_of
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.buying import planned_layers, pots_to_fill
from bloomline.reference.rules import load_rules
from bloomline.reference.supplies import Recipe, load_supplies

FillingKind = Literal["other bags", "no dressing", "other mix", "kept compost"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_KEPT_SHARE = 1 / 3  # of a pot, its lowest part
_WORTH: Mapping[str, float] = {"no dressing": 0.1, "other mix": 0.25}
_BAGS_WORTH = 0.01
_MIXES = 3


def bulb_l(cultivar: Cultivar) -> float:
    """Volume of one bulb. [L]"""
    return BulbLot(cultivar.bulb_diameter_cm, cultivar.bulb_height_cm, 1).volume_l


@dataclass(frozen=True, slots=True)
class _Room:
    """A pot to be filled: room for compost and bulbs, and its top dressing. [L]

    copies : how many equal pots are to be filled so.
    """

    compost_l: float
    dressing: str | None
    dressing_l: float
    copies: int = 1


@dataclass(frozen=True, slots=True, eq=False)
class BulbsIn:
    """Bulbs in pots that are filled.

    rows : which of the reckoner's pots, in the order in which they are added up, shape (n_pots,).
    litres : in one of each.
    """

    rows: Ints
    litres: Floats


@dataclass(frozen=True, slots=True)
class Filling:
    """One way of filling. kinds : what is other than wanted.

    recipes : by the id of the pot. mixes, mix_of : the same for the reckoner's pots in its order,
    mix_of of shape (n_pots,).
    """

    kinds: tuple[FillingKind, ...]
    recipes: Mapping[str, Recipe]
    mixes: tuple[Recipe, ...]
    mix_of: Ints
    changed: frozenset[str]
    dressed: bool
    keeps: bool
    bag_l: float | None

    def penalty(self, pots: Iterable[str], rooms: Mapping[str, _Room]) -> float:
        """What it takes off the show of some pots."""
        filled = list(pots)
        lost = _BAGS_WORTH if "other bags" in self.kinds and filled else 0.0
        for pot_id in filled:
            room = rooms[pot_id]
            if pot_id in self.changed:
                lost += _WORTH["other mix"] * room.copies
            if not self.dressed and room.dressing is not None:
                lost += _WORTH["no dressing"] * room.copies
        return lost


@dataclass(slots=True)
class FillingReckoner:
    """Costs of fillings; asked very often, so that every amount of a material is matched once."""

    outlook: Outlook
    yard: Yard = field(init=False)
    rooms: dict[str, _Room] = field(init=False)
    _settling: float = field(init=False)
    rows: dict[str, int] = field(init=False)
    _compost_l: Floats = field(init=False)
    _dressings: dict[str, Floats] = field(init=False)
    _copies: Floats = field(init=False)
    _costs: dict[tuple[object, ...], tuple[Decimal, int]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        """Measure the pots that are to be filled."""
        self.yard = self.outlook.yard
        self._settling = 1.0 + load_rules().figure("settling_share").middle
        self.rooms = {}
        yard, garden = self.yard, self.outlook.garden
        chosen = {layer.id for _, layer in planned_layers(yard, garden=garden)}
        kinds = kinds_of_compost(yard=yard, cultivar_of=self.outlook.cultivar_of)
        for pot in pots_to_fill(yard, garden=garden):
            fill = kinds.of(pot, [layer for layer in pot.layers if layer.id not in chosen])
            self.rooms[pot.id] = _Room(
                fill.volumes.compost_l, fill.dressing, fill.dressing_l, fill.copies
            )
        rooms = self.rooms.values()
        self.rows = {pot_id: row for row, pot_id in enumerate(self.rooms)}
        self._compost_l = np.array([room.compost_l for room in rooms], dtype=np.float64)
        self._dressings = {  # litres of each in the pots that bear it
            name: np.array([room.dressing_l * (room.dressing == name) for room in rooms])
            for name in dict.fromkeys(room.dressing for room in rooms)
            if name is not None
        }
        self._copies = np.array([room.copies for room in rooms], dtype=np.float64)

    def fillings(self) -> list[Filling]:
        """As wanted first; then every cheaper mix, with and without dressing, in other bags."""
        pots = {pot.id: pot for pot in self.yard.pots}
        wanted = {pot_id: recipe_of(self.yard, pots[pot_id]) for pot_id in self.rooms}
        bag_l = self.yard.supplies.bag_l
        dressings = [True]
        if any(room.dressing is not None for room in self.rooms.values()):
            dressings.append(False)
        sizes = [bag_l] if bag_l is None else [bag_l, None]
        found = []
        for keeps, recipe, dressed, size in product(
            (False, True), (None, *self._cheap_mixes(wanted)), dressings, sizes
        ):
            recipes = wanted if recipe is None else dict.fromkeys(self.rooms, recipe)
            kinds: list[FillingKind] = []
            if size != bag_l:
                kinds.append("other bags")
            if not dressed:
                kinds.append("no dressing")
            if recipe is not None:
                kinds.append("other mix")
            if keeps:
                kinds.append("kept compost")
            changed = {name for name, mix in recipes.items() if mix.id != wanted[name].id}
            found.append(
                self._filling(tuple(kinds), recipes, frozenset(changed), dressed, keeps, size)
            )
        return found if self.rooms else found[:1]

    def _filling(
        self, kinds: tuple[FillingKind, ...], recipes: Mapping[str, Recipe], *rest: Any
    ) -> Filling:
        mixes = {mix.id: mix for mix in recipes.values()}
        numbers = {name: number for number, name in enumerate(mixes)}
        mix_of = np.array([numbers[recipes[name].id] for name in self.rows], dtype=np.int64)
        return Filling(kinds, recipes, tuple(mixes.values()), mix_of, *rest)

    def _cheap_mixes(self, wanted: Mapping[str, Recipe]) -> list[Recipe]:
        """Mixes that would fill all pots for less."""
        empty = BulbsIn(np.arange(len(self.rooms)), np.zeros(len(self.rooms)))
        size = self.yard.supplies.bag_l

        def cost(recipes: Mapping[str, Recipe]) -> tuple[int, Decimal]:
            filling = self._filling((), recipes, frozenset(), True, False, size)
            money, unknown = self.cost(filling, empty)
            return unknown, money

        now = cost(wanted)
        options = []
        for recipe in load_supplies().recipes.values():
            price = cost(dict.fromkeys(self.rooms, recipe))
            if price[0] <= now[0] and price[1] < now[1]:
                options.append((price[1], recipe.id, recipe))
        return [recipe for _, _, recipe in sorted(options, key=lambda each: each[:2])[:_MIXES]]

    def needs(self, filling: Filling, bulbs: BulbsIn) -> dict[str, float]:
        """Litres by material."""
        rows = bulbs.rows
        if not len(rows):
            return {}
        copies, mix_of = self._copies[rows], filling.mix_of[rows]
        loose_l = np.maximum(self._compost_l[rows] - bulbs.litres, 0.0) * self._settling * copies
        dressings = self._dressings if filling.dressed else {}
        needs: dict[str, float] = {}
        materials = dict.fromkeys(name for mix in filling.mixes for name in mix.shares)
        for material in materials | dict.fromkeys(dressings):
            shares = np.array([mix.shares.get(material, 0.0) for mix in filling.mixes])
            parts = np.zeros((len(rows), 2))
            parts[:, 0] = loose_l * shares[mix_of]
            if material in dressings:
                parts[:, 1] = dressings[material][rows] * copies
            # Added pot by pot, the compost before what lies on it, as `material_needs` does.
            litres = float(np.cumsum(parts)[-1])
            if litres > 0.0:
                needs[material] = litres
        return needs

    def pots_of(self, bulbs: BulbsIn) -> tuple[str, ...]:
        """Ids of the pots that are filled."""
        ids = list(self.rows)
        return tuple([ids[row] for row in bulbs.rows.tolist()])

    def kept_l(self, filling: Filling, pots: Iterable[str]) -> dict[str, int]:
        """Litres of compost kept from last season that the lowest part of pots would take."""
        kept: dict[str, float] = {}
        if filling.keeps:
            for pot_id in pots:
                shares = filling.recipes[pot_id].shares
                most = max(shares, key=lambda material: shares[material])
                room = self.rooms[pot_id]
                litres = room.compost_l * room.copies * self._settling * _KEPT_SHARE
                kept[most] = kept.get(most, 0.0) + min(litres, litres * 3 * shares[most])
        return {material: int(litres) for material, litres in kept.items() if litres >= 1.0}

    def cost(self, filling: Filling, bulbs: BulbsIn) -> tuple[Decimal, int]:
        """What the bags cost that have a price, and how many materials have none."""
        needs = self.needs(filling, bulbs)
        kept = self.kept_l(filling, self.pots_of(bulbs)) if filling.keeps else {}
        key = (
            filling.bag_l,
            tuple((name, round(litres, 6)) for name, litres in needs.items()),
            tuple(kept.items()),
        )
        found = self._costs.get(key)
        if found is None:
            lines = bags_for(needs, yard=self._yard(filling.bag_l, kept))
            costs = [line.cost for line in lines]
            money = sum((cost for cost in costs if cost is not None), Decimal(0))
            found = self._costs[key] = (money, costs.count(None))
        return found

    def _yard(self, bag_l: float | None, kept: Mapping[str, int]) -> Yard:
        supplies = self.yard.supplies
        have = {**supplies.at_hand_l}
        for material, litres in kept.items():
            have[material] = have.get(material, 0.0) + litres
        changed = supplies.model_copy(update={"bag_l": bag_l, "at_hand_l": have})
        return self.yard.model_copy(update={"supplies": changed})


def other_mix(yard: Yard, *, pot_ids: tuple[str, ...], recipe_id: str) -> Yard:
    """The same mix for some pots."""
    return edits.change_pots(yard, {pot_id: {"compost_recipe": recipe_id} for pot_id in pot_ids})


def no_dressing(yard: Yard, *, pot_ids: tuple[str, ...]) -> Yard:
    """No top dressing in some pots; the compost stays as high, so the rim gap grows."""
    bare = set(pot_ids)
    changes = {
        pot.id: {
            "top_dressing_cm": 0.0,
            "rim_gap_cm": round(pot.rim_gap_cm + pot.top_dressing_cm, 2),
        }
        for pot in yard.pots
        if pot.id in bare
    }
    return edits.change_pots(yard, changes)


def other_bags(yard: Yard) -> Yard:
    """Bags of any size."""
    return store_edits.change_supplies(yard, bag_l=None)


def kept_compost(yard: Yard, *, litres: tuple[tuple[str, int], ...]) -> Yard:
    """So much more of some materials at hand."""
    for material, more in litres:
        have = yard.supplies.at_hand_l.get(material, 0.0)
        yard = store_edits.set_at_hand(yard, material, have + more)
    return yard
