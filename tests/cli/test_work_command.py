from __future__ import annotations

import csv
import io
import json
from datetime import date, timedelta
from pathlib import Path

import pytest
import vobject

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard

TODAY = ["--today", "2027-03-10"]


@pytest.fixture
def yard(checkout: Path, tmp_path: Path) -> Path:
    (demo,) = (checkout / "demo").glob("hollyhock-*.bloomline")
    path = tmp_path / "yard.bloomline"
    path.write_bytes(demo.read_bytes())
    return path


def answer(capsys, *arguments: object):
    assert main(["work", *map(str, arguments), "--format", "json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_the_table_is_by_week_and_fits_the_page(capsys, yard: Path) -> None:
    assert main(["work", str(yard), *TODAY]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(len(line) for line in lines) <= 100
    assert "Overdue on 2027-03-10:" in lines
    assert any(line.startswith("2027-W10, 8 Mar to 14 Mar 2027, about ") for line in lines)
    (plant,) = [line for line in lines if "Plant 34 × Tulipa 'Queen of Night'" in line]
    assert plant.startswith("x ")
    assert plant.endswith("min")


def test_a_single_week_and_a_stretch_of_days(capsys, yard: Path) -> None:
    week = answer(capsys, yard, "--week", "2027-W10", *TODAY)
    (only,) = week["weeks"]
    assert (only["week"], only["first"], only["last"]) == ("2027-W10", "2027-03-08", "2027-03-14")
    assert {each["key"] for each in only["tasks"]} == {task["key"] for task in week["tasks"]}
    days = answer(capsys, yard, "--from", "2027-03-08", "--to", "2027-03-14", *TODAY)
    assert days == week
    assert main(["work", str(yard), "--week", "2027-W10", *TODAY]) == 0
    assert "overdue on 2027-03-10" in capsys.readouterr().out
    assert main(["work", str(yard), "--week", "2031-W01", *TODAY]) == 0
    assert "Nothing is to be done in that time." in capsys.readouterr().out


def test_json_says_what_when_why_and_on_whose_word(capsys, yard: Path) -> None:
    work = answer(capsys, yard, *TODAY)
    assert work["season_year"] == 2027
    keys = [task["key"] for task in work["tasks"]]
    assert len(set(keys)) == len(keys) > 40
    for task in work["tasks"]:
        assert task["earliest"] <= task["best"] <= task["latest"]
        assert task["reason"]
        assert task["source"]
        assert task["status"] in ("done", "overdue", "due", "ahead", "past")
        assert task["done"] == (task["status"] == "done")
    assert set(work["overdue"]) == {t["key"] for t in work["tasks"] if t["status"] == "overdue"}


def test_csv_has_a_row_a_day(capsys, yard: Path) -> None:
    assert main(["work", str(yard), "--format", "csv", *TODAY]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    work = answer(capsys, yard, *TODAY)
    wanted = [day for week in work["weeks"] for each in week["tasks"] for day in each["days"]]
    assert [row["day"] for row in rows] == sorted(wanted)
    for row in rows:
        year, number, _ = date.fromisoformat(row["day"]).isocalendar()
        assert row["week"] == f"{year}-W{number:02d}"


def test_ticks_are_kept_in_the_yard_file(capsys, yard: Path) -> None:
    key = "order:spring:2027"
    work = answer(capsys, yard, "--tick", key, *TODAY)
    (task,) = [each for each in work["tasks"] if each["key"] == key]
    assert (task["done"], task["done_on"]) == (True, "2027-03-10")
    assert [(d.task_key, d.day) for d in load_yard(yard).yard.done] == [(key, date(2027, 3, 10))]
    work = answer(capsys, yard, "--untick", key, *TODAY)
    assert load_yard(yard).yard.done == ()
    assert main(["work", str(yard), "--tick", "order:sprign:2027"]) == 2
    assert "did you mean order:spring:2027" in capsys.readouterr().err
    assert main(["work", str(yard), "--untick", key]) == 2
    assert "no done task" in capsys.readouterr().err


def test_what_moved_is_told_when_dates_were_remembered(capsys, yard: Path) -> None:
    before = yard.read_bytes()
    assert answer(capsys, yard, *TODAY)["moved"] == []
    assert yard.read_bytes() == before  # looking changes nothing
    answer(capsys, yard, "--remember", *TODAY)
    text = yard.read_text("utf-8")
    assert load_yard(yard).yard.calendar_id is not None
    yard.write_text(text.replace('"planted": "2027-04-03"', '"planted": "2027-04-17"'), "utf-8")
    work = answer(capsys, yard, *TODAY)
    (task,) = [each for each in work["tasks"] if each["kind"] == "plant" and each["moved"]]
    assert task["moved"] == {"was": "2027-04-03", "days": 14, "why": "another planting day"}
    assert main(["work", str(yard), *TODAY]) == 0
    assert "14 days later (another planting day)" in " ".join(capsys.readouterr().out.split())


def test_a_calendar_is_written_and_written_again(capsys, yard: Path, tmp_path: Path) -> None:
    out = tmp_path / "work.ics"
    assert main(["work", str(yard), "--out", str(out), *TODAY]) == 0
    assert capsys.readouterr().out == f"{out}\n"
    first = out.read_bytes()
    calendar = vobject.readOne(first.decode())
    work = answer(capsys, yard, *TODAY)
    by_key = {each.x_bloomline_task.value: each for each in calendar.vevent_list}
    assert set(by_key) == {task["key"] for task in work["tasks"]}
    for task in work["tasks"]:
        event = by_key[task["key"]]
        assert event.dtstart.value.isoformat() == task["best"]
        assert event.dtend.value - event.dtstart.value == timedelta(days=1)
        assert ("rrule" in event.contents) <= (task["repeat_days"] is not None)
    assert main(["work", str(yard), "--out", str(out), "--today", "2027-03-10"]) == 0
    assert out.read_bytes() == first
    # A week's tasks written into it leave the others as they are.
    assert main(["work", str(yard), "--out", str(out), "--week", "2027-W10", *TODAY]) == 0
    again = vobject.readOne(out.read_bytes().decode())
    assert len(again.vevent_list) == len(calendar.vevent_list)
    assert {event.status.value for event in again.vevent_list} == {"CONFIRMED"}
    capsys.readouterr()
    assert main(["work", str(yard), "--out", str(tmp_path / "a.ics"), "--alarms", *TODAY]) == 0
    assert b"BEGIN:VALARM" in (tmp_path / "a.ics").read_bytes()


def test_the_sequence_rises_whichever_file_is_written(capsys, yard: Path, tmp_path: Path) -> None:
    """RFC 5545 3.8.7.4: a calendar program takes a later revision by its higher number."""

    def events(path: Path):
        assert main(["work", str(yard), "--out", str(path), *TODAY]) == 0
        found = vobject.readOne(path.read_bytes().decode()).vevent_list
        return {e.x_bloomline_task.value: (e.dtstart.value, int(e.sequence.value)) for e in found}

    before = events(tmp_path / "a.ics")
    for number, day in enumerate(("2027-04-17", "2027-04-10", "2027-04-20")):
        text = yard.read_text("utf-8")
        old = next(d for d in ("2027-04-03", "2027-04-17", "2027-04-10") if f'ed": "{d}"' in text)
        yard.write_text(text.replace(f'"planted": "{old}"', f'"planted": "{day}"'), "utf-8")
        after = events(tmp_path / f"{number}.ics")
        moved = [key for key in after if key in before and after[key][0] != before[key][0]]
        assert "plant:layer-19:2027" in moved
        for key in moved:
            assert after[key][1] > before[key][1], key
        before |= after


def test_reminders_come_once_a_week_at_most_unless_asked(capsys, yard: Path, tmp_path) -> None:
    def rings(*words: str):
        out = tmp_path / f"{'-'.join(words) or 'week'}.ics"
        assert main(["work", str(yard), "--out", str(out), "--alarms", *words, *TODAY]) == 0
        found = vobject.readOne(out.read_bytes().decode()).vevent_list
        return [each for each in found if "valarm" in each.contents]

    weekly = [each.dtstart.value.isocalendar()[:2] for each in rings()]
    assert weekly
    assert len(set(weekly)) == len(weekly)
    assert not any("rrule" in each.contents for each in rings())
    assert len(rings("each")) > len(weekly)


def test_kinds_are_switched_off_one_by_one_and_stay_so(capsys, yard: Path) -> None:
    before = answer(capsys, yard, *TODAY)
    assert any(task["kind"] == "slugs" for task in before["tasks"])
    after = answer(capsys, yard, "--without", "slugs", "--without", "stake", *TODAY)
    assert load_yard(yard).yard.settings.tasks_off == ("slugs", "stake")
    left = [task for task in before["tasks"] if task["kind"] not in ("slugs", "stake")]
    assert [task["key"] for task in after["tasks"]] == [task["key"] for task in left]
    assert answer(capsys, yard, *TODAY) == after
    assert main(["work", str(yard), "--kinds", *TODAY]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[1] for line in lines if line.startswith("off ")] == ["slugs", "stake"]
    assert answer(capsys, yard, "--with", "slugs", "--with", "stake", *TODAY) == before
    assert load_yard(yard).yard.settings.tasks_off == ()
    assert main(["work", str(yard), "--without", "slug"]) == 2
    assert "did you mean slugs" in capsys.readouterr().err


def test_a_task_that_is_gone_is_cancelled(capsys, yard: Path, tmp_path: Path) -> None:
    out = tmp_path / "work.ics"
    assert main(["work", str(yard), "--out", str(out), *TODAY]) == 0
    document = json.loads(yard.read_text("utf-8"))
    (lily,) = [pot for pot in document["pots"] if pot["name"] == "Lily pot"]
    lily["layers"] = []
    yard.write_text(json.dumps(document), "utf-8")
    assert main(["work", str(yard), "--out", str(out), "--today", "2027-03-11"]) == 0
    events = vobject.readOne(out.read_bytes().decode()).vevent_list
    gone = {e.x_bloomline_task.value for e in events if e.status.value == "CANCELLED"}
    assert "order:spring:2027" in gone
    assert all("layer-1:" not in key for key in gone)


def test_what_makes_no_sense_is_bad_use(capsys, yard: Path, tmp_path: Path) -> None:
    for arguments, words in (
        (["--week", "2027-10"], "is not a week like 2027-W10"),
        (["--week", "2027-W54"], "is not a week like"),
        (["--from", "yesterday"], "is not a date"),
        (["--from", "2027-04-01", "--to", "2027-03-01"], "lies after"),
        (["--week", "2027-W10", "--to", "2027-03-01"], "without --from and --to"),
        (["--alarms"], "--alarms goes with --out"),
        (["--remember", "--place", "De Bilt"], "leave out --place"),
        (["--out", str(tmp_path / "work.txt")], "is called .ics"),
    ):
        assert main(["work", str(yard), *arguments]) == 2
        assert words in capsys.readouterr().err


def test_bad_files_are_bad_input(capsys, yard: Path, tmp_path: Path) -> None:
    assert main(["work", str(tmp_path / "none.bloomline")]) == 3
    assert "there is no such file" in capsys.readouterr().err
    out = tmp_path / "mine.ics"
    out.write_bytes(b"BEGIN:VCALENDAR\r\nPRODID:-//x//y//EN\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n")
    assert main(["work", str(yard), "--out", str(out), *TODAY]) == 3
    assert "no calendar of ours" in capsys.readouterr().err
    assert out.read_bytes().startswith(b"BEGIN:VCALENDAR\r\nPRODID:-//x//y")


def test_an_empty_yard_says_so(capsys, yard: Path, tmp_path: Path) -> None:
    document = json.loads(yard.read_text("utf-8"))
    document.update(pots=[], records=[])
    yard.write_text(json.dumps(document), "utf-8")
    assert main(["work", str(yard)]) == 0
    assert "nothing to do" in capsys.readouterr().out
    out = tmp_path / "work.ics"
    assert main(["work", str(yard), "--out", str(out)]) == 0
    assert "no new events" in capsys.readouterr().err
    assert out.read_bytes().endswith(b"END:VCALENDAR\r\n")


def test_reasons_pots_and_keys_are_told_when_asked_for(capsys, yard: Path) -> None:
    assert main(["work", str(yard), "--week", "2027-W10", "--why", *TODAY]) == 0
    told = capsys.readouterr().out
    assert "Key: " in told
    assert "Pots: " in told
    assert max(map(len, told.splitlines())) <= 100
    assert main(["work", str(yard), "--week", "2027-W10", *TODAY]) == 0
    plain = capsys.readouterr().out
    assert "Key: " not in plain
    assert "--why" in plain
    assert main(["work", str(yard), "--why", "--format", "json"]) == 2
    assert "--why goes with the table" in capsys.readouterr().err
