"""What a typed name of a place may mean, as one model for every line and list in the window.

The table of towns takes a moment to read and an odd name one to look for, so both go beside the
window.
"""

from __future__ import annotations

import os
from functools import partial

from PySide6.QtCore import QLocale, QModelIndex, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QStandardItem, QStandardItemModel

from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.finding import Answer, Found, country_here, find_places
from bloomline.ui.season_service import Beside

MOST_SHOWN = 12
_FOUND_ROLE = Qt.ItemDataRole.UserRole
_TYPING_MS = 60


class PlaceModel(QStandardItemModel):
    """What a typed name may mean, best first; looked for beside the window."""

    answered = Signal()
    """The answer to the last text is there."""

    def __init__(self, parent: QObject | None = None, *, system_first: bool = False) -> None:
        super().__init__(parent)
        self._system_first = system_first
        self._home: PlaceChoice | None = None
        self._beside: Beside | None = None
        self._text = ""
        self._answer = Answer("", ())
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_TYPING_MS)
        self._timer.timeout.connect(self._look)
        # After what is still waiting has begun.
        self._idle = QTimer(self)
        self._idle.setSingleShot(True)
        self._idle.setInterval(0)
        self._idle.timeout.connect(self._rest_if_idle)

    @property
    def answer(self) -> Answer | None:
        """The answer to what was asked last, None while it is looked for."""
        return self._answer if self._answer.text == self._text else None

    def show_home(self, place: PlaceChoice | None) -> None:
        """Places of the country of a yard come first from now on."""
        self._home = place

    def prepare(self) -> None:
        """Read the towns, so that the first letters find them ready."""
        self._worker().ask(partial(_found, "", self._home, self._system_first))

    def ask(self, text: str) -> None:
        """Look for a text; the list is empty until the answer is there."""
        self._text = text
        self.clear()
        self._timer.start()

    def found(self, index: QModelIndex | int) -> Found | None:
        """The place in a row."""
        row = index if isinstance(index, int) else index.row()
        item = self.item(row) if 0 <= row < self.rowCount() else None
        return None if item is None else item.data(_FOUND_ROLE)

    def row_of(self, found: Found | None) -> int:
        """The row of a place, -1 where it is none."""
        return next((row for row in range(self.rowCount()) if self.found(row) is found), -1)

    def stop(self) -> None:
        """End the search; safe to call twice."""
        self._timer.stop()
        self._rest()

    def _rest(self) -> None:
        # The next text begins a thread anew: most lines are never typed in again.
        if self._beside is not None:
            self._beside.stop()
            self._beside.deleteLater()
            self._beside = None

    @Slot()
    def _rest_if_idle(self) -> None:
        if self._beside is not None and not self._beside.is_busy:
            self._rest()

    def _worker(self) -> Beside:
        if self._beside is None:
            self._beside = Beside(self)
            self._beside.answered.connect(self._take)
        return self._beside

    @Slot()
    def _look(self) -> None:
        self._worker().ask(partial(_found, self._text, self._home, self._system_first))

    @Slot(object)
    def _take(self, answer: object) -> None:
        self._idle.start()
        if not isinstance(answer, Answer) or answer.text != self._text:
            return
        self._answer = answer
        self.clear()
        for found in answer.found:
            item = QStandardItem(found.label)
            item.setEditable(False)
            item.setToolTip(found.label)
            item.setData(found, _FOUND_ROLE)
            self.appendRow(item)
        self.answered.emit()


def _found(text: str, home: PlaceChoice | None, system_first: bool) -> Answer:
    country_code = country_here(home, system_first=system_first, system=_system_country())
    return find_places(text, country_code=country_code, limit=MOST_SHOWN)


def _system_country() -> str:
    """What Qt knows of the system where no variable tells: Windows and macOS set none."""
    if os.environ.get("LC_ALL") or os.environ.get("LANG"):
        return ""
    return QLocale.system().name().partition("_")[2]
