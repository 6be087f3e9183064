"""Changes to what is planted on top of bulb pots: pure functions as in `bloomline.model.edits`."""

from __future__ import annotations

from bloomline.errors import EditRefusedError
from bloomline.model.companion import MAX_COMPANIONS, CompanionPlanting
from bloomline.model.revising import (
    pot_index,
    refuse_fields,
    refuse_known_ids,
    revise,
    with_pot,
)
from bloomline.model.yard import Pot, Yard


def add_companion(yard: Yard, pot_id: str, planting: CompanionPlanting) -> Yard:
    """Plant companions on top of a pot."""
    at = pot_index(yard, pot_id)
    pot = with_new_companion(yard.pots[at], planting)
    refuse_known_ids(yard, [planting.id])
    return with_pot(yard, at, pot)


def with_new_companion(pot: Pot, planting: CompanionPlanting) -> Pot:
    """A pot with one more planting of companions, by the rules of `add_companion`."""
    _refuse_full(pot)
    return revise(pot, {"companions": (*pot.companions, planting)})


def change_companion(yard: Yard, planting_id: str, **fields: object) -> Yard:
    """Change fields of a companion planting, all but its id."""
    refuse_fields(fields, "id")
    pot, planting = yard.companion(planting_id)
    changed = revise(planting, fields)
    on_top = tuple(changed if each.id == planting_id else each for each in pot.companions)
    return with_pot(yard, pot_index(yard, pot.id), revise(pot, {"companions": on_top}))


def move_companion(yard: Yard, planting_id: str, to_pot_id: str) -> Yard:
    """Plant companions into another pot instead."""
    pot, planting = yard.companion(planting_id)
    to = yard.pot(to_pot_id)
    if to.id == pot.id:
        return yard
    _refuse_full(to)
    return add_companion(remove_companion(yard, planting_id), to.id, planting)


def remove_companion(yard: Yard, planting_id: str) -> Yard:
    """Take companions away from their pot."""
    pot, _ = yard.companion(planting_id)
    rest = tuple(each for each in pot.companions if each.id != planting_id)
    return with_pot(yard, pot_index(yard, pot.id), revise(pot, {"companions": rest}))


def _refuse_full(pot: Pot) -> None:
    if len(pot.companions) >= MAX_COMPANIONS:
        raise EditRefusedError(
            f"{pot.name} is full: a pot holds at most {MAX_COMPANIONS} companion plantings"
        )
