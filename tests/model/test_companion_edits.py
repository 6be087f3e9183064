"""Companions on top of pots: edits, ids, limits; days on which bulbs leave their pot."""

from __future__ import annotations

from datetime import date

import pytest
from pydantic import ValidationError

from bloomline.errors import EditRefusedError, UnknownNameError
from bloomline.model import companion_edits as on_top
from bloomline.model import edits
from bloomline.model.companion import MAX_COMPANIONS, CompanionPlanting
from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard

PLANTED = date(2026, 11, 1)


def planting(name: str = "companion-1", **fields: object) -> CompanionPlanting:
    start = {"id": name, "companion_id": "winter-pansy", "count": 5, "planted": PLANTED}
    return CompanionPlanting.model_validate({**start, **fields})


@pytest.fixture
def yard() -> Yard:
    size = {"top_width_cm": 30.0, "bottom_width_cm": 22.0, "inside_height_cm": 30.0}
    layer = Layer(id="layer-1", cultivar_id="x", count=9, cover_cm=10.0, planted=PLANTED)
    return Yard(
        name="y",
        place=PlaceChoice(name="p", latitude_deg=50.0, longitude_deg=0.0),
        season_year=2027,
        pots=(
            Pot(id="pot-1", name="one", layers=(layer,), **size),
            Pot(id="pot-2", name="two", **size),
        ),
    )


def test_planted_changed_moved_and_taken_away(yard: Yard) -> None:
    assert edits.next_id(yard, "companion") == "companion-1"
    work = on_top.add_companion(yard, "pot-1", planting())
    assert edits.next_id(work, "companion") == "companion-2"
    work = on_top.change_companion(work, "companion-1", count=7)
    work = on_top.move_companion(work, "companion-1", "pot-2")
    assert [each.count for each in work.pot("pot-2").companions] == [7]
    assert work.pot("pot-1").companions == ()
    assert on_top.move_companion(work, "companion-1", "pot-2") is work
    assert on_top.remove_companion(work, "companion-1") == yard
    with pytest.raises(UnknownNameError, match="companion-9"):
        on_top.remove_companion(work, "companion-9")


def test_ids_are_unique_across_kinds_and_the_file_says_where(yard: Yard) -> None:
    with pytest.raises(EditRefusedError, match="taken already"):
        on_top.add_companion(yard, "pot-1", planting("layer-1"))
    twice = yard.model_dump(mode="json")
    twice["pots"][1]["companions"] = [planting("layer-1").model_dump(mode="json")]
    with pytest.raises(ValidationError, match=r"pots\[1\]\.companions\[0\]\.id"):
        Yard.model_validate(twice)


def test_a_copied_pot_has_companions_of_its_own(yard: Yard) -> None:
    work = edits.duplicate_pot(on_top.add_companion(yard, "pot-1", planting()), "pot-1")
    ids = [each.id for _, each in work.companions()]
    assert ids == ["companion-1", "companion-2"]


def test_a_full_pot_refuses_more(yard: Yard) -> None:
    for number in range(MAX_COMPANIONS):
        yard = on_top.add_companion(yard, "pot-1", planting(f"companion-{number + 1}"))
    with pytest.raises(EditRefusedError, match="one is full"):
        on_top.add_companion(yard, "pot-1", planting("companion-99"))
    with pytest.raises(EditRefusedError, match="one is full"):
        on_top.move_companion(
            on_top.add_companion(yard, "pot-2", planting("companion-99")), "companion-99", "pot-1"
        )


def test_nothing_leaves_before_it_came(yard: Yard) -> None:
    with pytest.raises(ValidationError, match="taken_out must lie after"):
        planting(taken_out=PLANTED)
    with pytest.raises(EditRefusedError, match="lifted_on must lie after"):
        edits.change_layer(yard, "layer-1", lifted_on=PLANTED)
    work = edits.change_layer(yard, "layer-1", lifted_on=date(2027, 5, 20))
    assert work.layer("layer-1")[1].lifted_on == date(2027, 5, 20)
