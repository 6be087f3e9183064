"""`check`, `buy`, `layout` and `card` on pots in which something is amiss."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest

from bloomline.cli.main import main


@pytest.fixture
def changed(checkout: Path, tmp_path: Path):
    """Write the demo yard with its second pot changed and give its path."""

    def write(change) -> str:
        demo = checkout / "demo" / "hollyhock-lane.bloomline"
        document = json.loads(demo.read_text("utf-8"))
        change(document["pots"][1])
        path = tmp_path / "changed.bloomline"
        path.write_text(json.dumps(document))
        return str(path)

    return write


def each_layer(**fields):
    def change(pot) -> None:
        for layer in pot["layers"]:
            layer.update(fields)

    return change


def early_above(pot) -> None:
    for layer in pot["layers"]:
        layer.update(state="planned", planted="2026-10-09")
    pot["layers"][0]["planted"] = "2026-11-06"


def wide(pot) -> None:
    pot.update(top_width_cm=380)


@pytest.mark.parametrize(
    ("change", "code", "words", "mend"),
    [
        (each_layer(count=5000), "too_many", "don't fit", "instead of 5000"),
        (each_layer(cover_cm=150), "in_crocks", "in the crocks", "Note as their depths"),
        (early_above, "planted_before_lower", "what lies lower goes in first", "on 2026-11-06"),
        (wide, "size_doubtful", "380 cm wide at the top: was 38 cm meant?", "Make it 38 cm wide"),
    ],
)
def test_check_names_pot_layer_and_what_mends_it(
    capsys, changed, change, code: str, words: str, mend: str
) -> None:
    path = changed(change)
    assert main(["check", path]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert words in out and "What mends it: " in out
    assert mend in out
    assert "Tall terracotta by the door: " in out
    main(["check", path, "--format", "json"])
    found = [each for each in json.loads(capsys.readouterr().out) if each["code"] == code]
    assert found
    for each in found:
        assert each["pot"] == "Tall terracotta by the door"
        assert words in each["message"] and mend in each["mending"]
        assert each["values"] and each["changes"]
        assert {"id", "field", "value"} == set(each["changes"][0])
        assert bool(each["layer_ids"]) == (code != "size_doubtful")


def test_the_changes_of_check_mend_the_file(capsys, changed) -> None:
    """Written into the file as they are told, they leave nothing of the kind."""
    path = changed(each_layer(count=5000))
    main(["check", path, "--format", "json"])
    changes = [
        change
        for each in json.loads(capsys.readouterr().out)
        if each["code"] == "too_many"
        for change in each["changes"]
    ]
    document = json.loads(Path(path).read_text())
    layers = {layer["id"]: layer for pot in document["pots"] for layer in pot["layers"]}
    for change in changes:
        layers[change["id"]][change["field"]] = change["value"]
    Path(path).write_text(json.dumps(document))
    main(["check", path, "--format", "json"])
    assert "too_many" not in {each["code"] for each in json.loads(capsys.readouterr().out)}


def test_buy_warns_of_bulbs_without_room(capsys, changed) -> None:
    path = changed(each_layer(count=500, state="planned"))
    main(["buy", path])
    out = " ".join(capsys.readouterr().out.split())
    assert "Warning: Tall terracotta by the door: 500 bulbs of Tulipa 'Shirley' don't fit" in out
    assert "instead of 500" in out


@pytest.mark.parametrize("command", ["check", "layout", "buy", "card"])
def test_a_mistyped_width_stops_no_command(capsys, changed, tmp_path: Path, command: str) -> None:
    """A pot ten times as wide costs hardly more time than the pot that was meant."""

    def seconds(change) -> float:
        path = changed(change)
        out = ["--out", str(tmp_path / "card.svg"), "--pot", "pot-2"] if command == "card" else []
        began = time.perf_counter()
        assert main([command, path, *out]) in (0, 1)
        return time.perf_counter() - began

    seconds(lambda pot: None)  # tables and weather are read once
    usual = seconds(lambda pot: None)
    assert seconds(wide) < usual + 1.0
    assert seconds(lambda pot: pot.update(top_width_cm=500, bottom_width_cm=500)) < usual + 1.0
