"""What is copied from one yard and laid down in another."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bloomline.errors import EditRefusedError
from bloomline.files.yardfile import load_yard
from bloomline.model import edits
from bloomline.model.parcel import MAX_POTS, Parcel, lay_down, parcel_of, without_records
from bloomline.model.yard import OwnCultivar, Yard
from bloomline.reference.catalogue import load_catalogue


@pytest.fixture
def yard(checkout: Path) -> Yard:
    return load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard


@pytest.fixture
def other(checkout: Path) -> Yard:
    return load_yard(checkout / "demo" / "quince-steps.bloomline").yard


def in_catalogue(cultivar_id: str) -> bool:
    return cultivar_id in load_catalogue()


def own(cultivar_id: str, name: str) -> OwnCultivar:
    """A cultivar of the gardener's own, like one of the catalogue's."""
    like = next(iter(load_catalogue()))
    return OwnCultivar.model_validate({**like.model_dump(), "id": cultivar_id, "name": name})


def with_own(yard: Yard, *cultivars: OwnCultivar) -> Yard:
    return yard.model_copy(update={"own_cultivars": (*yard.own_cultivars, *cultivars)})


def test_pots_get_new_ids_and_names_and_lie_behind_one_another(yard: Yard) -> None:
    chosen = [yard.pots[0].id, yard.pots[1].id]
    parcel = parcel_of(yard, chosen, with_records=False)
    after = lay_down(yard, parcel, index=2, in_catalogue=in_catalogue)
    assert [pot.id for pot in after.pots[:2]] == chosen
    assert [pot.name for pot in after.pots[2:4]] == [f"{pot.name} (2)" for pot in yard.pots[:2]]
    assert after.pots[4:] == yard.pots[2:]
    ids = [layer.id for _, layer in after.layers()]
    assert len(set(ids)) == len(ids)
    assert {layer.state for layer in after.pots[2].layers} == {"planned"}
    assert after.records == yard.records


def test_layers_go_into_each_pot_chosen(yard: Yard, other: Yard) -> None:
    layers = [yard.pots[0].layers[0].id, yard.pots[1].layers[1].id]
    parcel = parcel_of(yard, layers, with_records=False)
    assert [each.id for each in parcel.layers] == layers
    pots = [pot.id for pot in other.pots[:2]]
    after = lay_down(other, parcel, pot_ids=pots, in_catalogue=in_catalogue)
    for pot, was in zip(after.pots[:2], other.pots[:2], strict=True):
        assert len(pot.layers) == len(was.layers) + 2
        depths = [layer.cover_cm for layer in pot.layers]
        assert depths == sorted(depths, reverse=True)


def test_a_cut_brings_its_records_along_once(yard: Yard, other: Yard) -> None:
    name = yard.records[0].layer_id
    pot = yard.layer(name)[0]
    parcel = parcel_of(yard, [pot.id], with_records=True)
    seen = [record for record in yard.records if record.layer_id in {x.id for x in pot.layers}]
    assert len(parcel.records) == len(seen) > 0
    after = lay_down(other, parcel, in_catalogue=in_catalogue)
    new = [each for each in after.records if each not in other.records]
    assert [each.day for each in new] == sorted(each.day for each in seen)
    assert {after.layer(each.layer_id)[0].id for each in new} == {after.pots[-1].id}
    # They were seen in the other garden, and say so.
    assert {each.seen_at.latitude_deg for each in new if each.seen_at} == {yard.place.latitude_deg}
    assert [each.day for each in after.records] == sorted(each.day for each in after.records)
    again = lay_down(after, without_records(parcel), in_catalogue=in_catalogue)
    assert again.records == after.records


def test_own_cultivars_come_along_and_strangers_of_one_name_are_kept_apart(
    yard: Yard, other: Yard
) -> None:
    mine = own("own-red", "Tulipa 'Aunt Ida'")
    yard = with_own(yard, mine)
    yard = edits.change_layer(yard, yard.pots[0].layers[0].id, cultivar_id="own-red")
    parcel = parcel_of(yard, [yard.pots[0].layers[0].id], with_records=False)
    assert parcel.own_cultivars == (mine,)
    to = [other.pots[0].id]

    fresh = lay_down(other, parcel, pot_ids=to, in_catalogue=in_catalogue)
    assert [each.id for each in fresh.own_cultivars][-1:] == ["own-red"]
    twice = lay_down(fresh, parcel, pot_ids=to, in_catalogue=in_catalogue)
    assert twice.own_cultivars == fresh.own_cultivars

    stranger = own("own-red", "Tulipa 'Someone Else'")
    after = lay_down(with_own(other, stranger), parcel, pot_ids=to, in_catalogue=in_catalogue)
    kinds = {each.id: each.name for each in after.own_cultivars}
    assert kinds["own-red"] == stranger.name
    known = {layer.id for _, layer in other.layers()}
    (new,) = [layer for _, layer in after.layers() if layer.id not in known]
    assert kinds[new.cultivar_id] == mine.name and new.cultivar_id != "own-red"
    # The same again shares what has come along already.
    more = lay_down(after, parcel, pot_ids=to, in_catalogue=in_catalogue)
    assert more.own_cultivars == after.own_cultivars


def test_an_own_cultivar_never_takes_the_place_of_one_in_the_catalogue(
    yard: Yard, other: Yard
) -> None:
    shared = yard.pots[0].layers[0].cultivar_id
    yard = with_own(yard, own(shared, "Tulipa 'Mine'"))
    parcel = parcel_of(yard, [yard.pots[0].layers[0].id], with_records=False)
    after = lay_down(other, parcel, pot_ids=[other.pots[0].id], in_catalogue=in_catalogue)
    assert shared not in {each.id for each in after.own_cultivars}
    assert [each.name for each in after.own_cultivars][-1] == "Tulipa 'Mine'"


def test_a_display_place_that_is_not_there_is_left_out(yard: Yard, other: Yard) -> None:
    placed = next(pot for pot in yard.pots if pot.display_place is not None)
    parcel = parcel_of(yard, [placed.id], with_records=False)
    after = lay_down(other, parcel, in_catalogue=in_catalogue)
    places = {place.name for place in other.display_places}
    assert after.pots[-1].display_place in {None, *places}
    same = lay_down(yard, parcel, in_catalogue=in_catalogue)
    assert same.pots[-1].display_place == placed.display_place


def test_limits_are_kept(yard: Yard) -> None:
    many = edits.set_notes(yard, "")
    pot = yard.pots[0].model_copy(update={"layers": (), "companions": ()})
    pots = tuple(pot.model_copy(update={"id": f"many-{n}"}) for n in range(MAX_POTS + 1))
    many = many.model_copy(update={"pots": pots, "records": ()})
    with pytest.raises(EditRefusedError, match="1,000"):
        parcel_of(many, [each.id for each in pots], with_records=False)
    layer = yard.pots[0].layers[0]
    full = yard
    while len(full.pots[0].layers) < 12:
        full = edits.copy_layer(full, layer.id, full.pots[0].id)
    parcel = parcel_of(yard, [layer.id], with_records=False)
    with pytest.raises(EditRefusedError, match="full"):
        lay_down(full, parcel, pot_ids=[full.pots[0].id], in_catalogue=in_catalogue)
    assert Parcel().is_empty and not parcel.is_empty
    assert layer.planted < date(2200, 1, 1)
