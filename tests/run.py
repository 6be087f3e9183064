"""Sets up `.venv` where needed and runs the tests: `python3 tests/run.py [pytest options]`."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / ".ci"))

import environment  # noqa: E402  (found only by the line above)


def main() -> int:
    """Return pytest's exit code."""
    python = environment.ensure("test")
    # -bb: comparing text with bytes is an error.
    command = [str(python), "-bb", "-m", "pytest", *sys.argv[1:]]
    return subprocess.run(command, cwd=ROOT, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
