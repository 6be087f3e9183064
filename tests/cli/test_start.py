"""What a command reads and makes before its answer, counted: modules, blocks of towns, kinds."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from bloomline.cli.main import _COMMANDS

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"

_COUNT = """
import dataclasses, json, sys
made, process = [], dataclasses._process_class
def counted(cls, *args, **kwargs):
    made.append(cls.__module__)
    return process(cls, *args, **kwargs)
dataclasses._process_class = counted
from bloomline.cli.main import main
code = main(sys.argv[1:])
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.town_table import town_table
print(json.dumps({
    "code": code,
    "modules": list(sys.modules),
    "classes": sum(each.startswith("bloomline.") for each in made),
    "kinds": load_catalogue().n_made,
    "blocks": town_table().n_unpacked,
}))
"""


def counts(*arguments: str) -> dict[str, Any]:
    """What a process of its own has read and made when a command is done."""
    done = subprocess.run(
        [sys.executable, "-c", _COUNT, *arguments],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


def of_bloomline(modules: list[str]) -> list[str]:
    return [each for each in modules if each.startswith("bloomline.")]


def test_one_forecast_reads_and_makes_little() -> None:
    found = counts(
        *("forecast", "--place", "De Bilt", "--cultivar", "Tulipa 'Apeldoorn'"),
        *("--planted", "2026-11-10"),
    )
    assert found["code"] == 0
    assert found["kinds"] == 1
    # All folded names (42), people, countries, and of the one town that is meant the rest.
    assert found["blocks"] <= 42 + 42 + 42 + 12
    assert len(of_bloomline(found["modules"])) <= 90
    assert found["classes"] <= 75
    others = {f"bloomline.cli.{name}" for name in _COMMANDS} - {"bloomline.cli.forecast"}
    assert not others & set(found["modules"])
    assert "numpy.ma" not in found["modules"]


@pytest.mark.parametrize(
    ("command", "most_modules"), [("season", 175), ("check", 175), ("work", 200), ("buy", 185)]
)
def test_a_command_on_a_yard_reads_what_it_needs(command: str, most_modules: int) -> None:
    found = counts(command, str(DEMO))
    assert found["code"] in (0, 1)
    assert found["kinds"] <= 40
    assert found["blocks"] == 0
    modules = set(found["modules"])
    assert len(of_bloomline(found["modules"])) <= most_modules
    assert not modules & {"numpy.ma", "scipy", "PySide6", "bloomline.files.weather_import"}
    if command != "work":
        assert "bloomline.plan.stage.rota" not in modules
