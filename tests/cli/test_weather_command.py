"""`bloomline weather` and `bloomline compare` from the command line."""

from __future__ import annotations

import csv
import io
import json
import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard
from bloomline.plan.climate.own_weather import recorded_of

DEMO = Path(__file__).parent.parent.parent / "demo" / "hollyhock-lane.bloomline"


@pytest.fixture
def yard(tmp_path):
    return shutil.copy(DEMO, tmp_path / "yard.bloomline")


@pytest.fixture
def log(tmp_path):
    path = tmp_path / "log.csv"
    rows = [
        f"{date(2026, 10, 1) + timedelta(days=i):%d/%m/%Y};{8 - i / 20:.1f};{15 - i / 20:.1f}"
        for i in range(140)
        if i not in (20, 21)
    ]
    path.write_text("date;min °C;max °C\n" + "\n".join(rows) + "\n")
    return path


def test_added_weather_counts_in_the_season(yard, log, capsys):
    assert main(["season", str(yard), "--format", "json"]) == 0
    before = json.loads(capsys.readouterr().out)
    assert main(["weather", str(yard), "--add", str(log)]) == 0
    assert "138 recorded days from 2026-10-01 to 2027-02-17" in capsys.readouterr().err
    assert main(["season", str(yard), "--format", "json"]) == 0
    after = json.loads(capsys.readouterr().out)
    assert "140 recorded days" in after["weather"]
    assert before["layers"][0]["start"] != after["layers"][0]["start"]
    assert main(["season", str(yard), "--place", "Aberdeen Dyce", "--format", "json"]) == 0
    assert "recorded" not in json.loads(capsys.readouterr().out)["weather"]


def test_what_moved_is_shown_in_every_format(yard, log, capsys):
    assert main(["weather", str(yard), "--add", str(log)]) == 0
    capsys.readouterr()
    assert main(["weather", str(yard)]) == 0
    text = capsys.readouterr().out
    assert "2 missing days bridged" in text
    assert "Tulipa 'Shirley'" in text
    assert max(len(line) for line in text.splitlines()) <= 100
    assert main(["weather", str(yard), "--format", "json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert len(answer["layers"][0]["expected"]) == len(answer["cutoffs"])
    assert main(["weather", str(yard), "--format", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) == len(answer["layers"])


def test_a_question_is_asked_and_nothing_saved(yard, tmp_path, capsys):
    table = tmp_path / "t.csv"
    table.write_text("date,min °C,max °C\n01/02/2027,1,5\n03/04/2027,2,6\n")
    before = Path(yard).read_bytes()
    assert main(["weather", str(yard), "--add", str(table)]) == 2
    assert "--date-order dmy" in capsys.readouterr().err
    assert Path(yard).read_bytes() == before
    assert main(["weather", str(yard), "--add", str(table), "--date-order", "mdy"]) == 0
    kept = recorded_of(load_yard(Path(yard)).yard)
    assert kept is not None
    assert kept.days.astype(str).tolist() == ["2027-01-02", "2027-03-04"]


def test_odd_lines_are_refused_and_nothing_saved(yard, tmp_path, capsys):
    table = tmp_path / "t.csv"
    table.write_text("date,min °C,max °C\n2027-02-01,1,75\n2027-02-02,9,6\n")
    before = Path(yard).read_bytes()
    assert main(["weather", str(yard), "--add", str(table)]) == 3
    told = capsys.readouterr().err
    assert "line 2" in told
    assert "line 3" in told
    assert Path(yard).read_bytes() == before


def test_weather_is_forgotten_on_request(yard, log, capsys):
    assert main(["weather", str(yard), "--add", str(log)]) == 0
    assert main(["weather", str(yard), "--clear"]) == 0
    assert load_yard(Path(yard)).yard == load_yard(DEMO).yard
    assert main(["weather", str(yard)]) == 1
    assert main(["weather", str(yard), "--unit", "f"]) == 2
    capsys.readouterr()


def test_two_scenarios_side_by_side(yard, capsys):
    assert main(["compare", str(yard), "--warmer", "2"]) == 0
    text = capsys.readouterr().out
    assert "B: 2 °C warmer" in text
    assert max(len(line) for line in text.splitlines()) <= 100
    assert main(["compare", str(yard), "--weather-year", "coldest", "--format", "json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["a"]["scenario"] == "as it is"
    assert answer["difference"]["median_start_days"] > 0
    assert main(["compare", str(yard), "--place", "Aberdeen Dyce", "--format", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) == len(answer["layers"])


@pytest.mark.parametrize(
    "options", [[], ["--warmer", "30"], ["--weather-year", "mild"], ["--place", "Nowhere At All"]]
)
def test_a_bad_what_if_is_bad_use(yard, options, capsys):
    assert main(["compare", str(yard), *options]) == 2
    assert capsys.readouterr().err


def test_a_reason_for_no_flower_is_told_once_for_all_it_holds_for(capsys, yard) -> None:
    assert main(["compare", str(yard), "--place", "Uppsala"]) == 0
    told = capsys.readouterr().out
    assert told.count("Killed by frost in most years") == told.count("No flower in B: ") == 1
    assert "Narcissus 'Hawera'" in told.split("No flower in B: ")[1]
    assert max(map(len, told.splitlines())) <= 100
