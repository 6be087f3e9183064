from __future__ import annotations

import copy
from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bloomline.errors import BloomlineError, EditRefusedError, UnknownNameError
from bloomline.files.yardfile import dump_yard
from bloomline.model import edits
from bloomline.model.record_edits import remove_records
from bloomline.model.yard import Layer, PlaceChoice, Pot, Record, Yard

DAY = date(2026, 11, 7)


def layer(name, cover_cm=10.0, **fields):
    values = {"cultivar_id": "tulipa-shirley", "count": 9, "planted": DAY, **fields}
    return Layer(id=name, cover_cm=cover_cm, **values)


def pot(name, *layers, **fields):
    size = {"top_width_cm": 40.0, "bottom_width_cm": 30.0, "inside_height_cm": 35.0}
    return Pot(id=name, name=fields.pop("label", name), layers=layers, **{**size, **fields})


def small_yard():
    return Yard(
        name="Small",
        place=PlaceChoice(name="Ottermere", latitude_deg=52.4, longitude_deg=-1.3),
        season_year=2027,
        pots=(
            pot("pot-1", layer("layer-1", 20), layer("layer-2", 12), layer("layer-3", 5)),
            pot("pot-2", layer("layer-4", 15)),
        ),
        records=(Record(id="record-1", day=date(2026, 4, 1), layer_id="layer-1", seen="full"),),
    )


def names(yard, pot_id):
    return [item.id for item in yard.pot(pot_id).layers]


def covers(yard, pot_id):
    return [item.cover_cm for item in yard.pot(pot_id).layers]


def test_ids_count_on_from_the_highest():
    yard = small_yard()
    assert edits.next_id(yard, "pot") == "pot-3"
    assert edits.next_id(edits.remove_pot(yard, "pot-1"), "layer") == "layer-5"
    assert edits.next_id(edits.remove_pot(yard, "pot-2"), "pot") == "pot-2"
    yard = edits.add_pot(yard, pot("pot-999999999"))
    yard = edits.add_pot(yard, pot(edits.next_id(yard, "pot")))
    assert edits.next_id(yard, "pot") == "pot-1000000001"


def test_a_pot_comes_to_the_end_or_where_it_is_put():
    yard = edits.add_pot(small_yard(), pot("pot-3"))
    yard = edits.add_pot(yard, pot("pot-4"), index=0)
    assert [item.id for item in yard.pots] == ["pot-4", "pot-1", "pot-2", "pot-3"]
    with pytest.raises(EditRefusedError, match="between 0 and 4"):
        edits.add_pot(yard, pot("pot-5"), index=9)
    with pytest.raises(EditRefusedError, match="taken"):
        edits.add_pot(yard, pot("pot-5", layer("layer-1")))


def test_a_copied_pot_stands_behind_with_fresh_ids_and_plans():
    yard = edits.change_layer(small_yard(), "layer-1", state="lifted")
    yard = edits.duplicate_pot(edits.duplicate_pot(yard, "pot-1"), "pot-1")
    assert [item.name for item in yard.pots] == ["pot-1", "pot-1 (3)", "pot-1 (2)", "pot-2"]
    assert names(yard, "pot-3") == ["layer-5", "layer-6", "layer-7"]
    assert yard.layer("layer-5")[1].state == "planned"
    assert len(yard.records) == 1


def test_a_removed_pot_takes_its_records_along():
    yard = edits.remove_pot(small_yard(), "pot-1")
    assert yard.records == ()
    assert edits.remove_pot(small_yard(), "pot-2").records == small_yard().records


def test_a_pot_moves_among_the_others():
    yard = edits.add_pot(small_yard(), pot("pot-3"))
    assert [p.id for p in edits.move_pot(yard, "pot-1", 2).pots] == ["pot-2", "pot-3", "pot-1"]
    assert edits.move_pot(yard, "pot-1", 0) is yard


def test_a_pot_gets_and_loses_its_length_with_its_shape():
    yard = edits.change_pot(small_yard(), "pot-1", shape="trough")
    assert yard.pot("pot-1").top_length_cm == 120
    oval = edits.change_pot(yard, "pot-1", shape="oval").pot("pot-1")
    assert (oval.top_length_cm, oval.bottom_length_cm) == (120, 90)
    assert edits.change_pot(yard, "pot-1", shape="square").pot("pot-1").top_length_cm is None
    given = edits.change_pot(small_yard(), "pot-1", shape="oval", top_length_cm=70)
    assert given.pot("pot-1").top_length_cm == 70


def test_a_pot_loses_its_shelter_when_it_goes_out():
    day = date(2027, 2, 1)
    yard = edits.change_pot(small_yard(), "pot-1", site="shed", sheltered_until=day)
    assert edits.change_pot(yard, "pot-1", site="cold-frame").pot("pot-1").sheltered_until == day
    assert edits.change_pot(yard, "pot-1", site="open").pot("pot-1").sheltered_until is None


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"top_width_cm": -1}, "top_width_cm: a number of at least 4"),
        ({"inside_height_cm": float("nan")}, "finite"),
        ({"crocks_cm": 33}, "compost"),
        ({"id": "pot-9"}, "can't be changed"),
        ({"layers": ()}, "can't be changed"),
        ({"shape": "heart"}, "one of round, square, oval, trough"),
        ({"display_place": "Nowhere"}, "no display place"),
    ],
)
def test_a_change_that_makes_no_sense_is_refused(fields, told):
    with pytest.raises(EditRefusedError, match=told):
        edits.change_pot(small_yard(), "pot-1", **fields)


def test_an_unknown_field_is_named_with_what_comes_near():
    with pytest.raises(UnknownNameError, match="did you mean material"):
        edits.change_pot(small_yard(), "pot-1", materal="wood")


def test_a_change_to_the_same_value_is_no_change():
    yard = small_yard()
    assert edits.change_pot(yard, "pot-1", name="pot-1") is yard
    assert edits.change_layer(yard, "layer-1", count=9) is yard
    assert edits.set_season_year(yard, 2027) is yard


def test_a_layer_lies_where_its_depth_belongs():
    yard = edits.add_layer(small_yard(), "pot-1", layer("layer-9", 14))
    assert names(yard, "pot-1") == ["layer-1", "layer-9", "layer-2", "layer-3"]


@pytest.mark.parametrize(("index", "depth"), [(0, 20), (1, 14), (2, 12), (3, 5)])
def test_a_layer_put_between_others_gets_a_depth_between_theirs(index, depth):
    yard = edits.add_layer(small_yard(), "pot-1", layer("layer-9", 14), index=index)
    assert names(yard, "pot-1")[index] == "layer-9"
    assert covers(yard, "pot-1")[index] == depth
    assert covers(yard, "pot-1") == sorted(covers(yard, "pot-1"), reverse=True)


def test_a_layer_moved_in_its_pot_takes_the_depth_of_its_slot():
    yard = edits.move_layer(small_yard(), "layer-3", "pot-1", index=0)
    assert names(yard, "pot-1") == ["layer-3", "layer-1", "layer-2"]
    assert covers(yard, "pot-1") == [20, 12, 5]


def test_a_layer_moves_to_another_pot_with_its_records():
    yard = edits.move_layer(small_yard(), "layer-1", "pot-2")
    assert names(yard, "pot-1") == ["layer-2", "layer-3"]
    assert names(yard, "pot-2") == ["layer-1", "layer-4"]
    assert yard.records == small_yard().records


def test_a_layer_is_copied_as_a_plan():
    yard = edits.copy_layer(small_yard(), "layer-1", "pot-2", index=1)
    assert names(yard, "pot-2") == ["layer-4", "layer-5"]
    assert yard.layer("layer-5")[1].cover_cm == 15


def test_a_full_pot_takes_no_more():
    yard = small_yard()
    for number in range(10, 21):
        yard = edits.add_layer(yard, "pot-2", layer(f"layer-{number}"))
    for refused in (
        lambda: edits.add_layer(yard, "pot-2", layer("layer-30")),
        lambda: edits.copy_layer(yard, "layer-1", "pot-2"),
        lambda: edits.move_layer(yard, "layer-1", "pot-2"),
    ):
        with pytest.raises(EditRefusedError, match="full"):
            refused()
    assert len(edits.move_layer(yard, "layer-10", "pot-2", index=3).pot("pot-2").layers) == 12


def test_another_depth_gives_a_layer_another_slot_only_when_it_must():
    yard = edits.change_layer(small_yard(), "layer-2", cover_cm=6)
    assert names(yard, "pot-1") == ["layer-1", "layer-2", "layer-3"]
    yard = edits.change_layer(yard, "layer-2", cover_cm=4)
    assert names(yard, "pot-1") == ["layer-1", "layer-3", "layer-2"]


def test_many_layers_get_a_planting_date_at_once():
    day = date(2026, 12, 1)
    yard = edits.set_planted(small_yard(), ["layer-1", "layer-4"], day)
    planted = [item.planted for _, item in yard.layers()]
    assert planted == [day, DAY, DAY, day]
    with pytest.raises(UnknownNameError):
        edits.set_planted(yard, ["layer-1", "layer-77"], DAY)


def test_what_was_seen_tells_the_state_and_is_kept_in_order():
    seen = Record(id="record-2", day=date(2025, 4, 2), layer_id="layer-2", seen="first-flower")
    yard = edits.add_record(small_yard(), seen)
    assert [item.id for item in yard.records] == ["record-2", "record-1"]
    assert yard.layer("layer-2")[1].state == "planned"  # an earlier planting's flowers
    later = seen.model_copy(update={"id": "record-3", "day": date(2027, 4, 2)})
    assert edits.add_record(yard, later).layer("layer-2")[1].state == "flowering"
    yard = edits.change_record(yard, "record-2", day=date(2027, 4, 2), note="late")
    assert [item.id for item in yard.records] == ["record-1", "record-2"]
    with pytest.raises(UnknownNameError):
        edits.change_record(yard, "record-2", layer_id="layer-99")
    assert remove_records(yard, ["record-2"]).records == small_yard().records


def test_site_offsets_come_and_go():
    yard = edits.set_site_offset(small_yard(), "open", 1.5)
    assert yard.site_offsets == {"open": 1.5}
    assert edits.set_site_offset(yard, "open", None).site_offsets == {}
    with pytest.raises(EditRefusedError, match="site_offsets"):
        edits.set_site_offset(yard, "roof", 1.0)


def test_place_money_and_settings_change():
    yard = edits.change_place(small_yard(), elevation_m=120)
    yard = edits.change_settings(yard, crowd_limit=7)
    yard = edits.change_money(yard, budget=50)
    assert (yard.place.elevation_m, yard.settings.crowd_limit, yard.money.budget) == (120, 7, 50)
    with pytest.raises(EditRefusedError, match="latitude_deg"):
        edits.change_place(yard, latitude_deg=91)


@st.composite
def any_edit(draw, yard):
    """One edit of any kind, sensible or not, as a function of nothing."""
    pots = [item.id for item in yard.pots] + ["pot-404"]
    layers = [item.id for _, item in yard.layers()] + ["layer-404"]
    records = [item.id for item in yard.records] + ["record-404"]
    p, q, k = (draw(st.sampled_from(items)) for items in (pots, pots, layers))
    index = draw(st.none() | st.integers(-1, 5))
    day = DAY + timedelta(days=draw(st.integers(-400, 400)))
    cover = draw(st.floats(-1, 30))
    new_layer = layer(draw(st.sampled_from([edits.next_id(yard, "layer"), k])), abs(cover))
    record = Record(
        id=edits.next_id(yard, "record"),
        day=day,
        layer_id=k,
        seen=draw(st.sampled_from(["nose", "first-flower", "full", "over"])),
    )
    choices = [
        lambda: edits.add_pot(yard, pot(edits.next_id(yard, "pot")), index=index),
        lambda: edits.duplicate_pot(yard, p),
        lambda: edits.remove_pot(yard, p),
        lambda: edits.move_pot(yard, p, index or 0),
        lambda: edits.change_pot(yard, p, inside_height_cm=cover * 3, site="shed"),
        lambda: edits.change_pot(yard, p, shape="oval"),
        lambda: edits.add_layer(yard, p, new_layer, index=index),
        lambda: edits.move_layer(yard, k, p, index=index),
        lambda: edits.copy_layer(yard, k, q, index=index),
        lambda: edits.remove_layer(yard, k),
        lambda: edits.change_layer(yard, k, cover_cm=cover),
        lambda: edits.set_planted(yard, [k, layers[0]], day),
        lambda: edits.add_record(yard, record),
        lambda: remove_records(yard, [draw(st.sampled_from(records))]),
        lambda: edits.change_record(yard, draw(st.sampled_from(records)), layer_id=k, day=day),
        lambda: edits.set_season_year(yard, day.year),
    ]
    return draw(st.sampled_from(choices))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_edits_alter_nothing_and_always_leave_a_sound_yard(data):
    yard = small_yard()
    states, written = [yard], [dump_yard(yard)]
    for _ in range(data.draw(st.integers(1, 12))):
        edit = data.draw(any_edit(yard))
        before = copy.deepcopy(yard)
        try:
            after = edit()
        except BloomlineError:
            after = yard
        assert yard == before
        # Built afresh from plain values, the yard passes every check, those an edit may skip too.
        assert Yard.model_validate(after.model_dump()) == after
        for item in after.pots:
            depths = [inner.cover_cm for inner in item.layers]
            assert depths == sorted(depths, reverse=True)
        yard = after
        states.append(yard)
        written.append(dump_yard(yard))
    # Undo is going back to the state that was kept: it is still what it was.
    for state, content in zip(reversed(states), reversed(written), strict=True):
        assert dump_yard(state) == content


def test_many_layers_and_pots_are_changed_as_one_after_the_other():
    yard = small_yard()
    ids = [layer.id for _, layer in yard.layers()]
    depths = {layer_id: {"cover_cm": 5.0 + 4.0 * at} for at, layer_id in enumerate(ids)}
    at_once, in_turn = edits.change_layers(yard, depths), yard
    for layer_id, fields in depths.items():
        in_turn = edits.change_layer(in_turn, layer_id, **fields)
    assert at_once == in_turn != yard
    names = {pot.id: {"name": f"{pot.name}!"} for pot in yard.pots}
    assert [pot.name for pot in edits.change_pots(yard, names).pots] == [
        f"{pot.name}!" for pot in yard.pots
    ]
    assert edits.change_layers(yard, {}) is yard
    with pytest.raises(UnknownNameError):
        edits.change_layers(yard, {"no-such-layer": {"count": 3}})
    with pytest.raises(UnknownNameError):
        edits.change_pots(yard, {"no-such-pot": {"name": "x"}})
