"""Prints what large yards and tables cost: run by hand, `python tests/benchmarks/scale.py`.

Each line is a command as a whole process: its processor time (user and system, which other work
on the machine sways less than the clock) and its peak memory, the least of some runs. `before` is
the same as measured once, on the same two slow cores, before work on scale began; `--against DIR`
measures another checkout in turn instead, and says whether both wrote the same bytes.
`--growth` adds how the times grow from 500 to 8,000 pots: the exponent e of time ~ pots^e.
"""

from __future__ import annotations

import argparse
import hashlib
import math
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent.parent
TODAY = ("--today", "2026-09-01")
GROWTH = (500, 2000, 8000)

BEFORE: dict[str, tuple[float, float]] = {
    "season": (2.18, 277),
    "season, JSON": (3.03, 492),
    "check": (7.97, 304),
    "check, JSON": (9.01, 524),
    "succession": (1.81, 276),
    "succession, JSON": (2.11, 335),
    "work": (49.56, 346),
    "work, JSON": (52.32, 460),
    "buy": (6.17, 116),
    "one forecast": (0.42, 105),
    "100,000 requests, CSV": (230.74, 447),
}
"""Seconds of processor time and MB at the peak, as measured before the work on scale.

Buying over the budget took 24.8 s for 500 pots and grew with the square; for 5,000 it was stopped.
20,000 requests as JSON took 49 s and 398 MB.
"""


@dataclass(frozen=True, slots=True)
class Cost:
    """What one run took: processor time [s], peak memory [MB], exit code, digest of its output."""

    cpu_s: float
    peak_mb: float
    code: int
    digest: str


def environment_of(tree: Path, compiled: Path) -> dict[str, str]:
    """Where a checkout runs as an installed program does: compiled, its output buffered."""
    environment = os.environ | {
        "PYTHONPATH": str(tree),
        "PYTHONPYCACHEPREFIX": str(compiled / tree.name),
        "QT_QPA_PLATFORM": "offscreen",
    }
    for name in ("PYTHONDONTWRITEBYTECODE", "PYTHONUNBUFFERED"):
        environment.pop(name, None)
    return environment


def run_once(tree: Path, arguments: list[str], *, compiled: Path) -> Cost:
    """Run the command of a checkout and read what it cost from the system's own accounts."""
    child = subprocess.Popen(
        [sys.executable, "-m", "bloomline", *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,  # progress, and rows that can't be answered
        cwd=tree,
        env=environment_of(tree, compiled),
    )
    assert child.stdout is not None
    digest = hashlib.sha256()
    while block := child.stdout.read(1 << 20):
        digest.update(block)
    _, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    return Cost(
        cpu_s=usage.ru_utime + usage.ru_stime,
        peak_mb=usage.ru_maxrss / 1024.0,
        code=child.returncode,
        digest=digest.hexdigest()[:12],
    )


def least(costs: list[Cost]) -> Cost:
    """The least time and memory of several runs of one command."""
    first = costs[0]
    return Cost(
        min(each.cpu_s for each in costs),
        min(each.peak_mb for each in costs),
        first.code,
        first.digest,
    )


def commands(folder: Path, n_pots: int) -> dict[str, list[str]]:
    """What is measured, by name, on files made for it."""
    from large_yard import nursery

    from bloomline.files.yardfile import save_yard

    free, tight = folder / f"free-{n_pots}.bloomline", folder / f"tight-{n_pots}.bloomline"
    save_yard(free, nursery(n_pots), seen=None)
    save_yard(tight, nursery(n_pots, budget_share=0.7), seen=None)
    yard, short = str(free), str(tight)
    return {
        "season": ["season", yard, *TODAY],
        "season, JSON": ["season", yard, "--format", "json", *TODAY],
        "check": ["check", yard],
        "check, JSON": ["check", yard, "--format", "json"],
        "succession": ["succession", yard],
        "succession, JSON": ["succession", yard, "--format", "json"],
        "work": ["work", yard, *TODAY],
        "work, JSON": ["work", yard, "--format", "json", *TODAY],
        "buy": ["buy", yard, *TODAY],
        "buy, over the budget": ["buy", short, *TODAY],
    }


def requests(folder: Path, n_rows: int) -> dict[str, list[str]]:
    """Tables of questions, and a single one."""
    from large_yard import write_requests

    table = folder / f"requests-{n_rows}.csv"
    write_requests(table, n_rows)
    one = ["--place", "De Bilt", "--cultivar", "Tulipa 'Apeldoorn'", "--planted", "2026-11-10"]
    found = {"one forecast": ["forecast", *one]}
    for form in ("csv", "json"):
        name = f"{n_rows:,} requests, {form.upper()}"
        found[name] = ["forecast", "--requests", str(table), "--format", form, *TODAY]
    return found


def aside(make: Callable[[Path, int], dict[str, list[str]]], folder: Path, n: int) -> Any:
    """What a function makes, made in a process of its own.

    A command's peak holds that of the process it was forked from, which yards make large.
    """
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as other:
        return other.submit(make, folder, n).result()


def compile_all(trees: list[Path], compiled: Path) -> None:
    """Run every command once on a small yard, so that no measured run has to compile."""
    small = aside(commands, compiled, 10) | aside(requests, compiled, 10)
    for tree in trees:
        for arguments in small.values():
            run_once(tree, arguments, compiled=compiled)


def print_table(
    asked: dict[str, list[str]],
    *,
    runs: int,
    against: Path | None,
    before: Mapping[str, tuple[float, float]],
    compiled: Path,
) -> None:
    """Measure and print, line by line."""
    head = "before" if against is None else against.name
    print(f"{'':28}{head + ' s':>10}{'MB':>7}{'now s':>10}{'MB':>7}")
    for name, arguments in asked.items():
        old: tuple[float, float] | None = before.get(name)
        old_costs, new_costs = [], []
        for _ in range(runs):  # in turn, since the machine's speed drifts
            if against is not None:
                old_costs.append(run_once(against, arguments, compiled=compiled))
            new_costs.append(run_once(ROOT, arguments, compiled=compiled))
        new = least(new_costs)
        same = ""
        if old_costs:
            was = least(old_costs)
            old = (was.cpu_s, was.peak_mb)
            equal = (was.digest, was.code) == (new.digest, new.code)
            same = "  same bytes" if equal else f"  OTHER: {was} {new}"
        shown = f"{'':17}" if old is None else f"{old[0]:10.2f}{old[1]:7.0f}"
        print(f"{name:28}{shown}{new.cpu_s:10.2f}{new.peak_mb:7.0f}{same}", flush=True)


def print_growth(folder: Path, only: str) -> None:
    """How the times grow with the number of pots."""
    times: dict[str, list[float]] = {}
    for n_pots in GROWTH:
        for name, arguments in aside(commands, folder, n_pots).items():
            if only in name:
                times.setdefault(name, []).append(run_once(ROOT, arguments, compiled=folder).cpu_s)
    print("\n" + f"{'':28}" + "".join(f"{n:>8}" for n in GROWTH) + f"{'e':>7}")
    spread = math.log(GROWTH[-1] / GROWTH[0])
    for name, each in times.items():
        exponent = math.log(each[-1] / each[0]) / spread
        print(f"{name:28}" + "".join(f"{t:8.2f}" for t in each) + f"{exponent:7.2f}", flush=True)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--against", type=Path, help="another checkout to measure in turn")
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--pots", type=int, default=5000)
    parser.add_argument("--rows", type=int, default=100_000)
    parser.add_argument("--only", default="", help="commands whose name holds this")
    parser.add_argument("--without", default="\0", help="leave out those whose name holds this")
    parser.add_argument("--growth", action="store_true", help="500 to 8,000 pots as well")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as kept:
        folder = Path(kept)
        asked = aside(commands, folder, options.pots) | aside(requests, folder, options.rows)
        some = {
            name: each
            for name, each in asked.items()
            if options.only in name and options.without not in name
        }
        before = BEFORE if options.pots == 5000 else {}  # measured at that size
        compile_all([ROOT, *([options.against] if options.against else [])], folder)
        print_table(
            some, runs=options.runs, against=options.against, before=before, compiled=folder
        )
        if options.growth:
            print_growth(folder, options.only)


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    main()
