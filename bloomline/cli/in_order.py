"""Texts that come in any order, written in the order of their numbers."""

from __future__ import annotations

import tempfile
from collections.abc import Callable

_KEPT_BACK = 1 << 20


class InOrder:
    """Writes a text as soon as all before it are written; what has to wait lies in a file.

    So memory does not grow with the answers to a table, whatever order its gardens stand in.
    """

    def __init__(self, write: Callable[[str], object]) -> None:
        self._write = write
        self._next = 0
        self._waiting: dict[int, tuple[int, int]] = {}
        # The last of what waits is kept back, so that the system is called for many at once.
        self._last: list[bytes] = []
        self._last_from = self._end = 0
        self._file = tempfile.TemporaryFile(buffering=0)  # noqa: SIM115 (closed by `close`)

    def put(self, number: int, text: str) -> None:
        """The text of a number, from 0 on; each number comes once. Raises OSError."""
        if number != self._next:
            data = text.encode("utf-8", "surrogatepass")
            self._waiting[number] = (self._end, len(data))
            self._last.append(data)
            self._end += len(data)
            if self._end - self._last_from > _KEPT_BACK:
                self._set_down()
            return
        self._write(text)
        self._next += 1
        if self._next in self._waiting:
            self._set_down()
        while (place := self._waiting.pop(self._next, None)) is not None:
            self._write(self._read(*place).decode("utf-8", "surrogatepass"))
            self._next += 1

    def _set_down(self) -> None:
        """Write what was kept back to the end of the file."""
        data = memoryview(b"".join(self._last))
        self._last.clear()
        self._file.seek(self._last_from)
        self._last_from = self._end
        while data:
            data = data[self._file.write(data) :]

    def _read(self, begin: int, length: int) -> bytes:
        self._file.seek(begin)
        data = self._file.read(length)
        while len(data) < length and (more := self._file.read(length - len(data))):
            data += more
        return data

    def close(self) -> None:
        """Drop what waits for a text that never came."""
        self._file.close()
