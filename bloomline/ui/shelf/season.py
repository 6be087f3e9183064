"""The expected windows of all kinds, worked out beside the window when something moves them."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.shelf import ShelfWindow, shelf_windows
from bloomline.reference.catalogue import Catalogue
from bloomline.ui.document import Document
from bloomline.ui.season_service import Beside, SeasonService

_REST_MS = 150


class ShelfSeason(QObject):
    """Holds the windows as they were worked out last."""

    changed = Signal()
    """Other windows are there."""
    failed = Signal(str)
    """They could not be worked out (words)."""

    def __init__(self, document: Document, service: SeasonService, parent: QObject) -> None:
        super().__init__(parent)
        self._document = document
        self._service = service
        self._kinds = document.catalogue
        self.windows: dict[str, ShelfWindow] = {}
        self._asked: object = None
        self._waiting_for: object = None
        self._waits = service.report is None
        self.beside = Beside(self)
        self.beside.answered.connect(self._take)
        # All kinds are worked out once a slider rests: while it moves, they would take the
        # interpreter from the season and its picture.
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_MS)
        self._rest.timeout.connect(self._work)
        document.file_changed.connect(self._ask)
        service.report_ready.connect(self._follow_report)
        service.failed.connect(self._follow_report)

    @property
    def is_busy(self) -> bool:
        """Whether windows are being worked out, or will be soon."""
        return self.beside.is_busy or self._rest.isActive()

    def stop(self) -> None:
        """End the work beside the window."""
        self._rest.stop()
        self.beside.stop()

    def ask(self, kinds: Catalogue) -> None:
        """Have the windows of these kinds worked out soon if they stand on something else now."""
        self._kinds = kinds
        self._ask()

    @Slot(object)
    def _follow_report(self, _report: object) -> None:
        # Weather that was read in since tells itself by a new report.
        if self._waits:
            # The season comes first, and is painted before all kinds are worked out.
            self._waits = False
            self._rest.start()
        else:
            self._ask()

    @Slot()
    def _ask(self) -> None:
        wanted = self._wanted()
        if wanted != self._asked and wanted != self._waiting_for and not self._waits:
            self._waiting_for = wanted
            self._rest.start()

    def _wanted(self) -> tuple[object, ...]:
        """What the windows stand on: most edits of a yard change nothing of it."""
        outlook = self._document.outlook
        yard, report = outlook.yard, self._service.report
        offset = yard.site_offsets.get("open", 0.0)
        learned = None if report is None else (report.learned_at("open"), report.garden_sd_days)
        kinds = yard.own_cultivars
        return (outlook.garden, outlook.recorded, yard.season_year, offset, kinds, learned)

    @Slot()
    def _work(self) -> None:
        self._waiting_for = None
        wanted = self._wanted()
        if wanted == self._asked:
            return
        self._asked = wanted
        self.beside.ask(partial(_windows, self._document.outlook.usual, self._kinds))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, dict):
            self.windows = answer
            self.changed.emit()
        else:
            self._asked = None
            self.failed.emit(str(answer))


def _windows(outlook: Outlook, kinds: Catalogue) -> dict[str, ShelfWindow]:
    """The windows; the words to search by are made ready on the way."""
    len(kinds.index)
    return shelf_windows(outlook)
