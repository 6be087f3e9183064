"""Parcels as they go over the clipboard: what comes back, and what is refused in words."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bloomline.errors import BloomlineError, DataError, FileProblemError
from bloomline.files.parcels import MAX_BYTES, dump_parcel, parse_parcel
from bloomline.files.yardfile import load_yard
from bloomline.model.parcel import Parcel, parcel_of


@pytest.fixture
def parcel(checkout: Path) -> Parcel:
    yard = load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard
    return parcel_of(yard, [pot.id for pot in yard.pots], with_records=True)


def test_a_parcel_comes_back_as_it_was(parcel: Parcel) -> None:
    assert parcel.pots and parcel.records
    assert parse_parcel(dump_parcel(parcel), name="clipboard") == parcel


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff\xfe\x00",
        b"[]",
        b"null",
        b'{"format": "bloomline-yard", "version": "1.0"}',
        b"{" * 100_000,
        b'{"format": "bloomline-parts", "version": "1.0", "layers": NaN}',
        b"x" * (MAX_BYTES + 1),
    ],
)
def test_what_is_no_parcel_is_refused_by_name(data: bytes) -> None:
    with pytest.raises(FileProblemError, match=r"^the clipboard"):
        parse_parcel(data, name="the clipboard")


@pytest.mark.parametrize(
    ("where", "value"),
    [
        (("pots", 0, "layers", 0, "count"), -3),
        (("pots", 0, "layers", 0, "planted"), "soon"),
        (("pots", 0, "id"), "../../etc"),
        (("pots", 0, "inside_height_cm"), 1e9),
        (("pots", 0, "name"), "two\nlines"),
        (("version",), "2.0"),
        (("colour",), "red"),
    ],
)
def test_bad_values_are_refused_by_the_models(
    parcel: Parcel, where: tuple[str | int, ...], value: object
) -> None:
    document = json.loads(dump_parcel(parcel))
    inner = document
    for step in where[:-1]:
        inner = inner[step]
    inner[where[-1]] = value
    with pytest.raises(DataError):
        parse_parcel(json.dumps(document).encode(), name="the clipboard")


def test_cut_off_anywhere_it_is_refused_and_nothing_worse(parcel: Parcel) -> None:
    data = dump_parcel(parcel)
    for end in range(0, len(data) - 1, len(data) // 200):
        with pytest.raises(BloomlineError):
            parse_parcel(data[:end], name="the clipboard")
