"""Results to standard output as JSON, CSV or plain tables; messages to standard error."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import Any

from bloomline.files.plain_text import (
    WIDTH,
    advice_lines,
    advice_object,
    cell,
    escaped,
    plain,
    shorten,
    table,
    wrapped,
    write_csv,
)

__all__ = [
    "WIDTH",
    "advice_lines",
    "advice_object",
    "band_object",
    "cell",
    "plain",
    "put",
    "put_csv",
    "put_json",
    "say",
    "shorten",
    "table",
    "wrapped",
    "write_csv",
]


_PIECES = 64  # of JSON that are written at once


def say(message: str) -> None:
    """A message for the person, on standard error."""
    print(plain(f"bloomline: {message}", keep="\n"), file=sys.stderr)


def put(text: str = "") -> None:
    """A line of the result."""
    print(plain(text, keep="\n"))


def put_json(value: Any) -> None:
    """The result as JSON, written as it comes; iterators in it stand for lists."""
    from bloomline.files.json_text import json_pieces

    pieces = json_pieces(value)
    while some := list(islice(pieces, _PIECES)):
        sys.stdout.write(escaped("".join(some)))
    sys.stdout.write("\n")


def put_csv(columns: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> None:
    """The result as CSV (RFC 4180). Absent values are empty cells."""
    write_csv(sys.stdout, columns, rows)


def band_object(band: Any) -> dict[str, str] | None:
    """Three dates for JSON, or null."""
    if band is None:
        return None
    return {
        "p10": band.p10.isoformat(),
        "p50": band.p50.isoformat(),
        "p90": band.p90.isoformat(),
    }
