"""A tenth of the fuzz of `tests/benchmarks/fuzz_files.py`, and that it would notice a fault."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

_SCRIPT = Path(__file__).parents[1] / "benchmarks" / "fuzz_files.py"


@pytest.fixture(scope="module")
def fuzz() -> ModuleType:
    spec = importlib.util.spec_from_file_location("fuzz_files", _SCRIPT)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["fuzz_files"] = module
    spec.loader.exec_module(module)
    return module


def test_a_fault_is_counted(fuzz: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_args: object, **_more: object) -> None:
        raise KeyError("pots")

    monkeypatch.setattr(fuzz, "parse_yard", broken)
    counts = fuzz.fuzz_yards(3)
    assert len(counts.faults) == 3 and "KeyError" in counts.faults[0]


@pytest.mark.slow
def test_spoilt_yard_files_are_read_or_refused_in_words(fuzz: ModuleType) -> None:
    counts = fuzz.fuzz_yards(600, seed=7)
    assert counts.faults == []
    assert counts.read > 5 and counts.refused > 400


@pytest.mark.slow
def test_spoilt_tables_are_read_or_refused_in_words(fuzz: ModuleType) -> None:
    counts = fuzz.fuzz_tables(300, seed=7)
    assert counts.faults == []
    assert counts.read > 50 and counts.refused > 50


@pytest.mark.slow
def test_spoilt_journal_entries_stop_no_start(fuzz: ModuleType) -> None:
    assert fuzz.fuzz_journal(100, seed=7).faults == []
