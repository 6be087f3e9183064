"""The search for a place with its list always in sight: for the pages of a dialog."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, QObject, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QLineEdit, QListView, QVBoxLayout, QWidget

from bloomline.plan.climate.finding import Found
from bloomline.ui.conditions.place_model import PlaceModel
from bloomline.ui.dressed import say_as
from bloomline.words import tr


class PlaceChooser(QWidget):
    """A line, the places found for it, and a hint.

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
        say_as(self.hint, "muted")
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
