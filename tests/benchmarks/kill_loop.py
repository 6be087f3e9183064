"""Kills the window while somebody types, again and again, and counts what is lost.

Run by hand: `python tests/benchmarks/kill_loop.py --rounds 70`. Each round opens a yard in a
program of its own, types notes without a pause or renames a pot now and then, saves at times, and
is killed at a moment nobody knows. The yard file must be whole and the journal's yard at most
LIMIT_S old: by the clock, and by the processor time the program was given, so that a machine that
is busy with other work blames nobody.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from bloomline.errors import BloomlineError
from bloomline.files.journal import find_recoverable
from bloomline.files.yardfile import load_yard

ROOT = Path(__file__).resolve().parent.parent.parent
DEMO = ROOT / "demo" / "hollyhock-lane.bloomline"
LIMIT_S = 2.0
"""The journal is written each second, beside the window; a busy machine takes as long again."""

_TYPIST = """
import sys, time
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtTest import QTest
from bloomline.ui.app import application
from bloomline.ui.window import MainWindow

app = application()
window = MainWindow(state=Path(sys.argv[2]))
window.start(Path(sys.argv[1]))
window.show()
saves = sys.argv[3] == "saves"
window.document.select(pot_id=window.document.yard.pots[0].id)
notes = window.details.page.form.fields["notes"].editor
notes.setPlainText("")
notes.setFocus()
count = 0

def key():
    global count
    count += 1
    QTest.keyClicks(notes, f"<{count}>")
    print(count, time.monotonic(), time.process_time(), flush=True)
    if saves and count % 12 == 0:
        window.files.save()

timer = QTimer()
timer.timeout.connect(key)
timer.start(80)
app.exec()
"""


@dataclass
class Kills:
    """How many rounds, the most that was lost, and what went wrong."""

    rounds: int = 0
    worst_s: float = 0.0
    worst_busy_s: float = 0.0
    faults: list[str] = field(default_factory=list)

    def line(self) -> str:
        """What to print."""
        return (
            f"{self.rounds} kills, at most {self.worst_s:.2f} s of typing lost "
            f"({self.worst_busy_s:.2f} s of the program's own time), {len(self.faults)} faults"
        )


def kill_loop(rounds: int, *, seed: int = 1) -> Kills:
    """Kill a program that is typed into, and look at what is left."""
    rng, kills = random.Random(seed), Kills()
    with tempfile.TemporaryDirectory() as folder:
        for number in range(rounds):
            _round(Path(folder) / str(number), number, rng, kills)
    return kills


def _round(folder: Path, number: int, rng: random.Random, kills: Kills) -> None:
    folder.mkdir()
    file, state = folder / "own.bloomline", folder / "state"
    file.write_bytes(DEMO.read_bytes())
    saves = "saves" if number % 2 else "types"
    program = subprocess.Popen(
        [sys.executable, "-c", _TYPIST, str(file), str(state), saves],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )
    assert program.stdout is not None
    typed: list[tuple[float, float]] = []  # by the clock, and processor time
    until: float | None = None
    for line in program.stdout:
        _count, clock, busy = map(float, line.split())
        typed.append((clock, busy))
        until = until or time.monotonic() + rng.uniform(1.2, 4.0)
        if time.monotonic() > until:
            break
    os.kill(program.pid, signal.SIGKILL)
    killed = time.monotonic()
    program.communicate()
    kills.rounds += 1
    try:
        kept = _last(load_yard(file).yard.pots[0].notes)
        for entry in find_recoverable(state):
            if entry.yard is None:
                kills.faults.append(f"round {number}: damaged entry, {entry.problem}")
            else:
                kept = max(kept, _last(entry.yard.pots[0].notes))
    except BloomlineError as error:
        kills.faults.append(f"round {number}: {error}")
        return
    if kept >= len(typed):
        return
    lost_s = killed - typed[kept][0]
    busy_s = typed[-1][1] - typed[kept][1]
    kills.worst_s = max(kills.worst_s, lost_s)
    kills.worst_busy_s = max(kills.worst_busy_s, busy_s)
    if min(lost_s, busy_s) > LIMIT_S:
        kills.faults.append(f"round {number}: {lost_s:.2f} s lost, kept {kept} of {len(typed)}")


def _last(notes: str) -> int:
    found = re.findall(r"<(\d+)>", notes)
    return int(found[-1]) if found else 0


def main() -> None:
    """Print the counts, and every fault."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=70)
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    kills = kill_loop(args.rounds, seed=args.seed)
    print(kills.line())
    for fault in kills.faults:
        print(fault)
    raise SystemExit(1 if kills.faults else 0)


if __name__ == "__main__":
    main()
