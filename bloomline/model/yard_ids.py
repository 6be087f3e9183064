"""Ids and names that new parts of a yard get."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from typing import Literal

from bloomline.model.yard import Yard


def next_id(yard: Yard, kind: Literal["pot", "layer", "record", "companion"]) -> str:
    """Return the id that a new part of the yard gets: one above the highest in use."""
    return next(fresh_ids(yard, kind))


def fresh_ids(yard: Yard, kind: str) -> Iterator[str]:
    """Ids of a kind that are free, one above the highest in use and on."""
    start = f"{kind}-"
    used = {name for name in ids_in(yard) if name.startswith(start)}
    numbers = (name[len(start) :] for name in used)
    number = max((int(text) for text in numbers if text.isdecimal() and len(text) < 10), default=0)
    while True:
        number += 1
        if (name := f"{start}{number}") not in used:
            yield name


def ids_in(yard: Yard) -> Iterator[str]:
    """Every id of a yard's pots, layers, companions and records."""
    for pot in yard.pots:
        yield pot.id
        for layer in pot.layers:
            yield layer.id
        for planting in pot.companions:
            yield planting.id
    for record in yard.records:
        yield record.id


def free_name(yard: Yard, name: str) -> str:
    """A name for another pot like one: its own with the next number behind it."""
    return free_among({other.name for other in yard.pots}, name)


def free_among(names: Collection[str], name: str) -> str:
    """A name like one that is none of those given: its own with the next number behind it."""
    stem = re.sub(r" \(\d{1,6}\)$", "", name)[:110].rstrip()
    number = 2
    while (numbered := f"{stem} ({number})") in names:
        number += 1
    return numbered
