"""A tenth of the kill loop and of the monkey of `tests/benchmarks`, and a yard of many records."""

from __future__ import annotations

import re
import subprocess
import sys
import time
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from bloomline.files.yardfile import load_yard, save_yard
from bloomline.model.yard import MAX_RECORDS, Record

ROOT = Path(__file__).parents[3]
BENCHMARKS = ROOT / "tests" / "benchmarks"


def _run(script: str, *words: str) -> str:
    done = subprocess.run(
        [sys.executable, str(BENCHMARKS / script), *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=180,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.mark.slow
def test_killed_while_typing_loses_under_two_seconds() -> None:
    told = _run("kill_loop.py", "--rounds", "7", "--seed", "7")
    assert told.startswith("7 kills") and "0 faults" in told


@pytest.mark.slow
# The large yard is after what grows with pots: what is wrong there takes ten seconds and more, and
# a second may become three while jobs and other programs share two cores.
@pytest.mark.parametrize("yard", [(), ("--pots", "120", "--stall", "8")], ids=["demo", "120 pots"])
def test_a_monkey_breaks_nothing(yard: tuple[str, ...]) -> None:
    told = _run("monkey.py", "--seconds", "30", "--seed", "7", *yard)
    count = re.match(r"(\d+) deeds", told)
    assert count is not None and int(count[1]) > 150
    assert "0 faults" in told


@pytest.mark.slow
def test_a_yard_of_fifty_thousand_records_opens(
    open_window: Any, yard_file: Path, qtbot: Any
) -> None:
    yard = load_yard(yard_file).yard
    layers = [layer.id for _, layer in yard.layers()]
    kinds = ("nose", "first-flower", "full", "over")
    older = tuple(
        Record(
            id=f"older-{number}",
            day=date(1900 + number % 90, 1 + number % 12, 1 + number % 28),
            layer_id=layers[number % len(layers)],
            seen=kinds[number % 4],
        )
        for number in range(MAX_RECORDS - len(yard.records))
    )
    records = (*older, *yard.records)
    save_yard(yard_file, yard.model_copy(update={"records": records}), seen=None)
    begin = time.monotonic()
    window = open_window(yard_file)
    assert len(window.document.yard.records) == MAX_RECORDS
    assert window.service.report is not None
    assert time.monotonic() - begin < 60.0
