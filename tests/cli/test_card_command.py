"""The card command."""

from __future__ import annotations

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
