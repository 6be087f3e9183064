"""Selecting what a view still shows and the yard has no more."""

from __future__ import annotations

from bloomline.model import edits
from bloomline.ui.document import Document


def test_a_pot_that_is_gone_is_no_selection(document: Document) -> None:
    pot = document.yard.pots[0]
    document.edit("Remove", lambda yard: edits.remove_pot(yard, pot.id))
    document.select(pot_id=pot.id)
    assert document.selected_pot() is None
    document.select(pot_id=pot.id, layer_id=pot.layers[0].id)
    assert document.selected_pot() is None and document.selected_layer() is None


def test_of_a_layer_that_is_gone_its_pot_is_selected(document: Document) -> None:
    pot = next(each for each in document.yard.pots if len(each.layers) > 1)
    layer = pot.layers[0]
    document.edit("Remove", lambda yard: edits.remove_layer(yard, layer.id))
    document.select(pot_id=pot.id, layer_id=layer.id)
    selected = document.selected_pot()
    assert selected is not None and selected.id == pot.id
    assert document.selection.pots == (pot.id,)
