"""Changes to benches of equal pots: how many they are, some split off, equal ones joined.

Pure functions from a yard to a new one, as in `bloomline.model.edits`. What is split off or joined
are the same pots as before, so that state, stands by hand, wishes, prices and ticks go with them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from bloomline.errors import EditRefusedError
from bloomline.model.many_edits import change_pots
from bloomline.model.revising import pot_index, revise
from bloomline.model.stage import MAX_FIXED_STANDS
from bloomline.model.yard import (
    MAX_COPIES,
    MAX_DONE_TASKS,
    MAX_POTS,
    DoneTask,
    Pot,
    Yard,
)
from bloomline.model.yard_ids import free_name, fresh_ids, next_id

_OWN = ("id", "name", "copies", "notes", "layers", "companions")


def set_copies(yard: Yard, pot_ids: Iterable[str], copies: int) -> Yard:
    """Let each of these pots stand for so many equal ones. Raises EditRefusedError."""
    return change_pots(yard, pot_ids, copies=copies)


def split_off(yard: Yard, pot_id: str, number: int) -> Yard:
    """Make a row of its own of some pots of a bench, right behind it.

    What was recorded stays with the rest: which pot it was of is only known from its note. Raises
    EditRefusedError unless at least one pot is split off and one stays.
    """
    at = pot_index(yard, pot_id)
    pot = yard.pots[at]
    if not 1 <= number < pot.copies:
        raise EditRefusedError(
            f"{pot.name} stands for {pot.copies:,}: at least one must be split off, and one stay"
        )
    if len(yard.pots) >= MAX_POTS:
        raise EditRefusedError(f"the yard is full: it holds at most {MAX_POTS:,} pots")
    new_id = next_id(yard, "pot")
    layer_ids, companion_ids = fresh_ids(yard, "layer"), fresh_ids(yard, "companion")
    new = {
        pot_id: new_id,
        **{each.id: next(layer_ids) for each in pot.layers},
        **{each.id: next(companion_ids) for each in pot.companions},
    }
    row = revise(
        pot,
        {
            "id": new_id,
            "name": free_name(yard, pot.name),
            "copies": number,
            "layers": tuple(revise(each, {"id": new[each.id]}) for each in pot.layers),
            "companions": tuple(revise(each, {"id": new[each.id]}) for each in pot.companions),
        },
    )
    rest = revise(pot, {"copies": pot.copies - number})
    stands = tuple(
        revise(each, {"pot_id": new_id}) for each in yard.fixed_stands if each.pot_id == pot_id
    )
    if len(yard.fixed_stands) + len(stands) > MAX_FIXED_STANDS:
        raise EditRefusedError(f"a yard has at most {MAX_FIXED_STANDS:,} stands by hand")
    ticks = [ticked for each in yard.done if (ticked := _of_other(each, new)) is not None]
    return revise(
        yard,
        {
            "pots": (*yard.pots[:at], rest, row, *yard.pots[at + 1 :]),
            "fixed_stands": (*yard.fixed_stands, *stands),
            "wishes": tuple(
                revise(wish, {"pot_ids": (*wish.pot_ids, new_id)})
                if pot_id in wish.pot_ids
                else wish
                for wish in yard.wishes
            ),
            "supplies": _priced_alike(yard, pot_id, new_id),
            "done": (*yard.done, *ticks)[:MAX_DONE_TASKS],
        },
    )


def join_pots(yard: Yard, pot_ids: Sequence[str]) -> Yard:
    """Make one row of equal pots, in the place and by the name of the first of them.

    Records of the others go to its layers. Raises EditRefusedError where they are not equal, or
    are too many for one row.
    """
    wanted = set(pot_ids)
    pots = [pot for pot in yard.pots if pot.id in wanted]
    for name in sorted(wanted - {pot.id for pot in pots}):
        yard.pot(name)  # raises, and names what comes near
    if len(pots) < 2:
        raise EditRefusedError("two pots at least are wanted to make one row of them")
    first, *others = pots
    for other in others:
        _refuse_unlike(yard, first, other)
    copies = sum(pot.copies for pot in pots)
    if copies > MAX_COPIES:
        raise EditRefusedError(f"one row stands for at most {MAX_COPIES:,} pots, not {copies:,}")
    gone = {pot.id for pot in others}
    moved = {
        theirs.id: mine.id
        for other in others
        for mine, theirs in zip(first.layers, other.layers, strict=True)
    }
    notes = "\n".join(dict.fromkeys(pot.notes for pot in pots if pot.notes))
    joined = revise(first, {"copies": copies, "notes": notes})
    prices = {key: price for key, price in yard.supplies.pot_prices.items() if key not in gone}
    return revise(
        yard,
        {
            "pots": tuple(
                joined if pot.id == first.id else pot for pot in yard.pots if pot.id not in gone
            ),
            "records": tuple(
                revise(each, {"layer_id": moved[each.layer_id]}) if each.layer_id in moved else each
                for each in yard.records
            ),
            "fixed_stands": tuple(each for each in yard.fixed_stands if each.pot_id not in gone),
            "wishes": tuple(
                revise(
                    wish,
                    {
                        "pot_ids": tuple(
                            dict.fromkeys(first.id if p in gone else p for p in wish.pot_ids)
                        )
                    },
                )
                if gone.intersection(wish.pot_ids)
                else wish
                for wish in yard.wishes
            ),
            "supplies": revise(yard.supplies, {"pot_prices": prices}),
        },
    )


def equal_to(yard: Yard, pot_id: str) -> tuple[str, ...]:
    """Ids of the pots that are equal to one, itself among them, in the order of the yard."""
    pot = yard.pot(pot_id)
    return tuple(
        each.id for each in yard.pots if each.id == pot_id or not _difference(yard, pot, each)
    )


def _of_other(done: DoneTask, new: Mapping[str, str]) -> DoneTask | None:
    """The tick of a task of some parts for those that took after them; None of other tasks."""
    parts = done.task_key.split(":")
    if not new.keys() & set(parts):
        return None
    key = ":".join(new.get(part, part) for part in parts)
    return revise(done, {"task_key": key}) if len(key) <= 200 else None


def _priced_alike(yard: Yard, pot_id: str, new_id: str) -> object:
    prices = yard.supplies.pot_prices
    if pot_id not in prices:
        return yard.supplies
    return revise(yard.supplies, {"pot_prices": {**prices, new_id: prices[pot_id]}})


def _refuse_unlike(yard: Yard, one: Pot, other: Pot) -> None:
    where = _difference(yard, one, other)
    if where:
        raise EditRefusedError(f"{one.name} and {other.name} are not equal: {where} differs")


def _difference(yard: Yard, one: Pot, other: Pot) -> str:
    """The first field in which two pots are unlike; nothing where they are equal."""
    for name in type(one).model_fields:
        if name not in _OWN and getattr(one, name) != getattr(other, name):
            return name
    for name in ("layers", "companions"):
        mine, theirs = (
            [part.model_dump(exclude={"id"}) for part in getattr(pot, name)] for pot in (one, other)
        )
        if mine != theirs:
            return name
    prices = yard.supplies.pot_prices
    if prices.get(one.id) != prices.get(other.id):
        return "price"
    stands = [
        [each.model_dump(exclude={"pot_id"}) for each in yard.fixed_stands if each.pot_id == pot.id]
        for pot in (one, other)
    ]
    return "" if stands[0] == stands[1] else "fixed_stands"
