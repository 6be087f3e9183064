"""Changes to what a yard keeps about its tasks, and to many layers and pots at once.

Pure functions from a yard to a new one, as in `bloomline.model.edits`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import TypeVar

from pydantic import ValidationError

from bloomline.errors import EditRefusedError
from bloomline.model.parts import Part
from bloomline.model.problems import describe
from bloomline.model.revising import revise
from bloomline.model.yard import (
    MAX_DONE_TASKS,
    MAX_SEEN_TASKS,
    DoneTask,
    SeenTask,
    Yard,
    unknown,
)

_Part = TypeVar("_Part", bound=Part)


def tick_task(yard: Yard, task_key: str, day: date, *, note: str = "") -> Yard:
    """Note that a task was done on a day; the same day again replaces the note."""
    rest = [each for each in yard.done if (each.task_key, each.day) != (task_key, day)]
    if len(rest) >= MAX_DONE_TASKS:
        raise EditRefusedError(f"the yard keeps at most {MAX_DONE_TASKS:,} ticks")
    new = {"task_key": task_key, "day": day, "note": note}
    done = sorted([*rest, _checked(DoneTask, new)], key=lambda each: (each.day, each.task_key))
    return revise(yard, {"done": tuple(done)}, links=False)


def tick_tasks(yard: Yard, task_keys: Iterable[str], day: date, *, note: str = "") -> Yard:
    """Note that all parts of a task were done on a day; see `tick_task`."""
    for key in task_keys:
        yard = tick_task(yard, key, day, note=note)
    return yard


def untick_tasks(yard: Yard, task_keys: Iterable[str], day: date | None = None) -> Yard:
    """Take back the ticks of all parts of a task that have one. Raises UnknownNameError."""
    keys = list(task_keys)
    ticked = {(each.task_key, each.day) for each in yard.done}
    mine = [key for key in keys if any(k == key and day in (None, d) for k, d in ticked)]
    for key in mine or keys[:1]:
        yard = untick_task(yard, key, day)
    return yard


def switch_task_kind(yard: Yard, kind: str, *, on: bool) -> Yard:
    """Let the work list show a kind of task, or leave it out."""
    off = [each for each in yard.settings.tasks_off if each != kind]
    settings = revise(yard.settings, {"tasks_off": tuple(off if on else [*off, kind])})
    return revise(yard, {"settings": settings}, links=False)


def untick_task(yard: Yard, task_key: str, day: date | None = None) -> Yard:
    """Take back the ticks of a task, or the one of a day. Raises UnknownNameError."""
    kept = tuple(
        each
        for each in yard.done
        if each.task_key != task_key or (day is not None and each.day != day)
    )
    if len(kept) == len(yard.done):
        raise unknown("done task", task_key, [each.task_key for each in yard.done])
    return revise(yard, {"done": kept}, links=False)


def remember_tasks(
    yard: Yard,
    seen: Mapping[str, tuple[date, str]],
    *,
    calendar_id: str | None = None,
    sequences: Mapping[str, int] | None = None,
) -> Yard:
    """Keep the best day of each task and what it rests on, for "moved since last time".

    A task whose day moved counts one up; what `sequences` says was written to a calendar is the
    least. Tasks of the seasons in `seen` that aren't among it are kept as they were, since they
    may come back (a kind switched off, a pot that joins another's task); those of other seasons
    are forgotten. A calendar id is taken once and then kept.
    """
    if len(seen) > MAX_SEEN_TASKS:
        raise EditRefusedError(f"the yard remembers at most {MAX_SEEN_TASKS:,} tasks")
    before = {each.task_key: each for each in yard.seen_tasks}
    kept = []
    for key, (best, basis) in sorted(seen.items()):
        old = before.get(key)
        moved = old is not None and old.best != best
        sequence = (old.sequence if old else 0) + (1 if moved else 0)
        sequence = max(sequence, (sequences or {}).get(key, 0))
        fields = {"task_key": key, "best": best, "basis": basis, "sequence": sequence}
        kept.append(_checked(SeenTask, fields))
    seasons = {key.rpartition(":")[2] for key in seen}
    away = [
        each.model_copy(
            update={"sequence": max(each.sequence, (sequences or {}).get(each.task_key, 0))}
        )
        for key, each in sorted(before.items())
        if key not in seen and key.rpartition(":")[2] in seasons
    ]
    kept += away[: MAX_SEEN_TASKS - len(kept)]
    changes: dict[str, object] = {"seen_tasks": tuple(kept)}
    if yard.calendar_id is None and calendar_id is not None:
        changes["calendar_id"] = calendar_id
    return revise(yard, changes, links=False)


def change_many(
    yard: Yard,
    *,
    layers: Mapping[str, Mapping[str, object]],
    pots: Mapping[str, Mapping[str, object]] | None = None,
    season_year: int | None = None,
) -> Yard:
    """Change fields of many layers and pots in one step, all but ids and depths.

    Raises UnknownNameError for an id that isn't there.
    """
    _refuse(layers.values(), "id", "cover_cm")
    _refuse((pots or {}).values(), "id", "layers", "display_place")
    todo, pots_todo = dict(layers), dict(pots or {})
    changed = []
    for pot in yard.pots:
        fields: dict[str, object] = dict(pots_todo.pop(pot.id, {}))
        mine = [layer.id for layer in pot.layers if layer.id in todo]
        if mine:
            fields["layers"] = tuple(
                revise(layer, dict(todo.pop(layer.id))) if layer.id in mine else layer
                for layer in pot.layers
            )
        changed.append(revise(pot, fields) if fields else pot)
    for name in todo:
        yard.layer(name)  # raises, and names what comes near
    for name in pots_todo:
        yard.pot(name)
    whole: dict[str, object] = {"pots": tuple(changed)}
    if season_year is not None:
        whole["season_year"] = season_year
    return revise(yard, whole, links=False)


def _refuse(all_fields: Iterable[Mapping[str, object]], *names: str) -> None:
    for fields in all_fields:
        for name in names:
            if name in fields:
                raise EditRefusedError(f"the {name} of a part can't be changed this way")


def _checked(kind: type[_Part], fields: dict[str, object]) -> _Part:
    try:
        return kind.model_validate(fields)
    except ValidationError as error:
        raise EditRefusedError("; ".join(describe(error)[:5])) from None
