"""`bloomline kinds`: packets, mixtures and tables on the command line."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard
from bloomline.plan.kinds.table import shared_path


@pytest.fixture
def file(checkout: Path, tmp_path: Path) -> str:
    path = tmp_path / "yard.bloomline"
    path.write_bytes((checkout / "demo" / "hollyhock-lane.bloomline").read_bytes())
    return str(path)


PACKET = (
    *("--add", "Evening Tale", "--type", "tulip", "--class", "triumph"),
    *("--flowers", "April-May", "--colour", "apricot", "--height", "45"),
)


def test_a_packet_is_added_listed_and_taken_out(capsys, file: str) -> None:
    assert main(["kinds", file, *PACKET, "--price", "4.5", "--pack", "12"]) == 0
    out = capsys.readouterr().out
    assert "own-tulipa-evening-tale" in out and "April – May, for United Kingdom" in out
    yard = load_yard(Path(file)).yard
    (kind,) = yard.own_cultivars
    assert (kind.name, kind.typical_pack, kind.division) == ("Tulipa 'Evening Tale'", 12, 3)
    assert [(p.pack, p.price) for p in yard.prices if p.cultivar_id == kind.id] == [(12, 4.5)]
    assert main(["kinds", file, "--format", "json"]) == 0
    (found,) = json.loads(capsys.readouterr().out)
    assert found["packet"]["first"] == "04-01" and found["in"] == []
    assert main(["kinds", file, "--remove", kind.id]) == 0
    assert load_yard(Path(file)).yard.own_cultivars == ()


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("--height", "900"), "height: 3 cm to 250 cm"),
        (("--flowers", "Febtober"), "flowers: "),
        (("--flowers", "October"), "another type"),
        (("--type", "tulp"), "did you mean tulip?"),
        (("--class", "trimph"), "did you mean Triumph?"),
        (("--country", "Germoney"), "did you mean Germany?"),
        (("--depth", "70"), "cover: "),
    ],
)
def test_what_can_not_be_is_told_and_nothing_is_written(capsys, file: str, change, told) -> None:
    before = Path(file).read_bytes()
    assert main(["kinds", file, *PACKET, *change]) in (2, 3)
    assert told in capsys.readouterr().err
    assert Path(file).read_bytes() == before


def test_what_is_unusual_is_told_and_done(capsys, file: str) -> None:
    assert main(["kinds", file, *PACKET, "--height", "90"]) == 1
    assert "right?" in capsys.readouterr().err
    assert load_yard(Path(file)).yard.own_cultivars[0].height_cm == 90


def test_a_mixture_is_made_of_named_kinds(capsys, file: str) -> None:
    parts = ("--part", "Apricot Beauty=40", "--part", "Shirley=60%")
    assert main(["kinds", file, "--mix", "Sunrise", *parts]) == 0
    assert "60 % 'Shirley' and 40 % 'Apricot Beauty'" in capsys.readouterr().out
    (kind,) = load_yard(Path(file)).yard.own_cultivars
    assert kind.name == "Tulipa (Sunrise, mixed)"
    assert main(["kinds", file, "--mix", "x", "--part", "Quuxian=1"]) in (2, 3)
    assert "Quuxian" in capsys.readouterr().err


def test_a_table_goes_from_yard_to_yard_and_serves_as_catalogue(
    capsys, file: str, tmp_path: Path, checkout: Path
) -> None:
    assert main(["kinds", file, *PACKET]) == 0
    table = tmp_path / "kinds.csv"
    assert main(["kinds", file, "--export", str(table)]) == 0
    with table.open(encoding="utf-8", newline="") as handle:
        (row,) = csv.DictReader(handle)
    shipped = (checkout / "shared" / "catalogue" / "cultivars.csv").read_text("utf-8")
    assert set(shipped.splitlines()[0].split(",")) <= set(row)
    other = tmp_path / "other.bloomline"
    other.write_bytes((checkout / "demo" / "quince-steps.bloomline").read_bytes())
    assert main(["kinds", str(other), "--import", str(table)]) == 0
    assert load_yard(other).yard.own_cultivars[0].name == "Tulipa 'Evening Tale'"
    capsys.readouterr()
    assert main(["cultivars", "evening tale", "--catalogue", str(table)]) == 0
    assert "Evening Tale" in capsys.readouterr().out


def test_a_kind_is_kept_and_taken_into_another_yard(
    capsys, file: str, tmp_path: Path, checkout: Path, monkeypatch
) -> None:
    kept = tmp_path / "data" / "own-kinds.csv"
    monkeypatch.setattr("bloomline.plan.kinds.table.shared_path", lambda: kept)
    assert main(["kinds", file, *PACKET]) == 0
    assert main(["kinds", file, "--keep", "own-tulipa-evening-tale"]) == 0
    other = tmp_path / "other.bloomline"
    other.write_bytes((checkout / "demo" / "quince-steps.bloomline").read_bytes())
    assert main(["kinds", str(other), "--take-kept"]) == 0
    assert [each.id for each in load_yard(other).yard.own_cultivars] == ["own-tulipa-evening-tale"]
    kept.write_text("nonsense\n1\n")
    assert main(["kinds", str(other), "--take-kept"]) == 1
    assert "nonsense" in capsys.readouterr().err


def test_kept_kinds_lie_in_the_data_folder() -> None:
    assert shared_path().name == "own-kinds.csv" and "bloomline" in str(shared_path())
