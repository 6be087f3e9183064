"""Moves planting days, by hand and by keys; what belongs together is undone in one step."""

from __future__ import annotations

from datetime import date, timedelta

from PySide6.QtCore import QElapsedTimer, QObject, Slot

from bloomline.model import edits
from bloomline.ui.document import Document
from bloomline.ui.season.shown import Shown

_SAME_GESTURE_MS = 900
"""Key presses nearer than this belong together."""


class PlantingDays(QObject):
    """Changes the planting day of the selected layer, or of the one whose marker is held."""

    def __init__(self, document: Document, shown: Shown, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._shown = document, shown
        self._clock = QElapsedTimer()
        self._gesture, self._layer_id = 0, ""

    @Slot(str, object, str)
    def plant(self, layer_id: str, day: date, gesture: str) -> None:
        """Give a layer another planting day."""
        if self._shown.planted.get(layer_id, day) != day:
            self._document.edit(
                self.tr("Change planting day"),
                lambda yard: edits.set_planted(yard, [layer_id], day),
                gesture=gesture,
            )

    def move_by(self, days: int) -> None:
        """Move the selected layer's planting day, not beyond the season's last day."""
        layer, report = self._document.selected_layer(), self._shown.report
        if layer is None or report is None:
            return
        is_same = (
            self._layer_id == layer.id
            and self._clock.isValid()
            and self._clock.elapsed() < _SAME_GESTURE_MS
        )
        self._gesture += 0 if is_same else 1
        self._layer_id = layer.id
        self._clock.start()
        day = min(layer.planted + timedelta(days=days), report.last_day)
        self.plant(layer.id, day, f"planting-keys-{self._gesture}")

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
