from __future__ import annotations

import csv
import io
import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from bloomline.cli.main import main

SINGLE = ["--place", "De Bilt", "--cultivar", "Red Emperor", "--planted", "2024-11-01"]


@pytest.fixture
def ask(capsys):
    """Run `bloomline forecast --format json` and give code, answers and messages."""

    def run(*arguments: str):
        code = main(["forecast", *arguments, "--format", "json", "--today", "2025-09-01"])
        out, err = capsys.readouterr()
        return code, json.loads(out) if out else None, err

    return run


def test_one_answer_has_dates_in_order_and_says_where_it_comes_from(ask) -> None:
    code, (answer,), err = ask(*SINGLE)
    assert (code, err) == (0, "")
    assert answer["station"] == {"id": "0-20000-0-06260", "name": "De Bilt", "distance_km": 0.0}
    assert answer["cultivar"] == {
        "id": "tulipa-madame-lefeber",
        "name": "Tulipa 'Madame Lefeber'",
    }
    assert answer["planted"] == "2024-11-01"
    assert answer["reason"] is None
    assert answer["cold_weeks"] > answer["cold_weeks_needed"] > 0
    for point in ("p10", "p50", "p90"):
        days = [date.fromisoformat(answer[band][point]) for band in ("start", "full", "end")]
        assert days == sorted(days)
        assert days[0].year == 2025
    for band in ("start", "full", "end"):
        assert answer[band]["p10"] <= answer[band]["p50"] <= answer[band]["p90"]
    assert {"severity", "topic", "message", "reason", "source"} == set(answer["advice"][0])


@pytest.mark.parametrize(
    "name",
    ["tulipa-madame-lefeber", "Tulipa 'Madame Lefeber'", "tulipa “MADAME LEFEBER”", "Red Emperor"],
)
def test_a_cultivar_is_known_by_any_of_its_names(ask, name: str) -> None:
    _, (answer,), _ = ask("--place", "De Bilt", "--cultivar", name, "--planted", "2024-11-01")
    assert answer["cultivar"]["id"] == "tulipa-madame-lefeber"


def test_several_cultivars_are_answered_in_the_order_they_are_named(ask, capsys) -> None:
    where = ("--place", "De Bilt", "--planted", "2024-11-01")
    code, answers, _ = ask(*where, "--cultivar", "Thalia", "--cultivar", "Red Emperor")
    assert code == 0 and [each["id"] for each in answers] == ["1", "2"]
    alone = [ask(*where, "--cultivar", name)[1][0] for name in ("Thalia", "Red Emperor")]
    assert [each["start"] for each in answers] == [each["start"] for each in alone]
    main(["forecast", *where, "--cultivar", "Thalia", "--cultivar", "Red Emperor"])
    out = capsys.readouterr().out
    assert out.index("Narcissus 'Thalia'") < out.index("Tulipa 'Madame Lefeber'")


def test_near_misses_of_a_cultivar_are_suggested(ask) -> None:
    code, answer, err = ask("--place", "De Bilt", "--cultivar", "Red Emporer")
    assert (code, answer) == (2, None)
    assert "no cultivar called “Red Emporer”; did you mean Tulipa 'Madame Lefeber'" in err


def test_height_delays(ask) -> None:
    _, (low,), _ = ask(*SINGLE)
    _, (high,), _ = ask(*SINGLE, "--elevation", "300")
    assert high["place"]["elevation_m"] == 300
    assert high["start"]["p50"] > low["start"]["p50"]


def test_the_south_flowers_in_its_own_spring(ask) -> None:
    _, (answer,), _ = ask(
        *("--latitude", "-42.88", "--longitude", "147.33", "--cultivar", "Red Emperor"),
        *("--planted", "2024-05-01"),
    )
    assert "2024-08-01" < answer["start"]["p50"] < "2024-12-01"


def test_without_a_planting_day_the_usual_one_is_taken(ask) -> None:
    _, (answer,), _ = ask("--place", "De Bilt", "--cultivar", "Thalia")
    assert "2025-08-15" < answer["planted"] < "2025-12-15"


def test_pot_and_ground_site_and_prechilling_change_the_answer(ask) -> None:
    _, (pot,), _ = ask(*SINGLE)
    _, (ground,), _ = ask(*SINGLE, "--where", "ground")
    _, (wall,), _ = ask(*SINGLE, "--site", "warm-wall")
    _, (chilled,), _ = ask(*SINGLE, "--prechill-weeks", "10")
    assert ground["where"] == "ground"
    assert wall["start"]["p50"] < pot["start"]["p50"]
    assert chilled["cold_weeks"] > pot["cold_weeks"] + 5
    cold = (*SINGLE, "--place", "0-20000-0-72509")  # Boston
    _, (usual,), _ = ask(*cold)
    _, (small,), _ = ask(*cold, "--pot-width-cm", "10", "--wall-cm", "0.3", "--material", "metal")
    assert small["killed_share"] > usual["killed_share"]


def test_recorded_weather_changes_the_answer_of_its_own_season_only(ask, tmp_path: Path) -> None:
    path = tmp_path / "weather.csv"
    days = [date(2025, 2, 1) + timedelta(days=i) for i in range(100)]
    path.write_text("date,tmin_c,tmax_c\n" + "".join(f"{d},9,17\n" for d in days))
    _, (without,), _ = ask(*SINGLE)
    _, (warm,), _ = ask(*SINGLE, "--weather", str(path))
    assert warm["start"]["p50"] < without["start"]["p50"]
    width = {
        name: date.fromisoformat(answer["start"]["p90"])
        - date.fromisoformat(answer["start"]["p10"])
        for name, answer in (("without", without), ("warm", warm))
    }
    assert width["warm"] < width["without"]
    other = [*SINGLE[:-1], "2019-11-01"]
    assert ask(*other)[1] == ask(*other, "--weather", str(path))[1]


def test_faulty_weather_is_bad_input(ask, tmp_path: Path) -> None:
    path = tmp_path / "weather.csv"
    path.write_text("date,tmin_c,tmax_c\n2024-12-01,7,3\n")
    code, answer, err = ask(*SINGLE, "--weather", str(path))
    assert (code, answer) == (3, None)
    assert err == f"bloomline: {path}: line 2: tmin_c 7 is above tmax_c 3\n"


def test_an_own_catalogue_comes_first(ask, tmp_path: Path) -> None:
    path = tmp_path / "own.csv"
    path.write_text("id,ref_start_md,ref_end_md\ntulipa-madame-lefeber,05-10,05-25\n")
    _, (ours,), _ = ask(*SINGLE)
    _, (own,), _ = ask(*SINGLE, "--catalogue", str(path))
    assert own["start"]["p50"] > ours["start"]["p50"]


def test_a_depth_and_a_garage_may_be_asked_for(ask) -> None:
    _, (usual,), _ = ask(*SINGLE)
    _, (deep,), _ = ask(*SINGLE, "--cover-cm", "30")
    _, (kept,), _ = ask(*SINGLE, "--site", "garage", "--sheltered-until", "2025-03-01")
    assert deep["start"]["p50"] > usual["start"]["p50"] > kept["start"]["p50"]


def test_too_little_cold_gives_a_reason_not_a_date(ask) -> None:
    code, (answer,), _ = ask(
        "--place", "Darwin Airport", "--cultivar", "Red Emperor", "--planted", "2024-06-01"
    )
    assert code == 0
    assert (answer["start"], answer["full"], answer["end"]) == (None, None, None)
    assert "weeks of cold" in answer["reason"]
    assert answer["too_little_cold_share"] == 1.0


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--cultivar", "Thalia"], "no place given"),
        (["--place", "De Bilt"], "no cultivar given"),
        (["--latitude", "52", "--cultivar", "Thalia"], "go together"),
        (["--latitude", "92", "--longitude", "5", "--cultivar", "Thalia"], "latitude 92"),
        (["--place", "Sappora", "--cultivar", "Thalia"], "no place called “Sappora”; did you mean"),
        ([*SINGLE, "--planted", "2024-13-01"], "“2024-13-01” is not a date like 2025-11-01"),
        ([*SINGLE, "--prechill-weeks", "99"], "99 weeks of pre-chilling"),
        ([*SINGLE, "--prechill-weeks", "nan"], "“nan” is not a number"),
        ([*SINGLE, "--cover-cm", "-2"], "-2 cm over the bulb"),
        ([*SINGLE, "--pot-width-cm", "1"], "a pot 1 cm wide"),
        ([*SINGLE, "--elevation", "1e5"], "outside -450 to 6000"),
        ([*SINGLE, "--sheltered-until", "2025-03-01"], "--sheltered-until needs --site"),
        ([*SINGLE, "--material", "tin"], "invalid choice: 'tin'"),
    ],
)
def test_bad_use_is_told_in_one_sentence(ask, arguments: list[str], told: str) -> None:
    code, answer, err = ask(*arguments)
    assert (code, answer) == (2, None)
    assert told in err
    assert err.count("\n") == 1
    assert err.startswith("bloomline: ")


BULK = """\
cultivar,id,place,latitude_deg,longitude_deg,elevation_m,planted,where,prechill_weeks
Red Emperor,first,De Bilt,,,,2024-11-01,,
Red Emporer,typo,De Bilt,,,,2024-11-01,,
Tulipa 'Madame Lefeber',second,,52.1,5.18,,2024-11-01,ground,4
Thalia,=1+1,De Bilt,,,,2024-11-31,,
Thalia,nowhere,Lemuria Parva,,,,2024-11-01,,
Thalia,last,Lemuria Parva,52.1,5.18,250,2024-10-01,,
"""


@pytest.fixture
def bulk(tmp_path: Path) -> str:
    path = tmp_path / "requests.csv"
    path.write_text(BULK)
    return str(path)


def test_bad_rows_are_told_and_the_others_answered_in_order(ask, bulk: str) -> None:
    code, answers, err = ask("--requests", bulk)
    assert code == 1
    assert [each["id"] for each in answers] == [
        *("first", "typo", "second", "=1+1", "nowhere", "last"),
    ]
    assert [each["id"] for each in answers if "error" in each] == ["typo", "=1+1", "nowhere"]
    assert all(set(each) == {"id", "error"} for each in answers if "error" in each)
    assert f"{bulk}: row 3: no cultivar called “Red Emporer”" in err
    assert f"{bulk}: row 5: planted: “2024-11-31”" in err
    assert f"{bulk}: row 6: no place called “Lemuria Parva”" in err
    assert "3 of 6 rows could not be answered" in err


def test_a_row_of_the_table_gets_the_answer_it_gets_alone(ask, bulk: str) -> None:
    answers = ask("--requests", bulk)[1]
    _, (alone,), _ = ask(*SINGLE)
    assert answers[0] == {**alone, "id": "first"}
    _, (ground,), _ = ask(
        *("--latitude", "52.1", "--longitude", "5.18", "--cultivar", "Red Emperor"),
        *("--planted", "2024-11-01", "--where", "ground", "--prechill-weeks", "4"),
    )
    assert answers[2] == {**ground, "id": "second"}


def test_a_position_helps_where_the_name_is_unknown_and_height_counts(ask, bulk: str) -> None:
    _, answers, err = ask("--requests", bulk)
    assert answers[-1]["place"]["elevation_m"] == 250
    assert "no single place is called “Lemuria Parva”" in err


def test_place_and_position_together_use_the_named_station(ask, tmp_path: Path) -> None:
    path = tmp_path / "requests.csv"
    path.write_text(
        "id,place,latitude_deg,longitude_deg,elevation_m,cultivar\n"
        "near,De Bilt,52.3,5.4,80,Thalia\n"
        "far,De Bilt,43.06,141.33,20,Thalia\n"
    )
    code, (near, far), err = ask("--requests", str(path))
    assert code == 0
    assert near["station"]["name"] == "De Bilt"
    assert 20 < near["station"]["distance_km"] < 40
    assert near["place"]["elevation_m"] == 80
    assert far["station"]["name"] == "Sapporo"
    assert "De Bilt, Netherlands, 2 m is 8" in err


def test_csv_answers_are_whole_and_safe_in_a_spreadsheet(capsys, bulk: str) -> None:
    assert main(["forecast", "--requests", bulk, "--format", "csv"]) == 1
    out = capsys.readouterr().out
    assert out.count("\r\n") == 7
    rows = list(csv.DictReader(io.StringIO(out)))
    assert rows[0]["id"] == "first"
    assert rows[0]["start_p10"] <= rows[0]["start_p50"] <= rows[0]["start_p90"]
    assert rows[1]["error"].startswith("no cultivar called “Red Emporer”")
    assert rows[3]["id"] == "'=1+1"


def test_tables_fit_a_page(capsys, bulk: str) -> None:
    assert main(["forecast", *SINGLE]) == 0
    assert main(["forecast", "--requests", bulk]) == 1
    out = capsys.readouterr().out
    assert "First flower" in out
    assert "Tulipa 'Madame Lefeber'" in out
    assert max(len(line) for line in out.splitlines()) <= 101


def test_options_of_a_single_forecast_clash_with_a_table(ask, bulk: str) -> None:
    code, _, err = ask("--requests", bulk, "--prechill-weeks", "3")
    assert code == 2
    assert "--prechill-weeks is for a single forecast" in err


def test_a_table_that_is_not_there_is_bad_input(ask, tmp_path: Path) -> None:
    code, answer, err = ask("--requests", str(tmp_path / "none.csv"))
    assert (code, answer) == (3, None)
    assert "there is no such file" in err


def test_a_place_of_several_is_not_guessed(ask) -> None:
    code, answer, err = ask("--place", "Aberdeen", "--cultivar", "Thalia")
    assert (code, answer) == (2, None)
    assert "Aberdeen, South Dakota, United States" in err
    assert "Aberdeen Dyce, United Kingdom" in err


def test_a_place_of_another_name_is_told(ask) -> None:
    code, (answer,), err = ask("--place", "Perth", "--cultivar", "Thalia")
    assert code == 0
    assert f"“Perth” is taken as {answer['place']['name']}" in err


@pytest.mark.parametrize(
    "name", ["white triumphator tulip", "White Triumfator", "T. white triumphator"]
)
def test_a_kind_is_found_as_people_write_it(capsys, name: str) -> None:
    asked = ["forecast", "--cultivar", name, "--place", "De Bilt", "--planted", "2026-11-10"]
    assert main([*asked, "--today", "2026-11-20"]) == 0
    assert "Tulipa 'White Triumphator'" in capsys.readouterr().out
