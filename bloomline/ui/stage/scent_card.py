"""Weeks of scent, and of colour, at each place: on the details of the yard."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QLabel, QWidget

from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.stage.watch import StageWatch
from bloomline.words import tr


class ScentCard(Card):
    """How long each place that is looked at shows colour, and is smelt as one walks past.

    Gone where there is no such place.
    """

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(tr("Colour and scent by place"), parent)
        self._document, self._service = document, service
        self.watch = StageWatch(document, self)
        self._lines: list[QLabel] = []
        self.watch.changed.connect(self._show_plan)
        service.report_ready.connect(self._begin)
        service.failed.connect(self._begin)

    def has_places(self) -> bool:
        """Whether a place of the yard is looked at."""
        return any(place.kind == "display" for place in self._document.yard.display_places)

    def follow(self) -> None:
        """Be there where a place is looked at; nothing is worked out meanwhile."""
        self.setVisible(self.has_places())

    @Slot()
    def _show_plan(self) -> None:
        plan = self.watch.plan
        told = []
        if plan is not None:
            from bloomline.plan.stage.words import lane_words  # no part of a start

            told = [
                tr("{place}: {weeks}", place=lane.place.name, weeks=lane_words(lane))
                for lane in plan.lanes
                if lane.place.kind == "display"
            ]
        if not told and self._document.yard.pots:
            told = [tr("Working out who stands where…")]
        while len(self._lines) > len(told):
            self._lines.pop().deleteLater()
        while len(self._lines) < len(told):
            self._lines.append(wrapping("", "", self))
            self.column.addWidget(self._lines[-1])
        for label, words in zip(self._lines, told, strict=True):
            label.setText(words)
        self.setAccessibleDescription("\n".join(told))

    def words(self) -> list[str]:
        """What the card says."""
        return [label.text() for label in self._lines]

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._begin()
        self._show_plan()

    @Slot()
    def _begin(self, *_: object) -> None:
        """Work the rota out while it is seen, after the season."""
        if self.isVisible() and not self.watch.is_awake and not self._service.is_busy:
            self.watch.wake(True, at_once=False)

    def hideEvent(self, event: QHideEvent) -> None:
        self.watch.wake(False)
        super().hideEvent(event)

    def stop(self) -> None:
        """End the work beside the window."""
        self.watch.stop()
