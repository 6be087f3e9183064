"""Pasting: what fits, what is not known here, and what a copy says as text."""

from __future__ import annotations

from pathlib import Path

import pytest

from bloomline.errors import BloomlineError
from bloomline.files.yardfile import load_yard
from bloomline.model import edits
from bloomline.model.parcel import Parcel, parcel_of
from bloomline.model.yard import Yard
from bloomline.plan.carry.parcels import parcel_name, parcel_text, pasted
from bloomline.plan.words.units import Units
from bloomline.reference.catalogue import load_catalogue


@pytest.fixture
def yard(checkout: Path) -> Yard:
    return load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard


def paste(yard: Yard, parcel: Parcel, *pot_ids: str) -> Yard:
    catalogue = load_catalogue()
    return pasted(
        parcel,
        index=None,
        pot_ids=pot_ids,
        cultivar_of=catalogue.get,
        in_catalogue=catalogue.__contains__,
    )(yard)


def test_a_layer_goes_as_deep_as_it_lay_or_as_a_shallow_pot_allows(yard: Yard) -> None:
    layer = yard.pots[0].layers[0]
    parcel = parcel_of(yard, [layer.id], with_records=False)
    pot = yard.pots[1]
    height = load_catalogue().get(layer.cultivar_id).bulb_height_cm
    shallow = edits.change_pot(yard, pot.id, inside_height_cm=14.0, crocks_cm=1.0)
    assert shallow.pots[1].compost_depth_cm < layer.cover_cm + height
    for before in (yard, shallow):
        known = {each.id for _, each in before.layers()}
        after = paste(before, parcel, pot.id)
        (new,) = [each for each in after.pots[1].layers if each.id not in known]
        room = before.pots[1].compost_depth_cm - height
        assert new.cover_cm == pytest.approx(min(layer.cover_cm, room))
        assert new.count == layer.count


def test_bulbs_taller_than_the_compost_and_strangers_are_refused(yard: Yard) -> None:
    layer = yard.pots[0].layers[0]
    parcel = parcel_of(yard, [layer.id], with_records=False)
    with pytest.raises(BloomlineError, match="Select the pot"):
        paste(yard, parcel)
    flat = edits.change_pot(yard, yard.pots[1].id, inside_height_cm=6.0, crocks_cm=0.0)
    with pytest.raises(BloomlineError, match=yard.pots[1].name):
        paste(flat, parcel, yard.pots[1].id)
    unknown = parcel.model_copy(
        update={"layers": (layer.model_copy(update={"cultivar_id": "no-such-bulb"}),)}
    )
    with pytest.raises(BloomlineError, match=r"not known here.*no-such-bulb"):
        paste(yard, unknown, yard.pots[1].id)


def test_a_copy_reads_as_text_in_the_units_of_the_yard(yard: Yard) -> None:
    pot, catalogue = yard.pots[0], load_catalogue()
    parcel = parcel_of(yard, [pot.id], with_records=False)
    assert parcel_name(parcel) == "1 pot"
    text = parcel_text(parcel, cultivar_of=catalogue.get, units=Units())
    assert text.startswith(f"{pot.name}: ")
    lines = text.splitlines()
    assert len(lines) == 1 + len(pot.layers)
    top = pot.layers[-1]
    assert lines[1].strip().startswith(f"{top.count} × {catalogue.get(top.cultivar_id).name}, ")
    assert " cm deep, planted " in lines[1]
    inches = parcel_text(parcel, cultivar_of=catalogue.get, units=Units(imperial=True))
    assert f"{top.cover_cm / 2.54:.1f}".removesuffix(".0") + " in deep" in inches
