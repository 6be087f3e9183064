"""One change to many pots, layers or companions at once: pure functions as in `model.edits`.

All or nothing: where one of them can't take the change, none does, and the refusal names it.
A yard is gone through once however many are changed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from datetime import date, timedelta

from bloomline.errors import EditRefusedError
from bloomline.model import edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.revising import revise
from bloomline.model.yard import Layer, Pot, Yard, unknown
from bloomline.model.yard_ids import free_among, fresh_ids, ids_in

Fields = dict[str, object]


def change_pots(yard: Yard, pot_ids: Iterable[str], **fields: object) -> Yard:
    """Give all these pots the same values, by the rules of `edits.change_pot`."""
    wanted = set(pot_ids)
    _refuse_unknown(yard, wanted)
    pots = tuple(
        _named(pot, lambda pot: edits.changed_pot(pot, fields)) if pot.id in wanted else pot
        for pot in yard.pots
    )
    return revise(yard, {"pots": pots}, links="display_place" in fields)


def change_parts(yard: Yard, part_ids: Iterable[str], **fields: object) -> Yard:
    """Give all these layers and companions the same values, by the rules of each."""
    return _with_parts(yard, part_ids, lambda _part: fields)


def shift_planted(
    yard: Yard, part_ids: Iterable[str], days: int, *, latest: date | None = None
) -> Yard:
    """Move the planting day of each of these layers and companions by as many days.

    latest : none is moved beyond it; one that lies later stays where it is.
    """

    def moved(part: Layer | CompanionPlanting) -> Fields:
        day = part.planted + timedelta(days=days)
        if latest is not None and day > latest:
            day = max(part.planted, latest) if days > 0 else day
        return {"planted": day}

    return _with_parts(yard, part_ids, moved)


def remove_all(yard: Yard, ids: Iterable[str]) -> Yard:
    """Take pots, layers and companions away, with records and fixed stands, as one by one."""
    gone = set(ids)
    _refuse_unknown(yard, gone)
    pots, left = [], set()
    for pot in yard.pots:
        if pot.id in gone:
            left |= {layer.id for layer in pot.layers}
            continue
        layers = tuple(each for each in pot.layers if each.id not in gone)
        left |= {each.id for each in pot.layers} & gone
        companions = tuple(each for each in pot.companions if each.id not in gone)
        if len(layers) < len(pot.layers) or len(companions) < len(pot.companions):
            pot = revise(pot, {"layers": layers, "companions": companions})
        pots.append(pot)
    records = tuple(each for each in yard.records if each.layer_id not in left)
    stands = tuple(each for each in yard.fixed_stands if each.pot_id not in gone)
    changes: dict[str, object] = {
        "pots": tuple(pots),
        "records": records,
        "fixed_stands": stands,
    }
    return revise(yard, changes, links=False)


def duplicate_all(yard: Yard, ids: Iterable[str]) -> Yard:
    """Put a copy beside each of these pots, layers and companions, planned afresh."""
    wanted = set(ids)
    _refuse_unknown(yard, wanted)
    pot_ids, names = fresh_ids(yard, "pot"), {pot.name for pot in yard.pots}
    layer_ids, companion_ids = fresh_ids(yard, "layer"), fresh_ids(yard, "companion")
    pots = []
    for pot in yard.pots:
        pots.append(_with_copies(pot, wanted, layer_ids, companion_ids))
        if pot.id in wanted:
            name = free_among(names, pot.name)
            names.add(name)
            pots.append(
                edits.copied_pot(
                    pot,
                    pot_id=next(pot_ids),
                    name=name,
                    layer_ids=layer_ids,
                    companion_ids=companion_ids,
                )
            )
    return revise(yard, {"pots": tuple(pots)})


def _with_copies(
    pot: Pot, wanted: Collection[str], layer_ids: Iterator[str], companion_ids: Iterator[str]
) -> Pot:
    """A pot with a copy beside each of its layers and companions that are wanted."""
    changed = pot
    for layer in pot.layers:
        if layer.id in wanted:
            copy = edits.copied_layer(layer, next(layer_ids))
            changed = edits.with_new_layer(changed, copy)
    copies = tuple(
        revise(each, {"id": next(companion_ids)}) for each in pot.companions if each.id in wanted
    )
    if copies:
        changed = revise(changed, {"companions": (*pot.companions, *copies)})
    return changed


# What the edits share


def _with_parts(
    yard: Yard, part_ids: Iterable[str], values: Callable[[Layer | CompanionPlanting], Fields]
) -> Yard:
    wanted = set(part_ids)
    _refuse_unknown(yard, wanted)
    pots = tuple(_named(pot, lambda pot: _with_own_parts(pot, wanted, values)) for pot in yard.pots)
    return revise(yard, {"pots": pots}, links=False)


def _with_own_parts(
    pot: Pot, wanted: Collection[str], values: Callable[[Layer | CompanionPlanting], Fields]
) -> Pot:
    changed = pot
    for layer in pot.layers:
        if layer.id in wanted:
            changed = edits.with_changed_layer(changed, layer, values(layer))
    if any(each.id in wanted for each in pot.companions):
        on_top = tuple(
            revise(each, values(each)) if each.id in wanted else each for each in pot.companions
        )
        changed = revise(changed, {"companions": on_top})
    return changed


def _named(pot: Pot, change: Callable[[Pot], Pot]) -> Pot:
    """Do a change to a pot; a refusal says which pot it was."""
    try:
        return change(pot)
    except EditRefusedError as error:
        raise EditRefusedError(f"{pot.name}: {error}") from None


def _refuse_unknown(yard: Yard, ids: Collection[str]) -> None:
    known = set(ids_in(yard))
    for name in sorted(set(ids) - known):
        raise unknown("pot or layer", name, sorted(known))
