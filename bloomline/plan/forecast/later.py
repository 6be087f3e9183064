"""Answers that are worked out when they are first asked for, and look like any other.

A yard of thousands of layers has an answer for each, and a view shows a few dozen of them. What
is worked out rests on values that never change, so when that is makes no difference; two threads
that ask at once may both work it out, to the same answer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields
from typing import Any, Generic, TypeVar, cast, overload

Item = TypeVar("Item")
Kind = TypeVar("Kind")
WorkOut = Callable[[str], Mapping[str, object]]
"""Told the name of a field, gives its value by its name, with others that come of the same work."""


class _Later:
    """A field that isn't there yet. What an instance holds itself comes before it."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __get__(self, made: Any, _owner: object = None) -> Any:
        if made is None:
            return self
        held = made.__dict__
        held.update(held["_work_out"](self._name))
        return held[self._name]


def later(kind: type[Kind]) -> Callable[[WorkOut, Mapping[str, object]], Kind]:
    """What makes a frozen dataclass (without slots) of some fields and a way to the others."""
    names = {each.name: _Later(each.name) for each in fields(cast(Any, kind))}
    lazy = type(f"Later{kind.__name__}", (kind,), {"__module__": kind.__module__, **names})

    def make(work_out: WorkOut, known: Mapping[str, object]) -> Kind:
        made: Any = object.__new__(lazy)
        held = made.__dict__
        held.update(known)
        held["_work_out"] = work_out
        return cast(Kind, made)

    return make


class LaterItems(Sequence[Item], Generic[Item]):
    """A sequence of known length whose items are worked out one by one and kept."""

    def __init__(self, count: int, work_out: Callable[[int], Item]) -> None:
        self._items: list[Item | None] = [None] * count
        self._work_out = work_out

    def __len__(self) -> int:
        return len(self._items)

    @overload
    def __getitem__(self, index: int) -> Item: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Item]: ...
    def __getitem__(self, index: int | slice) -> Item | Sequence[Item]:
        if isinstance(index, slice):
            return [self[each] for each in range(*index.indices(len(self)))]
        item = self._items[index]
        if item is None:
            item = self._items[index] = self._work_out(index % len(self._items))
        return item
