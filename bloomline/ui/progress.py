"""How far long work beside the window is, with a button that stops it."""

from __future__ import annotations

from threading import Event

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QWidget

from bloomline.words import tr


class Progress(QObject):
    """Tells how far long work is, and whether it is still wanted."""

    moved = Signal(int)
    """Percent done."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.stop = Event()

    def tell(self, share: float) -> None:
        """Say how much is done, 0 to 1; may be called from any thread."""
        self.moved.emit(round(100 * share))

    def go(self, share: float) -> bool:
        """Say how much is done, and answer whether to go on."""
        if self.stop.is_set():
            return False
        self.tell(share)
        return True


class WorkingRow(QWidget):
    """A bar and a button to stop, there only while work is under way."""

    def __init__(self, parent: QWidget | None = None, *, name: str, what: str, stop: str) -> None:
        super().__init__(parent)
        self.is_cancelled = False
        self._progress = Progress(self)
        self._progress.moved.connect(self._show)
        self.bar = QProgressBar(self)
        self.bar.setRange(0, 100)
        self.bar.setAccessibleName(what)
        self.cancel = QPushButton(tr("Stop"), self)
        self.cancel.setObjectName(f"{name}_cancel")
        self.cancel.setAccessibleName(stop)
        self.cancel.clicked.connect(self._cancel)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.bar, 1)
        row.addWidget(self.cancel)
        self.hide()

    def begin(self) -> Progress:
        """Show the row for new work; what was under way before is told to stop."""
        self.drop()
        self._progress.moved.disconnect(self._show)
        self._progress = Progress(self)
        self._progress.moved.connect(self._show)
        self.is_cancelled = False
        self.bar.setValue(0)
        self.show()
        return self._progress

    def drop(self) -> None:
        """Tell the work under way to stop, and hide."""
        self._progress.stop.set()
        self.hide()

    @Slot(int)
    def _show(self, percent: int) -> None:
        self.bar.setValue(percent)

    @Slot()
    def _cancel(self) -> None:
        self.is_cancelled = True
        self._progress.stop.set()
