"""The card command."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bloomline.cli.main import main

DEMO = str(Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline")


def test_a_card_of_one_pot(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "sink.pdf"
    assert main(["card", DEMO, "--pot", "Stone sink", "--page", "a4", "--out", str(out)]) == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert capsys.readouterr().out.strip() == str(out)


def test_bad_names_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", DEMO, "--pot", "Stone sank", "--out", str(tmp_path / "a.pdf")]) == 2
    assert "Stone sink" in capsys.readouterr().err
    assert main(["card", DEMO, "--out", str(tmp_path / "a.txt")]) == 2
    assert list(tmp_path.iterdir()) == []


def test_pictures_of_a_batch_are_named_by_their_pots(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wanted = ["--pot", "Stone sink", "--pot", "Snowdrop pan", "--dpi", "50"]
    assert main(["card", DEMO, *wanted, "--out", str(tmp_path / "c.png")]) == 0
    told = [Path(line).name for line in capsys.readouterr().out.splitlines()]
    assert "c-stone-sink.png" in told and "c-snowdrop-pan.png" in told
    assert sorted(told) == sorted(path.name for path in tmp_path.iterdir())


def test_other_units_may_be_asked_for(tmp_path: Path) -> None:
    def drawn(name: str, *more: str) -> bytes:
        out = tmp_path / name
        assert main(["card", DEMO, "--pot", "Stone sink", "--out", str(out), *more]) == 0
        return out.read_bytes()

    metric = drawn("metric.svg")
    assert drawn("same.svg", "--units", "metric") == metric
    assert drawn("inches.svg", "--units", "imperial") != metric


def test_an_empty_pot_has_no_card_unless_it_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    demo = str(Path(DEMO).with_name("quince-steps.bloomline"))

    def names(*more: str) -> list[str]:
        assert main(["card", demo, "--dpi", "50", "--out", str(tmp_path / "c.png"), *more]) == 0
        return [Path(line).name for line in capsys.readouterr().out.splitlines()]

    assert names() == ["c-green-tub.png", "c-terracotta-bowl.png", "c-cautions.png"]
    assert "c-spare-tub.png" in names("--empty")
    assert names("--pot", "Spare tub") == ["c.png"]  # a pot that is named is asked for


def test_a_yard_of_empty_pots_says_that_there_is_nothing_to_print(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = json.loads(Path(DEMO).read_text("utf-8"))
    data["pots"] = [{**pot, "layers": []} for pot in data["pots"][:1]]
    data["records"] = []
    yard = tmp_path / "bare.bloomline"
    yard.write_text(json.dumps(data), "utf-8")
    assert main(["card", str(yard), "--out", str(tmp_path / "c.pdf")]) == 2
    assert "nothing to print" in capsys.readouterr().err
    assert not (tmp_path / "c.pdf").exists()


def test_help_says_what_a_card_holds(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", "--help"]) == 0
    words = " ".join(capsys.readouterr().out.split())
    assert "a section for each day of planting" in words and "--empty" in words
