"""Texts that come in any order, written in the order of their numbers."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable


class InOrder:
    """Writes a text as soon as all before it are written; what has to wait lies in a file.

    So memory does not grow with the answers to a table, whatever order its gardens stand in.
    """

    def __init__(self, write: Callable[[str], object]) -> None:
        self._write = write
        self._next = 0
        self._waiting: dict[int, tuple[int, int]] = {}
        self._file = tempfile.TemporaryFile()  # noqa: SIM115 (closed by `close`)

    def put(self, number: int, text: str) -> None:
        """The text of a number, from 0 on; each number comes once. Raises OSError."""
        if number != self._next:
            data = text.encode("utf-8", "surrogatepass")
            self._waiting[number] = (self._file.seek(0, os.SEEK_END), len(data))
            self._file.write(data)
            return
        self._write(text)
        self._next += 1
        while (place := self._waiting.pop(self._next, None)) is not None:
            self._file.seek(place[0])
            self._write(self._file.read(place[1]).decode("utf-8", "surrogatepass"))
            self._next += 1

    def close(self) -> None:
        """Drop what waits for a text that never came."""
        self._file.close()
