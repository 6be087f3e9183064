"""Tables over many processes: the same answers as alone, and only what is missing is made."""

from __future__ import annotations

import csv
import importlib.util
import io
import os
from datetime import date

import pyarrow
import pyarrow.parquet
import pytest

from bloomline.cli.main import main

HEADER = "id,place,latitude_deg,longitude_deg,elevation_m,cultivar,planted,where,prechill_weeks\n"
ROWS = [
    "a,De Bilt,,,,Red Emperor,2026-11-01,pot,",
    "b,,47.4,8.5,600,Thalia,,ground,2",
    "c,De Bilt,,,,Apeldoorn,2026-12-20,pot,",
    "d,Nowhere-at-all,,,,Apeldoorn,2026-12-20,pot,",
    "e,De Bilt,,,,Apeldoorn,soon,pot,",
    "f,,47.4,8.5,600,Red Emperor,2026-11-10,pot,",
    "g,De Bilt,,,,Red Emperor,2026-11-01,pot,",
]
TODAY = ("--today", "2026-09-01")


@pytest.fixture(scope="module")
def scheduler(tmp_path_factory):
    """The address of a scheduler with one worker, as a cluster would give it."""
    from distributed import LocalCluster

    with LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, dashboard_address=":0"
    ) as cluster:
        folder = tmp_path_factory.mktemp("first")
        (folder / "first.csv").write_text(HEADER + ROWS[0] + "\n", encoding="utf-8")
        # Dask's own threads begin with the first work and stay with the cluster.
        in_parts(folder / "first.csv", folder, "--scheduler", cluster.scheduler_address)
        yield cluster.scheduler_address


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "questions.csv"
    path.write_text(HEADER + "\n".join(ROWS) + "\n", encoding="utf-8")
    return path


def alone(table, capsys):
    """The answers of one process, as the table tells them."""
    code = main(["forecast", "--requests", str(table), "--format", "csv", *TODAY])
    return code, list(csv.DictReader(io.StringIO(capsys.readouterr().out)))


def in_parts(source, out, *more):
    asked = ["forecast", "--requests", str(source), "--out", str(out), "--partition-rows", "3"]
    return main([*asked, *TODAY, *more])


def answers(folder):
    """All rows of a folder as texts, as CSV has them."""
    rows = []
    for path in sorted(folder.glob("*.parquet")):
        rows += pyarrow.parquet.read_table(path).to_pylist()
    return [
        {name: "" if value is None else str(value) for name, value in row.items()} for row in rows
    ]


def test_parts_hold_the_answers_of_one_process(table, tmp_path, scheduler, capsys) -> None:
    code, expected = alone(table, capsys)
    out = tmp_path / "answers"
    assert (code, in_parts(table, out, "--scheduler", scheduler)) == (1, 1)
    found = answers(out)
    assert [row["id"] for row in found] == list("abcdefg")
    for got, wanted in zip(found, expected, strict=True):
        for name, text in wanted.items():
            is_same = got[name] == text or float(got[name]) == float(text)
            assert is_same, (got["id"], name, got[name], text)
    assert [path.name for path in sorted(out.iterdir())] == [
        f"part-{number:05d}.parquet" for number in range(3)
    ]
    schema = pyarrow.parquet.read_schema(out / "part-00000.parquet")
    assert schema.field("start_p50").type == pyarrow.date32()
    assert schema.field("cold_weeks").type == pyarrow.float64()
    assert "2 of 7 rows could not be answered" in capsys.readouterr().err


def test_only_parts_that_are_not_whole_are_made_again(table, tmp_path, scheduler, capsys) -> None:
    out = tmp_path / "answers"
    in_parts(table, out, "--scheduler", scheduler)
    parts = sorted(out.iterdir())
    before = [path.read_bytes() for path in parts]
    parts[1].write_bytes(before[1][: len(before[1]) // 2])  # cut short
    os.utime(parts[0], (1, 1))
    capsys.readouterr()
    assert in_parts(table, out, "--scheduler", scheduler) == 1
    assert [path.read_bytes() for path in parts] == before
    assert parts[0].stat().st_mtime == 1  # left alone
    said = capsys.readouterr().err
    assert "2 of 3 partitions were there already" in said
    assert "2 of 7 rows could not be answered" in said
    # Other rows, or another day, are other answers.
    table.write_text(table.read_text(encoding="utf-8").replace("g,De Bilt", "g,Rothamsted"))
    in_parts(table, out, "--scheduler", scheduler)
    assert parts[0].stat().st_mtime == 1
    assert answers(out)[-1]["station_name"].startswith("Rothamsted")
    in_parts(table, out, "--scheduler", scheduler, "--established")
    assert parts[0].stat().st_mtime != 1


def test_nothing_is_started_when_all_is_there(table, tmp_path, scheduler, capsys) -> None:
    out = tmp_path / "answers"
    in_parts(table, out, "--scheduler", scheduler)
    assert in_parts(table, out, "--scheduler", "tcp://127.0.0.1:1") == 1
    assert "3 of 3 partitions were there already" in capsys.readouterr().err


def test_parquet_and_folders_are_read_as_well(table, tmp_path, scheduler, capsys) -> None:
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8"))))[:3]
    folder = tmp_path / "grid"
    folder.mkdir()
    typed = {
        "id": ["a", "b", "c"],
        "Place": ["De Bilt", None, "De Bilt"],
        "lat": [None, 47.4, None],
        "lon": [None, 8.5, None],
        "elevation_m": pyarrow.array([None, 600, None], pyarrow.int32()),
        "cultivar": [row["cultivar"] for row in rows],
        "planted": [date(2026, 11, 1), None, date(2026, 12, 20)],
        "where": ["pot", "ground", "pot"],
        "prechill_weeks": [None, 2.0, None],
    }
    pyarrow.parquet.write_table(pyarrow.table(typed), folder / "1.parquet")
    (folder / "2.csv").write_text(HEADER + "\n".join(ROWS[5:]) + "\n", encoding="utf-8")
    assert in_parts(folder, tmp_path / "a", "--scheduler", scheduler) == 0
    in_parts(table, tmp_path / "b", "--scheduler", scheduler)
    both = answers(tmp_path / "b")
    assert answers(tmp_path / "a") == both[:3] + both[5:]


@pytest.mark.slow
def test_processes_of_this_machine_do_it_by_default(table, tmp_path, capsys) -> None:
    _, expected = alone(table, capsys)
    assert in_parts(table, tmp_path / "answers", "--workers", "2") == 1
    found = answers(tmp_path / "answers")
    assert [row["start_p50"] for row in found] == [row["start_p50"] for row in expected]


def test_bad_use_is_told(table, tmp_path, scheduler, monkeypatch, capsys) -> None:
    broken = tmp_path / "broken.parquet"
    broken.write_bytes(b"no such thing")
    out = str(tmp_path / "out")
    for arguments, code, words in (
        (["--out", out], 2, "--out goes with --requests"),
        (["--requests", str(table), "--workers", "2"], 2, "--workers goes with --out"),
        (["--requests", str(table), "--out", out, "--workers", "0"], 2, "no whole number"),
        (["--requests", str(broken)], 2, "add --out DIR"),
        (["--requests", str(broken), "--out", out], 3, "can't be read as Parquet"),
        (["--requests", str(tmp_path / "no.csv"), "--out", out], 3, "no.csv"),
    ):
        assert main(["forecast", *arguments]) == code
        assert words in capsys.readouterr().err
    real = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util, "find_spec", lambda name: None if name == "distributed" else real(name)
    )
    assert main(["forecast", "--requests", str(table), "--out", out]) == 2
    assert "bloomline[scale]" in capsys.readouterr().err
