from __future__ import annotations

import csv
import io
import json
import re
from datetime import date
from pathlib import Path

import jsonschema
import pytest

from bloomline.cli.main import main


@pytest.fixture
def demo(checkout: Path) -> str:
    (path,) = (checkout / "demo").glob("hollyhock-*.bloomline")
    return str(path)


@pytest.fixture
def changed(demo: str, tmp_path: Path):
    """Write the demo yard with a change and give its path."""

    def write(change) -> str:
        document = json.loads(Path(demo).read_text("utf-8"))
        change(document)
        path = tmp_path / "changed.bloomline"
        path.write_text(json.dumps(document))
        return str(path)

    return write


def test_season_lists_every_layer_and_the_stretches(capsys, demo: str) -> None:
    assert main(["season", demo, "--format", "json"]) == 0
    season = json.loads(capsys.readouterr().out)
    yard = json.loads(Path(demo).read_text("utf-8"))
    layers = [layer["id"] for pot in yard["pots"] for layer in pot.get("layers", [])]
    assert sorted(each["layer_id"] for each in season["layers"]) == sorted(layers)
    for each in season["layers"]:
        assert each["reason"] or each["start"]["p10"] <= each["start"]["p50"] <= each["end"]["p50"]
    for stretch in season["bare"] + season["crowded"]:
        first, last = (date.fromisoformat(stretch[name]) for name in ("first", "last"))
        assert stretch["days"] == (last - first).days + 1 > 0
    assert season["bare"]
    assert season["crowded"]
    assert season["weeks_of_colour"]["expected"] > 5


def test_season_table_and_csv(capsys, demo: str) -> None:
    assert main(["season", demo]) == 0
    out = capsys.readouterr().out
    assert "Bare, less than 50 % chance of colour:" in out
    assert "weeks of colour" in out
    assert max(len(line) for line in out.splitlines()) <= 100
    assert main(["season", demo, "--format", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) >= 16
    assert {row["pot"] for row in rows} == {
        pot["name"] for pot in json.loads(Path(demo).read_text("utf-8"))["pots"]
    }


def test_season_elsewhere(capsys, demo: str) -> None:
    assert main(["season", demo, "--format", "json"]) == 0
    here = json.loads(capsys.readouterr().out)
    assert main(["season", demo, "--format", "json", "--place", "De Bilt"]) == 0
    there = json.loads(capsys.readouterr().out)
    assert there["station_id"] == "0-20000-0-06260"
    assert there["layers"] != here["layers"]


def test_an_empty_yard_says_so(capsys, changed) -> None:
    path = changed(lambda yard: yard.update(pots=[], records=[]))
    assert main(["season", path]) == 0
    assert "No bulbs are planted" in capsys.readouterr().out
    assert main(["check", path]) == 0
    assert "Nothing to mend." in capsys.readouterr().out


@pytest.mark.parametrize("command", ["season", "check"])
def test_unknown_cultivars_are_named_with_their_place_in_the_file(
    capsys, changed, command: str
) -> None:
    def misspell(yard) -> None:
        yard["pots"][1]["layers"][0]["cultivar_id"] = "tulipa-madam-lefeber"

    path = changed(misspell)
    assert main([command, path]) == 3
    out, err = capsys.readouterr()
    assert out == ""
    assert f"{path}: pots[1].layers[0].cultivar_id: no cultivar called" in err
    assert "tulipa-madame-lefeber" in err


def test_check_finds_the_gap_and_the_crowd_of_the_demo(capsys, demo: str) -> None:
    assert main(["check", demo, "--format", "json"]) == 1
    found = json.loads(capsys.readouterr().out)
    topics = {each["topic"] for each in found}
    assert {"bare", "crowded"} <= topics
    rank = ["warning", "caution", "note"]
    order = [rank.index(each["severity"]) for each in found]
    assert order == sorted(order)
    assert main(["check", demo]) == 1
    assert "Caution: Bare from" in capsys.readouterr().out


def test_poison_is_to_be_mended_only_where_there_are_pets(capsys, changed) -> None:
    severities = {}
    for pets in (True, False):

        def keep_pets(yard, pets=pets) -> None:
            yard.setdefault("settings", {})["pets"] = pets

        main(["check", changed(keep_pets), "--format", "json"])
        found = json.loads(capsys.readouterr().out)
        severities[pets] = {each["severity"] for each in found if each["topic"] == "poison"}
    assert "warning" in severities[True]
    assert severities[False] == {"note"}


def test_what_is_no_yard_is_bad_input(capsys, tmp_path: Path) -> None:
    path = tmp_path / "x.bloomline"
    for content in (b"", b"{", b"[]", b"\xff\xff", b'{"format": "other"}'):
        path.write_bytes(content)
        assert main(["check", str(path)]) == 3
        out, err = capsys.readouterr()
        assert out == ""
        assert err.startswith(f"bloomline: {path}: ")
        assert err.count("\n") == 1


@pytest.mark.parametrize(
    ("name", "begin"), [("a.png", b"\x89PNG"), ("a.svg", b"<?xml"), ("a.pdf", b"%PDF")]
)
def test_chart_writes_what_its_name_says(capsys, demo: str, tmp_path: Path, name, begin) -> None:
    out = tmp_path / name
    arguments = ["--width", "900", "--theme", "dark", "--today", "2027-04-01"]
    assert main(["chart", demo, "--out", str(out), *arguments]) == 0
    assert capsys.readouterr().out == f"{out}\n"
    assert out.read_bytes().startswith(begin)


def test_chart_of_single_pots(capsys, demo: str, tmp_path: Path) -> None:
    pots = json.loads(Path(demo).read_text("utf-8"))["pots"]
    charts = []
    for chosen in ([], ["--pot", pots[0]["name"].upper()], ["--pot", pots[0]["id"]]):
        out = tmp_path / "a.svg"
        assert main(["chart", demo, "--out", str(out), *chosen]) == 0
        # Qt numbers gradients on from one picture of a process to the next.
        charts.append(re.sub(r"gradient\d+", "gradient", out.read_text("utf-8")))
    assert len(charts[0]) > len(charts[1]) and charts[1] == charts[2]
    capsys.readouterr()
    assert main(["chart", demo, "--out", str(out), "--pot", "no such pot"]) == 2
    assert "no pot called “no such pot”; did you mean" in capsys.readouterr().err


def test_chart_has_the_order_of_the_yard_or_of_first_flower(
    capsys, demo: str, tmp_path: Path
) -> None:
    pictures = []
    for order in ([], ["--by-first-flower"]):
        out = tmp_path / "a.svg"
        assert main(["chart", demo, "--out", str(out), *order]) == 0
        pictures.append(out.read_bytes())
    assert pictures[0] != pictures[1]


def test_chart_refuses_other_kinds_of_file(capsys, demo: str, tmp_path: Path) -> None:
    assert main(["chart", demo, "--out", str(tmp_path / "a.gif")]) == 2
    assert "a chart is a .png, .svg or .pdf" in capsys.readouterr().err
    assert main(["chart", demo, "--out", str(tmp_path / "none" / "a.png")]) == 3
    assert "can't be written" in capsys.readouterr().err


def test_schema_holds_for_the_demo_yard(capsys, demo: str) -> None:
    assert main(["schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(json.loads(Path(demo).read_text("utf-8")), schema)


@pytest.mark.parametrize("command", ["check", "work", "succession", "card", "chart"])
def test_which_station_was_taken_is_said_once(capsys, demo: str, tmp_path: Path, command) -> None:
    out = ["--out", str(tmp_path / "out.pdf")] if command in ("card", "chart") else []
    main([command, demo, "--place", "Bilt", *out])
    assert capsys.readouterr().err.count("is taken as De Bilt") == 1


def test_the_line_of_a_day_changes_nothing_else_in_a_chart(
    capsys, demo: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bloomline.draw.season import chart_export

    drawn = []

    def write(plan, out, **_):
        drawn.append(plan.report)
        return out

    monkeypatch.setattr(chart_export, "write_plan", write)
    chart = ["chart", demo, "--out", str(tmp_path / "out.svg")]
    for line in ([], ["--today"], ["--today", "1999-01-01"]):  # records of later days count
        assert main([*chart, *line]) == 0
    assert len({report.learned_words for report in drawn}) == 1
    assert len({report.layers[0].start for report in drawn}) == 1
