"""A line edit that opens over a pot's name."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from bloomline.model.yard import Pot
from bloomline.words import tr


class NameEdit(QLineEdit):
    """Types a pot's name in place: Enter or leaving keeps it, Escape doesn't."""

    named = Signal(str, str)
    """Pot id and the name typed."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("pot_name_edit")
        self.setAccessibleName(tr("Name of the pot"))
        self.setMaxLength(120)
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._pot_id: str | None = None
        self._old = ""
        self.editingFinished.connect(self._finish)
        self.hide()

    def open(self, pot: Pot, *, middle: float, top: float, width: float) -> None:
        """Open over a pot's name."""
        self._pot_id, self._old = pot.id, pot.name
        self.setText(pot.name)
        height = self.sizeHint().height()
        self.setGeometry(QRect(round(middle - width / 2), round(top), round(width), height))
        self.show()
        self.selectAll()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._pot_id = None
            self._close()
            return
        super().keyPressEvent(event)

    @Slot()
    def _finish(self) -> None:
        pot_id, self._pot_id = self._pot_id, None
        if pot_id is None:
            return
        text = self.text()
        self._close()
        if text != self._old:
            self.named.emit(pot_id, text)

    def _close(self) -> None:
        parent = self.parentWidget()
        had_focus = self.hasFocus()
        self.hide()
        if had_focus and parent is not None:
            parent.setFocus(Qt.FocusReason.OtherFocusReason)
