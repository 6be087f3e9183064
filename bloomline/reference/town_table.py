"""The table of towns, unpacked only as far as a question needs it.

Columns lie one behind the other in shared/places/towns.bin, each in blocks of `_ROWS` rows that are
compressed alone, so that what one town is like costs a block of each column, not the whole of it.
The first line (JSON) names the columns, their kind and how long their blocks are.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import accumulate
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from bloomline.data import data_root
from bloomline.errors import DataError

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable
    from pathlib import Path

_ROWS = 4096
_TEXT = "text"


class TownTable:
    """Columns of numbers (one a row) and of text (one line a row); what was unpacked is kept."""

    def __init__(self, file: Traversable | Path) -> None:
        self._file = file
        with file.open("rb") as handle:
            head = handle.readline()
        self._columns: dict[str, dict[str, Any]] = json.loads(head)
        self._begins: dict[str, list[int]] = {}
        at = len(head)
        for name, column in self._columns.items():
            self._begins[name] = list(accumulate(column["sizes"], initial=at))
            at = self._begins[name][-1]
        self._numbers: dict[str, NDArray[Any]] = {}
        self._texts: dict[str, bytes] = {}
        self._some_numbers: dict[tuple[str, int], NDArray[Any]] = {}
        self._some_lines: dict[tuple[str, int], list[bytes]] = {}
        self.n_unpacked = 0
        """How many blocks were unpacked so far."""

    def n_rows(self, name: str) -> int:
        """How many rows a column has."""
        n: int = self._columns[name]["rows"]
        return n

    def numbers(self, name: str) -> NDArray[Any]:
        """A whole column of numbers, shape (n_rows,)."""
        if name not in self._numbers:
            parts = [self._as_numbers(name, *each) for each in self._blocks(name)]
            self._numbers[name] = np.concatenate(parts)
        return self._numbers[name]

    def number(self, name: str, row: int) -> int:
        """The number of one row."""
        if name in self._numbers:
            return int(self._numbers[name][row])
        at, inside = divmod(row, _ROWS)
        if (name, at) not in self._some_numbers:
            ((_, block),) = self._blocks(name, at)
            self._some_numbers[name, at] = self._as_numbers(name, at, block)
        return int(self._some_numbers[name, at][inside])

    def text(self, name: str) -> bytes:
        """A whole column of text, each row ending in a line break."""
        if name not in self._texts:
            self._texts[name] = b"".join(block for _, block in self._blocks(name))
        return self._texts[name]

    def lines(self, name: str) -> list[str]:
        """All rows of a column of text."""
        return self.text(name).decode("utf-8").split("\n")[:-1]

    def line(self, name: str, row: int) -> str:
        """The text of one row."""
        at, inside = divmod(row, _ROWS)
        if (name, at) not in self._some_lines:
            ((_, block),) = self._blocks(name, at)
            lines = block.split(b"\n")[:-1]
            self._check(name, at, len(lines))
            self._some_lines[name, at] = lines
        return self._some_lines[name, at][inside].decode("utf-8")

    def _as_numbers(self, name: str, at: int, block: bytes) -> NDArray[Any]:
        # The bytes of one place stand together: those of the highest hardly differ.
        kind = np.dtype(self._columns[name]["kind"])
        planes = np.frombuffer(block, dtype=np.uint8).reshape(kind.itemsize, -1)
        self._check(name, at, planes.shape[1])
        numbers: NDArray[Any] = np.ascontiguousarray(planes.T).view(kind)[:, 0]
        return numbers

    def _blocks(self, name: str, only: int | None = None) -> Iterator[tuple[int, bytes]]:
        """The blocks of a column, unpacked, or one of them, each with its number."""
        begins = self._begins[name]
        first, last = (0, len(begins) - 1) if only is None else (only, only + 1)
        with self._file.open("rb") as handle:
            handle.seek(begins[first])
            for at in range(first, last):
                packed = handle.read(begins[at + 1] - begins[at])
                try:
                    block = zlib.decompress(packed)
                except zlib.error as error:
                    problem = f"{name}: block {at} can't be unpacked"
                    raise DataError(_shown(self._file), [problem]) from error
                self.n_unpacked += 1
                yield at, block

    def _check(self, name: str, at: int, n: int) -> None:
        wanted = min(_ROWS, self.n_rows(name) - at * _ROWS)
        if n != wanted:
            problem = f"{name}: {n} rows in block {at}, {wanted} are wanted"
            raise DataError(_shown(self._file), [problem])


def write_table(
    path: Path, *, numbers: Mapping[str, NDArray[Any]], texts: Mapping[str, Sequence[str]]
) -> None:
    """Write a table that `TownTable` reads."""
    columns: dict[str, dict[str, Any]] = {}
    packed: list[bytes] = []

    def add(name: str, kind: str, rows: int, raw: Iterable[bytes]) -> None:
        done = [zlib.compress(each, 9) for each in raw]
        columns[name] = {"kind": kind, "rows": rows, "sizes": [len(each) for each in done]}
        packed.extend(done)

    for name, column in numbers.items():
        cut = (column[at : at + _ROWS] for at in range(0, len(column), _ROWS))
        planes = (each.view(np.uint8).reshape(len(each), -1).T.tobytes() for each in cut)
        add(name, column.dtype.str, len(column), planes)
    for name, lines in texts.items():
        some = (lines[at : at + _ROWS] for at in range(0, len(lines), _ROWS))
        add(
            name,
            _TEXT,
            len(lines),
            ("".join(f"{line}\n" for line in each).encode() for each in some),
        )
    head = json.dumps(columns, separators=(",", ":")).encode("ascii")
    path.write_bytes(b"\n".join([head, b"".join(packed)]))


def _shown(file: Traversable | Path) -> str:
    return f"shared/places/{file.name}"


@lru_cache(maxsize=1)
def town_table() -> TownTable:
    """The table of shared/places; opened once a process."""
    return TownTable(data_root("shared").joinpath("places", "towns.bin"))
