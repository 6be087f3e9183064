"""Places found by name: one model of what is found, a line with a list under it, and a chooser.

The table of towns takes a moment to read and an odd name one to look for, so both go beside the
window; Enter waits for the answer to what is typed.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import partial

from PySide6.QtCore import (
    QEvent,
    QItemSelectionModel,
    QLocale,
    QModelIndex,
    QObject,
    QRect,
    Qt,
    QTimer,
    Signal,
    Slot,
)
from PySide6.QtGui import QFocusEvent, QKeyEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QCompleter, QLabel, QLineEdit, QListView, QStyle, QVBoxLayout, QWidget

from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.finding import Answer, Found, country_here, find_places
from bloomline.ui.season_service import Beside
from bloomline.words import tr

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


class PlaceSearch(QLineEdit):
    """Shows the yard's place; what is typed over it is looked for among towns and stations.

    Enter takes the place marked in the list, else the one that is clearly meant; where none is,
    the list stays for a choice. Escape or leaving goes back.
    """

    found = Signal(object)
    """The gardener chose a `Found`."""
    missed = Signal(str)
    """No one place is clearly meant; the words say what to do."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name = ""
        self._wants_best = False
        self.places = PlaceModel(self)
        completer = QCompleter(self.places, self)
        completer.setCompletionMode(QCompleter.CompletionMode.UnfilteredPopupCompletion)
        completer.setMaxVisibleItems(MOST_SHOWN)
        # By row, since two places may be labelled alike.
        completer.activated[QModelIndex].connect(self._take_row)  # type: ignore[index]
        self.setCompleter(completer)
        self.setClearButtonEnabled(False)
        self.setPlaceholderText(tr("town or station"))
        self.textEdited.connect(self._look)
        self.returnPressed.connect(self._take_best)
        self.places.answered.connect(self._offer)

    def show_place(self, name: str, place: PlaceChoice | None = None) -> None:
        """Show where the yard is, unless the gardener is typing."""
        self._name = name
        self.places.show_home(place)
        if not (self.hasFocus() and self.isModified()):
            self._go_back()

    def suggestions(self) -> list[str]:
        """The places that are offered for what is typed."""
        return [self.places.item(row).text() for row in range(self.places.rowCount())]

    def stop(self) -> None:
        """End what is looked for; safe to call twice."""
        self.places.stop()

    @Slot(str)
    def _look(self, text: str) -> None:
        self._wants_best = False
        self.places.ask(text)

    @Slot()
    def _offer(self) -> None:
        if self._wants_best:
            self._decide()
        elif self.hasFocus() and self.isModified():
            self._show_list()

    def _show_list(self) -> None:
        popup = self.completer().popup()
        if popup is None or not self.places.rowCount():
            return
        # Names with region and country are longer than the line.
        bar = self.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent)
        wide = popup.sizeHintForColumn(0) + 2 * bar
        most = round(self.window().width() * 0.6)
        self.completer().complete(QRect(0, 0, max(self.width(), min(wide, most)), self.height()))

    @Slot(QModelIndex)
    def _take_row(self, index: QModelIndex) -> None:
        found = self.places.found(index)
        if found is not None:
            self._take(found)

    @Slot()
    def _take_best(self) -> None:
        popup = self.completer().popup()
        if popup is not None and popup.isVisible() and popup.currentIndex().isValid():
            return  # the list tells its own choice
        if not self.isModified() or not self.text().strip():
            self._go_back()
            return
        self._wants_best = True
        if self.places.answer is not None:
            self._decide()

    def _decide(self) -> None:
        self._wants_best = False
        answer = self.places.answer
        if answer is None:
            return
        if answer.best is not None:
            popup = self.completer().popup()
            if popup is not None:
                popup.hide()
            self._take(answer.best)
            return
        self.missed.emit(answer.note)
        if self.hasFocus():
            self._show_list()

    def _take(self, found: Found) -> None:
        self.setModified(False)
        self.found.emit(found)
        self._go_back()
        self.selectAll()

    def _go_back(self) -> None:
        self._wants_best = False
        self.setText(self._name)
        self.setCursorPosition(0)
        self.setModified(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self._go_back()
            self.selectAll()
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason and not self.isModified():
            self.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() not in (
            Qt.FocusReason.PopupFocusReason,
            Qt.FocusReason.ActiveWindowFocusReason,
        ):
            self._go_back()


class PlaceChooser(QWidget):
    """The same search with its list always in sight, and a hint: for the pages of a dialog.

    What is clearly meant is marked by itself; of several places of one name none is.
    """

    chosen = Signal()
    """Another place is marked, or none any more."""

    def __init__(
        self,
        parent: QWidget | None = None,
        *,
        name: str,
        describe: Callable[[Found], str],
        waiting: str,
    ) -> None:
        """name : begins the object names. describe : says what is known of a place marked.

        waiting : the hint while nothing is typed.
        """
        super().__init__(parent)
        self._describe, self._waiting = describe, waiting
        self.places = PlaceModel(self, system_first=True)
        self.search = QLineEdit(self)
        self.search.setObjectName(f"{name}_search")
        self.search.setPlaceholderText(tr("Town, or town, country"))
        self.search.setAccessibleName(tr("Place"))
        self.search.setClearButtonEnabled(True)
        self.search.textEdited.connect(self._look)
        self.search.textChanged.connect(self._cleared)
        self.search.installEventFilter(self)
        self.list = QListView(self)
        self.list.setObjectName(f"{name}_places")
        self.list.setAccessibleName(tr("Places found"))
        self.list.setWordWrap(True)
        self.list.setResizeMode(QListView.ResizeMode.Adjust)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setModel(self.places)
        self.list.selectionModel().currentChanged.connect(self._marked)
        self.hint = QLabel(waiting, self)
        self.hint.setObjectName("muted")
        self.hint.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.search)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.hint)
        self.places.answered.connect(self._show)

    def found(self) -> Found | None:
        """The place that is marked."""
        return self.places.found(self.list.currentIndex())

    def stop(self) -> None:
        """End the search; safe to call twice."""
        self.places.stop()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # The arrow keys walk through the list while typing goes on.
        if (
            watched is self.search
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up)
            and self.places.rowCount()
        ):
            step = 1 if event.key() == Qt.Key.Key_Down else -1
            row = min(max(self.list.currentIndex().row() + step, 0), self.places.rowCount() - 1)
            self._mark(row)
            return True
        return super().eventFilter(watched, event)

    def _mark(self, row: int) -> None:
        self.list.selectionModel().setCurrentIndex(
            self.places.index(row, 0), QItemSelectionModel.SelectionFlag.ClearAndSelect
        )
        self.list.scrollTo(self.places.index(row, 0))

    @Slot(str)
    def _look(self, text: str) -> None:
        self.places.ask(text)
        self.hint.setText(tr("Looking…") if text.strip() else self._waiting)
        self.chosen.emit()

    @Slot(str)
    def _cleared(self, text: str) -> None:
        # The button in the line clears it without an edit.
        if not text:
            self._look(text)

    @Slot()
    def _show(self) -> None:
        answer = self.places.answer
        if answer is None:
            return
        self.hint.setText(answer.note or self._waiting)
        if answer.best is not None:
            self._mark(self.places.row_of(answer.best))
        self.chosen.emit()

    @Slot(QModelIndex, QModelIndex)
    def _marked(self, _current: QModelIndex, _previous: QModelIndex) -> None:
        found = self.found()
        if found is not None:
            self.hint.setText(self._describe(found))
        self.chosen.emit()
