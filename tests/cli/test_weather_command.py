"""`bloomline weather` and `bloomline compare` from the command line."""

from __future__ import annotations

import csv
import io
import json
import shutil
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from functools import lru_cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.cli.compare import comparison_lines, comparison_object
from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard
from bloomline.plan.climate.own_weather import recorded_of
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.scenarios import Scenario, compare
from bloomline.reference.catalogue import load_catalogue

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
    assert "138 recorded days from 1 October 2026 to 17 February 2027" in capsys.readouterr().err
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


def test_a_year_that_is_not_there_is_told_in_the_numbers_given(yard, capsys):
    assert main(["compare", str(yard), "--weather-year", "99"]) == 2
    told = capsys.readouterr().err
    assert "no weather year 99: they go from 1, the coldest, to 21, the warmest" in told


def test_good_rows_are_kept_and_bad_ones_told(yard, log, capsys):
    log.write_text(log.read_text() + "0026-03-01;1;5\n")
    assert main(["weather", str(yard), "--add", str(log)]) == 1
    told = capsys.readouterr().err
    assert "line 140: the year 0026 is outside 1900 to 2199; is 2026 meant?" in told
    assert "1 line left out" in told and "138 recorded days" in told
    plain = log.with_name("plain.csv")
    plain.write_text("date,tmin_c,tmax_c\n2026-11-01,3,8\n2026-11-02,x,8\n2026-11-03,2,8\n")
    assert main(["season", str(yard), "--weather", str(plain)]) == 0
    assert "line 3: tmin_c “x” is not a number" in capsys.readouterr().err


_MEANS = st.floats(0.0, 60.0).map(lambda value: round(value, 3))


@settings(max_examples=100, deadline=None)
@given(weeks=st.tuples(_MEANS, _MEANS), bare=st.tuples(_MEANS, _MEANS))
def test_every_difference_shown_is_that_of_the_figures_beside_it(weeks, bare):
    def changed(report, at):
        spreads = {
            "weeks_of_colour": replace(report.weeks_of_colour, expected=weeks[at]),
            "bare_days": replace(report.bare_days, expected=bare[at]),
        }
        return replace(report, **spreads)

    plain = same_twice()
    answer = replace(plain, a=changed(plain.a, 0), b=changed(plain.b, 1))
    shown = [line.split()[-3:] for line in comparison_lines(answer) if line[:4] in ("week", "bare")]
    assert len(shown) == 2
    for a, b, difference in shown:
        assert Decimal(b) - Decimal(a) == Decimal(difference)
    told = comparison_object(answer)
    for name in ("weeks_of_colour", "bare_days"):
        a, b, difference = (Decimal(str(told[side][name])) for side in ("a", "b", "difference"))
        assert b - a == difference


@lru_cache
def same_twice():
    looked_at = Outlook.of(
        load_yard(DEMO).yard,
        catalogue=load_catalogue(),
        forecaster=Forecaster(),
        today=date(2026, 11, 20),
    )
    return compare(looked_at, Scenario(), Scenario())
