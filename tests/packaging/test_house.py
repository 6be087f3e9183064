"""What modules take from one another, beyond what import-linter is asked."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path


def imports_of(path: Path) -> Iterator[ast.ImportFrom]:
    """Every `from … import …` of our own, those inside functions and for types too."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "bloomline":
            yield node


def test_no_module_takes_a_private_name_of_another(checkout: Path) -> None:
    taken = [
        f"{path.relative_to(checkout)}:{node.lineno}: {node.module}.{alias.name}"
        for path in sorted((checkout / "bloomline").rglob("*.py"))
        for node in imports_of(path)
        for alias in node.names
        if alias.name.startswith("_") and alias.name != "__version__"
    ]
    assert taken == []


PARTS = {
    "yard": "yard",
    "catalogue": "catalogue",
    "cultivar_of": "catalogue",
    "forecaster": "forecaster",
    "garden": "garden",
    "recorded": "recorded weather",
    "learned": "what was learned",
    "report": "report",
    "today": "today",
    "weather_year": "weather year",
}
"""What an outlook holds. Who takes three of them can be given what doesn't belong together."""

BELOW = ("plan/climate/", "plan/forecast/", "plan/records/", "plan/season/outlook.py")
MAKERS = {
    "bloomline/cli/climate.py": "has no yard",
    "bloomline/cli/cultivars.py": "has no yard",
    "bloomline/cli/forecast.py": "has no yard",
    "bloomline/cli/forecast_parts.py": "has no yard",
    "bloomline/cli/forecast_table.py": "has no yard",
    "bloomline/cli/yard.py": "the outlook of a command",
    "bloomline/plan/forecast/forecaster.py": "one aside",
    "bloomline/ui/document.py": "the outlook of the window",
}


def functions_of(path: Path) -> Iterator[ast.FunctionDef]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef):
            yield node


def parts_taken(function: ast.FunctionDef) -> set[str]:
    args = function.args
    names = [each.arg for each in (*args.posonlyargs, *args.args, *args.kwonlyargs)]
    return {PARTS[name] for name in names if name in PARTS}


def test_who_asks_for_a_season_takes_an_outlook_and_not_its_parts(checkout: Path) -> None:
    found = [
        f"{path.relative_to(checkout)}:{function.lineno}: {function.name} "
        f"takes {', '.join(sorted(parts_taken(function)))}"
        for room in ("plan", "cli", "ui")
        for path in sorted((checkout / "bloomline" / room).rglob("*.py"))
        if not any(below in path.as_posix() for below in BELOW)
        for function in functions_of(path)
        if len(parts_taken(function)) >= 3 and path.relative_to(checkout).as_posix() not in MAKERS
    ]
    assert found == []


def test_one_forecaster_is_made_for_the_window_and_one_for_a_command(checkout: Path) -> None:
    makers = {
        path.relative_to(checkout).as_posix()
        for path in sorted((checkout / "bloomline").rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "Forecaster"
    }
    assert makers == set(MAKERS)
