from __future__ import annotations

import csv
import io
import json
from datetime import date
from pathlib import Path

import pytest
import vobject
from pypdf import PdfReader

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard, save_yard
from bloomline.plan.climate.finding import place_meant
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.stage.drops import judge_stand
from bloomline.plan.stage.rota import stage_plan
from bloomline.reference.catalogue import load_catalogue

TODAY = ["--today", "2027-01-10"]


@pytest.fixture
def yard(checkout: Path, tmp_path: Path) -> Path:
    (demo,) = (checkout / "demo").glob("hollyhock-*.bloomline")
    path = tmp_path / "yard.bloomline"
    path.write_bytes(demo.read_bytes())
    return path


def run(capsys, *arguments: object, code: int = 0) -> tuple[str, str]:
    assert main([str(each) for each in arguments]) == code
    told = capsys.readouterr()
    return told.out, told.err


def test_places_are_made_changed_renamed_and_removed(capsys, yard: Path) -> None:
    run(
        capsys, "stage", yard, "--add", "Terrace", "--pots", 4, "--width", 220, "--light", "sun",
        "--seen-from", "bench", "--view", 2, "--wanted", "05-01:05-31:3", "--wanted", "easter",
        "--by-path", "yes", "--nose", 110, "--no-trolley", "yes", "--raised", 20,
    )  # fmt: skip
    place = load_yard(yard).yard.display_place("Terrace")
    assert (place.capacity, place.width_cm, place.sun, place.view_weight) == (4, 220, "sun", 2)
    assert (place.no_trolley, place.by_path, place.nose_height_cm) == (True, True, 110)
    assert [(w.feast, w.weight) for w in place.wanted] == [(None, 3.0), ("easter", 2.0)]
    out, _ = run(capsys, "stage", yard)
    assert max(len(line) for line in out.splitlines()) <= 100
    assert "seen from bench; 1–31 May × 3; the week before Easter" in out
    run(capsys, "stage", yard, "--set", "Terrace", "--width", 0, "--wanted", "none")
    place = load_yard(yard).yard.display_place("Terrace")
    assert place.width_cm is None and place.wanted == ()
    run(capsys, "stage", yard, "--rename", "Terrace", "Back terrace")
    run(capsys, "stage", yard, "--remove", "Back terrace")
    out, _ = run(capsys, "stage", yard, "--format", "json")
    names = [place["name"] for place in json.loads(out)["places"]]
    assert names == ["Front step", "Kitchen window", "Behind the shed"]


def test_a_pot_is_fixed_and_freed(capsys, yard: Path) -> None:
    run(capsys, "stage", yard, "--fix", "zinc tub", "Kitchen window",
        "--from", "2027-04-12", "--to", "2027-05-09")  # fmt: skip
    out, _ = run(capsys, "rota", yard, "--date", "2027-04-20", *TODAY)
    kitchen = out.split("Kitchen window")[1].split("Behind")[0]
    assert "Trough under the kitchen window" in kitchen and "Zinc tub: Tulipa" in kitchen
    out, _ = run(capsys, "rota", yard, *TODAY)
    assert "trolley only, your choice" in " ".join(out.split())
    out, _ = run(capsys, "stage", yard, "--free", "Zinc tub")
    assert "Fixed by hand" not in out
    run(capsys, "stage", yard, "--fix", "Stone sink", "-", "--from", "2027-04-12")
    assert load_yard(yard).yard.fixed_stands[0].place is None


@pytest.mark.parametrize(
    ("options", "code", "words"),
    [
        (["--add", "Front step"], 3, "already"),
        (["--remove", "Front stpe"], 2, "Front step"),
        (["--pots", "3"], 2, "goes with --add or --set"),
        (["--set", "Front step"], 2, "changes nothing"),
        (["--set", "Front step", "--wanted", "may"], 2, "easter:3"),
        (["--set", "Front step", "--wanted", "05-41:06-01"], 3, "04-17"),
        (["--set", "Front step", "--view", "-1"], 3, "view_weight"),
        (["--fix", "Zinc tub", "Front step"], 2, "--from"),
        (["--fix", "Zink tub", "Front step", "--from", "2027-04-01"], 2, "Zinc tub"),
        (["--free", "Zinc tub"], 3, "nothing is fixed"),
        (["--from", "2027-04-01"], 2, "--fix or --free"),
    ],
)
def test_what_makes_no_sense_is_refused_and_nothing_is_changed(
    capsys, yard: Path, options: list[str], code: int, words: str
) -> None:
    before = yard.read_bytes()
    got = main(["stage", str(yard), *options])
    assert words in capsys.readouterr().err
    assert got == code
    assert yard.read_bytes() == before


@pytest.mark.parametrize("place", ["Front step", "Barn"])
def test_what_nobody_can_carry_is_refused_in_the_words_of_the_window(
    capsys, yard: Path, place: str
) -> None:
    run(capsys, "stage", yard, "--add", "Barn", "--kind", "shelter", "--cover", "shed")
    before = yard.read_bytes()
    _, err = run(
        capsys, "stage", yard, "--fix", "Stone sink", place, "--from", "2027-01-12", code=3
    )
    assert yard.read_bytes() == before
    (sink,) = [pot for pot in load_yard(yard).yard.pots if pot.name == "Stone sink"]
    here = Outlook.of(
        load_yard(yard).yard,
        catalogue=load_catalogue(None),
        forecaster=Forecaster(),
        today=date(2027, 1, 10),
    )
    plan = stage_plan(here)
    assert plan is not None
    verdict = judge_stand(here, plan, sink.id, place, date(2027, 1, 12))
    assert verdict.apply is None
    assert verdict.words in " ".join(err.split())


def test_of_an_empty_place_no_weeks_of_colour_are_told(capsys, yard: Path) -> None:
    run(capsys, "stage", yard, "--add", "Attic stair", "--width", 5)
    out, _ = run(capsys, "rota", yard, *TODAY)
    assert "Attic stair (display): nothing stands there" in out.splitlines()
    assert "0.0 weeks" not in out


def test_the_rota_as_a_table_fits_the_page(capsys, yard: Path) -> None:
    out, _ = run(capsys, "rota", yard, *TODAY)
    lines = out.splitlines()
    assert max(len(line) for line in lines) <= 100
    assert "9 Hollyhock Lane, Ottermere, stage of season 2027" in lines
    assert any(line.startswith("Front step (display): ") and "of scent" in line for line in lines)
    assert any("Sat 3 Apr 2027   Zinc tub" in line and "trolley" in line for line in lines)


def test_the_front_of_the_house_on_a_day(capsys, yard: Path) -> None:
    out, _ = run(capsys, "rota", yard, "--date", "2027-04-14", *TODAY)
    step = out.split("Front step (display)")[1].split("Kitchen window")[0]
    assert "Blue glazed bowl: Narcissus 'Ice Follies' (white and lemon) and Muscari" in step
    assert "Zinc tub: not yet in flower" in step
    assert "Stone sink: Chionodoxa" in out.split("At their own spots")[1]
    out, _ = run(capsys, "rota", yard, "--date", "2031-04-14", *TODAY)
    assert "The rota runs from 31 August 2026 to" in out


def test_json_and_csv_say_the_same(capsys, yard: Path) -> None:
    out, _ = run(capsys, "rota", yard, "--format", "json", *TODAY)
    whole = json.loads(out)
    assert whole["proven"] is True and whole["gap_share"] == 0
    stays = {
        (place["place"], stay["pot_id"], stay["first"], stay["last"])
        for place in whole["places"]
        for stay in place["stays"]
    } | {("", s["pot_id"], s["first"], s["last"]) for s in whole["own_spots"]}
    out, _ = run(capsys, "rota", yard, "--format", "csv", *TODAY)
    rows = list(csv.DictReader(io.StringIO(out)))
    assert {(r["place"], r["pot_id"], r["first"], r["last"]) for r in rows} == stays
    out, _ = run(capsys, "rota", yard, "--week", "2027-W10", "--format", "json", *TODAY)
    week = json.loads(out)
    assert [(m["pot"], m["day"]) for m in week["moves"]] == [
        ("Snowdrop pan", "2027-03-06"),
        ("Blue glazed bowl", "2027-03-06"),
    ]


def test_the_calendar_has_the_events_of_the_work(capsys, yard: Path, tmp_path: Path) -> None:
    whole, moves = tmp_path / "work.ics", tmp_path / "moves.ics"
    run(capsys, "work", yard, "--out", whole, *TODAY)
    run(capsys, "rota", yard, "--out", moves, *TODAY)

    def events(path: Path) -> dict[str, tuple[str, date]]:
        calendar = vobject.readOne(path.read_text("utf-8"))
        return {e.uid.value: (e.summary.value, e.dtstart.value) for e in calendar.vevent_list}

    carried = events(moves)
    assert len(carried) >= 9
    assert carried.items() <= events(whole).items()
    assert load_yard(yard).yard.calendar_id is not None
    assert any("to Front step" in title for title, _ in carried.values())


@pytest.mark.filterwarnings("ignore::BytesWarning")  # the reader compares bytes with numbers
@pytest.mark.parametrize("page", ["a4", "letter"])
def test_the_sheet_for_the_shed_door_names_every_move(
    capsys, yard: Path, tmp_path: Path, page: str
) -> None:
    path = tmp_path / "door.pdf"
    out, _ = run(capsys, "rota", yard, "--out", path, "--page", page, *TODAY)
    assert out.strip() == str(path)
    reader = PdfReader(path)
    wide, high = (float(side) / 72 * 25.4 for side in reader.pages[0].mediabox.upper_right)
    assert (wide, high) == pytest.approx(
        {"a4": (210, 297), "letter": (215.9, 279.4)}[page], abs=0.5
    )
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    out, _ = run(capsys, "rota", yard, "--format", "json", *TODAY)
    for move in json.loads(out)["moves"]:
        assert move["pot"] in text
    assert reader.metadata is not None
    title = reader.metadata.title or ""
    assert title == f"{load_yard(yard).yard.name}: pots to carry, season 2027"
    assert "Saturday 3 April 2027" in text
    assert "lift with two people or use a trolley" in text


def test_bad_use_is_told(capsys, yard: Path, tmp_path: Path) -> None:
    _, err = run(capsys, "rota", yard, "--out", tmp_path / "x.txt", code=2)
    assert ".ics" in err
    _, err = run(capsys, "rota", yard, "--week", "2027-W10", "--date", "2027-03-10", code=2)
    assert "--date" in err
    _, err = run(capsys, "rota", yard, "--out", tmp_path / "x.pdf", "--week", "2027-W10", code=2)
    assert "all moves" in err


def test_a_yard_without_places_says_how_to_make_one(capsys, yard: Path) -> None:
    for name in ("Front step", "Kitchen window", "Behind the shed"):
        run(capsys, "stage", yard, "--remove", name)
    _, err = run(capsys, "rota", yard, code=1)
    assert "bloomline stage FILE --add NAME" in err
    out, _ = run(capsys, "stage", yard)
    assert "--add NAME makes one" in out


def test_the_winter_that_is_offered_is_written_into_the_pots(capsys, yard: Path) -> None:
    loaded = load_yard(yard)
    cold = loaded.yard.model_copy(update={"place": place_meant("Minneapolis").choice})
    save_yard(yard, cold, seen=loaded.digest)
    out, err = run(capsys, "rota", yard, "--winter")
    assert "no pot would fare better" in err
    run(capsys, "stage", yard, "--add", "Garage", "--kind", "shelter", "--cover", "garage",
        "--pots", "20")  # fmt: skip
    out, _ = run(capsys, "rota", yard)
    assert "Better under cover in winter:" in out
    out, _ = run(capsys, "rota", yard, "--winter", "--format", "json")
    told = json.loads(out)
    assert told["better_under_cover"] == []
    (garage,) = [each for each in told["places"] if each["place"] == "Garage"]
    inside = {stay["pot_id"] for stay in garage["stays"]}
    pots = {pot.id: pot for pot in load_yard(yard).yard.pots}
    assert inside and all(pots[each].site == "garage" for each in inside)
    assert all(pots[each].sheltered_until for each in inside)
    run(capsys, "rota", yard, "--winter", "--place", "Berlin", code=2)
