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
