"""Many records at once: the same as one by one, in one step."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bloomline.errors import BloomlineError, EditRefusedError
from bloomline.files.yardfile import load_yard
from bloomline.model.edits import add_record, next_id
from bloomline.model.record_edits import add_records, confirm_records, remove_records
from bloomline.model.yard import MAX_RECORDS, Record, Yard

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"


@pytest.fixture(scope="module")
def yard() -> Yard:
    return load_yard(DEMO).yard


def seen(yard: Yard) -> list[Record]:
    layers = [layer for _, layer in yard.layers()][:3]
    return [
        Record(id="line-4", day=date(2027, 4, 9), layer_id=layers[0].id, seen="first-flower"),
        Record(id="line-2", day=date(2027, 3, 1), layer_id=layers[1].id, seen="nose"),
        Record(id="line-3", day=date(2027, 5, 1), layer_id=layers[2].id, seen="over", note="n"),
    ]


def test_added_at_once_is_as_added_one_by_one(yard: Yard) -> None:
    one_by_one = yard
    for record in seen(yard):
        name = next_id(one_by_one, "record")
        one_by_one = add_record(one_by_one, record.model_copy(update={"id": name}))
    at_once = add_records(yard, seen(yard))
    assert at_once.records == one_by_one.records
    assert at_once.pots == one_by_one.pots
    assert [r.day for r in at_once.records] == sorted(r.day for r in at_once.records)


def test_what_was_seen_before_planting_says_nothing_of_these_bulbs(yard: Yard) -> None:
    layer = next(layer for _, layer in yard.layers() if layer.state in ("planned", "planted"))
    old = Record(id="line-2", day=date(2020, 4, 1), layer_id=layer.id, seen="full")
    assert add_records(yard, [old]).layer(layer.id)[1].state == layer.state
    new = old.model_copy(update={"day": date(2027, 4, 1)})
    assert add_records(yard, [old, new]).layer(layer.id)[1].state == "flowering"


def test_none_is_no_change(yard: Yard) -> None:
    assert add_records(yard, []) is yard
    assert remove_records(yard, []) is yard
    assert confirm_records(yard, []) is yard


def test_some_are_taken_away_and_others_confirmed(yard: Yard) -> None:
    ids = [record.id for record in yard.records]
    left = remove_records(yard, ids[:2])
    assert [record.id for record in left.records] == ids[2:]
    sure = confirm_records(yard, ids[:1])
    assert [record.id for record in sure.records if record.confirmed] == ids[:1]
    assert sure.records[0].model_copy(update={"confirmed": None}) == yard.records[0]


def test_unknown_names_are_refused(yard: Yard) -> None:
    for change in (remove_records, confirm_records):
        with pytest.raises(BloomlineError, match="record-99"):
            change(yard, ["record-99"])
    stray = seen(yard)[0].model_copy(update={"layer_id": "layer-99"})
    with pytest.raises(BloomlineError, match="layer-99"):
        add_records(yard, [stray])


def test_too_many_are_refused(yard: Yard) -> None:
    with pytest.raises(EditRefusedError, match="at most"):
        add_records(yard, seen(yard)[:1] * MAX_RECORDS)


def test_new_ids_step_over_those_in_use(yard: Yard) -> None:
    first, second, third = seen(yard)
    names = ("record-999999999", "record-1000000000")
    used = tuple(
        record.model_copy(update={"id": name})
        for record, name in zip((first, second), names, strict=True)
    )
    found = add_records(yard.model_copy(update={"records": used}), [third, first]).records
    assert len({record.id for record in found}) == 4
