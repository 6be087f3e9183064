"""Changes one thing in plan or engine at a time and asks whether a test notices.

    python -m pip install cosmic-ray      # makes the changes; not among the locked tools
    python tests/benchmarks/mutants.py [HOW_MANY [SEED]]

A sample of mutants, the same for the same seed, is drawn from all that the library knows to make of
`bloomline/engine` and `bloomline/plan`. Each is put into a copy of the tree and held against the
tests of its room: `tests/engine`, or `tests/plan/<room>`, the module's own tests first. Prints what
survived, line by line, and the share killed. Takes ten seconds a mutant or so.
"""

from __future__ import annotations

import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

ROOT = Path(__file__).resolve().parent.parent.parent
ROOMS = ("bloomline/engine", "bloomline/plan")
COPIED = ("bloomline", "tests", "shared", "resources", "demo", "pyproject.toml")
LONGEST_S = 300.0
# Changes that say nothing: `is` for `==` of small numbers, decorators such as a cache taken off,
# exceptions that nobody catches.
LEFT_OUT = ("_Is", "_IsNot", "RemoveDecorator", "ExceptionReplacer")


@dataclass(frozen=True)
class Mutant:
    """One change: the how-manieth place in a module at which an operator can be applied."""

    module: Path
    operator: str
    occurrence: int
    line: int


def _annotated_lines(source: str) -> set[tuple[int, int]]:
    """Places (line, column) inside annotations, which are never evaluated here."""
    places: set[tuple[int, int]] = set()
    for node in ast.walk(ast.parse(source)):
        for name in ("annotation", "returns"):
            found = getattr(node, name, None)
            if isinstance(found, ast.AST):
                places |= {
                    (each.lineno, each.col_offset)
                    for each in ast.walk(found)
                    if hasattr(each, "lineno")
                }
                end = (found.end_lineno or found.lineno, found.end_col_offset or 0)
                if end[0] == found.lineno:
                    places |= {(found.lineno, c) for c in range(found.col_offset, end[1])}
    return places


def mutants_of(module: Path) -> Iterator[Mutant]:
    """Every change that can be made in a module."""
    source = module.read_text(encoding="utf-8")
    skipped = _annotated_lines(source)
    nodes = list(ast_nodes(get_ast(source)))
    for name in operator_names():
        if any(part in name for part in LEFT_OUT):
            continue
        try:
            operator = get_operator(name)()
        except TypeError:  # wants arguments: one of those that change calls by name
            continue
        places = [start for node in nodes for start, _ in operator.mutation_positions(node)]
        for occurrence, start in enumerate(places):
            if tuple(start) not in skipped:
                yield Mutant(module.relative_to(ROOT), name, occurrence, start[0])


def tests_of(module: Path) -> list[str]:
    """The tests of a module's room, those named for the module first."""
    room = Path("tests", *module.parent.parts[1:])
    own = sorted((ROOT / room).glob(f"test_{module.stem}*.py"))
    return [*(str(path.relative_to(ROOT)) for path in own), str(room)]


def outcome(mutant: Mutant, tree: Path) -> str:
    """`killed`, `survived` or `slow` (killed by the clock)."""
    place = tree / mutant.module
    before = place.read_text(encoding="utf-8")
    operator = get_operator(mutant.operator)()
    after = mutate_code(before, operator, mutant.occurrence)
    if after is None or after == before:
        return "none"
    place.write_text(after, encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider"]
    try:
        found = subprocess.run(
            [*command, *tests_of(mutant.module)],
            cwd=tree,
            capture_output=True,
            timeout=LONGEST_S,
            env={**os.environ, "PYTHONPATH": str(tree), "CI": "true"},
            check=False,
        )
    except subprocess.TimeoutExpired:
        return "slow"
    finally:
        place.write_text(before, encoding="utf-8")
    return "survived" if found.returncode == 0 else "killed"


def main() -> None:
    """Draw, try and print."""
    how_many = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    modules = [path for room in ROOMS for path in sorted((ROOT / room).rglob("*.py"))]
    everything = [mutant for module in modules for mutant in mutants_of(module)]
    chosen = random.Random(seed).sample(everything, min(how_many, len(everything)))
    print(f"{len(everything)} mutants in {len(modules)} modules; {len(chosen)} drawn, seed {seed}")
    counts: Counter[str] = Counter()
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder) / "tree"
        tree.mkdir()
        for name in COPIED:
            source = ROOT / name
            copy = shutil.copytree if source.is_dir() else shutil.copy
            copy(source, tree / name)
        for mutant in chosen:
            result = outcome(mutant, tree)
            counts[result] += 1
            if result == "survived":
                print(f"{mutant.module}:{mutant.line}: {mutant.operator}", flush=True)
    tried = sum(counts.values()) - counts["none"]
    killed = counts["killed"] + counts["slow"]
    print(
        f"{killed} of {tried} killed ({killed / max(tried, 1):.0%}), {counts['slow']} by the clock;"
    )
    print(f"{time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
