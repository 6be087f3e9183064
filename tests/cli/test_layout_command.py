from __future__ import annotations

import json
from pathlib import Path

import pytest

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard, save_yard
from bloomline.model import edits


@pytest.fixture
def yard_file(checkout: Path, tmp_path: Path) -> Path:
    """The demo yard before planting, one pot of it upside down."""
    yard = load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard
    for _, layer in list(yard.layers())[:12]:
        yard = edits.change_layer(yard, layer.id, state="planned")
    barrel = yard.pots[0]
    covers = [layer.cover_cm for layer in barrel.layers]
    for layer, cover in zip(barrel.layers, reversed(covers), strict=True):
        yard = edits.change_layer(yard, layer.id, cover_cm=cover)
    path = tmp_path / "yard.bloomline"
    save_yard(path, yard, seen=None)
    return path


def test_it_says_what_would_change_and_changes_nothing(capsys, yard_file: Path) -> None:
    before = yard_file.read_bytes()
    assert main(["layout", str(yard_file)]) == 1
    out = capsys.readouterr().out
    assert "layer 3 → 1" in out
    assert "--write does it" in out
    assert "left as it is, planted already" in out
    assert max(len(line) for line in out.splitlines()) <= 100
    assert yard_file.read_bytes() == before


def test_it_writes_and_is_content_afterwards(capsys, yard_file: Path) -> None:
    assert main(["layout", str(yard_file), "--write", "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["written"]
    yard = load_yard(yard_file).yard
    for pot in told["pots"]:
        covers = {layer.id: layer.cover_cm for layer in yard.pot(pot["id"]).layers}
        for move in pot["moves"]:
            assert covers[move["layer_id"]] == move["to_cover_cm"]
    first = yard.pots[0].layers
    assert [layer.cover_cm for layer in first] == sorted(
        (layer.cover_cm for layer in first), reverse=True
    )
    assert first[-1].cultivar_id.startswith("crocus")
    assert main(["layout", str(yard_file)]) == 0
    assert "would change" not in capsys.readouterr().out


def test_one_pot_by_its_name(capsys, yard_file: Path) -> None:
    assert main(["layout", str(yard_file), "--pot", "half BARREL by the gate", "--write"]) == 0
    assert "3 layers changed." in capsys.readouterr().out
    assert main(["layout", str(yard_file), "--pot", "Half barel by the gate"]) == 2
    assert "did you mean Half barrel by the gate" in capsys.readouterr().err


def test_a_pot_that_is_too_shallow_is_not_said_to_lie_well(capsys, yard_file: Path) -> None:
    yard = load_yard(yard_file).yard
    pot = yard.pots[0]
    flat = edits.change_pot(yard, pot.id, inside_height_cm=pot.inside_height_cm / 2)
    save_yard(yard_file, flat, seen=None)
    only = ["layout", str(yard_file), "--pot", pot.id]
    assert main([*only, "--write"]) == 0
    capsys.readouterr()
    assert main(only) == 0
    out = capsys.readouterr().out
    assert "lies as well as it can here" in out and "still to mind" in out
    assert "lies well" not in out
