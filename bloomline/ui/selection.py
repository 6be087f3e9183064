"""What is selected: one or many pots, or one or many layers and companions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from bloomline.model.yard import Yard
from bloomline.plan.carry.parcels import counted_parts

Kind = Literal["pot", "layer", "companion"]


@dataclass(frozen=True, slots=True)
class Selection:
    """The ids of all that is selected, in the order in which it was chosen.

    Pots, or what is planted in them, never both: what can be done to one can be done to all.
    """

    pots: tuple[str, ...] = ()
    layers: tuple[str, ...] = ()
    companions: tuple[str, ...] = ()

    @property
    def parts(self) -> tuple[str, ...]:
        """The layers, then the companions."""
        return self.layers + self.companions

    @property
    def ids(self) -> tuple[str, ...]:
        """Everything."""
        return self.pots + self.parts

    @property
    def is_many(self) -> bool:
        """Whether more than one thing is selected."""
        return len(self.ids) > 1

    def __contains__(self, name: object) -> bool:
        return name in self.pots or name in self.layers or name in self.companions


NOTHING = Selection()


def kinds_in(yard: Yard) -> dict[str, Kind]:
    """What each id of a yard is the id of."""
    kinds: dict[str, Kind] = {}
    for pot in yard.pots:
        kinds[pot.id] = "pot"
        kinds.update((layer.id, "layer") for layer in pot.layers)
        kinds.update((planting.id, "companion") for planting in pot.companions)
    return kinds


def selection_of(ids: Iterable[str], kinds: dict[str, Kind], *, like: str) -> Selection:
    """Those of the ids that may be selected together with one of them."""
    names = list(dict.fromkeys(name for name in ids if name in kinds))
    if kinds.get(like) == "pot":
        return Selection(pots=tuple(name for name in names if kinds[name] == "pot"))
    return Selection(
        layers=tuple(name for name in names if kinds[name] == "layer"),
        companions=tuple(name for name in names if kinds[name] == "companion"),
    )


def toggled(now: Selection, name: str, kinds: dict[str, Kind]) -> Selection:
    """With one more, or without it where it is selected; one of another sort begins anew."""
    ids = [each for each in now.ids if each != name]
    if name in now:
        return selection_of(ids, kinds, like=ids[-1]) if ids else NOTHING
    return selection_of([*ids, name], kinds, like=name)


def stretched(
    anchor: str | None, name: str, order: Sequence[str], kinds: dict[str, Kind]
) -> Selection:
    """All from the anchor up to a name, in the order in which they are shown."""
    start = order.index(anchor) if anchor in order else order.index(name)
    end = order.index(name)
    low, high = min(start, end), max(start, end)
    return selection_of(order[low : high + 1], kinds, like=name)


def many_words(selection: Selection) -> str:
    """How much is selected: "3 pots", "4 layers", "2 layers and 1 planting of companions"."""
    return counted_parts(
        pots=len(selection.pots),
        layers=len(selection.layers),
        companions=len(selection.companions),
    )
