"""Answers are written in the order of their numbers, whatever the order they come in."""

from __future__ import annotations

import csv
import io
import json
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.cli.forecast_output import Failure, writer_of
from bloomline.files.plain_text import csv_text, write_csv
from bloomline.plan.climate.garden import garden_named
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.one_planting import Request, answered
from bloomline.reference.catalogue import load_catalogue

NAMES = ("Rothamsted", "De Bilt", "Darwin Airport")


@pytest.fixture(scope="module")
def blocks():
    """Answers about three gardens, whose rows stand in turn; every fourth row has none."""
    kinds = [kind for kind in load_catalogue() if kind.season_planted == "autumn"]
    requests = [
        Request(
            id=f"=row {number}, “ä”",
            garden=garden_named(NAMES[number % 3]),
            cultivar=kinds[7 * number],
            planted=date(2026, 10, 1) + timedelta(3 * number),
        )
        for number in range(12)
    ]
    asked = answered(requests, forecaster=Forecaster(), today=date(2026, 9, 1), growth=False)
    return [([at + at // 3 for at in some.numbers], some) for some in asked]


def written(blocks, form, capsys, *, fail_first):
    failures = [(at, Failure(f"bad {at}", "no such kind?")) for at in range(3, 16, 4)]
    with writer_of(form) as writer:
        for at, failure in failures if fail_first else ():
            writer.fail(at, failure)
        for numbers, some in blocks:
            writer.put(numbers, some)
        for at, failure in () if fail_first else failures:
            writer.fail(at, failure)
    return capsys.readouterr().out


@pytest.mark.parametrize("form", ["csv", "json", "table"])
def test_every_order_gives_the_same(blocks, form, capsys):
    text = written(blocks, form, capsys, fail_first=True)
    assert written(blocks[::-1], form, capsys, fail_first=False) == text
    if form == "table":
        return
    rows = json.loads(text) if form == "json" else list(csv.DictReader(io.StringIO(text)))
    assert [int("".join(filter(str.isdigit, row["id"]))) for row in rows] == [
        at if at % 4 == 3 else at - at // 4 for at in range(16)
    ]
    assert [bool(row.get("error")) for row in rows] == [at % 4 == 3 for at in range(16)]


def test_what_waits_for_nothing_is_written_at_once(blocks, capsys):
    (numbers, some), *_ = blocks
    with writer_of("csv") as writer:
        writer.put(range(len(numbers)), some)
        assert capsys.readouterr().out.count("\r\n") == 1 + len(numbers)
        writer.fail(len(numbers) + 1, Failure("late", "no"))
        assert capsys.readouterr().out == ""
        writer.fail(len(numbers), Failure("early", "no"))
        assert capsys.readouterr().out.count("\r\n") == 2


@given(st.one_of(st.text(), st.floats(), st.integers(), st.booleans(), st.none(), st.dates()))
def test_a_cells_text_is_what_stands_between_the_commas(value):
    out = io.StringIO()
    write_csv(out, ("a", "b", "c"), [{"a": 1, "b": value, "c": 2}])
    assert out.getvalue() == f"a,b,c\r\n1,{csv_text(value)},2\r\n"
