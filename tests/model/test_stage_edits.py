"""Places are made, renamed and removed, and what points at them follows."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from bloomline.errors import EditRefusedError, UnknownNameError
from bloomline.files.yardfile import dump_yard, load_yard, parse_yard
from bloomline.model.edits import remove_pot
from bloomline.model.schema import yard_schema
from bloomline.model.stage import WantedWeeks, place_key
from bloomline.model.stage_edits import (
    add_place,
    change_stage_place,
    fix_stand,
    free_stand,
    remove_place,
    rename_place,
)
from bloomline.model.task_edits import remember_tasks, tick_task

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"
FIRST, LAST = date(2027, 4, 10), date(2027, 5, 2)


@pytest.fixture
def yard():
    return load_yard(DEMO).yard


def names(yard):
    return [place.name for place in yard.display_places]


def test_a_place_is_made_with_what_it_is_like_and_survives_the_file(yard):
    made = add_place(
        yard,
        "Terrace",
        kind="display",
        capacity=4,
        width_cm=220.0,
        sun="sun",
        seen_from="bench",
        view_weight=2.0,
        wanted=({"first": "05-01", "last": "05-31", "weight": 3.0}, {"feast": "easter"}),
        no_trolley=True,
        by_path=True,
        nose_height_cm=110.0,
        raised_cm=40.0,
    )
    made = fix_stand(made, "pot-5", "Terrace", FIRST, LAST)
    data = dump_yard(made)
    assert parse_yard(data, name="x") == made
    jsonschema.validate(json.loads(data), yard_schema())
    with pytest.raises(EditRefusedError, match="already"):
        add_place(made, "Terrace")
    with pytest.raises(EditRefusedError):
        add_place(made, "  ")
    with pytest.raises(EditRefusedError, match="did you mean"):
        add_place(made, "Else", capcity=3)


def test_an_old_place_opens_as_it_was(yard):
    old = json.loads(dump_yard(yard))
    old["display_places"] = [{"name": "Front step", "exposure": "west", "capacity": 3}]
    old["display_places"].append({"name": "Kitchen window"})
    opened = parse_yard(json.dumps(old).encode(), name="old")
    place = opened.display_place("Front step")
    assert (place.kind, place.capacity, place.view_weight) == ("display", 3, 1.0)
    assert place.width_cm is place.sun is None and not place.wanted
    assert opened.fixed_stands == ()


def test_pots_stands_ticks_and_memory_follow_a_new_name(yard):
    key = f"forward:pot-2:{place_key('Front step')}:1:2027"
    made = fix_stand(yard, "pot-5", "Front step", FIRST, LAST)
    made = tick_task(made, key, FIRST)
    made = remember_tasks(made, {key: (FIRST, "x")})
    new = rename_place(made, "Front step", "  Door  ")
    assert names(new)[0] == "Door"
    shown = {pot.id for pot in yard.pots if pot.display_place == "Front step"}
    assert shown and {pot.id for pot in new.pots if pot.display_place == "Door"} == shown
    assert [stand.place for stand in new.fixed_stands] == ["Door"]
    moved = key.replace(place_key("Front step"), place_key("Door"))
    assert [tick.task_key for tick in new.done] == [moved]
    assert [each.task_key for each in new.seen_tasks] == [moved]
    assert rename_place(new, "Door", "Front step") == made
    assert rename_place(made, "Front step", "Front step") is made
    with pytest.raises(EditRefusedError, match="already"):
        rename_place(made, "Front step", "Kitchen window")
    with pytest.raises(UnknownNameError, match="Front step"):
        rename_place(made, "Front stpe", "Door")


def test_what_stood_at_a_removed_place_has_none(yard):
    made = fix_stand(yard, "pot-5", "Front step", FIRST, LAST)
    gone = remove_place(made, "Front step")
    assert "Front step" not in names(gone)
    assert not any(pot.display_place == "Front step" for pot in gone.pots)
    assert gone.fixed_stands == ()
    assert len(gone.pots) == len(yard.pots)


def test_fields_change_but_not_the_name(yard):
    changed = change_stage_place(yard, "Front step", capacity=5, width_cm=None)
    assert changed.display_place("Front step").capacity == 5
    with pytest.raises(EditRefusedError, match="name"):
        change_stage_place(yard, "Front step", **{"name": "Door"})
    with pytest.raises(EditRefusedError):
        change_stage_place(yard, "Front step", capacity=0)


def test_a_pot_takes_its_stands_along_when_it_goes(yard):
    made = fix_stand(yard, "pot-5", "Front step", FIRST)
    assert remove_pot(made, "pot-5").fixed_stands == ()


def test_a_stand_must_point_at_what_is_there(yard):
    with pytest.raises(UnknownNameError):
        fix_stand(yard, "pot-99", "Front step", FIRST)
    with pytest.raises(UnknownNameError, match="Kitchen window"):
        fix_stand(yard, "pot-5", "Kitchen windw", FIRST)
    with pytest.raises(EditRefusedError, match="before first"):
        fix_stand(yard, "pot-5", None, LAST, FIRST)
    with pytest.raises(EditRefusedError, match="nothing is fixed"):
        free_stand(yard, "pot-5")
    whole = json.loads(dump_yard(yard))
    whole["fixed_stands"] = [{"pot_id": "pot-5", "place": "Nowhere", "first": "2027-04-01"}]
    with pytest.raises(Exception, match=r"fixed_stands\[0\]\.place"):
        parse_yard(json.dumps(whole).encode(), name="x")


days = st.integers(0, 40).map(lambda n: FIRST + timedelta(days=n))


@given(
    st.lists(
        st.tuples(st.sampled_from(["Front step", "Kitchen window", None]), days, days),
        min_size=1,
        max_size=6,
    )
)
def test_the_last_hand_counts_day_by_day(stands):
    """Against a plain table of days: what was fixed later lies over what was before."""
    yard = load_yard(DEMO).yard
    table = {}
    for place, one, other in stands:
        first, last = min(one, other), max(one, other)
        yard = fix_stand(yard, "pot-5", place, first, last)
        for n in range((last - first).days + 1):
            table[first + timedelta(days=n)] = place
    told = {}
    for stand in yard.fixed_stands:
        for n in range((stand.last - stand.first).days + 1):
            day = stand.first + timedelta(days=n)
            assert day not in told
            told[day] = stand.place
    assert told == table
    freed = free_stand(yard, "pot-5", FIRST, FIRST + timedelta(days=90))
    assert freed.fixed_stands == ()


@pytest.mark.parametrize(
    "fields",
    [{}, {"first": "05-01"}, {"first": "05-01", "last": "05-02", "feast": "easter"}],
)
def test_wanted_weeks_are_said_one_way(fields):
    with pytest.raises(ValidationError, match="either first and last, or feast"):
        WantedWeeks.model_validate(fields)
