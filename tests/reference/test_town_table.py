"""The packed table of towns: a row, a column, and what is damaged."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from bloomline.errors import DataError
from bloomline.reference.town_table import TownTable, town_table, write_table

N = 10_000
WIDE = np.arange(-N // 2, N // 2, dtype="<i4") * 37
NARROW = (np.arange(N) % 251).astype("|u1")
LINES = [f"Ørt {number}|x" if number % 3 else "" for number in range(N)]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "table.bin"
    write_table(path, numbers={"wide": WIDE, "narrow": NARROW}, texts={"names": LINES})
    return path


def test_a_column_is_read_as_it_was_written(file: Path) -> None:
    table = TownTable(file)
    for name, column in (("wide", WIDE), ("narrow", NARROW)):
        assert table.n_rows(name) == N
        assert table.numbers(name).dtype == column.dtype
        assert (table.numbers(name) == column).all()
    assert table.lines("names") == LINES
    assert table.text("names").decode() == "".join(f"{line}\n" for line in LINES)


def test_a_row_costs_a_block(file: Path) -> None:
    table = TownTable(file)
    for row in (0, 17, 4095):
        assert table.number("wide", row) == WIDE[row]
        assert table.line("names", row) == LINES[row]
    assert table.n_unpacked == 2
    for row in (4096, N - 1):
        assert table.number("wide", row) == WIDE[row]
    assert table.n_unpacked == 4


def test_what_is_damaged_is_told_and_not_guessed(file: Path) -> None:
    whole = file.read_bytes()
    file.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(DataError, match="can't be unpacked"):
        TownTable(file).lines("names")
    head, _, blocks = whole.partition(b"\n")
    columns = json.loads(head)
    columns["wide"]["rows"] += 1
    file.write_bytes(json.dumps(columns).encode() + b"\n" + blocks)
    with pytest.raises(DataError, match="rows in block 2"):
        TownTable(file).number("wide", N - 1)


def test_the_towns_that_are_shipped_go_together() -> None:
    table = town_table()
    n = table.n_rows("population")
    for name in ("latitude_mdeg", "longitude_mdeg", "elevation_m", "country", "region", "county"):
        assert len(table.numbers(name)) == n
    for name in ("names", "folded"):
        assert len(table.lines(name)) == n
    for name, listed in (("country", "countries"), ("region", "regions"), ("county", "counties")):
        assert int(table.numbers(name).max()) < len(table.lines(listed))
