from __future__ import annotations

import json
from pathlib import Path

import pytest

from bloomline.files.yardfile import yard_of
from bloomline.model.migrate import STEPS, VersionError, is_newer_minor, up_to_date, version_of
from bloomline.model.yard import VERSION

SAMPLES = Path(__file__).parent / "versions"


def split_size(document):
    """A made-up step from version 1: one key becomes two."""
    width, height = document.pop("size")
    return {**document, "width": width, "height": height}


def rename_height(document):
    """A made-up step from version 2."""
    return {("depth" if key == "height" else key): value for key, value in document.items()}


def test_old_documents_go_through_every_step_and_stay_as_they_were():
    old = {"version": "1.3", "size": [3, 4], "kept": "x"}
    new = up_to_date(old, steps={1: split_size, 2: rename_height}, current="3.0")
    assert new == {"version": "3.0", "width": 3, "depth": 4, "kept": "x"}
    assert old == {"version": "1.3", "size": [3, 4], "kept": "x"}


def test_a_step_that_is_missing_is_told():
    with pytest.raises(VersionError, match="version 1 is too old"):
        up_to_date({"version": "1.0"}, steps={2: rename_height}, current="3.0")


def test_a_newer_major_version_is_refused_and_a_newer_minor_one_is_not():
    with pytest.raises(VersionError, match="newer than this program"):
        up_to_date({"version": "2.0"}, current="1.4")
    assert up_to_date({"version": "1.9"}, current="1.4") == {"version": "1.9"}
    assert is_newer_minor({"version": "1.9"}, current="1.4")
    assert not is_newer_minor({"version": "1.4"}, current="1.4")
    assert is_newer_minor({"version": "1.10"}, current="1.9")


@pytest.mark.parametrize(
    ("said", "meant"), [("1.0", (1, 0)), ("1", (1, 0)), (1, (1, 0)), ("12.34", (12, 34))]
)
def test_a_version_is_read_as_text_or_whole_number(said, meant):
    assert version_of({"version": said}) == meant


@pytest.mark.parametrize(
    "said", [None, True, 0, -1, 1.0, "", "0.1", "1.", "1.0.0", "١.٠", "v1", [1], 10**9, "9" * 99]
)
def test_what_is_no_version_is_told(said):
    with pytest.raises(VersionError, match="version"):
        version_of({"version": said})


def test_there_is_a_step_from_every_older_version_and_a_sample_of_every_version():
    major = version_of({"version": VERSION})[0]
    assert set(STEPS) == set(range(1, major))
    assert {int(path.stem) for path in SAMPLES.glob("*.bloomline")} == set(range(1, major + 1))


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.bloomline")), ids=lambda path: path.stem)
def test_a_file_of_each_version_still_opens(path):
    document = json.loads(path.read_text("utf-8"))
    yard = yard_of(document, name=path.name)
    assert version_of({"version": yard.version})[0] == version_of({"version": VERSION})[0]
    assert [pot.name for pot in yard.pots] == ["Oval tub", "Trough"]
    assert [layer.cultivar_id for _, layer in yard.layers()] == [
        "tulipa-queen-of-night",
        "narcissus-jetfire",
        "seedling-7",
    ]
    assert yard.records[0].seen == "first-flower"
    assert yard.own_cultivars[0].height_cm == 22
