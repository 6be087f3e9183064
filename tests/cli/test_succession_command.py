"""`bloomline succession`: the year of each pot, conflicts, and settling one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard
from bloomline.plan.tops.stand import share_of_one


@pytest.fixture
def file(tmp_path: Path, checkout: Path) -> Path:
    yard = json.loads((checkout / "demo" / "hollyhock-lane.bloomline").read_text("utf-8"))
    pot = next(each for each in yard["pots"] if each["id"] == "pot-2")
    pot["companions"] = [
        {"id": "companion-1", "companion_id": "winter-pansy", "count": 5, "planted": "2026-10-25"}
    ]
    pot["layers"].append(
        {
            "id": "layer-99",
            "cultivar_id": "dahlia-bishop-of-llandaff",
            "count": 1,
            "cover_cm": 8.0,
            "planted": "2027-05-01",
        }
    )
    path = tmp_path / "yard.bloomline"
    path.write_text(json.dumps(yard), "utf-8")
    return path


def test_a_conflict_is_told_settled_and_written(capsys, file: Path) -> None:
    assert main(["succession", str(file), "--format", "json"]) == 1
    told = json.loads(capsys.readouterr().out)
    (conflict,) = told["conflicts"]
    assert conflict["new_ids"] == ["layer-99"]
    assert conflict["kind"] in ("leaf", "flower")
    pot = next(each for each in told["pots"] if each["id"] == "pot-2")
    assert pot["companions"][0]["season_by"] == "date"
    assert main(["succession", str(file), "--choose", "1:later"]) == 0
    out = capsys.readouterr()
    assert "Every planting finds its pot free." in out.out
    assert max(map(len, out.out.splitlines())) <= 100
    layers = load_yard(file).yard.pot("pot-2").layers
    dahlia = next(layer for layer in layers if layer.id == "layer-99")
    lifted = [layer.lifted_on for layer in layers if layer.lifted_on is not None]
    assert lifted and set(lifted) == {dahlia.planted}


@pytest.mark.parametrize(
    ("given", "words"),
    [("7:lift", "the conflicts are 1 to 1"), ("1:wait", "the ways out are lift"), ("x", "1 to 1")],
)
def test_a_choice_that_is_none_is_refused(capsys, file: Path, given: str, words: str) -> None:
    before = file.read_bytes()
    assert main(["succession", str(file), "--choose", given]) == 2
    assert words in capsys.readouterr().err
    assert file.read_bytes() == before


def test_season_and_check_tell_of_companions_and_conflicts(capsys, file: Path) -> None:
    main(["season", str(file)])
    out = capsys.readouterr().out
    assert "on top, by date: 5 × Viola × wittrockiana" in out
    assert main(["check", str(file)]) == 1
    assert "is due on 1 May" in " ".join(capsys.readouterr().out.split())


def test_an_unknown_companion_is_named_with_its_place(capsys, file: Path) -> None:
    yard = json.loads(file.read_text("utf-8"))
    yard["pots"][1]["companions"][0]["companion_id"] = "winter-pansie"
    file.write_text(json.dumps(yard), "utf-8")
    assert main(["season", str(file)]) == 3
    err = capsys.readouterr().err
    assert "companions[0].companion_id" in err and "winter-pansy" in err


def test_check_holds_only_plants_that_stand_together_against_the_surface(
    capsys, file: Path
) -> None:
    document = json.loads(file.read_text("utf-8"))
    pot = next(each for each in document["pots"] if each["id"] == "pot-2")
    count = int(0.7 / share_of_one(load_yard(file).yard.pot("pot-2"), "winter-pansy"))

    def crowding(taken_out: str) -> list[dict[str, str]]:
        first = {"id": "companion-1", "planted": "2026-10-01", "taken_out": taken_out}
        second = {"id": "companion-2", "planted": "2027-03-10"}
        common = {"companion_id": "winter-pansy", "count": count}
        pot["companions"] = [first | common, second | common]
        file.write_text(json.dumps(document), "utf-8")
        capsys.readouterr()
        main(["check", str(file), "--format", "json"])
        found = json.loads(capsys.readouterr().out)
        return [each for each in found if each["topic"] == "crowding"]

    assert len(crowding("2027-03-20")) == 1
    assert crowding("2027-03-01") == []
