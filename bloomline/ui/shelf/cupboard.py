"""A line under the shelf's list: how many bulbs of the kind chosen lie in the cupboard."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSignalBlocker, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSpinBox, QWidget

from bloomline.model.cultivar import Cultivar
from bloomline.plan.shop.cupboard import Stock, left_words
from bloomline.ui.dressed import say_as
from bloomline.ui.theme import em
from bloomline.words import tr

_MOST = 1_000_000


class CupboardRow(QWidget):
    """Counts the bulbs of one kind; Enter and Escape go back to the list."""

    counted = Signal(str, int)
    """A count was given: of which kind (its id), and how many."""
    left = Signal()
    """The keyboard should go back to the list."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._cultivar_id: str | None = None
        self.count = QSpinBox(self)
        self.count.setObjectName("cupboard_count")
        self.count.setRange(0, _MOST)
        self.count.setKeyboardTracking(False)
        self.count.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.count.setMinimumWidth(round(em() * 6))
        self.count.valueChanged.connect(self._tell)
        self.count.installEventFilter(self)
        self.words = QLabel(self)
        say_as(self.words, "muted")
        self.words.setWordWrap(True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.count)
        row.addWidget(self.words, 1)

    def show_kind(self, cultivar: Cultivar | None, stock: Stock | None) -> None:
        """Show the count of a kind; None for no kind."""
        self._cultivar_id = None if cultivar is None else cultivar.id
        self.count.setEnabled(cultivar is not None)
        with QSignalBlocker(self.count):
            self.count.setValue(0 if stock is None else stock.count)
        if cultivar is None:
            words = tr("Choose a kind to count what lies in the cupboard of it")
        elif stock is None:
            words = tr("{name}: none in the cupboard", name=cultivar.name)
        elif stock.planned:
            words = tr(
                "{name} in the cupboard. {left}.", name=cultivar.name, left=left_words(stock)
            )
        else:
            words = tr("{name} in the cupboard", name=cultivar.name)
        self.words.setText(words)
        name = "" if cultivar is None else cultivar.name
        self.count.setAccessibleName(tr("Bulbs of {name} in the cupboard", name=name))

    @Slot()
    def begin(self) -> None:
        """Let a count be typed."""
        self.show()
        self.count.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.count.selectAll()

    @Slot(int)
    def _tell(self, count: int) -> None:
        if self._cultivar_id is not None:
            self.counted.emit(self._cultivar_id, count)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self.count.interpretText()
                self.left.emit()
                return True
            if event.key() == Qt.Key.Key_Escape:
                with QSignalBlocker(self.count):
                    self.count.lineEdit().setText(self.count.textFromValue(self.count.value()))
                self.left.emit()
                return True
        return super().eventFilter(watched, event)
