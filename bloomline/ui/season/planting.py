"""Moves planting days, by hand and by keys; what belongs together is undone in one step."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QElapsedTimer, QObject, Slot

from bloomline.model import edits
from bloomline.model.companion_edits import change_companion
from bloomline.model.many_edits import shift_planted
from bloomline.model.yard import Yard
from bloomline.ui.document import Document
from bloomline.ui.season.shown import Shown
from bloomline.words import tr

_SAME_GESTURE_MS = 900
"""Key presses nearer than this belong together."""


class PlantingDays(QObject):
    """Changes the planting day of what is selected, or of what the hand holds the marker of."""

    def __init__(self, document: Document, shown: Shown, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._shown = document, shown
        self._clock = QElapsedTimer()
        self._gesture, self._moved = 0, tuple[str, ...]()

    @Slot(str, object, str)
    def plant(self, part_id: str, day: date, gesture: str) -> None:
        """Give a layer or companions another planting day."""
        is_on_top = part_id in self._shown.tops
        if self._shown.planted.get(part_id, day) == day:
            return

        def change(yard: Yard) -> Yard:
            if is_on_top:
                return change_companion(yard, part_id, planted=day)
            return edits.set_planted(yard, [part_id], day)

        self._document.edit(tr("Change planting day"), change, gesture=gesture)

    def move_by(self, days: int) -> None:
        """Move the planting days of all that is selected, not beyond the season's last day."""
        parts, report = self._document.selection.parts, self._shown.report
        if not parts or report is None:
            return
        is_same = (
            self._moved == parts
            and self._clock.isValid()
            and self._clock.elapsed() < _SAME_GESTURE_MS
        )
        self._gesture += 0 if is_same else 1
        self._moved = parts
        self._clock.start()
        latest = report.last_day
        self._document.edit(
            tr("Change planting day"),
            lambda yard: shift_planted(yard, parts, days, latest=latest),
            gesture=f"planting-keys-{self._gesture}",
        )

    @Slot()
    def day_before(self) -> None:
        """A day earlier."""
        self.move_by(-1)

    @Slot()
    def day_after(self) -> None:
        """A day later."""
        self.move_by(1)

    @Slot()
    def week_before(self) -> None:
        """A week earlier."""
        self.move_by(-7)

    @Slot()
    def week_after(self) -> None:
        """A week later."""
        self.move_by(7)
