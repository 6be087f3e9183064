from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.errors import EditRefusedError, UnknownNameError
from bloomline.files.yardfile import dump_yard, parse_yard
from bloomline.model.task_edits import change_many, remember_tasks, tick_task, untick_task
from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard

DAY = date(2027, 3, 10)
_keys = st.sampled_from(["plant:layer-1:2027", "feed:pot-1:2027", "mesh:pot-1:2027"])
_days = st.dates(date(2026, 9, 1), date(2027, 9, 1))


def yard() -> Yard:
    layers = tuple(
        Layer(
            id=f"layer-{k}",
            cultivar_id="tulipa-shirley",
            count=9,
            cover_cm=20.0 - k,
            planted=date(2026, 11, 7),
        )
        for k in (1, 2)
    )
    pot = Pot(
        id="pot-1",
        name="Tub",
        top_width_cm=40.0,
        bottom_width_cm=30.0,
        inside_height_cm=35.0,
        site="shed",
        sheltered_until=date(2027, 2, 1),
        layers=layers,
    )
    return Yard(
        name="Yard",
        place=PlaceChoice(name="Ottermere", latitude_deg=52.4, longitude_deg=-1.3),
        season_year=2027,
        pots=(pot,),
    )


def test_a_tick_is_kept_in_the_file_and_taken_back():
    ticked = tick_task(yard(), "plant:layer-1:2027", DAY, note="wet day")
    assert parse_yard(dump_yard(ticked), name="x").done == ticked.done
    assert [(each.day, each.note) for each in ticked.done] == [(DAY, "wet day")]
    assert untick_task(ticked, "plant:layer-1:2027") == yard()


def test_a_file_without_ticks_still_loads_and_is_written_as_it_was():
    text = dump_yard(yard()).decode()
    assert "done" not in text
    assert "seen_tasks" not in text
    assert parse_yard(text.encode(), name="x") == yard()


@given(st.lists(st.tuples(_keys, _days), max_size=12))
def test_ticks_are_in_order_and_each_once(ticks):
    made = yard()
    for key, day in ticks:
        made = tick_task(made, key, day)
    kept = [(each.day, each.task_key) for each in made.done]
    assert kept == sorted({(day, key) for key, day in ticks})
    for key, day in set(ticks):
        made = untick_task(made, key, day)
    assert made == yard()


def test_what_was_not_ticked_cannot_be_unticked():
    with pytest.raises(UnknownNameError, match="no done task"):
        untick_task(tick_task(yard(), "feed:pot-1:2027", DAY), "feed:pot-2:2027")
    with pytest.raises(UnknownNameError):
        untick_task(tick_task(yard(), "feed:pot-1:2027", DAY), "feed:pot-1:2027", date(2027, 1, 1))


def test_a_key_that_is_none_is_refused():
    with pytest.raises(EditRefusedError):
        tick_task(yard(), "Not a key", DAY)


def test_remembered_days_count_how_often_they_moved():
    key = "plant:layer-1:2027"
    first = remember_tasks(yard(), {key: (DAY, "a")}, calendar_id="abc")
    same = remember_tasks(first, {key: (DAY, "b")}, calendar_id="other")
    assert [each.sequence for each in same.seen_tasks] == [0]
    assert same.calendar_id == "abc"
    moved = remember_tasks(same, {key: (DAY + timedelta(days=1), "b")})
    assert [(each.sequence, each.basis) for each in moved.seen_tasks] == [(1, "b")]
    assert parse_yard(dump_yard(moved), name="x") == moved
    assert remember_tasks(moved, {}).seen_tasks == ()


def test_many_layers_and_pots_change_in_one_step():
    made = change_many(
        yard(),
        layers={"layer-2": {"planted": date(2027, 11, 1), "state": "planned"}},
        pots={"pot-1": {"sheltered_until": date(2028, 2, 1)}},
        season_year=2028,
    )
    assert [layer.planted.year for layer in made.pots[0].layers] == [2026, 2027]
    assert made.pots[0].sheltered_until == date(2028, 2, 1)
    assert made.season_year == 2028


def test_change_many_names_what_is_not_there_and_refuses_ids():
    with pytest.raises(UnknownNameError, match="layer-9"):
        change_many(yard(), layers={"layer-9": {"count": 3}})
    with pytest.raises(UnknownNameError, match="pot-9"):
        change_many(yard(), layers={}, pots={"pot-9": {"name": "x"}})
    with pytest.raises(EditRefusedError):
        change_many(yard(), layers={"layer-1": {"id": "layer-9"}})
    with pytest.raises(EditRefusedError):
        change_many(yard(), layers={"layer-1": {"count": 0}})
