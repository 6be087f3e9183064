"""Python's collection of unused cycles, in the window's thread only.

Left alone, it runs in whichever thread allocates, and a worker that collects a widget crashes
the program: Qt's objects must end where they live. It would also fall into a slider's move.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer, Slot

_EVERY_MS = 10_000
_ALL_EVERY = 12


class Collector(QObject):
    """Collects young objects every few seconds and all of them every few minutes."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._round = 0
        self._timer = QTimer(self)
        self._timer.setInterval(_EVERY_MS)
        self._timer.timeout.connect(self.collect)

    def start(self) -> None:
        """Take the collecting over; what is there by now is there to stay."""
        gc.freeze()
        self._timer.start()

    @Slot()
    def collect(self) -> None:
        """Collect, as far as it is due."""
        self._round += 1
        gc.collect(2 if self._round % _ALL_EVERY == 0 else 1)
