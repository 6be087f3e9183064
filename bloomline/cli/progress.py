"""How far a long task is, on standard error, where nobody mistakes it for the result."""

from __future__ import annotations

import time

from bloomline.cli.output import say
from bloomline.words import tr

_EVERY_S = 2.0


class Progress:
    """Tells now and then how many rows are done; nothing where all are done at once."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._done = 0
        self._told = time.monotonic()

    def step(self, rows: int = 1) -> None:
        """So many rows more are done."""
        self._done += rows
        now = time.monotonic()
        if now - self._told >= _EVERY_S and self._done < self._count:
            self._told = now
            say(tr("{done:,} of {count:,} rows are answered", done=self._done, count=self._count))
