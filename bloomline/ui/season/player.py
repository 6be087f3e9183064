"""Runs the day looked at through the season, as a film of the yard."""

from __future__ import annotations

from datetime import date, timedelta

from PySide6.QtCore import QElapsedTimer, QObject, Qt, QTimer, Signal, Slot

SEASON_S = 12.0
"""How long the whole season takes at single speed. [s]"""
SPEEDS = (0.5, 1.0, 2.0)
_FRAME_MS = 20


class Player(QObject):
    """Asks for one day after the other; stops at the end."""

    day_asked = Signal(object)
    playing_changed = Signal(bool)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.speed = 1.0
        self._first, self._last = date(2000, 1, 1), date(2000, 1, 1)
        self._at = 0.0
        self._clock = QElapsedTimer()
        self._timer = QTimer(self)
        self._timer.setInterval(_FRAME_MS)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._tick)

    @property
    def is_playing(self) -> bool:
        """Whether the film runs."""
        return self._timer.isActive()

    def play(self, first: date, last: date, *, start: date) -> None:
        """Run from `start` to `last`; from `first` when `start` is not between them."""
        if last <= first or self.is_playing:
            return
        self._first, self._last = first, last
        self._at = float((start - first).days) if first <= start < last else 0.0
        self._clock.start()
        self._timer.start()
        self.playing_changed.emit(True)
        self._ask()

    @Slot()
    def stop(self) -> None:
        """Stop where it is; safe to call twice."""
        if self.is_playing:
            self._timer.stop()
            self.playing_changed.emit(False)

    @Slot()
    def _tick(self) -> None:
        # A slow frame is made up for: the film keeps its time, not its number of pictures.
        self.advance(self._clock.restart() / 1000.0)

    def advance(self, seconds: float) -> None:
        """Go on by some seconds of the film."""
        span = (self._last - self._first).days
        self._at += seconds * self.speed * span / SEASON_S
        self._ask()
        if self._at >= span:
            self.stop()

    def _ask(self) -> None:
        days = min(int(self._at), (self._last - self._first).days)
        self.day_asked.emit(self._first + timedelta(days=days))
