from __future__ import annotations

import csv
import io
import json
from datetime import date
from pathlib import Path

import pytest

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard, save_yard
from bloomline.model.yard import Yard

TODAY = ["--today", "2027-06-01"]


@pytest.fixture
def yard(checkout: Path, tmp_path: Path) -> Path:
    (demo,) = (checkout / "demo").glob("hollyhock-*.bloomline")
    path = tmp_path / "yard.bloomline"
    save_yard(path, load_yard(demo).yard.model_copy(update={"records": ()}), seen=None)
    return path


def run(*arguments: object) -> int:
    return main(["records", *map(str, arguments), *TODAY])


def answer(capsys, *arguments: object):
    capsys.readouterr()
    code = run(*arguments, "--format", "json")
    return code, json.loads(capsys.readouterr().out)


def test_a_record_is_added_kept_and_shown_with_what_it_teaches(capsys, yard: Path) -> None:
    code, empty = answer(capsys, yard)
    assert (code, empty["offset"]["days"], empty["records"]) == (0, 0.0, [])
    code, work = answer(
        capsys, yard, "--add", "layer-1", "--seen", "first-flower", "--day", "2027-05-12",
        "--note", "=loud, red",
    )  # fmt: skip
    (record,) = work["records"]
    assert code == 0
    assert record["residual_days"] > 0
    assert 0 < work["offset"]["days"] < record["residual_days"] / 2
    assert work["offset"]["sd_days"] < work["offset"]["without_records_sd_days"] == 4.0
    assert load_yard(yard).yard.records[0].note == "=loud, red"
    assert run(yard) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 100
    assert any(line.startswith("with records") for line in lines)
    capsys.readouterr()
    main(["season", str(yard), *TODAY])
    assert "later by 1 record" in capsys.readouterr().out
    main(["season", str(yard), "--without-records", *TODAY])
    assert "record" not in capsys.readouterr().out
    main(["season", str(yard), "--today", "2027-05-11"])  # a day before it was seen
    assert "by 1 record" not in capsys.readouterr().out


def test_a_month_off_is_questioned_until_confirmed(capsys, yard: Path) -> None:
    for number, day in ((1, "2027-05-01"), (2, "2027-04-27"), (5, "2027-04-21")):
        run(yard, "--add", f"layer-{number}", "--seen", "first-flower", "--day", day)
    code, work = answer(capsys, yard)
    asked = [each["record_id"] for each in work["records"] if each["question"]]
    assert (code, asked) == (1, ["record-3"])
    code, work = answer(capsys, yard, "--confirm", "record-3")
    assert (code, work["offset"]["records"]) == (0, 3)


def test_import_takes_good_rows_names_bad_ones_and_comes_back_the_same(
    capsys, yard: Path, tmp_path: Path
) -> None:
    table = tmp_path / "seen.csv"
    table.write_text(
        "Date;Pot;Cultivar;Seen;Note\n"
        "2027-05-04;Half barrel by the gate;Tulipa 'Queen of Night';first flower;\"two; maybe\"\n"
        "2027-13-04;Half barrel by the gate;Tulipa 'Queen of Night';full;\n"
        "2027-05-04;;Tulipa 'Nobody';full;\n"
        "2027-05-04;Half barrel by the gate;;full;\n"
        "2027-05-10;pot-1;tulipa-queen-of-night;FULL;'=1+1\n"
        "2027-05-11;pot-1;tulipa-queen-of-night;wilted;\n"
        "2027-05-10;pot-1;tulipa-queen-of-night;full;again\n",
        encoding="utf-8",
    )
    assert run(yard, "--import", table) == 1
    told = capsys.readouterr().err
    for words in (
        "line 3: day: “2027-13-04” is not a date",
        "line 4: no layer: there is no “Tulipa 'Nobody'”",
        "line 5: “Half barrel by the gate” are 3 layers",
        "line 7: seen: “wilted” is none of",
        "1 row is there already and left out (line 8)",
    ):
        assert words in told
    records = load_yard(yard).yard.records
    assert [(r.day.isoformat(), r.seen, r.note) for r in records] == [
        ("2027-05-04", "first-flower", "two; maybe"),
        ("2027-05-10", "full", "=1+1"),
    ]
    out = tmp_path / "out.csv"
    assert run(yard, "--export", out) == 0
    data = out.read_bytes()
    assert data.count(b"\r\n") == 3
    rows = list(csv.DictReader(io.StringIO(data.decode(), newline="")))
    assert rows[1]["note"] == "'=1+1"
    save_yard(yard, load_yard(yard).yard.model_copy(update={"records": ()}), seen=None)
    assert run(yard, "--import", out) == 0
    assert load_yard(yard).yard.records == records


def test_a_table_names_kinds_as_people_write_them(capsys, yard: Path, tmp_path: Path) -> None:
    table = tmp_path / "seen.csv"
    table.write_text(
        "day,pot,cultivar,seen\n"
        "2027-05-04,Half barrel by the gate,queen of the night tulip,first-flower\n"
        "2027-04-20,Half barrel by the gate,Brown Sugr,first-flower\n"
        "2027-04-21,Half barrel by the gate,Tulip 'Sugar',full\n"
        "2027-04-22,Half barrel by the gate,Xyzzy,full\n",
        encoding="utf-8",
    )
    assert run(yard, "--import", table) == 1
    told = capsys.readouterr().err
    assert "line 4: no layer: there is no “Tulip 'Sugar'” in" in told
    assert "did you mean Tulipa 'Brown Sugar'?" in told
    assert "line 5: no layer: there is no “Xyzzy” in “Half barrel by the gate”" in told
    after = load_yard(yard).yard
    kinds = [after.layer(record.layer_id)[1].cultivar_id for record in after.records]
    assert sorted(kinds) == ["tulipa-brown-sugar", "tulipa-queen-of-night"]


def test_bad_use_changes_nothing(capsys, yard: Path) -> None:
    before = yard.read_bytes()
    assert run(yard, "--add", "layer-1") == 2
    assert run(yard, "--seen", "full") == 2
    assert run(yard, "--add", "layer-999", "--seen", "full") == 2
    assert run(yard, "--confirm", "record-9") == 2
    assert "layer-999" in capsys.readouterr().err
    assert yard.read_bytes() == before


def test_a_long_table_walks_the_yard_no_oftener_than_a_short_one(
    capsys, yard: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    layers = Yard.layers
    calls = []

    def counted(self: Yard):
        calls.append(1)
        return layers(self)

    def walks(rows: int, seen: str) -> int:
        table = tmp_path / "seen.csv"
        days = (date(2022 + at // 60, 4 - at // 30 % 2, 1 + at % 28) for at in range(rows))
        lines = [f"{day},pot-1,tulipa-queen-of-night,{seen}" for day in days]
        table.write_text("\n".join(["day,pot,cultivar,seen", *dict.fromkeys(lines)]))
        path = tmp_path / f"{rows}.bloomline"
        path.write_bytes(yard.read_bytes())
        calls.clear()
        run(path, "--import", table, "--export", tmp_path / "out.csv")
        return len(calls)

    monkeypatch.setattr(Yard, "layers", counted)
    assert walks(200, "over") == walks(4, "over")


def test_a_day_outside_the_calendar_is_bad_use(capsys, yard: Path) -> None:
    before = yard.read_bytes()
    for day in ("1899-12-31", "2200-01-01"):
        assert run(yard, "--add", "layer-1", "--seen", "full", "--day", day) == 2
        told = capsys.readouterr().err
        assert "a day between 1900 and 2199 is wanted" in told and "debug" not in told
    assert yard.read_bytes() == before


def test_impossible_entries_teach_nothing_even_confirmed(capsys, yard: Path) -> None:
    run(yard, "--add", "layer-1", "--seen", "first-flower", "--day", "2027-05-01")
    run(yard, "--add", "layer-5", "--seen", "first-flower", "--day", "2027-05-31")
    capsys.readouterr()
    assert run(yard, "--confirm", "record-2") == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "without the yard's own offset" in shown
    assert "nothing is learned from them" in shown and "is possible here" in shown
    code, work = answer(capsys, yard)
    assert (code, work["offset"]["records"], work["forecasts_hold_offset"]) == (0, 1, False)
    assert [each["teaches"] for each in work["records"]] == [True, False]


def test_a_table_taken_in_twice_is_told_in_one_line(capsys, yard: Path, tmp_path: Path) -> None:
    table = tmp_path / "seen.csv"
    rows = "".join(f"2027-05-{day:02d},layer-1,full\n" for day in range(1, 21))
    table.write_text("day,layer_id,seen\n" + rows)
    run(yard, "--import", table)
    capsys.readouterr()
    run(yard, "--import", table)
    told = capsys.readouterr().err.splitlines()
    assert len(told) == 2
    assert "20 rows are there already and left out (lines 2, 3, 4, 5, 6 and more)" in told[0]
    assert "0 records taken in" in told[1]


def test_odd_characters_reach_neither_terminal_nor_tables(capsys, yard: Path, tmp_path) -> None:
    # A command for the terminal (C1), a line turned about, a zero-width blank; a formula.
    odd = "\x9b2J\u202eevil\u2066\u200b"
    named = load_yard(yard).yard
    pots = tuple(pot.model_copy(update={"name": f"Pot {odd}"}) for pot in named.pots)
    save_yard(yard, named.model_copy(update={"name": f"Yard {odd}", "pots": pots}), seen=None)
    run(yard, "--add", "layer-1", "--seen", "full", "--day", "2027-05-20", "--note", f"={odd}")
    written = tmp_path / "out.csv"
    capsys.readouterr()
    shown = []
    for form in ("table", "json", "csv"):
        run(yard, "--format", form)
        shown.append("".join(capsys.readouterr()))
    for command in ("season", "check", "work", "succession", "layout", "buy"):
        main([command, str(yard)])
        shown.append("".join(capsys.readouterr()))
    run(yard, "--export", written)
    shown += ["".join(capsys.readouterr()), written.read_text(encoding="utf-8")]
    for text in shown:
        assert not set(odd) & set(text) - set("2Jevil"), text[:400]
    assert "'=�2J" in shown[-1] and "'=�2J" in shown[2]
    assert json.loads(shown[1])["records"][0]["note"] == f"={odd}"  # only written otherwise
