"""The seasons of the region slider's next places, worked out while the hand rests on it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QTimer, Slot

from bloomline.plan.season.outlook import known
from bloomline.plan.season.yard import season_report
from bloomline.ui.conditions.region import RegionPart
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService

_REST_MS = 120
_BUSY_MS = 150  # until the work that was asked for is looked for again


class RegionAhead(QObject):
    """Prepares the places beside the handle, one at a time, and only while the slider is in use.

    In use is a slider under the pointer or the keyboard, or one that has just moved. An edit
    elsewhere prepares nothing: it would cost the seasons of places that nobody looks at.
    """

    def __init__(
        self, region: RegionPart, document: Document, service: SeasonService, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._region, self._document, self._service = region, document, service
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.timeout.connect(self._work)
        self._has_moved = False
        region.slider.installEventFilter(self)
        region.slider.slid.connect(self._moved)
        service.report_ready.connect(self._wait)
        service.prepared.connect(self._wait)
        document.yard_changed.connect(self._let_go)

    @property
    def is_busy(self) -> bool:
        """Whether something is being prepared, or will be soon."""
        return self._rest.isActive() or self._service.is_preparing

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.Enter, QEvent.Type.FocusIn):
            self._wait()
        return super().eventFilter(watched, event)

    @Slot()
    def _moved(self, *_: object) -> None:
        self._has_moved = True
        self._wait()

    @Slot()
    def _let_go(self, *_: object) -> None:
        self._has_moved = False

    @Slot()
    def _wait(self, *_: object) -> None:
        slider = self._region.slider
        if self._has_moved or slider.underMouse() or slider.hasFocus():
            self._rest.start(_REST_MS)

    @Slot()
    def _work(self) -> None:
        if self._service.report is None:
            return
        if self._service.is_busy or self._service.is_preparing:
            self._rest.start(_BUSY_MS)
            return
        # The place that is seen now is kept as well.
        for place in self._region.next_places()[: self._document.places_kept - 1]:
            outlook = self._document.outlook_at(place)
            if known(season_report, outlook) is None:
                self._service.prepare(outlook)
                return
