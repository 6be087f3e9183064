"""Which pots, layers and companions a click or a key in the yard's picture selects."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt

from bloomline.model.yard import Pot
from bloomline.ui.document import Document
from bloomline.ui.yard.scene import UnderPointer

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def name_of(spot: UnderPointer) -> str | None:
    """Id of the smallest thing at a spot."""
    return spot.layer_id or spot.companion_id or spot.pot_id


def parts_of(pot: Pot) -> list[UnderPointer]:
    """What of a pot can be selected, from the top: the pot, companions, layers."""
    on_top = [UnderPointer(pot.id, companion_id=planting.id) for planting in pot.companions]
    layers = [UnderPointer(pot.id, layer.id) for layer in reversed(pot.layers)]
    return [UnderPointer(pot.id), *on_top, *layers]


def order_of(seen: Sequence[Pot], *, pots: bool) -> list[str]:
    """The ids in the order of the picture: of the pots, or of what is planted in them."""
    if pots:
        return [pot.id for pot in seen]
    return [name_of(spot) or "" for pot in seen for spot in parts_of(pot)[1:]]


def pick(
    document: Document, seen: Sequence[Pot], spot: UnderPointer, keys: Qt.KeyboardModifier
) -> None:
    """Select what was clicked: alone, with Ctrl besides the others, with Shift all up to it.

    While pots are selected Ctrl and Shift go on with pots, wherever on one the click falls.
    """
    has_pots = bool(document.selection.pots)
    name = spot.pot_id if has_pots else name_of(spot)
    if not keys & (CTRL | SHIFT):
        select_alone(document, spot)
    elif name is None:
        return  # beside the pots: keep what took pains to select
    elif keys & SHIFT:
        is_pot = name == spot.pot_id
        document.select_up_to(name, order_of(seen, pots=is_pot))
    else:
        document.select_too(name)


def select_alone(document: Document, spot: UnderPointer) -> None:
    """Select what lies at a spot, and nothing else."""
    document.select(pot_id=spot.pot_id, layer_id=spot.layer_id, companion_id=spot.companion_id)


def spot_of(document: Document, name: str | None) -> UnderPointer | None:
    """Where something of the yard is: its pot, and what of it."""
    for pot in document.yard.pots:
        for spot in parts_of(pot):
            if name_of(spot) == name:
                return spot
    return None


def beside(
    pots: Sequence[Pot], spot: UnderPointer | None, along: int, down: int
) -> UnderPointer | None:
    """What lies a step along the row of pots, or up or down within a pot."""
    if not pots:
        return None
    at = next((i for i, pot in enumerate(pots) if spot and pot.id == spot.pot_id), None)
    if spot is None or at is None:
        return UnderPointer(pots[0 if along >= 0 else -1].id)
    if along:
        return UnderPointer(pots[min(max(at + along, 0), len(pots) - 1)].id)
    parts = parts_of(pots[at])
    here = UnderPointer(spot.pot_id, spot.layer_id, spot.companion_id)
    index = parts.index(here) if here in parts else 0
    return parts[min(max(index + down, 0), len(parts) - 1)]
