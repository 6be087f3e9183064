"""Which kind of a yard a name in a table of records means."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from bloomline.errors import BloomlineError
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Yard
from bloomline.reference.catalogue import Catalogue


def kind_finder(yard: Yard, *, cultivar_of: Callable[[str], Cultivar]) -> Callable[[str], str]:
    """Finds the id of a kind that grows in the yard by any name; it raises UnknownNameError."""

    @cache
    def grown() -> Catalogue:
        known: dict[str, Cultivar] = {}
        for _, layer in yard.layers():
            try:
                known[layer.cultivar_id] = cultivar_of(layer.cultivar_id)
            except BloomlineError:
                continue  # no table knows it: it has no names
        return Catalogue(known.values())

    return lambda text: grown().find(text).id
