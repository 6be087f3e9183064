"""Answers kept by their question, for several threads: each is worked out once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import RLock
from typing import Generic, TypeVar

Answer = TypeVar("Answer")


class _Slot(Generic[Answer]):
    """One answer; who asks while it is being worked out waits for it, and for no other."""

    def __init__(self) -> None:
        self.lock = RLock()
        self.answer: Answer | None = None
        self.is_there = False


class Keep(Generic[Answer]):
    """The answers to the questions asked last.

    A question that raises is asked again. Who works one answer out may ask for others.
    """

    def __init__(self, most: int) -> None:
        """Keep so many answers."""
        self._most = most
        self._slots: OrderedDict[Hashable, _Slot[Answer]] = OrderedDict()
        self._lock = RLock()

    def get(self, question: Hashable, work_out: Callable[[], Answer]) -> Answer:
        """The answer to a question, worked out when it isn't known."""
        with self._lock:
            slot = self._slots.setdefault(question, _Slot())
            self._slots.move_to_end(question)
            if len(self._slots) > self._most:
                self._slots.popitem(last=False)
        if not slot.is_there:
            with slot.lock:
                if not slot.is_there:
                    slot.answer = work_out()
                    slot.is_there = True
        return slot.answer  # type: ignore[return-value]

    def known(self, question: Hashable) -> Answer | None:
        """The answer if it is there; nothing is worked out or waited for."""
        with self._lock:
            slot = self._slots.get(question)
        return slot.answer if slot is not None and slot.is_there else None

    def questions(self) -> list[Hashable]:
        """What is answered, the question asked last first."""
        with self._lock:
            return [each for each, slot in reversed(self._slots.items()) if slot.is_there]

    def forget(self) -> None:
        """Drop all answers."""
        with self._lock:
            self._slots.clear()
