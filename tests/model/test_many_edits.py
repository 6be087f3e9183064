"""One change to many pots and layers is what many single changes would have made."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from bloomline.errors import EditRefusedError, UnknownNameError
from bloomline.files.yardfile import load_yard
from bloomline.model import edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import add_companion, change_companion, remove_companion
from bloomline.model.many_edits import (
    change_parts,
    change_pots,
    duplicate_all,
    remove_all,
    shift_planted,
)
from bloomline.model.stage import FixedStand
from bloomline.model.yard import Yard

DAY = date(2026, 11, 11)


@pytest.fixture
def yard(checkout: Path) -> Yard:
    """The demo yard with pansies on its first pot."""
    found = load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard
    pansies = CompanionPlanting(id="top-1", companion_id="winter-pansy", count=3, planted=DAY)
    return add_companion(found, found.pots[0].id, pansies)


def some_layers(yard: Yard) -> list[str]:
    return [yard.pots[at].layers[0].id for at in (0, 1, 3)] + [yard.pots[0].layers[2].id]


def test_fields_of_many_pots_change_as_those_of_each(yard: Yard) -> None:
    ids = [pot.id for pot in yard.pots[:3]]
    wanted = yard
    for name in ids:
        wanted = edits.change_pot(wanted, name, shape="oval", site="open")
    assert change_pots(yard, ids, shape="oval", site="open") == wanted
    assert wanted.pots[0].top_length_cm is not None  # the rules of one pot hold for many


def test_fields_of_many_layers_change_as_those_of_each(yard: Yard) -> None:
    ids = some_layers(yard)
    wanted = yard
    for name in ids:
        wanted = edits.change_layer(wanted, name, cover_cm=3.5, count=7)
    wanted = change_companion(wanted, "top-1", count=7)
    together = change_parts(yard, ids, cover_cm=3.5, count=7)
    assert change_parts(together, ["top-1"], count=7) == wanted
    moved = change_parts(yard, [*ids, "top-1"], planted=DAY + timedelta(days=3))
    days = {each.planted for _, each in moved.layers() if each.id in ids}
    assert days == {moved.companion("top-1")[1].planted} == {DAY + timedelta(days=3)}


def test_planting_days_move_together_and_none_beyond_the_last(yard: Yard) -> None:
    ids = some_layers(yard)
    before = {each.id: each.planted for _, each in yard.layers()}
    after = shift_planted(yard, ids, 9)
    for _, layer in after.layers():
        step = 9 if layer.id in ids else 0
        assert layer.planted == before[layer.id] + timedelta(days=step)
    last = max(before[name] for name in ids)
    held = shift_planted(yard, ids, 30, latest=last)
    assert max(held.layer(name)[1].planted for name in ids) == last
    assert held.layer(ids[0])[1].planted >= before[ids[0]]


def test_removing_many_takes_their_records_along_and_no_others(yard: Yard) -> None:
    gone = [yard.pots[0].id, yard.pots[1].layers[0].id]
    stands = [
        FixedStand(pot_id=pot.id, place=yard.display_places[0].name, first=DAY)
        for pot in yard.pots[:2]
    ]
    yard = yard.model_copy(update={"fixed_stands": tuple(stands)})
    wanted = edits.remove_layer(edits.remove_pot(yard, gone[0]), gone[1])
    assert remove_all(yard, gone) == wanted
    assert 0 < len(wanted.records) < len(yard.records)
    assert [each.pot_id for each in wanted.fixed_stands] == [yard.pots[1].id]
    assert remove_all(yard, ["top-1"]) == remove_companion(yard, "top-1")


def test_copies_lie_beside_what_they_are_of(yard: Yard) -> None:
    pot, layer = yard.pots[2].id, yard.pots[1].layers[0].id
    after = duplicate_all(yard, [pot, layer, "top-1"])
    assert len(after.pots) == len(yard.pots) + 1
    assert len(after.pots[1].layers) == len(yard.pots[1].layers) + 1
    assert len(after.pots[0].companions) == 2
    assert after.records == yard.records


def test_one_that_cannot_take_the_change_is_named_and_none_is_changed(yard: Yard) -> None:
    low = min(yard.pots, key=lambda pot: pot.inside_height_cm)
    ids = [pot.id for pot in yard.pots]
    with pytest.raises(EditRefusedError, match=low.name):
        change_pots(yard, ids, crocks_cm=low.inside_height_cm - 2.0)
    with pytest.raises(EditRefusedError):
        change_parts(yard, some_layers(yard), count=0)
    with pytest.raises(UnknownNameError):
        change_pots(yard, [*ids, "pot-999"], site="open")
    with pytest.raises(UnknownNameError):
        remove_all(yard, ["nowhere"])
