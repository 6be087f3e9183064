"""What is made of values of which a table has few, and each often."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any


class Known(dict[Any, Any]):
    """What is made of values, once of each; equal ones have one answer."""

    def __init__(self, make: Callable[[Any], Any]) -> None:
        """Know nothing yet. make : what is made of a value."""
        super().__init__()
        self._make = make

    def __missing__(self, value: Any) -> Any:
        made = self[value] = self._make(value)
        return made

    def each(self, values: Iterable[Any]) -> list[Any]:
        """What is made of each of many."""
        return list(map(self.__getitem__, values))
