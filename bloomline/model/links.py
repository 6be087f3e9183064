"""Checks that a yard hangs together: ids are unique, and what is pointed at is there."""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Protocol

from pydantic_core import PydanticCustomError

from bloomline.model.store import MAX_PACK_SIZES, InStock, Price
from bloomline.words import quoted


class _WithId(Protocol):
    @property
    def id(self) -> str: ...


class _WithName(Protocol):
    @property
    def name(self) -> str: ...


class _LinkedPot(_WithId, Protocol):
    @property
    def display_place(self) -> str | None: ...
    @property
    def layers(self) -> Sequence[_WithId]: ...
    @property
    def companions(self) -> Sequence[_WithId]: ...


class _LinkedRecord(_WithId, Protocol):
    @property
    def layer_id(self) -> str: ...


class _LinkedStand(Protocol):
    @property
    def pot_id(self) -> str: ...
    @property
    def place(self) -> str | None: ...


class _LinkedWish(_WithId, Protocol):
    @property
    def pot_ids(self) -> Sequence[str]: ...


class _LinkedYard(Protocol):
    """What of a yard is checked here; the yard imports these checks, so they can't import it."""

    @property
    def pots(self) -> Sequence[_LinkedPot]: ...
    @property
    def records(self) -> Sequence[_LinkedRecord]: ...
    @property
    def display_places(self) -> Sequence[_WithName]: ...
    @property
    def fixed_stands(self) -> Sequence[_LinkedStand]: ...
    @property
    def own_cultivars(self) -> Sequence[_WithId]: ...
    @property
    def cupboard(self) -> Sequence[InStock]: ...
    @property
    def prices(self) -> Sequence[Price]: ...
    @property
    def wishes(self) -> Sequence[_LinkedWish]: ...


def check_links(yard: _LinkedYard) -> None:
    """Check that ids are unique in the yard and that everything pointed at is there.

    Raises PydanticCustomError (which pydantic gathers into a ValidationError).
    """
    layers = [layer.id for pot in yard.pots for layer in pot.layers]
    on_top = [planting.id for pot in yard.pots for planting in pot.companions]
    pots, records = [pot.id for pot in yard.pots], [record.id for record in yard.records]
    layer_ids, pot_ids = set(layers), set(pots)
    wanted = len(layers) + len(on_top) + len(pots) + len(records)
    if len(layer_ids.union(on_top, pot_ids, records)) != wanted:
        raise PydanticCustomError("same_id", "{told}", {"told": _tell_same_ids(yard)})
    for index, record in enumerate(yard.records):
        if record.layer_id not in layer_ids:
            raise _dangling(f"records[{index}].layer_id", "layer", record.layer_id, layer_ids)
    places = {place.name for place in yard.display_places}
    if len(places) != len(yard.display_places):
        raise PydanticCustomError("same_name", "two display_places have the same name")
    for index, pot in enumerate(yard.pots):
        if pot.display_place is not None and pot.display_place not in places:
            raise _dangling(
                f"pots[{index}].display_place", "display place", pot.display_place, places
            )
    for index, stand in enumerate(yard.fixed_stands):
        if stand.pot_id not in pot_ids:
            raise _dangling(f"fixed_stands[{index}].pot_id", "pot", stand.pot_id, pot_ids)
        if stand.place is not None and stand.place not in places:
            raise _dangling(f"fixed_stands[{index}].place", "display place", stand.place, places)
    own = [cultivar.id for cultivar in yard.own_cultivars]
    if len(set(own)) != len(own):
        twice = next(name for name in own if own.count(name) > 1)
        raise PydanticCustomError(
            "same_id", "two own_cultivars have the id “{name}”", {"name": twice}
        )
    _check_wishes(yard, pot_ids)
    _check_store(yard)


def _check_wishes(yard: _LinkedYard, pots: set[str]) -> None:
    """Check that wishes have ids of their own, and point at pots that are there."""
    ids = [wish.id for wish in yard.wishes]
    if len(set(ids)) != len(ids):
        twice = next(name for name in ids if ids.count(name) > 1)
        raise PydanticCustomError("same_id", "two wishes have the id “{name}”", {"name": twice})
    for index, wish in enumerate(yard.wishes):
        for pot_id in wish.pot_ids:
            if pot_id not in pots:
                raise _dangling(f"wishes[{index}].pot_ids", "pot", pot_id, pots)


def _check_store(yard: _LinkedYard) -> None:
    """Check that the cupboard names a cultivar once, and the prices a pack of it once."""
    stock = Counter(item.cultivar_id for item in yard.cupboard)
    packs = Counter((price.cultivar_id, price.pack) for price in yard.prices)
    sizes = Counter(cultivar_id for cultivar_id, _ in packs)
    told = [f"the cupboard holds {quoted(name)} twice" for name, n in stock.items() if n > 1]
    told += [
        f"two prices for {n} bulbs of {quoted(name)}" for (name, n), k in packs.items() if k > 1
    ]
    told += [
        f"more than {MAX_PACK_SIZES} packs of {quoted(name)}"
        for name, n in sizes.items()
        if n > MAX_PACK_SIZES
    ]
    if told:
        raise PydanticCustomError("same_id", "{told}", {"told": "; ".join(told[:5])})


def _dangling(where: str, what: str, name: str, known: set[str]) -> PydanticCustomError:
    near = difflib.get_close_matches(name, sorted(known)[:5000], n=1)
    hint = f"; did you mean {quoted(near[0])}?" if near else ""
    told = f"{where}: there is no {what} {quoted(name)}{hint}"
    return PydanticCustomError("no_such_id", "{told}", {"told": told})


def _tell_same_ids(yard: _LinkedYard) -> str:
    first: dict[str, str] = {}
    told: list[str] = []
    for where, name in _id_places(yard):
        if name in first:
            told.append(f"the id {quoted(name)} stands both at {first[name]} and at {where}")
        else:
            first[name] = where
    more = f"; and {len(told) - 5} more" if len(told) > 5 else ""
    return "; ".join(told[:5]) + more


def _id_places(yard: _LinkedYard) -> Iterator[tuple[str, str]]:
    for p, pot in enumerate(yard.pots):
        yield f"pots[{p}].id", pot.id
        for k, layer in enumerate(pot.layers):
            yield f"pots[{p}].layers[{k}].id", layer.id
        for k, planting in enumerate(pot.companions):
            yield f"pots[{p}].companions[{k}].id", planting.id
    for r, record in enumerate(yard.records):
        yield f"records[{r}].id", record.id
