"""Changes to the places where pots stand, and to who stands where by hand.

Pure functions from a yard to a new one, as in `bloomline.model.edits`.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import TypeVar

from pydantic import ValidationError

from bloomline.errors import EditRefusedError
from bloomline.model.parts import Part
from bloomline.model.problems import describe
from bloomline.model.revising import refuse_fields, revise
from bloomline.model.stage import (
    MAX_DISPLAY_PLACES,
    MAX_FIXED_STANDS,
    DisplayPlace,
    FixedStand,
    ShelterSite,
    place_key,
)
from bloomline.model.yard import SHELTERED_SITES, DoneTask, Pot, SeenTask, Yard
from bloomline.words import quoted

_Part = TypeVar("_Part", bound=Part)


def add_place(yard: Yard, name: str, /, **fields: object) -> Yard:
    """Make a place; fields as `DisplayPlace` has them. A name stands once in a yard."""
    if len(yard.display_places) >= MAX_DISPLAY_PLACES:
        raise EditRefusedError(f"a yard has at most {MAX_DISPLAY_PLACES} display places")
    made = _checked(DisplayPlace, {"name": name, **fields})
    _refuse_taken(yard, made.name)
    return revise(yard, {"display_places": (*yard.display_places, made)})


def change_stage_place(yard: Yard, name: str, /, **fields: object) -> Yard:
    """Change fields of a place, all but its name. Raises UnknownNameError."""
    refuse_fields(fields, "name")
    at = _index(yard, name)
    places = list(yard.display_places)
    places[at] = revise(places[at], fields)
    return revise(yard, {"display_places": tuple(places)}, links=False)


def rename_place(yard: Yard, name: str, new_name: str) -> Yard:
    """Give a place another name; pots, stands by hand, ticks and memory of moves follow."""
    at = _index(yard, name)
    places = list(yard.display_places)
    places[at] = revise(places[at], {"name": new_name})
    new_name = places[at].name
    if new_name == name:
        return yard
    _refuse_taken(yard, new_name)
    pots = tuple(
        revise(pot, {"display_place": new_name}) if pot.display_place == name else pot
        for pot in yard.pots
    )
    stands = tuple(
        revise(stand, {"place": new_name}) if stand.place == name else stand
        for stand in yard.fixed_stands
    )
    old, new = (f":{place_key(each)}:" for each in (name, new_name))

    def follows(task: DoneTask | SeenTask) -> dict[str, object]:
        return {"task_key": task.task_key.replace(old, new)}

    done = tuple(
        revise(tick, follows(tick)) if old in tick.task_key else tick for tick in yard.done
    )
    seen = tuple(
        revise(each, follows(each)) if old in each.task_key else each for each in yard.seen_tasks
    )
    changes = {"display_places": tuple(places), "pots": pots, "fixed_stands": stands}
    return revise(yard, {**changes, "done": done, "seen_tasks": seen})


def remove_place(yard: Yard, name: str) -> Yard:
    """Take a place away; pots shown there have none, and its stands by hand go with it."""
    at = _index(yard, name)
    pots = tuple(
        revise(pot, {"display_place": None}) if pot.display_place == name else pot
        for pot in yard.pots
    )
    stands = tuple(stand for stand in yard.fixed_stands if stand.place != name)
    places = yard.display_places[:at] + yard.display_places[at + 1 :]
    return revise(yard, {"display_places": places, "pots": pots, "fixed_stands": stands})


def fix_stand(
    yard: Yard, pot_id: str, place: str | None, first: date, last: date | None = None
) -> Yard:
    """Let a pot stand at a place by hand; None is its own spot.

    What was fixed for the pot on these days gives way, in part where only a part is meant. A
    winter shelter is written into the pot as well (`under_cover`), from the Saturday before to
    the one after: where it says that it stands is what its season is worked out for.
    Raises UnknownNameError.
    """
    pot = yard.pot(pot_id)
    cover = None if place is None else yard.display_place(place).cover
    new = _checked(FixedStand, {"pot_id": pot_id, "place": place, "first": first, "last": last})
    stands = [*free_days(yard.fixed_stands, pot_id, first, last), new]
    if len(stands) > MAX_FIXED_STANDS:
        raise EditRefusedError(f"a yard keeps at most {MAX_FIXED_STANDS:,} stands fixed by hand")
    ordered = sorted(stands, key=lambda each: (each.first, each.pot_id))
    changed = revise(yard, {"fixed_stands": tuple(ordered)})
    if cover is None:
        return changed
    until = None if last is None else _saturday_before(last) + timedelta(days=7)
    return winter_pots(changed, {pot_id: under_cover(pot, cover, _saturday_before(first), until)})


def under_cover(pot: Pot, cover: ShelterSite, first: date, until: date | None) -> dict[str, object]:
    """What of a pot changes where it stands under some cover from one day to before another.

    Days that meet those on which it is there already are put together with them; one that
    stands under cover at other days, or under another, is left as it is: nothing then changes.
    """
    if pot.site not in SHELTERED_SITES:
        return {"site": cover, "sheltered_from": first, "sheltered_until": until}
    began, goes = pot.sheltered_from, pot.sheltered_until
    apart = (goes is not None and goes < first) or (
        began is not None and until is not None and until < began
    )
    if pot.site != cover or apart:
        return {}
    return {
        "sheltered_from": None if began is None else min(began, first),
        "sheltered_until": None if goes is None or until is None else max(goes, until),
    }


def winter_pots(yard: Yard, changes: Mapping[str, Mapping[str, object]]) -> Yard:
    """Write into pots, by their ids, under what cover they stand and when (`under_cover`)."""
    pots = tuple(
        revise(pot, dict(changes[pot.id])) if changes.get(pot.id) else pot for pot in yard.pots
    )
    return yard if pots == yard.pots else revise(yard, {"pots": pots}, links=False)


def _saturday_before(day: date) -> date:
    """The Saturday before the week of a day, on which pots are carried for it."""
    return day - timedelta(days=day.weekday() + 2)


def free_stand(
    yard: Yard, pot_id: str, first: date | None = None, last: date | None = None
) -> Yard:
    """Leave a pot to the rota again: on some days, or on all. Raises UnknownNameError."""
    yard.pot(pot_id)
    kept = free_days(yard.fixed_stands, pot_id, first or date.min, last)
    if len(kept) == len(yard.fixed_stands) and set(kept) == set(yard.fixed_stands):
        raise EditRefusedError("nothing is fixed by hand for this pot on these days")
    return revise(yard, {"fixed_stands": tuple(kept)}, links=False)


def free_days(
    stands: tuple[FixedStand, ...], pot_id: str, first: date, last: date | None
) -> list[FixedStand]:
    """The stands without those of a pot on some days; one that goes on before or after stays."""
    kept = []
    for stand in stands:
        apart = (last is not None and stand.first > last) or (
            stand.last is not None and stand.last < first
        )
        if stand.pot_id != pot_id or apart:
            kept.append(stand)
            continue
        if stand.first < first:
            kept.append(revise(stand, {"last": first - timedelta(days=1)}))
        if last is not None and (stand.last is None or stand.last > last):
            kept.append(revise(stand, {"first": last + timedelta(days=1)}))
    return kept


def _index(yard: Yard, name: str) -> int:
    return yard.display_places.index(yard.display_place(name))


def _refuse_taken(yard: Yard, name: str) -> None:
    if any(place.name == name for place in yard.display_places):
        raise EditRefusedError(f"there is a display place called {quoted(name)} already")


def _checked(kind: type[_Part], fields: dict[str, object]) -> _Part:
    try:
        return kind.model_validate(fields)
    except ValidationError as error:
        raise EditRefusedError("; ".join(describe(error)[:5])) from None
