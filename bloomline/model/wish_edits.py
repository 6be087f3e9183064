"""Edits of what is wished of a season: pure functions from a yard to a new one."""

from __future__ import annotations

from collections.abc import Sequence

from bloomline.errors import EditRefusedError
from bloomline.model.revising import revise
from bloomline.model.wish import MAX_WISHES, SeasonWish
from bloomline.model.yard import Yard, unknown


def set_wishes(yard: Yard, wishes: Sequence[SeasonWish]) -> Yard:
    """Replace all wishes. Raises EditRefusedError for ids given twice or pots that aren't there."""
    return revise(yard, {"wishes": tuple(wishes)})


def add_wish(yard: Yard, wish: SeasonWish) -> Yard:
    """Add a wish. Raises EditRefusedError for an id that is taken, or one too many."""
    if len(yard.wishes) >= MAX_WISHES:
        raise EditRefusedError(f"the yard holds at most {MAX_WISHES} wishes")
    return set_wishes(yard, [*yard.wishes, wish])


def change_wish(yard: Yard, wish: SeasonWish) -> Yard:
    """Put a wish in place of that with its id. Raises UnknownNameError, EditRefusedError."""
    if all(each.id != wish.id for each in yard.wishes):
        raise unknown("wish", wish.id, [each.id for each in yard.wishes])
    return set_wishes(yard, [wish if each.id == wish.id else each for each in yard.wishes])


def remove_wish(yard: Yard, wish_id: str) -> Yard:
    """Take a wish away. Raises UnknownNameError."""
    left = [wish for wish in yard.wishes if wish.id != wish_id]
    if len(left) == len(yard.wishes):
        raise unknown("wish", wish_id, [wish.id for wish in yard.wishes])
    return set_wishes(yard, left)


def next_wish_id(yard: Yard) -> str:
    """The id that a new wish gets."""
    used = {wish.id for wish in yard.wishes}
    return next(f"wish-{n}" for n in range(1, len(used) + 2) if f"wish-{n}" not in used)
