"""Benches of equal pots: so many of one row, some split off, equal ones joined."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from bloomline.errors import EditRefusedError
from bloomline.files.yardfile import dump_yard, parse_yard
from bloomline.model.bench_edits import equal_to, join_pots, set_copies, split_off
from bloomline.model.companion import CompanionPlanting
from bloomline.model.cultivar import MonthDay
from bloomline.model.edits import duplicate_pot
from bloomline.model.parcel import lay_down, parcel_of
from bloomline.model.stage import DisplayPlace, FixedStand
from bloomline.model.store import Supplies
from bloomline.model.wish import SeasonWish
from bloomline.model.yard import MAX_COPIES, DoneTask, Layer, PlaceChoice, Pot, Record, Yard

DAY = date(2026, 10, 20)


def yard(copies=60):
    pot = Pot(
        id="pot-1",
        name="Bowl",
        copies=copies,
        top_width_cm=30,
        bottom_width_cm=24,
        inside_height_cm=28,
        layers=(
            Layer(
                id="layer-1",
                cultivar_id="tulipa-shirley",
                count=12,
                cover_cm=12,
                planted=DAY,
                state="planted",
            ),
        ),
        companions=(
            CompanionPlanting(id="companion-1", companion_id="winter-pansy", count=4, planted=DAY),
        ),
    )
    return Yard(
        name="Nursery",
        place=PlaceChoice(name="London", latitude_deg=51.5, longitude_deg=-0.5),
        season_year=2027,
        pots=(pot,),
        display_places=(DisplayPlace(name="Step", capacity=100),),
        fixed_stands=(FixedStand(pot_id="pot-1", place="Step", first=date(2027, 4, 1)),),
        records=(Record(id="record-1", day=date(2027, 3, 1), layer_id="layer-1", seen="nose"),),
        wishes=(
            SeasonWish(id="wish-1", first=MonthDay(4, 1), last=MonthDay(4, 30), pot_ids=("pot-1",)),
        ),
        supplies=Supplies(pot_prices={"pot-1": 9.5}),
        done=(DoneTask(task_key="plant:layer-1:2027", day=DAY),),
    )


def test_a_pot_stands_for_itself_unless_told():
    assert yard(copies=1).pots[0].copies == 1
    assert yard().pot_count == 60


@pytest.mark.parametrize("copies", [0, -1, MAX_COPIES + 1, 2.5, "3", True])
def test_a_number_that_makes_no_sense_is_refused(copies):
    with pytest.raises((ValidationError, EditRefusedError)):
        set_copies(yard(), ["pot-1"], copies)


def test_a_file_tells_benches_only():
    single = dump_yard(yard(copies=1))
    assert b"copies" not in single
    assert parse_yard(single, name="one") == yard(copies=1)
    bench = dump_yard(yard())
    assert b'"copies": 60' in bench
    assert parse_yard(bench, name="bench") == yard()


def test_twelve_of_sixty_get_a_row_of_their_own():
    before = yard()
    after = split_off(before, "pot-1", 12)
    rest, row = after.pots
    assert (rest.copies, row.copies) == (48, 12)
    assert rest.layers == before.pots[0].layers
    assert row.name == "Bowl (2)"
    assert row.layers[0].id == "layer-2"
    assert row.layers[0].state == "planted"
    assert row.companions[0].id == "companion-2"
    assert after.pot_count == 60
    assert after.records == before.records
    assert [each.pot_id for each in after.fixed_stands] == ["pot-1", row.id]
    assert after.wishes[0].pot_ids == ("pot-1", row.id)
    assert after.supplies.pot_prices == {"pot-1": 9.5, row.id: 9.5}
    assert after.done[-1].task_key == "plant:layer-2:2027"


@pytest.mark.parametrize("number", [0, 60, 61, -3])
def test_all_or_none_of_a_bench_is_not_split_off(number):
    with pytest.raises(EditRefusedError, match="at least one"):
        split_off(yard(), "pot-1", number)


@given(st.integers(2, 500), st.data())
def test_what_was_split_off_joins_again(copies, data):
    before = yard(copies)
    number = data.draw(st.integers(1, copies - 1))
    apart = split_off(before, "pot-1", number)
    assert equal_to(apart, "pot-1") == ("pot-1", "pot-2")
    again = join_pots(apart, ["pot-2", "pot-1"])
    assert again.pots == before.pots
    assert again.model_copy(update={"done": before.done}) == before


def test_records_of_all_are_kept_where_rows_are_joined():
    apart = split_off(yard(), "pot-1", 12)
    seen = Record(id="record-2", day=date(2027, 3, 4), layer_id="layer-2", seen="nose", note="7th")
    apart = apart.model_copy(update={"records": (*apart.records, seen)})
    again = join_pots(apart, ["pot-1", "pot-2"])
    assert [(each.id, each.layer_id, each.note) for each in again.records] == [
        ("record-1", "layer-1", ""),
        ("record-2", "layer-1", "7th"),
    ]


@pytest.mark.parametrize(
    ("field", "value"), [("top_width_cm", 31.0), ("site", "shed"), ("to_buy", True)]
)
def test_unlike_pots_are_not_joined(field, value):
    apart = split_off(yard(), "pot-1", 12)
    pots = (apart.pots[0], apart.pots[1].model_copy(update={field: value}))
    apart = apart.model_copy(update={"pots": pots})
    with pytest.raises(EditRefusedError, match=field):
        join_pots(apart, ["pot-1", "pot-2"])
    assert equal_to(apart, "pot-1") == ("pot-1",)


def test_no_row_stands_for_more_than_it_may():
    apart = split_off(yard(MAX_COPIES), "pot-1", 1)
    with pytest.raises(EditRefusedError, match="at most"):
        join_pots(set_copies(apart, ["pot-2"], 2), ["pot-1", "pot-2"])


def test_a_copy_of_a_bench_is_a_bench():
    assert [pot.copies for pot in duplicate_pot(yard(), "pot-1").pots] == [60, 60]
    parcel = parcel_of(yard(), ["pot-1"], with_records=False)
    laid = lay_down(yard(), parcel, in_catalogue=lambda _: True)
    assert [pot.copies for pot in laid.pots] == [60, 60]
