"""Laying several new layers into pots at once, as one edit."""

from __future__ import annotations

from collections.abc import Iterable

from bloomline.model.edits import add_layer
from bloomline.model.yard import Layer, Yard
from bloomline.model.yard_ids import fresh_ids


def plant_layers(yard: Yard, layers: Iterable[tuple[str, Layer]]) -> Yard:
    """Lay new layers into pots, each where its depth belongs, under ids that are free.

    layers : id of the pot and the layer; its own id doesn't count. Layers that lie there stay as
    they are. Raises UnknownNameError for a pot that isn't there, EditRefusedError for a full one.
    """
    fresh = fresh_ids(yard, "layer")
    for pot_id, layer in layers:
        yard = add_layer(yard, pot_id, layer.model_copy(update={"id": next(fresh)}))
    return yard
