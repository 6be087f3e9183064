from __future__ import annotations

import builtins
import errno
import json
import os
import stat
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.errors import DataError, FileProblemError
from bloomline.files import atomic
from bloomline.files.yardfile import (
    ChangedOnDiskError,
    digest_on_disk,
    dump_yard,
    load_yard,
    parse_yard,
    save_yard,
)
from bloomline.model import edits, parts
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.reference.catalogue import load_catalogue

sys.path.insert(0, str(Path(__file__).parent))
from yards import any_yard, small_yard

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"
POSIX = pytest.mark.skipif(os.name != "posix", reason="file modes and links of POSIX")


@given(any_yard())
def test_what_is_written_is_read_again(yard):
    data = dump_yard(yard)
    assert parse_yard(data, name="y") == yard
    assert dump_yard(parse_yard(data, name="y")) == data
    # An independent reader sees the same numbers, and no value twice.
    plain = json.loads(data)
    assert [pot["top_width_cm"] for pot in plain.get("pots", [])] == [
        pot.top_width_cm for pot in yard.pots
    ]


def test_a_day_that_stands_in_many_layers_is_read_once():
    yard = load_yard(DEMO).yard
    parts._read_day.cache_clear()
    parse_yard(DEMO.read_bytes(), name="y")
    days = {layer.planted for _, layer in yard.layers()}
    read = parts._read_day.cache_info()
    assert len(days) <= read.misses == read.currsize < read.misses + read.hits


def test_the_demo_yard_is_as_the_program_writes_it():
    assert dump_yard(load_yard(DEMO).yard) == DEMO.read_bytes()


def test_the_demo_yard_is_big_and_varied_enough_to_show_things():
    yard = load_yard(DEMO).yard
    layers = [layer for _, layer in yard.layers()]
    assert len(yard.pots) >= 6
    assert len(layers) >= 16
    assert len({pot.shape for pot in yard.pots}) == 4
    assert len({pot.material for pot in yard.pots}) >= 6
    assert len({pot.site for pot in yard.pots}) >= 4
    for pot in yard.pots:
        depths = [layer.cover_cm for layer in pot.layers]
        assert depths == sorted(depths, reverse=True)
        assert all(depth < pot.compost_depth_cm for depth in depths)


def test_one_change_changes_one_line():
    yard = load_yard(DEMO).yard
    before = dump_yard(yard).decode().splitlines()
    after = dump_yard(edits.change_layer(yard, "layer-4", count=17)).decode().splitlines()
    assert len(before) == len(after)
    changed = [new for old, new in zip(before, after, strict=True) if old != new]
    assert len(changed) == 1
    assert '"count": 17' in changed[0]


def test_written_text_is_plain_and_ends_its_last_line():
    data = dump_yard(small_yard())
    assert "Småll yard".encode() in data
    assert data.endswith(b"}\n")
    assert list(json.loads(data))[:3] == ["format", "version", "name"]


def test_the_place_of_every_fault_is_told():
    document = json.loads(DEMO.read_bytes())
    document["pots"][2]["layers"][0]["planted"] = "7 November"
    document["pots"][3]["inside_height_cm"] = "high"
    document["plac"] = 1
    with pytest.raises(DataError) as caught:
        parse_yard(json.dumps(document).encode(), name="yard.bloomline")
    message = str(caught.value)
    assert message.startswith("yard.bloomline: ")
    assert "pots[2].layers[0].planted: a day written like 2026-10-31 is wanted" in message
    assert "pots[3].inside_height_cm: a number is wanted, not “high”" in message
    assert "unknown key “plac” (did you mean “place”?)" in message


def test_keys_of_a_newer_minor_version_are_kept_through_edits():
    document = json.loads(dump_yard(small_yard()))
    document["version"] = "1.7"
    document["moon"] = {"phase": [1, 2.5, None, "full"]}
    document["pots"][0]["glaze"] = "blue"
    document["pots"][0]["layers"][0]["vigour"] = 3
    document["place"]["wind"] = True
    yard = parse_yard(json.dumps(document).encode(), name="y")
    assert json.loads(dump_yard(yard)) == document
    yard = edits.change_layer(edits.change_pot(yard, "pot-1", wall_cm=2), "layer-1", count=3)
    yard = edits.change_place(edits.rename_yard(yard, "New"), elevation_m=5)
    written = json.loads(dump_yard(yard))
    assert written["moon"] == document["moon"]
    assert written["pots"][0]["glaze"] == "blue"
    assert written["pots"][0]["layers"][0] == {**document["pots"][0]["layers"][0], "count": 3}
    assert written["place"]["wind"] is True
    assert written["version"] == "1.7"


def test_the_same_keys_are_faults_in_todays_version():
    document = {**json.loads(dump_yard(small_yard())), "moon": 1}
    with pytest.raises(DataError, match="unknown key “moon”"):
        parse_yard(json.dumps(document).encode(), name="y")


# Saving


def test_saving_gives_the_digest_that_loading_gives(tmp_path):
    path = tmp_path / "y.bloomline"
    digest = save_yard(path, small_yard(), seen=None)
    loaded = load_yard(path)
    assert loaded.yard == small_yard()
    assert loaded.digest == digest == digest_on_disk(path)
    assert os.listdir(tmp_path) == ["y.bloomline"]


def test_a_file_changed_by_someone_else_is_left_alone(tmp_path):
    path = tmp_path / "y.bloomline"
    seen = save_yard(path, small_yard(), seen=None)
    theirs = save_yard(path, small_yard(name="Theirs"), seen=seen)
    with pytest.raises(ChangedOnDiskError, match="changed by someone else"):
        save_yard(path, small_yard(name="Mine"), seen=seen)
    assert digest_on_disk(path) == theirs
    save_yard(path, small_yard(name="Mine"), seen=None)
    assert load_yard(path).yard.name == "Mine"


def test_a_file_that_was_deleted_is_written_anew(tmp_path):
    path = tmp_path / "y.bloomline"
    seen = save_yard(path, small_yard(), seen=None)
    path.unlink()
    assert save_yard(path, small_yard(), seen=seen) == seen


@POSIX
def test_the_mode_is_kept_and_links_are_followed(tmp_path):
    path, link = tmp_path / "y.bloomline", tmp_path / "link.bloomline"
    seen = save_yard(path, small_yard(), seen=None)
    path.chmod(0o640)
    link.symlink_to(path)
    save_yard(link, small_yard(name="Through the link"), seen=seen)
    assert link.is_symlink()
    assert load_yard(path).yard.name == "Through the link"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_read_only_file_is_left_alone(tmp_path, monkeypatch):
    path = tmp_path / "y.bloomline"
    seen = save_yard(path, small_yard(), seen=None)
    monkeypatch.setattr(atomic.os, "access", lambda *_: False)  # root may write everywhere
    with pytest.raises(FileProblemError, match="read-only"):
        save_yard(path, small_yard(name="New"), seen=seen)
    assert load_yard(path).yard == small_yard()


@POSIX
def test_what_is_no_file_is_neither_read_nor_written(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    for path in (tmp_path, tmp_path / "pipe", tmp_path / "loop", tmp_path / "no" / "such"):
        with pytest.raises(FileProblemError):
            load_yard(path)
        with pytest.raises(FileProblemError):
            save_yard(path, small_yard(), seen=None)
    with pytest.raises(FileProblemError):
        load_yard(Path("nul\0byte"))
    with pytest.raises(FileProblemError):
        save_yard(Path("nul\0byte"), small_yard(), seen=None)


STEPS = ["open", "write", "flush", "fsync", "replace"]


@pytest.mark.parametrize(
    ("step", "exists"),
    [*((step, False) for step in STEPS), *((step, True) for step in [*STEPS, "chmod"])],
)
def test_when_a_step_fails_the_old_file_is_whole_and_nothing_lies_about(
    step, exists, tmp_path, monkeypatch
):
    path = tmp_path / "y.bloomline"
    seen = save_yard(path, small_yard(), seen=None) if exists else None

    def fail(*_args, **_kwargs):
        raise OSError(errno.ENOSPC, "No space left on device")

    class FailingFile:
        """A file whose write stops halfway, or whose flush fails."""

        def __init__(self, file):
            self.file = file

        def __enter__(self):
            return self

        def __exit__(self, *_):
            self.file.close()

        def write(self, data):
            self.file.write(data[: len(data) // 2])
            if step == "write":
                fail()

        def flush(self):
            self.file.flush()
            if step == "flush":
                fail()

    def failing_open(*args, **kwargs):
        return FailingFile(builtins.open(*args, **kwargs))

    with monkeypatch.context() as patch:
        if step in ("write", "flush"):
            patch.setattr(atomic, "open", failing_open, raising=False)
        else:
            patch.setattr(atomic.os, step, fail)
        with pytest.raises(FileProblemError, match="no space left on device"):
            save_yard(path, small_yard(name="New"), seen=seen)
    assert os.listdir(tmp_path) == (["y.bloomline"] if exists else [])
    if exists:
        assert load_yard(path).yard == small_yard()
    save_yard(path, small_yard(name="New"), seen=seen)
    assert load_yard(path).yard.name == "New"


def test_a_folder_that_can_not_be_synced_does_not_undo_a_save(tmp_path, monkeypatch):
    path = tmp_path / "y.bloomline"
    calls = []

    def second_fails(handle):
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(errno.EINVAL, "Invalid argument")

    monkeypatch.setattr(atomic.os, "fsync", second_fails)
    digest = save_yard(path, small_yard(), seen=None)
    assert len(calls) == (2 if os.name == "posix" else 1)
    assert digest_on_disk(path) == digest


def test_a_yard_too_big_to_be_read_again_is_not_saved(tmp_path):
    layers = tuple(
        Layer(
            id=f"l{k}",
            cultivar_id="a",
            count=1,
            cover_cm=5,
            planted="2026-10-01",
            notes="x" * 20_000,
        )
        for k in range(12)
    )
    size = {"top_width_cm": 40, "bottom_width_cm": 30, "inside_height_cm": 35}
    pots = [
        Pot(
            id=f"p{n}",
            name="p",
            layers=[layer.model_copy(update={"id": f"{layer.id}-{n}"}) for layer in layers],
            **size,
        )
        for n in range(145)
    ]
    path = tmp_path / "y.bloomline"
    with pytest.raises(FileProblemError, match="32 MiB"):
        save_yard(path, small_yard(pots=pots), seen=None)
    assert not path.exists()


# Files that were not meant well


def document(**changes):
    return {**json.loads(dump_yard(small_yard())), **changes}


def encoded(**changes):
    return json.dumps(document(**changes)).encode()


BASE = dump_yard(small_yard()).decode()
HOSTILE = {
    "empty": (b"", "is empty"),
    "blank": (b" \n\t ", "is empty"),
    "not JSON": (b"{'a': 1}", "line 1, column 2: is not JSON"),
    "cut": (BASE[:-20].encode(), "is not JSON"),
    "list": (b"[]", "a JSON object is wanted"),
    "number": (b"1", "a JSON object is wanted"),
    "nothing in it": (b"{}", "is not a yard file"),
    "other format": (encoded(format="shopping-list"), "is not a yard file"),
    "no version": (b'{"format": "bloomline-yard"}', "version is missing"),
    "newer": (encoded(version="2.0"), "newer than this program"),
    "odd version": (encoded(version=[1]), "version"),
    "UTF-16": (BASE.encode("utf-16"), "UTF-16"),
    "Latin-1": (BASE.encode("latin-1", "replace"), "is not UTF-8"),
    "zeros": (bytes(1000), "is not JSON"),
    "NaN": (BASE.replace("30.5", "NaN").encode(), "NaN is not a number"),
    "Infinity": (BASE.replace("30.5", "-Infinity").encode(), "-Infinity is not a number"),
    "overflow": (BASE.replace("30.5", "1e999").encode(), "finite number"),
    "long number": (BASE.replace("30.5", "9" * 10_000).encode(), "10000 digits"),
    "big number": (BASE.replace("30.5", "9" * 25).encode(), "at most 500"),
    "key twice": (BASE.replace('"name"', '"name": "x", "name"', 1).encode(), "“name” stands twice"),
    "deep lists": (BASE.encode().replace(b"30.5", b"[" * 100_000), "nested too deeply"),
    "deep objects": (BASE.encode().replace(b"30.5", b'{"a":' * 100_000), "nested too deeply"),
    "closed depth": (
        BASE.encode().replace(b"30.5", b"[" * 100_000 + b"]" * 100_000),
        "nested too deeply",
    ),
    "deep new keys": (encoded(version="1.9", x=json.loads("[" * 90 + "]" * 90)), "too deeply"),
    "huge new number": (
        encoded(version="1.9", x=0).replace(b'"x": 0', b'"x": 1e999'),
        "too big to be kept",
    ),
    "broken new text": (encoded(version="1.9", x="\ud800"), "broken character"),
    "broken text": (encoded(name="\udfff"), "broken character"),
    "many pots": (
        encoded(pots=[{}] * 10_001),
        "pots: at most 10000 entries are allowed, not 10001",
    ),
    "bad pots": (encoded(pots=[{"id": k} for k in range(5_000)]), "pots[0].id: text is wanted"),
    "many layers": (encoded(pots=[{"layers": [1] * 13}]), "pots[0].layers: at most 12"),
    "bad records": (encoded(records=[[]] * 50_000), "records[0]: an object is wanted"),
    "many lists": (encoded(records=[[]] * 500_000), "more parts than a yard file may have"),
    "many keys": (
        encoded(**{f"k{n}": n for n in range(2_000)}),
        "an object of 2,008 keys is no part of a yard",
    ),
    "pots of text": (encoded(pots="pots"), "pots: a list is wanted, not “pots”"),
    "pots as object": (encoded(pots={"a": 1}), "pots: a list is wanted"),
    "pot of null": (encoded(pots=[None]), "pots[0]: an object is wanted"),
    "place of text": (encoded(place="London"), "place: an object is wanted, not “London”"),
    "long name": (encoded(name="x" * 1_000_000), "name: may be at most 120 characters long"),
    "unlike id": (encoded(pots=[{"id": "x" * 100_000}]), "pots[0].id: a short id is wanted"),
    "odd offset": (encoded(site_offsets={"roof": 1}), "site_offsets.roof"),
    "same ids": (
        encoded(pots=document()["pots"] * 2),
        "the id “pot-1” stands both at pots[0].id and at pots[1].id",
    ),
    "year as text": (encoded(season_year="2027"), "season_year: a whole number is wanted"),
    "year as truth": (encoded(season_year=True), "season_year: a whole number is wanted, not true"),
}


@pytest.mark.parametrize(("data", "told"), HOSTILE.values(), ids=HOSTILE.keys())
def test_a_hostile_file_is_refused_in_words(data, told):
    with pytest.raises((FileProblemError, DataError)) as caught:
        parse_yard(data, name="yard.bloomline")
    message = str(caught.value)
    assert message.startswith("yard.bloomline: ")
    assert told in message
    assert len(message) < 2_000


def test_a_file_beyond_the_limit_is_not_even_read_whole(tmp_path):
    path = tmp_path / "y.bloomline"
    with path.open("wb") as file:
        file.truncate(10 * 1024**3)  # a hole, no content
    with pytest.raises(FileProblemError, match="larger than 32 MiB"):
        load_yard(path)


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm():
    data = b"\xef\xbb\xbf" + dump_yard(small_yard()).replace(b"\n", b"\r\n")
    assert parse_yard(data, name="y") == small_yard()


def survives(data):
    """Reading gives a yard that can be written and read again, or an error in words."""
    try:
        yard = parse_yard(data, name="y")
    except (FileProblemError, DataError) as error:
        told = str(error)
    else:
        assert isinstance(yard, Yard)
        assert parse_yard(dump_yard(yard), name="y") == yard
        return
    assert told.startswith("y: ")


WHOLE = DEMO.read_bytes()


@given(st.integers(0, len(WHOLE) - 1), st.integers(1, 255))
def test_a_flipped_byte_is_no_disaster(at, flip):
    survives(WHOLE[:at] + bytes([WHOLE[at] ^ flip]) + WHOLE[at + 1 :])


@given(st.integers(0, len(WHOLE) - 2))
def test_a_cut_file_is_never_taken_for_a_whole_one(length):
    if length < len(WHOLE.rstrip()):
        with pytest.raises(FileProblemError, match=r"^y: "):
            parse_yard(WHOLE[:length], name="y")


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=6,
)


@given(st.data())
def test_any_value_in_any_place_is_no_disaster(data):
    spoilt = document(version=data.draw(st.sampled_from(["1.0", "1.9"])))
    where = spoilt
    while True:
        key = data.draw(
            st.sampled_from(sorted(where) if isinstance(where, dict) else range(len(where)))
        )
        if not (isinstance(where[key], dict | list) and where[key] and data.draw(st.booleans())):
            break
        where = where[key]
    where[key] = data.draw(json_values)
    survives(json.dumps(spoilt).encode())


def test_every_cultivar_of_the_demo_is_in_the_catalogue_and_planted_in_its_season():
    catalogue = load_catalogue()
    months = {"autumn": range(8, 13), "spring": range(2, 6), "summer": range(6, 10)}
    for _, layer in load_yard(DEMO).yard.layers():
        assert layer.planted.month in months[catalogue.get(layer.cultivar_id).season_planted]
