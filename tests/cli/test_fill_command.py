from __future__ import annotations

import csv
import io
import json
from datetime import date
from pathlib import Path

import pytest

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard, save_yard
from bloomline.model.wish import SeasonWish
from bloomline.model.wish_edits import add_wish
from bloomline.model.yard import PlaceChoice, Pot, Yard

TODAY = ["--today", "2026-09-01"]


@pytest.fixture
def yard_file(tmp_path: Path) -> Path:
    """Two empty pots at Bath."""
    place = PlaceChoice(name="Bath", latitude_deg=51.381, longitude_deg=-2.359)
    pots = tuple(
        Pot(
            id=f"pot-{n}",
            name=f"Pot {n}",
            top_width_cm=30,
            bottom_width_cm=26,
            inside_height_cm=36,
            crocks_cm=2.0,
        )
        for n in (1, 2)
    )
    path = tmp_path / "yard.bloomline"
    save_yard(path, Yard(name="Two", place=place, season_year=2027, pots=pots), seen=None)
    return path


def test_a_pot_is_answered_and_planted(capsys, yard_file: Path, tmp_path: Path) -> None:
    out = tmp_path / "filled.bloomline"
    asked = ["fill", str(yard_file), "--pot", "Pot 1", "--scent", "--budget", "40", *TODAY]
    assert main([*asked, "--format", "json", "--apply", "1", "--out", str(out)]) == 0
    told = json.loads(capsys.readouterr().out)
    answer = told["answers"][0]
    assert answer["cost"] <= 40
    assert answer["bound_gap_percent"] < 2
    assert answer["days_gained"] > 60
    after = load_yard(out).yard
    lying = {(each.cultivar_id, each.count) for each in after.pots[0].layers}
    assert lying == {(each["cultivar"]["id"], each["count"]) for each in answer["layers"]}
    assert load_yard(yard_file).yard.pots[0].layers == ()
    assert main(["season", str(out), "--format", "json"]) == 0
    season = json.loads(capsys.readouterr().out)
    assert season["weeks_of_colour"]["expected"] == answer["weeks_of_colour"]


def test_a_yard_is_answered_in_lines_of_a_page(capsys, yard_file: Path) -> None:
    assert main(["fill", str(yard_file), "--budget", "50", "--seconds", "2", *TODAY]) == 0
    out = capsys.readouterr().out
    assert "Most colour" in out
    assert "Wear gloves" in out or "wear gloves" in out
    assert max(len(line) for line in out.splitlines()) <= 100


def test_a_gap_is_listed_as_a_table(capsys, yard_file: Path) -> None:
    asked = ["fill", str(yard_file), "--gap", "2027-03-01", "2027-03-31", *TODAY]
    assert main([*asked, "--format", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) > 20
    assert float(rows[0]["days_gained"]) > 5
    rates = [float(row["days_per_money"]) for row in rows if row["days_per_money"]]
    assert rates == sorted(rates, reverse=True)
    assert main(asked) == 0
    out = capsys.readouterr().out
    assert max(len(line) for line in out.splitlines()) <= 100
    assert main([*asked, "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["days"] == 31
    assert told["bare_days"] == 31


@pytest.mark.parametrize(
    ("options", "code", "words"),
    [
        (["--apply", "1"], 2, "--apply and --out go together"),
        (["--pot", "Nowhere"], 2, "Nowhere"),
        (["--gap", "2027-03-01", "2027-03-31", "--from", "2027-03-01"], 2, "--gap has its own"),
        (["--from", "2027-04-01", "--to", "2027-03-01"], 2, "lies before"),
        (["--pot", "Pot 1", "--height", "2"], 1, ""),
        (["--budget", "-4"], 2, "below nothing"),
        (["--dislike", "turnip"], 2, "turnip"),
        (["--colours", "loud"], 2, "invalid choice"),
    ],
)
def test_bad_use_and_no_answer(capsys, yard_file: Path, options, code, words) -> None:
    assert main(["fill", str(yard_file), *options, *TODAY]) == code
    assert words in capsys.readouterr().err


def test_the_cheapest_change_that_keeps_a_wish(capsys, yard_file: Path, tmp_path: Path) -> None:
    yard = load_yard(yard_file).yard
    wish = SeasonWish(id="wish-1", first="03-25", last="03-31")
    save_yard(yard_file, add_wish(yard, wish), seen=None)
    out = tmp_path / "kept.bloomline"
    asked = ["fill", str(yard_file), "--keep-wish", "1", *TODAY]
    assert main([*asked, "--format", "json", "--apply", "1", "--out", str(out)]) == 0
    (answer,) = json.loads(capsys.readouterr().out)["answers"]
    assert answer["layers"]
    assert main(["season", str(out), "--format", "json"]) == 0
    (told,) = json.loads(capsys.readouterr().out)["wishes"]
    assert told["kept"] is True
    assert main(["fill", str(out), "--keep-wish", "1", *TODAY]) == 1
    assert "kept already" in capsys.readouterr().out
    assert main(["fill", str(out), "--keep-wish", "2", *TODAY]) == 2
    assert "there is no wish 2" in capsys.readouterr().err
    assert main([*asked, "--pot", "Pot 1"]) == 2
    assert "leave out" in capsys.readouterr().err


def test_wishes_for_the_season_are_told(capsys, yard_file: Path) -> None:
    yard = load_yard(yard_file).yard
    wish = SeasonWish(id="wish-1", first="03-01", last="03-31", pots_at_least=2)
    save_yard(yard_file, add_wish(yard, wish), seen=None)
    assert main(["check", str(yard_file)]) == 1
    assert "at least 2 pots in colour from 1 March 2027" in capsys.readouterr().out
    assert main(["season", str(yard_file), "--format", "json"]) == 0
    (told,) = json.loads(capsys.readouterr().out)["wishes"]
    assert told["kept"] is False
    assert date.fromisoformat(told["first"]) == date(2027, 3, 1)
