"""Pots that differ in ids and names alone: their tasks are worked out once and said of each."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from operator import attrgetter
from typing import Any, TypeVar

from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer, Pot
from bloomline.plan.work.parts import Plant

Answer = TypeVar("Answer")

_OWN = frozenset({"id", "name", "notes", "to_buy", "layers", "companions"})
"""What pots and layers may differ in and be alike; whether a pot is to be bought is no work."""


def _values(kind: type[Pot] | type[Layer] | type[CompanionPlanting]) -> Callable[[Any], Hashable]:
    return attrgetter(*(name for name in kind.model_fields if name not in _OWN))


_of_pot, _of_layer, _of_top = _values(Pot), _values(Layer), _values(CompanionPlanting)


class Lot:
    """Pots that are alike; what is worked out of the first holds of each.

    pot, plants : of the first. pot_ids : of all, in the order of the yard.
    """

    def __init__(self, members: Sequence[tuple[Pot, list[Plant]]]) -> None:
        """members : pots that are alike, one at least, each with its plants in one order."""
        self._members = members
        self.pot, self.plants = members[0]
        self.pot_ids = [pot.id for pot, _ in members]
        rows = [[plant.layer.id for plant in plants] for _, plants in members]
        self._layer_ids = list(zip(*rows, strict=True))

    def ids(self, of: Pot | Plant | str) -> Sequence[str]:
        """The id, in each pot, of what is given of the first; a word is the same of all."""
        if isinstance(of, Plant):
            return self._layer_ids[of.at]
        return [of] * len(self.pot_ids) if isinstance(of, str) else self.pot_ids

    def parted(self, answers: Mapping[str, Answer]) -> list[tuple[Answer | None, Lot]]:
        """Those of its pots that have one answer by their ids, with that answer."""
        found: dict[Answer | None, list[tuple[Pot, list[Plant]]]] = {}
        for pot, plants in self._members:
            found.setdefault(answers.get(pot.id), []).append((pot, plants))
        if len(found) == 1:
            return [(answer, self) for answer in found]
        return [(answer, Lot(members)) for answer, members in found.items()]


def lots(pots: Iterable[tuple[Pot, list[Plant]]]) -> list[Lot]:
    """Pots with their plants, put together where they are alike."""
    found: dict[Hashable, list[tuple[Pot, list[Plant]]]] = {}
    for pot, plants in pots:
        found.setdefault(_likeness(pot, plants), []).append((pot, plants))
    return [Lot(members) for members in found.values()]


def _likeness(pot: Pot, plants: list[Plant]) -> Hashable:
    """All that tasks of a pot can rest on and that is its own, but for ids and names."""
    ids = [plant.layer.id for plant in plants]
    in_order = sorted(ids)
    parts: list[Hashable] = [
        _of_pot(pot),
        # Of layers that are due together the one whose id comes first leads.
        None if ids == in_order else tuple(map(in_order.index, ids)),
        *[_of_layer(plant.layer) for plant in plants],
        *[id(plant.forecast) for plant in plants],  # one of all that are planted alike
    ]
    if len(plants) < len(pot.layers):  # what is no plant of the season still weighs
        parts += (None, *map(_of_layer, pot.layers))
    # What stands on top may be minded.
    return (*parts, *map(_of_top, pot.companions))
